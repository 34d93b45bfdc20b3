// A file's text as an editor has it, and its bytes again once it was changed: encoding, byte order mark, and the ends of lines that were not
// touched stay as they are.
const marks = { "utf-16le": [0xff, 0xfe], "utf-16be": [0xfe, 0xff] };

// written returns the text of bytes, its lines ended by \n, and bytesOf(text) for what became of it.
export function written(bytes) {
  const wide = Object.keys(marks).find(name => marks[name].every((b, i) => bytes[i] === b));
  const all = wide ? new TextDecoder(wide, { ignoreBOM: true }).decode(bytes) : letters(bytes);
  const mark = all[0] === "\ufeff" ? all[0] : "", raw = all.slice(mark.length), text = raw.replace(/\r\n?/g, "\n");
  const end = /\r\n?|\n/.exec(raw)?.[0] ?? "\n"; // of new lines: as the first
  const bytesOf = now => {
    const { from, to, insert } = differing(text, now);
    const out = mark + raw.slice(0, place(raw, from)) + insert.replaceAll("\n", end) + raw.slice(place(raw, to));
    return wide ? units(out, wide === "utf-16le") : new TextEncoder().encode(out);
  };
  return { text, bytesOf };
}

// letters reads UTF-8, and what is none as Windows-1252, as the program does, which tells that it is one.
function letters(bytes) {
  const strict = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  const whole = (i, n) => {
    try {
      return strict.decode(bytes.subarray(i, i + n));
    } catch {
      return "";
    }
  };
  const all = whole(0, bytes.length), other = new TextDecoder("windows-1252");
  if (all || !bytes.length) return all;
  let out = "";
  for (let i = 0; i < bytes.length; ) {
    const n = [1, 2, 3, 4].find(n => whole(i, n)) ?? 0;
    out += n ? whole(i, n) : other.decode(bytes.subarray(i, i + 1));
    i += n || 1;
  }
  return out;
}

// place is where the letter n of the text is in what was read, where an end of a line may have two.
function place(raw, n) {
  let at = 0;
  for (let i = 0; i < n; i++) at += raw[at] === "\r" && raw[at + 1] === "\n" ? 2 : 1;
  return at;
}

function units(text, little) {
  const out = new DataView(new ArrayBuffer(2 * text.length));
  for (let i = 0; i < text.length; i++) out.setUint16(2 * i, text.charCodeAt(i), little);
  return new Uint8Array(out.buffer);
}

// differing is the one change that makes a text of another: what to put in place of from..to.
export function differing(old, next) {
  let a = 0, b = 0;
  while (a < old.length && a < next.length && old[a] === next[a]) a++;
  while (b < old.length - a && b < next.length - a && old[old.length - 1 - b] === next[next.length - 1 - b]) b++;
  return { from: a, to: old.length - b, insert: next.slice(a, next.length - b) };
}
