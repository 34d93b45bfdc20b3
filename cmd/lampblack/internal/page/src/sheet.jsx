// The drawing itself: each thing in its role's colour, line and mark, to be pointed at, chosen one by one or by a frame.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { place, reading } from "./at.js";
import { choose, chosen, nextThing, pointed, thingAt, things, told, within, would } from "./chosen.js";
import { findings } from "./findings.jsx";
import { kinds } from "./marks.jsx";
import { order, roleOf } from "./roles.js";
import { useView } from "./view.js";

const reach = 6; // pixels beside a line that still point at it
const apart = 4; // pixels that a pointer moves before it drags
const many = 5000; // things, from which on small ones are drawn plainly

// hands are what one pointer does on the sheet.
export const hands = { choose: "choose", move: "move the sheet" };

export function Sheet({ read, focus, hand, pin }) {
  const list = read.things;
  const view = useView(focus, read.drawing + focus.join());
  const { pixel, at, props } = view;
  const [frame, setFrame] = useState(null); // {from, to} in mm
  const held = useRef({ pointers: new Set(), from: null, space: false });
  const live = useRef();
  live.current = { list, view, pixel };

  // A finding that is looked at is gone to.
  useEffect(() => {
    const spot = place.value && spotOf(place.value.finding);
    if (spot) view.near(spot);
  }, [place.value?.turn]);

  const begin = e => {
    const h = held.current;
    h.pointers.add(e.pointerId);
    if (h.pointers.size > 1) setFrame((h.from = null)); // the first finger has been let go by the view already or pans with this one
    const mine = hand === "choose" && !h.space && e.button === 0 && h.pointers.size === 1;
    h.start = [e.clientX, e.clientY];
    h.from = e.button === 0 && h.pointers.size === 1 ? at(e) : null;
    h.frames = mine && e.pointerType !== "touch";
    if (h.frames) e.currentTarget.setPointerCapture(e.pointerId);
    else props.onPointerDown(e);
  };
  const move = e => {
    const h = held.current;
    if (h.from && h.frames && (frame || far(h.start, e) > apart)) setFrame({ from: h.from, to: at(e) });
    else if (!h.pointers.size && e.pointerType === "mouse") point(thingAt(list, at(e), reach * pixel));
    if (!h.frames) props.onPointerMove(e);
  };
  const end = e => {
    const h = held.current, more = e.shiftKey || e.ctrlKey || e.metaKey;
    h.pointers.delete(e.pointerId);
    props.onPointerUp(e);
    if (h.from && h.frames && frame) choose(within(list, frame.from, at(e)).map(t => t.id), more);
    else if (h.from && far(h.start, e) <= apart && e.type === "pointerup") {
      const t = thingAt(list, at(e), (e.pointerType === "touch" ? 2 : 1) * reach * pixel);
      point(t);
      choose(t ? [t.id] : [], more && t);
    }
    setFrame((h.from = null));
    h.frames = false;
  };
  const key = e => {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    if (ways[e.key] && !e.shiftKey && !e.ctrlKey && !e.altKey && !e.metaKey) {
      const next = nextThing(list, pointed.value, ways[e.key]);
      if (next) {
        point(next);
        if (!seen(props.viewBox, next.box)) view.near([(next.box[0] + next.box[2]) / 2, (next.box[1] + next.box[3]) / 2]);
      }
    } else if ((e.key === "Enter" || e.key === " ") && pointed.value) choose([pointed.value.id], e.shiftKey || e.ctrlKey);
    else if (e.key === "Escape") { choose([]); point(null); }
    else if (e.key.toLowerCase() === "a" && (e.ctrlKey || e.metaKey)) choose(list.map(t => t.id));
    else { if (e.key === " ") held.current.space = true; return props.onKeyDown(e); }
    e.preventDefault();
  };

  // Of very many things, those that are smaller than a few pixels are drawn as boxes, anew at each doubling.
  const coarse = list.length > many ? 2 ** Math.ceil(Math.log2(3 * pixel)) : 0;
  const drawn = useMemo(() => <Layers read={read} coarse={coarse} />, [read, coarse]);
  const picked = [...chosen.value].map(id => things.value.get(id)).filter(Boolean);
  const changing = would.value?.things.map(id => things.value.get(id)).filter(Boolean) ?? [];
  const here = pointed.value;
  return (
    <div class={"sheet " + hand}>
      <svg class="base" viewBox={props.viewBox} aria-hidden="true"><g transform="scale(1 -1)">{drawn}</g></svg>
      <svg {...props} role="application" aria-label={`drawing ${read.drawing}`} aria-describedby="sheet-keys"
        onPointerDown={begin} onPointerMove={move} onPointerUp={end} onPointerCancel={end} onKeyDown={key} onKeyUp={e => e.key === " " && (held.current.space = false)}
        onPointerLeave={() => !held.current.pointers.size && point(null)}>
        <g transform="scale(1 -1)">
          {changing.length > 0 && <path class="would" style={{ color: roleOf(would.value.role).colour }} d={joined(changing)} />}
          {picked.length > 0 && <path class="chosen" d={joined(picked.filter(t => t.id[0] !== "t"))} />}
          {picked.length > 0 && <path class="chosen text" d={joined(picked.filter(t => t.id[0] === "t"))} />}
          {here && <path class="pointed" d={here.d} />}
          {frame && <path class="frame" d={`M${frame.from}H${frame.to[0]}V${frame.to[1]}H${frame.from[0]}Z`} />}
        </g>
        {pin && <Pins pixel={pixel} />}
      </svg>
      <div class="zoom">
        <button onClick={() => view.zoom(1.4)} aria-label="nearer" title="nearer (+)">+</button>
        <button onClick={() => view.zoom(1 / 1.4)} aria-label="farther" title="farther (−)">−</button>
        <button onClick={view.fit} aria-label="the whole panel" title="the whole panel (0)">⤢</button>
      </div>
      <p class="under" aria-live="polite">{here ? `${here.what}: ${roleOf(here.role).word}; on layer ${here.layer}` : ""}</p>
      <p class="unseen" id="sheet-keys">Arrows go from thing to thing, Enter chooses, Shift and Enter choose more, plus and minus enlarge, Shift and arrows move the sheet, 0 shows all.</p>
    </div>
  );
}

const point = t => { if (pointed.value !== t) pointed.value = t; };
const far = (from, e) => Math.hypot(e.clientX - from[0], e.clientY - from[1]);
const joined = list => list.map(t => t.d).join("");

function seen(viewBox, [x0, y0, x1, y1]) {
  const [x, y, w, h] = viewBox.split(" ").map(Number);
  return x0 >= x && x1 <= x + w && -y1 >= y && -y0 <= y + h;
}

// Layers are the things, in one path for each role and kind of line: a drawing of many thousand things is a dozen elements.
function Layers({ read, coarse }) {
  const layers = new Map();
  for (const t of read.things) {
    const role = roleOf(t.role).role, kind = t.id[0] === "t" ? "text" : t.id[0] === "o" ? "open" : "loop", name = role + "/" + kind;
    if (!layers.has(name)) layers.set(name, { role, kind, d: [], marks: [] });
    const l = layers.get(name);
    const [x0, y0, x1, y1] = t.box, small = Math.max(x1 - x0, y1 - y0) < coarse;
    l.d.push(small ? `M${x0} ${y0}H${x1}V${y1}H${x0}Z` : t.d);
    const sign = signs[role];
    if (sign && !small && kind === "loop") l.marks.push(sign(t.box));
  }
  const spots = read.panels.flatMap(p => p.leds.filter(s => s.placed));
  return (
    <>
      <path class="paper" d={read.panels.map(p => p.outline).join("")} />
      {read.panels.map((p, i) => <path key={i} class="room" d={p.rooms.join("")} />)}
      {order.flatMap(role => ["loop", "open", "text"].map(kind => layers.get(role + "/" + kind)).filter(Boolean)).map(l => {
        const r = roleOf(l.role);
        return (
          <g key={l.role + l.kind} class={`thing ${l.kind} role-${l.role || "unknown"}`} style={{ color: r.colour }}>
            <path d={l.d.join("")} stroke-width={l.kind === "text" ? 0.4 : r.wide} stroke-dasharray={l.kind === "text" || coarse ? undefined : r.dash || undefined} />
            {l.marks.length > 0 && <path class="sign" d={l.marks.join("")} />}
          </g>
        );
      })}
      {spots.length > 0 && <path class="placed" d={spots.map(s => ring(s.x, s.y, s.d / 2) + ring(s.x, s.y, s.d / 6)).join("")} />}
    </>
  );
}

const ring = (x, y, r) => `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;
const half = ([x0, y0, x1, y1], k) => [(x0 + x1) / 2, (y0 + y1) / 2, ((x1 - x0) / 2) * k, ((y1 - y0) / 2) * k];

// signs are drawn in closed lines of some roles, so that they are told apart without colour.
const signs = {
  led: b => { const [x, y, w] = half(b, 0.3); return ring(x, y, w); },
  mount: b => { const [x, y, w, h] = half(b, 1.5); return `M${x - w} ${y}h${2 * w}M${x} ${y - h}v${2 * h}`; },
  ignore: b => `M${b[0]} ${b[1]}L${b[2]} ${b[3]}`,
};

const spotOf = f => f.at ?? f.places?.find(p => p.at)?.at ?? f.question?.at?.[0] ?? null;

// Pins stand at the places of findings, with the numbers of the list; where several stand on each other, they are set side by side.
function Pins({ pixel }) {
  const list = findings.value.filter(f => f.kind !== "note" && reading.value && about(f, reading.value));
  const spots = list.flatMap(f => {
    const all = f.question?.at?.length ? f.question.at : f.places?.length ? f.places.map(p => p.at).filter(Boolean) : f.at ? [f.at] : [];
    return all.slice(0, 30).map(at => ({ f, at }));
  });
  const taken = new Set();
  return spots.map(({ f, at: [x, y] }, i) => {
    let row = 0;
    const cell = n => [Math.round(x / pixel / 22) + n, Math.round(y / pixel / 22)].join();
    while (taken.has(cell(row)) && row < 8) row++;
    taken.add(cell(row));
    return (
      <g key={i} data-grab class={"pin " + f.kind + (place.value?.finding.number === f.number ? " at" : "")} aria-hidden="true"
        transform={`translate(${x} ${-y}) scale(${pixel}) translate(${row * 22} 0)`} onClick={() => show(f)}>
        <title>{`${kinds[f.kind][0]} ${f.number}: ${f.text}`}</title>
        <path d="M0 0 -6 -9A11 11 0 1 1 6 -9Z" />
        <text y="-15.5">{f.number}</text>
      </g>
    );
  });
}

const about = (f, r) => f.reading === r.entry || (f.reading === undefined && r.panels.some(p => p.name === f.panel));

let turn = 0;

// show marks a finding in the list and brings it into sight there.
function show(f) {
  place.value = { finding: f, turn: --turn };
}
