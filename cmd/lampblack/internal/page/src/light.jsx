// The panel in the dark: its LEDs are moved by hand and its light follows.
import "./light.css";
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { panel, panels, shown } from "./at.js";
import { change, desk, known } from "./desk.js";
import { said } from "./do.js";
import { InTheWay, gravest } from "./findings.jsx";
import { engine } from "./work.js";
import { Stopped } from "./engine.js";
import { useView } from "./view.js";
import { back, before, choice, finish, follow, fresh, ground, leds, lit, moving, picked, put, soon, unlit, wrong } from "./dark.js";
import { free, inLine, moved, spread, within } from "./lamps.js";

const mm = v => v.toFixed(2).replace(/\.?0+$/, "");
const some = n => (n === 1 ? "an LED" : `${n} LEDs`);

export function Light() {
  useEffect(follow, []);
  useEffect(() => {
    // Going back takes what is not a step yet first.
    const key = e => {
      if ((e.ctrlKey || e.metaKey) && !e.shiftKey && e.key.toLowerCase() === "z" && moving.value && back()) {
        e.preventDefault();
        e.stopPropagation();
      }
    };
    window.addEventListener("keydown", key, true);
    return () => window.removeEventListener("keydown", key, true);
  }, []);
  const u = unlit.value;
  if (wrong.value && !u) return <section class="view" aria-label="light">{gravest(panel.value) === "error" || !panels.value.length ? <InTheWay words="There is no light to show yet." /> : <p role="alert">{wrong.value}</p>}</section>;
  if (!u || u.panel !== panel.value) return <section class="view" aria-label="light"><p class="quiet">setting up the dark …</p></section>;
  return (
    <section class="light" aria-label="light">
      <Plane u={u} />
      <aside class="light-side" aria-label="evenness and placing">
        <Figures />
        <Choices u={u} />
        <Placing u={u} />
      </aside>
    </section>
  );
}

// act does something with the LEDs that is a step by itself.
function act(words, list, pick) {
  finish();
  put(list);
  if (pick) picked.value = new Set(pick);
  finish(words);
}

function remove() {
  const ids = picked.value;
  if (ids.size && ids.size < leds.value.length) act(`${some(ids.size)} deleted`, leds.value.filter(l => !ids.has(l.id)), []);
  else if (ids.size) said.value = { words: "one LED stays at least; a panel that is to have none is told so by place: no", wrong: true };
}

function add(x, y, kind) {
  const l = { ...free(ground.value, leds.value, kind, x, y), kind, id: fresh() };
  act("an LED added", [...leds.value, l], [l.id]);
}

function Plane({ u }) {
  const [framing, setFraming] = useState(false);
  const [frame, setFrame] = useState(null); // of picking: [from, to]
  const [kind, setKind] = useState(u.kinds[0]?.name ?? "");
  const [roomy, setRoomy] = useState(false);
  const [rings, setRings] = useState(true); // LEDs are shown in the picture
  const view = useView(u.box, u.panel);
  const grab = useRef(null), pointer = useRef(null);
  const list = leds.value, ids = picked.value, n = ids.size;
  const amiss = useMemo(() => new Map(list.map(l => [l.id, ground.value.amiss(l, list)])), [list, ground.value]);
  const bad = list.filter(l => amiss.get(l.id));
  const ofKind = u.kinds.some(k => k.name === kind) ? kind : u.kinds[0]?.name ?? "";

  const onLED = (e, l) => {
    if (e.pointerType === "mouse" && e.button) return;
    e.preventDefault();
    e.currentTarget.focus({ preventScroll: true });
    finish();
    const now = new Set(picked.value), more = e.shiftKey || e.ctrlKey || e.metaKey;
    if (more && now.has(l.id)) now.delete(l.id);
    else if (more) now.add(l.id);
    else if (!now.has(l.id)) { now.clear(); now.add(l.id); }
    picked.value = now;
    e.currentTarget.setPointerCapture(e.pointerId);
    grab.current = { id: e.pointerId, from: view.at(e), list: leds.value, ids: now, far: false };
  };
  const onDrag = e => {
    const g = grab.current;
    if (!g || g.id !== e.pointerId) return;
    const [x, y] = view.at(e), dx = x - g.from[0], dy = y - g.from[1];
    if (!g.far && Math.hypot(dx, dy) < 3 * view.pixel) return; // a click is no move
    g.far = true;
    put(moved(g.list, g.ids, dx, dy));
  };
  const onDrop = e => {
    const g = grab.current;
    if (!g || g.id !== e.pointerId) return;
    grab.current = null;
    if (!g.far) return;
    if (e.type === "pointercancel") back();
    else finish(`${some(g.ids.size)} moved`);
  };

  const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  const onKey = (e, l) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (arrows[e.key]) {
      if (!picked.value.has(l.id)) picked.value = new Set([l.id]);
      const step = e.shiftKey ? 0.1 : 0.5, [dx, dy] = arrows[e.key];
      put(moved(leds.value, picked.value, dx * step, dy * step));
      soon(`${some(picked.value.size)} moved`);
    } else if (e.key === " " || e.key === "Enter") {
      const now = new Set(picked.value);
      if (now.has(l.id)) now.delete(l.id);
      else now.add(l.id);
      picked.value = now;
    } else if (e.key === "Delete" || e.key === "Backspace") {
      if (!picked.value.has(l.id)) picked.value = new Set([l.id]);
      remove();
    } else return;
    e.preventDefault();
    e.stopPropagation();
  };
  const addHere = () => {
    const at = pointer.current ?? (n ? list.find(l => ids.has(l.id)) : { x: (u.box[0] + u.box[2]) / 2, y: (u.box[1] + u.box[3]) / 2 });
    add(at.x, at.y, ofKind);
  };

  // The plane's own pointers and keys, before those of the view.
  const props = {
    ...view.props,
    onPointerDown: e => {
      if (!e.target.closest("[data-grab]") && (framing || e.shiftKey) && !(e.pointerType === "mouse" && e.button)) {
        view.props.ref.current.setPointerCapture(e.pointerId);
        setFrame([view.at(e), view.at(e)]);
      } else view.props.onPointerDown(e);
    },
    onPointerMove: e => {
      const [x, y] = view.at(e);
      pointer.current = e.pointerType === "mouse" ? { x, y } : null;
      if (frame) setFrame([frame[0], [x, y]]);
      else view.props.onPointerMove(e);
    },
    onPointerUp: e => {
      if (frame) {
        picked.value = new Set([...(e.shiftKey ? picked.value : []), ...within(list, ...frame)]);
        setFrame(null);
        setFraming(false);
      } else view.props.onPointerUp(e);
    },
    onPointerLeave: () => (pointer.current = null),
    onKeyDown: e => {
      if (!e.ctrlKey && !e.metaKey && !e.altKey) {
        if (e.key === "a" || e.key === "A") { addHere(); e.preventDefault(); return; }
        if (e.key === "Escape") { if (!back()) picked.value = new Set(); return; }
        if (e.key === "Delete") { remove(); return; }
      }
      if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "a") { picked.value = new Set(list.map(l => l.id)); e.preventDefault(); return; }
      view.props.onKeyDown(e);
    },
  };

  const p = view.pixel, [x0, y0, x1, y1] = u.box, far = 3;
  const hatch = 7 * p, showRoom = roomy || moving.value;
  const inMotion = moving.value ? list.filter(l => ids.has(l.id)) : [];
  const darkest = lit.value?.darkest;
  return (
    <div class="light-main">
      <div class="light-tools" role="toolbar" aria-label="LEDs">
        <button onClick={addHere}>add</button>
        {u.kinds.length > 1 && (
          <select aria-label="kind of an LED that is added" value={ofKind} onChange={e => setKind(e.currentTarget.value)}>
            {u.kinds.map(k => <option key={k.name} value={k.name}>{k.words}</option>)}
          </select>
        )}
        <button disabled={!n} onClick={remove}>delete</button>
        <button aria-pressed={framing} onClick={() => setFraming(!framing)}>pick by frame</button>
        <button disabled={n < 2} onClick={() => act(`${n} LEDs in a row`, inLine(list, ids, "y"))}>in a row</button>
        <button disabled={n < 2} onClick={() => act(`${n} LEDs in a column`, inLine(list, ids, "x"))}>in a column</button>
        <button disabled={n < 3} onClick={() => act(`${n} LEDs spread evenly`, spread(list, ids))}>spread evenly</button>
        <span class="light-zoom">
          <button aria-label="nearer" onClick={() => view.zoom(1.4)}>+</button>
          <button aria-label="farther" onClick={() => view.zoom(1 / 1.4)}>−</button>
          <button onClick={view.fit}>all</button>
        </span>
      </div>
      <div class="light-plane">
        <Picture box={props.viewBox} pixel={p} u={u} />
        <svg {...props} role="group" aria-label={`LEDs of ${u.panel}: Tab goes from one to the next, arrows move it`} class={framing ? "framing" : rings ? undefined : "bare"}>
          <defs>
            <pattern id="no-room" width={hatch} height={hatch} patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
              <line x1="0" y1="0" x2="0" y2={hatch} stroke-width={2 * p} />
            </pattern>
          </defs>
          <g transform="scale(1 -1)">
            {showRoom && (
              <path class="no-room" fill-rule="evenodd" pointer-events="none"
                d={`M${x0 - far} ${y0 - far}H${x1 + far}V${y1 + far}H${x0 - far}Z${(u.kinds.find(k => k.name === (inMotion[0]?.kind ?? ofKind)) ?? u.kinds[0])?.room ?? ""}`} />
            )}
            {showRoom && <path class="edge" d={u.outline + u.openings} stroke-width={p} pointer-events="none" />}
            {inMotion.slice(0, 1).map(l => <Near key="near" l={l} list={list} pixel={p} />)}
            {darkest && <path class="darkest" pointer-events="none" d={brackets(darkest.box, 4 * p, 7 * p)} stroke-width={1.4 * p} />}
            {list.map(l => {
              const k = ground.value.kind(l), r = Math.max((k?.d ?? 3) / 2, 4 * p), why = amiss.get(l.id), on = ids.has(l.id);
              return (
                <g key={l.id} data-grab class={`lamp${on ? " on" : ""}${why ? " amiss" : ""}`} transform={`translate(${l.x} ${l.y})`}
                  role="button" tabindex={0} aria-pressed={on}
                  aria-label={`LED at x ${mm(l.x)}, y ${mm(l.y)} mm${u.kinds.length > 1 ? `, ${k?.words}` : ""}${why ? `: ${why}` : ""}`}
                  onPointerDown={e => onLED(e, l)} onPointerMove={onDrag} onPointerUp={onDrop} onPointerCancel={onDrop} onKeyDown={e => onKey(e, l)}>
                  <circle class="target" r={Math.max(r, 12 * p)} />
                  <circle class="halo" r={r} stroke-width={4 * p} />
                  <circle class="ring" r={r} stroke-width={(on ? 2.4 : 1.5) * p} stroke={k?.colour} stroke-dasharray={why ? `${3 * p} ${2 * p}` : undefined} />
                  {on && <circle class="dot" r={Math.min(r * 0.4, 4 * p)} />}
                  {why && <path class="cross" d={`M${-r} ${-r}L${r} ${r}M${-r} ${r}L${r} ${-r}`} stroke-width={1.6 * p} />}
                </g>
              );
            })}
            {frame && <path class="frame" stroke-width={1.3 * p} stroke-dasharray={`${5 * p} ${3 * p}`} d={`M${frame[0]}H${frame[1][0]}V${frame[1][1]}H${frame[0][0]}Z`} />}
          </g>
        </svg>
      </div>
      <p class="light-words">
        <label><input type="checkbox" checked={roomy} onChange={e => setRoomy(e.currentTarget.checked)} />show where LEDs may not be</label>
        <label><input type="checkbox" checked={rings} onChange={e => setRings(e.currentTarget.checked)} />show the LEDs</label>
        <output>{inWords(list, ids, bad, amiss)}</output>
      </p>
    </div>
  );
}

// brackets stand to the left and right of a box, a gap away.
function brackets([x0, y0, x1, y1], gap, foot) {
  const up = y1 + gap, down = y0 - gap, side = (x, to) => `M${x + to} ${up}H${x}V${down}H${x + to}`;
  return side(x0 - gap, foot) + side(x1 + gap, -foot);
}

// inWords tells what is picked and what is amiss.
function inWords(list, ids, bad, amiss) {
  const one = list.find(l => ids.has(l.id)), why = bad.find(l => ids.has(l.id)) ?? bad[0];
  const what = ids.size === 1 ? `LED at x ${mm(one.x)}, y ${mm(one.y)} mm` : ids.size ? `${ids.size} of ${list.length} LEDs picked` : `${list.length} LEDs`;
  return why ? `${what}; ${bad.length === 1 ? "one has" : `${bad.length} have`} ${amiss.get(why.id)}` : what;
}

// Near shows how near other LEDs may come to one that is moved.
function Near({ l, list, pixel }) {
  const k = ground.value.kind(l);
  if (!k) return null;
  return (
    <g class="near" pointer-events="none">
      {list.filter(o => o.id !== l.id && !picked.value.has(o.id) && Math.hypot(o.x - l.x, o.y - l.y) < 3 * k.spacing).map(o => (
        <circle key={o.id} cx={o.x} cy={o.y} r={(k.spacing + ground.value.kind(o).spacing) / 2} stroke-width={1.2 * pixel} stroke-dasharray={`${2 * pixel} ${3 * pixel}`} />
      ))}
    </g>
  );
}

// Picture paints the light below the LEDs: the panel from few pixels, and its lettering through its own outlines.
function Picture({ box, pixel, u }) {
  const ref = useRef(null), letters = useMemo(() => new Path2D(u.lettering), [u.lettering]);
  const l = lit.value;
  useLayoutEffect(() => {
    const c = ref.current, [x, y, w, h] = box.split(" ").map(Number), dense = window.devicePixelRatio || 1;
    c.width = Math.max(1, Math.round((w / pixel) * dense));
    c.height = Math.max(1, Math.round((h / pixel) * dense));
    if (!l?.below) return;
    const ink = c.getContext("2d"), k = dense / pixel, [x0, , x1, y1] = l.box, y0 = l.box[1];
    ink.imageSmoothingQuality = "high";
    ink.setTransform(k, 0, 0, k, -x * k, -y * k); // the viewBox has y down
    ink.drawImage(l.below, x0, -y1, x1 - x0, y1 - y0);
    ink.transform(1, 0, 0, -1, 0, 0);
    ink.clip(letters);
    ink.transform(1, 0, 0, -1, 0, 0);
    ink.drawImage(l.above, x0, -y1, x1 - x0, y1 - y0);
  }, [box, pixel, l, letters]);
  const f = l?.figures;
  return <canvas ref={ref} role="img" aria-label={`${u.panel} lit, ${choice.value.day ? "by day" : "in the dark"}${f ? `: the darkest place of its lettering has ${percent(f.min_to_mean)} of the mean` : ""}`} />;
}

const percent = v => `${(100 * v).toFixed(v < 0.0995 ? 1 : 0)} %`;
const ratio = v => (v > 0 ? `${v > 99 ? v.toFixed(0) : v.toFixed(1)} : 1` : "—");

function Figures() {
  const now = lit.value, was = before.value;
  if (!now) return null;
  const row = (words, of, better) => {
    const a = was && of(was.figures), b = of(now.figures);
    const turn = was && was.figures !== now.figures && better ? better(was.figures, now.figures) : 0;
    return (
      <tr>
        <th scope="row">{words}</th>
        <td class="was">{a ?? ""}</td>
        <td>{b}{turn > 0.002 ? <span class="better" aria-label="better"> ▲</span> : turn < -0.002 ? <span class="worse" aria-label="worse"> ▽</span> : null}</td>
      </tr>
    );
  };
  return (
    <section class="light-figures">
      <h2>Evenness{now.set ? `, ${now.set} LEDs alone` : ""}</h2>
      <table>
        <thead><tr><td /><th scope="col">before</th><th scope="col">now</th></tr></thead>
        <tbody>
          {row("darkest place, of the mean", f => percent(f.min_to_mean), (a, b) => b.min_to_mean - a.min_to_mean)}
          {row("brightest to darkest", f => ratio(f.max_to_min), (a, b) => (a.max_to_min && b.max_to_min ? Math.log(a.max_to_min / b.max_to_min) : 0))}
          {!now.assumed && row("mean, cd/m²", f => f.mean.toPrecision(3))}
          {row("LEDs", f => f.leds)}
        </tbody>
      </table>
      {now.darkest && <p>Darkest: {now.darkest.text} gets {percent(now.darkest.share)} of what the lettering gets on average.</p>}
      {now.assumed && <p class="quiet">How bright these LEDs are is not told, so only ratios mean something.</p>}
      {shown.value === "red" && <p class="quiet">In the red night mode the picture is red too: how bright each place is stays true, colours do not.</p>}
    </section>
  );
}

function Choices({ u }) {
  const c = choice.value;
  return (
    <section>
      <h2>What lights it</h2>
      {u.sets.length > 0 && (
        <label class="field"><span>LEDs that are on</span>
          <select value={c.set || lit.value?.set || ""} onChange={e => (choice.value = { ...c, set: e.currentTarget.value })}>
            {u.sets.map(s => <option key={s} value={s}>{s}</option>)}
          </select>
        </label>
      )}
      <label><input type="checkbox" checked={c.day} onChange={e => (choice.value = { ...c, day: e.currentTarget.checked })} />by daylight</label>
    </section>
  );
}

function Placing({ u }) {
  const [by, setBy] = useState("even"), [even, setEven] = useState(70), [count, setCount] = useState(Math.round(u.leds.length / Math.max(1, u.sets.length)) || 12), [keep, setKeep] = useState(false);
  const [work, setWork] = useState(null); // {stop, done, total}
  const stop = useRef(null);
  useEffect(() => () => stop.current?.abort(), []);
  const go = async e => {
    e.preventDefault();
    finish();
    const mine = (stop.current = new AbortController());
    setWork({ done: 0, total: 0 });
    const was = lit.value;
    try {
      const files = desk.value;
      const take = { panel: u.panel, keep, ...(by === "even" ? { even: even / 100 } : { count: Number(count) }) };
      const a = await engine.ask("place", { desk: files, take, signal: mine.signal, step: s => setWork(s) });
      if (desk.value !== files) throw new Error("the project was changed meanwhile; place the LEDs again");
      before.value = was && { figures: was.figures, darkest: was.darkest };
      known(a.files);
      change(a.gives.words, Object.fromEntries(a.files.map(f => [f.path, f.id])));
      said.value = { words: a.gives.words };
    } catch (e) {
      if (!(e instanceof Stopped)) said.value = { words: e.message, wrong: true };
    }
    setWork(null);
  };
  return (
    <section>
      <h2>Have them placed</h2>
      <form onSubmit={go}>
        <label class="field"><input type="radio" name="by" checked={by === "even"} onChange={() => setBy("even")} /><span>as few as make it even to</span>
          <span><input type="number" aria-label="evenness, per cent" min="5" max="95" step="1" value={even} onInput={e => { setEven(e.currentTarget.value); setBy("even"); }} /> %</span></label>
        <label class="field"><input type="radio" name="by" checked={by === "count"} onChange={() => setBy("count")} /><span>{u.sets.length ? "this many of each set" : "this many"}</span>
          <input type="number" aria-label="how many LEDs" min="1" max="1000" step="1" value={count} onInput={e => { setCount(e.currentTarget.value); setBy("count"); }} /></label>
        <label><input type="checkbox" checked={keep} onChange={e => setKeep(e.currentTarget.checked)} />those there stay</label>
        {work ? (
          <p class="placing"><progress value={work.total ? work.done : undefined} max={work.total || undefined} aria-label="placing LEDs" /> <button type="button" onClick={() => stop.current.abort()}>stop</button></p>
        ) : (
          <button>place</button>
        )}
      </form>
      <p class="quiet">Places count only once a board with them is proven. Your own drawing stays as it is.</p>
    </section>
  );
}
