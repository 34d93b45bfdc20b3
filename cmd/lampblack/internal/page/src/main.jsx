// The workshop: the page's frame, and the five views of a project in the order in which a builder goes through them.
import "./page.css";
import { render } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { desk, undoable, redoable } from "./desk.js";
import { again, busy, follow, halt, halted, made, silent, trouble, understood, whole } from "./work.js";
import { mode, modes, panel, panels, view, views } from "./at.js";
import { redo, said, undo } from "./do.js";
import { takeDrop } from "./take.js";
import { Beginning, Choose } from "./beginning.jsx";
import { Findings, gravest } from "./findings.jsx";
import { Kind, kinds } from "./marks.jsx";
import { Help } from "./help.jsx";
import { Drawing } from "./drawing.jsx";
import { Light } from "./light.jsx";
import { Boards } from "./boards.jsx";
import { Currents } from "./currents.jsx";
import { Files } from "./files.jsx";
import { Follow } from "./follow.jsx";
import { Kept } from "./kept.jsx";
import { open } from "./home.js";
import { resume } from "./keep.js";

const shown = { drawing: Drawing, light: Light, boards: Boards, currents: Currents, files: Files };

function Workshop() {
  const [over, setOver] = useState(false);
  const [help, setHelp] = useState(false);
  useEffect(() => dropping(setOver), []);
  useEffect(() => keys(() => setHelp(h => !h)), []);
  const begun = desk.value["lampblack.yaml"];
  return (
    <>
      <Head begun={begun} help={() => setHelp(true)} />
      {begun ? <Views /> : <Beginning />}
      {whole ? <Kept /> : <Follow />}
      <Status begun={begun} />
      {help && <Help close={() => setHelp(false)} />}
      {over && <div class="drop-over" aria-hidden="true"><p>Let go: a drawing, a project's folder or its zip</p></div>}
    </>
  );
}

function Views() {
  const View = shown[view.value];
  return (
    <div class="bench">
      {view.value !== "files" && panels.value.length > 1 && <Panels />}
      <main id="main" tabIndex={-1}><View key={view.value} /></main>
      <Findings />
    </div>
  );
}

const modeWords = { system: "system", light: "light", dark: "dark", red: "red night" };

function Head({ begun, help }) {
  return (
    <header>
      <a class="skip" href="#main" onClick={e => { e.preventDefault(); document.getElementById("main")?.focus(); }}>to the work</a>
      <h1>
        <svg viewBox="0 0 20 20" width="20" height="20" aria-hidden="true"><rect x="1" y="1" width="18" height="18" rx="3" /><circle cx="10" cy="10" r="3.4" /></svg>
        <span>{(begun && understood.value?.console) || "Lampblack"}</span>
      </h1>
      {begun && (
        <nav aria-label="views">
          {views.map(v => (
            <button key={v} aria-current={v === view.value ? "page" : undefined} onClick={() => (view.value = v)}>{v}</button>
          ))}
        </nav>
      )}
      <div class="tools">
        {begun && <Choose brief />}
        {(begun || undoable.value || redoable.value) && (
          <>
            <button disabled={!undoable.value} title={undoable.value && `take back: ${undoable.value}`} onClick={undo} aria-label={undoable.value ? `undo ${undoable.value}` : "undo"}><Turn /><span>undo</span>{undoable.value && <small> {undoable.value}</small>}</button>
            <button disabled={!redoable.value} title={redoable.value && `do again: ${redoable.value}`} onClick={redo} aria-label={redoable.value ? `redo ${redoable.value}` : "redo"}><Turn back /><span>redo</span>{redoable.value && <small> {redoable.value}</small>}</button>
          </>
        )}
        <label class="mode">
          <span>look</span>
          <select value={mode.value} onChange={e => (mode.value = e.currentTarget.value)}>
            {modes.map(m => <option key={m} value={m}>{modeWords[m]}</option>)}
          </select>
        </label>
        <button onClick={help} aria-label="help and keys" title="help and keys (?)">?</button>
      </div>
    </header>
  );
}

const Turn = ({ back }) => (
  <svg viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" class="line" style={back && { transform: "scaleX(-1)" }}><path d="M6 3 2 7l4 4M2 7h7a4 4 0 0 1 0 7H7" /></svg>
);

// Panels are all of them; those that want something first are marked. The one that is shown is always in sight.
function Panels() {
  const row = useRef();
  useEffect(() => row.current.querySelector("[aria-pressed=true]")?.scrollIntoView({ block: "nearest", inline: "nearest" }), [panel.value]);
  return (
    <section class="panels" aria-label="panels" ref={row}>
      {panels.value.map(({ name, panel: p }) => {
        const kind = gravest(name);
        return (
          <button key={name} aria-pressed={name === panel.value} onClick={() => (panel.value = name)}>
            <Thumb panel={p} />
            <span>{name}</span>
            {(kind === "error" || kind === "question") && <><Kind kind={kind} /><span class="unseen"> has {kinds[kind][1]}</span></>}
          </button>
        );
      })}
    </section>
  );
}

// Thumb is the panel's outline, small.
function Thumb({ panel }) {
  const box = panel.box;
  if (!panel.outline || !box) return null;
  const [x0, y0, x1, y1] = box, pad = Math.max(x1 - x0, y1 - y0) / 20;
  return (
    <svg class="thumb" viewBox={`${x0 - pad} ${-y1 - pad} ${x1 - x0 + 2 * pad} ${y1 - y0 + 2 * pad}`} aria-hidden="true">
      <g transform="scale(1 -1)"><path d={panel.outline} /><path class="lit" d={panel.lettering} /></g>
    </svg>
  );
}

function Status({ begun }) {
  const b = busy.value, s = said.value;
  return (
    <footer>
      <div class="progress">
        {b && (
          <>
            {b.total > 0 ? <progress aria-label="progress" value={b.done} max={b.total} /> : <progress aria-label="progress" />}
            <span class="what">{b.words}{b.total > 0 ? `, ${b.done} of ${b.total}` : ""}{silent.value > 0 && `; the program gave no sign for ${silent.value} s. You can wait, or stop it: what you made stays.`}</span>
            <button onClick={halt}>stop</button>
          </>
        )}
        {!b && halted.value && <><span class="what">Stopped; what you see may be older than the drawing.</span><button onClick={again}>go on</button></>}
        {!b && !halted.value && begun && trouble.value && <><span class="what">What you see may be older than the drawing.</span><button onClick={again}>try again</button></>}
        {!b && !halted.value && begun && !trouble.value && <span class="what">{ready()}</span>}
      </div>
      <p class={"said" + (trouble.value || s?.wrong ? " wrong" : "")} role="status">{trouble.value || s?.words || ""}</p>
    </footer>
  );
}

function ready() {
  const m = made.value;
  if (!m) return "";
  const n = Math.max(m.result.panels.length, panels.value.length); // the result has none of those that cannot be made
  if (m.result.panels.length === 0) return "No board can be made before the errors are gone.";
  if (m.packs === n) return n === 1 ? "The board is ready to order." : `All ${n} boards are ready to order.`;
  if (n === 1) return "The board cannot be ordered yet.";
  return m.packs === 0 ? `None of the ${n} boards can be ordered yet.` : `${m.packs} of ${n} boards are ready to order.`;
}

// dropping takes what is dropped anywhere; over tells whether something is held over the page.
function dropping(over) {
  let depth = 0;
  const files = e => [...(e.dataTransfer?.types ?? [])].includes("Files");
  const on = {
    dragenter: e => { if (files(e)) { e.preventDefault(); depth++; over(true); } },
    dragover: e => { if (files(e)) e.preventDefault(); },
    dragleave: e => { if (files(e) && --depth <= 0) { depth = 0; over(false); } },
    drop: e => { if (files(e)) { e.preventDefault(); depth = 0; over(false); takeDrop(e.dataTransfer); } },
  };
  for (const [name, f] of Object.entries(on)) addEventListener(name, f);
  return () => { for (const [name, f] of Object.entries(on)) removeEventListener(name, f); };
}

// keys are those that hold in all views.
function keys(help) {
  const on = e => {
    const writing = e.target.closest?.("input, select, textarea, [contenteditable=true], .cm-editor");
    const ctrl = e.ctrlKey || e.metaKey, key = e.key.toLowerCase();
    if (ctrl && !writing && key === "z") (e.shiftKey ? redo : undo)();
    else if (ctrl && !writing && key === "y") redo();
    else if (e.altKey && !ctrl && "12345".includes(e.key) && desk.value["lampblack.yaml"]) view.value = views[e.key - 1];
    else if (!writing && !ctrl && !e.altKey && e.key === "?") help();
    else return;
    e.preventDefault();
  };
  addEventListener("keydown", on);
  return () => removeEventListener("keydown", on);
}

follow();
if (whole) resume();
else open().catch(e => (trouble.value = e.message));
render(<Workshop />, document.getElementById("workshop"));
