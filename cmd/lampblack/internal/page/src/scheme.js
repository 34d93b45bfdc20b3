// The project file's keys at a place of its text, by its JSON Schema.

// alternatives returns the schemas that a schema stands for: itself, or those that it refers to or lets one choose from.
function alternatives(all, s, deep = 0) {
  if (!s || deep > 8) return [];
  const out = s.properties || s.items || s.enum || s.examples || s.additionalProperties || s.type ? [s] : [];
  if (s.$ref) out.push(...alternatives(all, all.$defs?.[s.$ref.replace("#/$defs/", "")], deep + 1));
  for (const a of [...(s.anyOf ?? []), ...(s.oneOf ?? []), ...(s.allOf ?? [])]) out.push(...alternatives(all, a, deep + 1));
  return out;
}

// at returns the schemas at a path of keys; "-" is an item of a list.
export function at(all, path) {
  let now = alternatives(all, all);
  for (const key of path) {
    now = now.flatMap(s => {
      const next = key === "-" ? s.items : (s.properties?.[key] ?? (typeof s.additionalProperties === "object" ? s.additionalProperties : null));
      return next ? alternatives(all, next) : [];
    });
  }
  return now;
}

// keysOf returns the keys that fit there: [{key, words}].
export function keysOf(schemas) {
  const out = new Map();
  for (const s of schemas) for (const [key, p] of Object.entries(s.properties ?? {})) if (!out.has(key)) out.set(key, { key, words: p.description ?? "" });
  return [...out.values()];
}

// valuesOf returns values that fit there.
export function valuesOf(schemas) {
  const plain = v => ["string", "number", "boolean"].includes(typeof v);
  return [...new Set(schemas.flatMap(s => [...(s.enum ?? []), ...(s.examples ?? []), ...(s.type === "boolean" ? ["true", "false"] : [])]).filter(plain).map(String))];
}

const row = /^(\s*)((?:- +)*)(?:([\w-]+|"[^"]*")\s*:(.*))?/;

// pathAt returns the keys above a line of the text, whose own key begins in a column (from 0).
export function pathAt(lines, line, column) {
  const path = [];
  let want = column;
  // The line's own dashes make items.
  const own = row.exec(lines[line] ?? "");
  if (own?.[2] && column >= own[1].length + own[2].length) {
    path.unshift("-");
    want = own[1].length + 0.5;
  }
  for (let i = line - 1; i >= 0 && want > 0; i--) {
    if (/^\s*(#|$)/.test(lines[i])) continue;
    const [, spaces, dashes, key, value] = row.exec(lines[i]);
    const dash = spaces.length, at = dash + dashes.length;
    if (key && at < want && !/\S/.test((value ?? "").replace(/#.*/, ""))) {
      path.unshift(key.replace(/"/g, ""));
      want = at;
    }
    if (dashes && dash < want && at <= want) {
      path.unshift("-");
      want = dash + 0.5;
    }
  }
  return path;
}
