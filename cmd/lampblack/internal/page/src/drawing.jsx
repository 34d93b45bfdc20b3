// The drawing as it was understood: the sheet, what was taken for what and why, and what the drawing is in.
import "./drawing.css";
import { useState } from "preact/hooks";
import { panel, reading } from "./at.js";
import { choose, chosen } from "./chosen.js";
import { edit } from "./do.js";
import { InTheWay } from "./findings.jsx";
import { RoleMark } from "./marks.jsx";
import { order, roleOf } from "./roles.js";
import { Say } from "./say.jsx";
import { understood } from "./work.js";
import { Sheet, hands } from "./sheet.jsx";

export function Drawing() {
  const read = reading.value;
  const [hand, setHand] = useState("choose");
  const [pins, setPins] = useState(true);
  const [all, setAll] = useState(false);
  if (understood.value && !read) return <section class="view" aria-label="drawing"><InTheWay words="There is no panel to show." /></section>;
  if (!read?.things) return <p class="view quiet">Looking at the drawings …</p>;
  const own = read.panels.find(p => p.name === panel.value);
  const focus = !all && own ? own.box : read.extents;
  return (
    <div class="drawing">
      <div class="board-of-sheet">
        <div class="sheet-tools">
          <div role="group" aria-label="a drag on the sheet does">
            {Object.entries(hands).map(([h, words]) => <button key={h} aria-pressed={hand === h} onClick={() => setHand(h)}>{words}</button>)}
          </div>
          <label><input type="checkbox" checked={pins} onChange={e => setPins(e.currentTarget.checked)} /> findings</label>
          {own && differs(own.box, read.extents) && <label><input type="checkbox" checked={all} onChange={e => setAll(e.currentTarget.checked)} /> all that is drawn</label>}
        </div>
        <Sheet read={read} focus={focus} hand={hand} pin={pins} />
        <Say read={read} />
      </div>
      <Taken read={read} />
    </div>
  );
}

const differs = (a, b) => a.some((v, i) => Math.abs(v - b[i]) > 0.5);

// Taken is what was taken for what: legend, and a way to choose without a pointer.
function Taken({ read }) {
  const known = new Set(read.groups.flatMap(g => g.things));
  const rest = read.things.filter(t => !known.has(t.id) && !t.role);
  const groups = [...read.groups].sort((a, b) => order.indexOf(roleOf(a.role).role) - order.indexOf(roleOf(b.role).role));
  const placed = read.panels.reduce((n, p) => n + p.leds.filter(l => l.placed).length, 0);
  return (
    <section class="taken" aria-label="what was understood">
      <h2>As understood</h2>
      <ul>
        {groups.map((g, i) => <Group key={i} g={g} />)}
        {rest.length > 0 && <Group g={{ words: rest.length === 1 ? rest[0].what : `${rest.length} more things`, role: "", as: "", why: [], things: rest.map(t => t.id) }} />}
        {placed > 0 && <li class="group"><p><RoleMark role="led" /><span><b>{placed} {placed === 1 ? "LED" : "LEDs"}</b> placed under the lettering: none is drawn</span></p></li>}
        {read.panels.some(p => p.rooms.length) && <li class="group"><p><RoleMark role="body" /><span><b>room behind openings</b> kept free of the board</span></p></li>}
      </ul>
      <Facts read={read} />
    </section>
  );
}

function Group({ g }) {
  const on = g.things.length > 0 && g.things.every(id => chosen.value.has(id)) && chosen.value.size === g.things.length;
  return (
    <li class="group">
      <button aria-pressed={on} onClick={e => choose(on ? [] : g.things, e.shiftKey)}>
        <RoleMark role={g.role} />
        <span><b>{roleOf(g.role).short}</b> {g.words}</span>
      </button>
      {g.doubt && <p class="doubt"><span aria-hidden="true">? </span>{g.doubt}</p>}
      {g.why.length > 0 && <details><summary>why</summary><ul class="why">{g.why.map((w, i) => <li key={i}>{w}</li>)}</ul></details>}
    </li>
  );
}

const units = { mm: "millimetres", cm: "centimetres", m: "metres", inch: "inches", mil: "mils", ft: "feet" };

// Facts are what holds for the drawing as a whole.
function Facts({ read }) {
  const set = (key, value, words) => edit([{ words, at: `panels.${read.name}.${key}`, set: value }]);
  const u = read.units;
  const room = /\+ *([\d.]+)/.exec(read.room)?.[1];
  const behind = v => set("room", v === "none" ? "none" : `openings + ${v} mm`, v === "none" ? `nothing sits behind openings of ${read.name}` : `keep ${v} mm behind openings of ${read.name} free`);
  return (
    <section class="facts" aria-label="the drawing">
      <h3>{read.drawing}</h3>
      <label>drawn in
        <select value={u.name} onChange={e => set("units", e.currentTarget.value, `${read.name} is drawn in ${units[e.currentTarget.value]}`)}>
          {!(u.name in units) && <option value={u.name}>{u.name || "not known"}</option>}
          {Object.entries(units).map(([name, words]) => <option key={name} value={name}>{words}</option>)}
        </select>
      </label>
      {u.assumed && <p class="quiet">{u.why || "The drawing does not say; this was assumed."}</p>}
      <label>gaps are closed up to
        <span class="with-unit"><input type="number" min="0.001" max="4" step="any" value={read.join_mm}
          onChange={e => e.currentTarget.checkValidity() && e.currentTarget.value && set("join", `${e.currentTarget.value} mm`, `close gaps up to ${e.currentTarget.value} mm in ${read.name}`)} /> mm</span>
      </label>
      <label>LEDs are
        <select value={read.led} onChange={e => set("led", e.currentTarget.value, `LEDs of ${read.name} are ${e.currentTarget.value}`)}>
          {!read.led && <option value="">of kinds by rules</option>}
          {(understood.value?.kinds ?? []).map(k => <option key={k} value={k}>{k}</option>)}
        </select>
      </label>
      <label>behind openings
        <select value={room ? "all" : read.room} onChange={e => {
          const v = e.currentTarget.value;
          if (v === "") edit([{ words: `room behind openings of ${read.name} as common parts want`, at: `panels.${read.name}.room`, remove: true }]);
          else behind(v === "all" ? "3" : "none");
        }}>
          <option value="">room as common parts want</option>
          <option value="all">the same room everywhere</option>
          <option value="none">nothing: no room</option>
          {read.room === "rules" && <option value="rules">room by rules</option>}
        </select>
      </label>
      {room && (
        <label>room beyond their edges
          <span class="with-unit"><input type="number" min="0.5" max="50" step="0.5" value={room} onChange={e => e.currentTarget.checkValidity() && +e.currentTarget.value && behind(String(+e.currentTarget.value))} /> mm</span>
        </label>
      )}
      <p class="quiet">One opening or some LEDs otherwise, a part that stands behind the panel, a board of its own: choose it in the drawing.</p>
    </section>
  );
}
