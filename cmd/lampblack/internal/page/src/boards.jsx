// The boards of a panel: from front, from behind, through, and in the third dimension. What is pointed at lights up with all of its net,
// and its values stand beside it.
import "./boards.css";
import { useEffect, useMemo, useState } from "preact/hooks";
import { panel, result } from "./at.js";
import { desk } from "./desk.js";
import { InTheWay } from "./findings.jsx";
import { engine, made } from "./work.js";
import { useView } from "./view.js";
import { Solid } from "./solid.jsx";

const sides = [
  { name: "front", words: "front, the LEDs' side" },
  { name: "back", words: "back, as seen from behind" },
  { name: "through", words: "through, both sides" },
  { name: "solid", words: "in three dimensions" },
];

// useBoards returns what `board` gives of the panel, once it is built.
function useBoards() {
  const [shown, set] = useState(null);
  const name = panel.value, built = made.value;
  useEffect(() => {
    if (!built || !name) return;
    const stop = new AbortController();
    engine.ask("board", { desk: desk.value, take: { panel: name }, signal: stop.signal }).then(
      a => set(a.gives),
      e => !stop.signal.aborted && set({ panel: name, boards: [], why: "", wrong: e.message }),
    );
    return () => stop.abort();
  }, [built, name]);
  return shown && shown.panel === name ? shown : null;
}

export function Boards() {
  const [side, look] = useState("front");
  const [which, choose] = useState(0);
  const shown = useBoards();
  const board = shown?.boards[Math.min(which, shown.boards.length - 1)];
  return (
    <section class="view boards" aria-label="boards">
      <div class="bar">
        <div role="radiogroup" aria-label="how the board is seen" class="sides">
          {sides.map(s => (
            <label key={s.name} title={s.words}>
              <input type="radio" name="side" checked={side === s.name} onChange={() => look(s.name)} />
              {s.name === "solid" ? "3D" : s.name}
            </label>
          ))}
        </div>
        {shown?.boards.length > 1 && (
          <label>
            board{" "}
            <select value={which} onChange={e => choose(+e.target.value)}>
              {shown.boards.map((b, i) => (
                <option key={b.name} value={i}>
                  {b.name}
                </option>
              ))}
            </select>
          </label>
        )}
      </div>
      {side === "solid" ? (
        <Solid board={board?.name} />
      ) : board ? (
        <Flat key={board.name} board={board} side={side} />
      ) : (
        <Why shown={shown} />
      )}
    </section>
  );
}

// Why there is no board.
function Why({ shown }) {
  if (!shown) return <p class="quiet">{made.value ? "Fetching the board …" : "The board is not made yet."}</p>;
  if (shown.wrong) return <p>{shown.wrong}</p>;
  if (!shown.why) return <p class="quiet">This panel has no LEDs, and so no board.</p>;
  return <InTheWay words="There is no board yet." />;
}

const nothing = { net: -1, part: "" };

// Flat is one board on the plane.
function Flat({ board, side }) {
  const [held, hold] = useState(nothing); // what was clicked or chosen
  const [over, point] = useState(nothing); // what the pointer is over
  const at = over.net >= 0 || over.part ? over : held;
  const back = side === "back";
  const [x0, y0, x1, y1] = board.box;
  const view = useView(back ? [-x1, y0, -x0, y1] : board.box, board.name + back);
  const on = s => side === "through" || s === "both" || s === (back ? "bottom" : "top");
  const part = board.parts.find(p => p.ref === at.part);
  const net = at.net >= 0 ? at.net : -1;
  const lit = n => (n === net ? " lit" : "");
  const layers = back ? ["bottom"] : side === "through" ? ["bottom", "top"] : ["top"];
  const touch = (net, part = "") => ({
    onPointerEnter: e => e.pointerType === "mouse" && point({ net, part }),
    onPointerLeave: e => e.pointerType === "mouse" && point(nothing),
    onClick: () => hold(held.net === net && held.part === part ? nothing : { net, part }),
  });
  const copper = useMemo(
    () =>
      layers.map(s => (
        <g key={s} class={"copper " + s}>
          {board.areas.map((a, i) => a.on === s && <path key={i} class={"area" + lit(a.net)} d={a.path} fill-rule="evenodd" {...touch(a.net)} />)}
          {board.tracks.map((t, i) => t.on === s && <path key={i} class={"track" + lit(t.net)} d={t.path} stroke-width={t.width} {...touch(t.net)} />)}
        </g>
      )),
    [board, side, net, held],
  );
  return (
    <div class="flat">
      <svg {...view.props} class={"board " + side} aria-label={`board ${board.name}, ${sides.find(s => s.name === side).words}`} role="img">
        <g transform={back ? "scale(-1 -1)" : "scale(1 -1)"}>
          <path class="laminate" d={board.outline} fill-rule="evenodd" />
          {copper}
          {layers.map((s, i) => (
            <g key={s} class={"legend " + s}>
              <path d={board.legend[s === "top" ? 0 : 1]} stroke-width={board.pen} />
              <path class="ink" d={board.ink[s === "top" ? 0 : 1]} fill-rule="evenodd" />
            </g>
          ))}
          {board.parts.map(p => (
            <g key={p.ref} class={"part " + p.kind + (p.ref === at.part ? " own" : part && part.string !== undefined && p.string === part.string ? " lit" : "")} style={p.colour && { "--lamp": p.colour }}>
              <path class="body" d={p.body} {...touch(-1, p.ref)} opacity={on(p.on) ? 1 : 0.35} />
              {p.pads.map((q, i) => on(q.on) && <path key={i} class={"pad" + lit(q.net)} d={q.path} {...touch(q.net, p.ref)} />)}
            </g>
          ))}
          {board.vias.map((v, i) => (
            <circle key={i} class={"via" + lit(v.net)} cx={v.at[0]} cy={v.at[1]} r={v.d / 2} {...touch(v.net)} />
          ))}
          {board.parts.flatMap(p => p.pads.map((q, i) => q.drill && <circle key={p.ref + i} class="drill" cx={q.at[0]} cy={q.at[1]} r={q.drill / 2} />))}
          {board.vias.map((v, i) => (
            <circle key={i} class="drill" cx={v.at[0]} cy={v.at[1]} r={v.drill / 2} />
          ))}
          {board.holes.map((h, i) => (
            <circle key={i} class="drill" cx={h.at[0]} cy={h.at[1]} r={h.d / 2} />
          ))}
          <path class="edge" d={board.outline} vector-effect="non-scaling-stroke" />
        </g>
      </svg>
      <Values board={board} part={part} net={net} hold={hold} view={view} />
    </div>
  );
}

// Values says what is pointed at, and has everything that can be, for those who use no pointer.
function Values({ board, part, net, hold, view }) {
  const n = board.nets[net];
  const of = n && board.parts.flatMap(p => p.pads.filter(q => q.net === net).map(q => `${p.ref}.${q.pin}`));
  const string = part?.string !== undefined ? board.strings[part.string] : null;
  const go = ref => {
    const p = board.parts.find(p => p.ref === ref);
    hold({ net: -1, part: ref });
    if (p) view.near(p.at);
  };
  return (
    <aside class="values" aria-live="polite">
      {part && (
        <>
          <h3>{part.ref}</h3>
          <p>{part.words || part.value}</p>
          <table>
            <tbody>
              {part.pads.map(q => (
                <tr key={q.pin}>
                  <th scope="row">pin {q.pin}</th>
                  <td>{volts(board.nets[q.net])}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
      {n && (
        <>
          <h3>{n.name}</h3>
          <p>
            {n.words}
            {n.volts !== undefined && `: ${volts(n)}`}
            {n.amps > 0 && `, at most ${(n.amps * 1000).toFixed(1)} mA`}
          </p>
          <p class="quiet">{of.join(", ")}</p>
        </>
      )}
      {string && (
        <>
          <h3>string {string.name}</h3>
          <p>{string.words}</p>
          <p class="quiet">{string.parts.join(" → ")}</p>
        </>
      )}
      {!part && !n && <p class="quiet">Point at a part or at copper: its net lights up, and its values stand here. Volts are against 0 V, as a meter shows them at the board.</p>}
      <label class="find">
        find a part{" "}
        <select value={part?.ref ?? ""} onChange={e => (e.target.value ? go(e.target.value) : hold(nothing))}>
          <option value="">none</option>
          {board.parts.map(p => (
            <option key={p.ref} value={p.ref}>
              {p.ref}, {p.value}
            </option>
          ))}
        </select>
      </label>
      <label class="find">
        find a net{" "}
        <select value={net} onChange={e => hold({ net: +e.target.value, part: "" })}>
          <option value={-1}>none</option>
          {board.nets.map((n, i) => i > 0 && (
            <option key={n.name} value={i}>
              {n.name}
            </option>
          ))}
        </select>
      </label>
      <div class="zooms">
        <button onClick={() => view.zoom(1.4)} aria-label="larger">+</button>
        <button onClick={() => view.zoom(1 / 1.4)} aria-label="smaller">−</button>
        <button onClick={view.fit}>all of it</button>
      </div>
    </aside>
  );
}

const volts = n => (n?.volts === undefined ? "" : `${n.volts.toFixed(2)} V`);
