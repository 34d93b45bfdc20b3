// What the user must know, whole project or one panel: gravest first, each with its place and with what can be done at once.
import { useEffect, useRef, useState } from "preact/hooks";
import { computed, signal } from "@preact/signals";
import { made, understood } from "./work.js";
import { panel, panels, place, view } from "./at.js";
import { edit } from "./do.js";
import { Kind, RoleMark, kindOf, kinds } from "./marks.jsx";

const grave = Object.keys(kinds);

// findings are those of the drawings as they are now and, where the boards are made, of them too; gravest first within its panel, in the
// panels' order, and numbered so; notes, which are seldom shown, have the last numbers.
export const findings = computed(() => {
  const now = understood.value?.findings ?? [];
  const seen = new Set(now.map(same));
  const later = (made.value?.result.findings ?? []).filter(f => !seen.has(same(f)));
  const names = ["", ...panels.value.map(p => p.name)];
  const rank = f => { const i = names.indexOf(f.panel ?? ""); return i < 0 ? 0 : i; };
  const list = [...now, ...later]
    .map((f, i) => ({ f: { ...f, kind: kindOf(f) }, i }))
    .sort((a, b) => rank(a.f) - rank(b.f) || grave.indexOf(a.f.kind) - grave.indexOf(b.f.kind) || a.i - b.i)
    .map(({ f }) => f);
  const first = list.filter(f => f.kind !== "note").length;
  let n = 0, notes = first;
  return list.map(f => ({ ...f, number: f.kind === "note" ? ++notes : ++n }));
});

// gravest is the kind of the gravest finding of a panel.
export const gravest = name => grave.find(k => findings.value.some(f => f.kind === k && f.panel === name));

const same = f => [f.code, f.panel ?? "", f.text, f.at ?? ""].join("|");

const wide = matchMedia("(min-width: 960px)"); // on smaller screens the pane lies over the view
const open = signal(wide.matches);
wide.addEventListener("change", () => (open.value = wide.matches));
const ofPanel = signal(false); // findings of the shown panel alone
const notes = signal(false); // notes too

export function Findings() {
  const all = findings.value;
  const count = Object.fromEntries(grave.map(k => [k, all.filter(f => f.kind === k).length]));
  const summary = grave.filter(k => count[k]);
  if (!open.value) {
    return (
      <aside class="findings shut" aria-label="findings">
        <button class="summary" aria-expanded="false" onClick={() => (open.value = true)} title="show the findings">
          {summary.map(k => <span key={k}><Kind kind={k} />{count[k]}<span class="unseen"> {kinds[k][count[k] === 1 ? 0 : 1]}</span></span>)}
          {!summary.length && "no findings"}
        </button>
      </aside>
    );
  }
  const shown = all.filter(f => (notes.value || f.kind !== "note") && (!ofPanel.value || !f.panel || f.panel === panel.value));
  return (
    <aside class="findings" aria-label="findings">
      <div class="pane-head">
        <h2>{all.length ? "Findings" : "No findings"}</h2>
        <button onClick={() => (open.value = false)} aria-expanded="true" aria-label="hide findings">hide</button>
      </div>
      <div class="pane-filter">
        {panels.value.length > 1 && <label><input type="checkbox" checked={ofPanel.value} onChange={e => (ofPanel.value = e.currentTarget.checked)} /> of this panel alone</label>}
        {count.note > 0 && <label><input type="checkbox" checked={notes.value} onChange={e => (notes.value = e.currentTarget.checked)} /> {told("note", count.note)} too</label>}
      </div>
      {shown.length === 0 && <p class="quiet">{all.length ? "Nothing here needs you." : made.value ? "Drawing, light, boards and currents are as they should be." : ""}</p>}
      {grouped(shown).map(([name, list]) => (
        <section key={name}>
          <h3>{name || "the whole console"}</h3>
          <ol>{list.map(l => (l.length > 1 ? <Alike key={l[0].number} list={l} /> : <Finding key={l[0].number} f={l[0]} />))}</ol>
        </section>
      ))}
    </aside>
  );
}

const told = (kind, n) => `${n} ${kinds[kind][n === 1 ? 0 : 1]}`;

const several = "several panels";
const fold = 3; // findings that tell the same, from which on they are folded

// grouped sorts findings into sections, a panel's each, and into lists: alone, or those alike.
function grouped(list) {
  const by = new Map();
  for (const f of list) {
    const own = f.question || f.changes?.length || f.places?.some(p => p.changes) ? f.number : ""; // what has buttons is seen
    const key = [f.code, f.kind, f.clicks ?? f.advice ?? "", own].join("|");
    by.set(key, [...(by.get(key) ?? []), f]);
  }
  const lists = [...by.values()].flatMap(l => (l.length < fold ? l.map(f => [f]) : [l]));
  const out = new Map([["", []], [several, []], ...panels.value.map(p => [p.name, []])]);
  for (const l of lists.sort((a, b) => a[0].number - b[0].number)) {
    const name = l.every(f => f.panel === l[0].panel) ? l[0].panel ?? "" : several;
    out.set(name, [...(out.get(name) ?? []), l]);
  }
  return [...out].filter(([, l]) => l.length);
}

// Alike are findings that tell the same of several things: one, until it is opened.
function Alike({ list }) {
  const [open, setOpen] = useState(false);
  const [first] = list, at = place.value?.finding.number, names = [...new Set(list.map(f => f.panel).filter(Boolean))];
  useEffect(() => { if (list.some(f => f.number === at)) setOpen(true); }, [place.value?.turn]);
  return (
    <li class="finding alike">
      <button class="go" aria-expanded={open} onClick={() => setOpen(!open)}>
        <span class="head"><Kind kind={first.kind} /><b>{told(first.kind, list.length)}</b> alike<span class="turn" aria-hidden="true">{open ? "▾" : "▸"}</span></span>
        <span class="text">{sentence(common(list.map(f => f.text)))}</span>
        {names.length > 1 && <span class="of">{names.join(", ")}</span>}
      </button>
      <Advice f={first} />
      {open && <ol>{list.map(f => <Finding key={f.number} f={f} brief />)}</ol>}
    </li>
  );
}

// common is what texts have in common, with dots for what differs.
function common(texts) {
  const all = texts.map(t => t.split(" ")), [one] = all;
  const words = all.every(w => w.length === one.length) ? one.map((w, i) => (all.every(o => o[i] === w) ? w : "…")) : between(all);
  return words.filter((w, i) => w !== "…" || words[i - 1] !== "…").join(" ");
}

function between(all) {
  const [one] = all, least = Math.min(...all.map(w => w.length));
  let a = 0, b = 0;
  while (a < least && all.every(w => w[a] === one[a])) a++;
  while (b < least - a && all.every(w => w[w.length - 1 - b] === one[one.length - 1 - b])) b++;
  return [...one.slice(0, a), "…", ...one.slice(one.length - b)];
}

const Advice = ({ f }) => (f.clicks ?? f.advice) && <p class="advice">{sentence(f.clicks ?? f.advice)}</p>;

// Finding is one of them; brief, among those alike, it has a panel's name instead of the advice.
function Finding({ f, brief }) {
  const at = place.value?.finding.number === f.number, row = useRef();
  useEffect(() => { if (at) row.current.scrollIntoView({ block: "nearest" }); }, [at, place.value?.turn]);
  const answered = f.question?.choices.some(c => c.changes); // by its buttons
  return (
    <li class={"finding" + (at ? " at" : "")} ref={row}>
      <button class="go" onClick={() => go(f)} aria-current={at ? "true" : undefined}>
        <span class="head"><Kind kind={f.kind} /><b>{(brief && f.panel) || kinds[f.kind][0]}</b><span class="number">{f.number}</span></span>
        <span class="text">{sentence(f.text)}</span>
      </button>
      {!brief && !answered && <Advice f={f} />}
      {f.question && (
        <div class="changes" role="group" aria-label={`what ${f.question.things} are`}>
          {f.question.choices.map((c, i) => (
            <button key={i} disabled={!c.changes} onClick={() => edit(c.changes)}>
              <RoleMark role={c.role} /><span>{c.words}{c.role === f.question.assumed && i === 0 ? ", as taken now" : ""}</span>
            </button>
          ))}
        </div>
      )}
      {f.changes?.length > 0 && (
        <div class="changes">
          {f.changes.map((c, i) => <button key={i} onClick={() => edit([c])}>{c.words}</button>)}
        </div>
      )}
      {f.places?.filter(p => p.changes).slice(0, 12).map((p, k) => (
        <div key={k} class="changes" role="group" aria-label={p.text}>
          <p class="advice">{sentence(p.text)}</p>
          {p.changes.map((c, i) => <button key={i} onClick={() => edit([c])}>{c.words}</button>)}
        </div>
      ))}
    </li>
  );
}

const sentence = s => (s ? s[0].toUpperCase() + s.slice(1) + (/[.?!]$/.test(s) ? "" : ".") : "");

// InTheWay is shown where a view has nothing to show: what is missing, and the errors that are why.
export function InTheWay({ words }) {
  const errors = findings.value.filter(f => f.kind === "error" && (!f.panel || f.panel === panel.value));
  return (
    <div class="in-the-way">
      <p>{words}{errors.length > 0 && " This is in its way:"}</p>
      <ul>{errors.map(f => <li key={f.number}><button onClick={() => go(f)}><Kind kind={f.kind} /><span>{sentence(f.text)}</span></button></li>)}</ul>
    </div>
  );
}

let turns = 0;

// go shows a finding's place in the view that it is about.
export function go(f) {
  if (f.panel && panels.value.some(p => p.name === f.panel)) panel.value = f.panel;
  view.value = viewOf(f);
  if (!wide.matches) open.value = false;
  place.value = { finding: f, turn: ++turns };
}

// viewOf is the view that a finding is about, by the stage that its code begins with.
export function viewOf(f) {
  const stage = f.code.split("-")[0];
  if (f.file?.endsWith(".yaml") || stage === "project") return "files";
  if (f.part || f.net || ["board", "place", "route", "fill", "shape", "check"].includes(stage)) return "boards";
  if (["light", "stray", "bright", "glow"].includes(stage)) return "light";
  if (["supply", "chain", "feed", "group", "string", "fuse"].includes(stage)) return "currents";
  return "drawing";
}
