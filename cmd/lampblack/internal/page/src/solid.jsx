// The third dimension: the stack of a panel, or the whole console, to be turned, pulled apart and put in the dark.
import { useEffect, useRef, useState } from "preact/hooks";
import { panel, shown as mode } from "./at.js";
import { fetched, later, made, useAll } from "./work.js";
import { Stage } from "./stage.js";

export function Solid() {
  const canvas = useRef(null), stage = useRef(null);
  const [trouble, tell] = useState("");
  const [told, say] = useState(null); // of what is pointed at
  const [apart, pull] = useState(0);
  const [dark, darken] = useState(false);
  const [whole, all] = useState(false);
  const [has, got] = useState(false);
  const id = made.value?.files.find(f => f.path === "console.glb")?.id;

  useAll();
  useEffect(() => {
    try {
      stage.current = new Stage(canvas.current, say);
    } catch {
      tell("This browser shows nothing in three dimensions: it has no WebGL, or it is switched off. Everything else works; the build also writes console.glb, for a viewer of glTF files.");
      return;
    }
    return () => stage.current.end();
  }, []);

  useEffect(() => {
    let gone = false;
    if (stage.current && id) {
      fetched("console.glb")
        .then(bytes => !gone && bytes && stage.current.show(bytes))
        .then(() => !gone && got(true))
        .catch(e => !gone && tell(e.message));
    }
    return () => (gone = true);
  }, [id]);

  useEffect(() => {
    stage.current?.look({ panel: whole ? "" : panel.value, apart, dark, ground: dark ? "#000" : getComputedStyle(document.documentElement).getPropertyValue("--sunk").trim() });
  }, [whole, panel.value, apart, dark, mode.value, has]);

  if (trouble) return <p>{trouble}</p>;
  return (
    <div class="flat solid">
      <div class="stage">
        <canvas
          ref={canvas}
          tabIndex={0}
          role="img"
          aria-label={`${whole ? "the console" : panel.value} in three dimensions; arrow keys turn it, plus and minus bring it nearer and farther`}
        />
      </div>
      <aside class="values" aria-live="polite">
        {!has && <p class="quiet">{made.value ? (id || later.value ? "Fetching the stack …" : "The last build made nothing to show here: its findings say why.") : "The boards are not made yet."}</p>}
        <label>
          pull apart <input type="range" min="0" max="1" step="0.01" value={apart} onInput={e => pull(+e.target.value)} />
        </label>
        <label>
          <input type="checkbox" checked={dark} onChange={e => darken(e.target.checked)} />
          in the dark
        </label>
        <label>
          <input type="checkbox" checked={whole} onChange={e => all(e.target.checked)} />
          the whole console
        </label>
        <div class="zooms">
          <button onClick={() => stage.current?.from("front")}>front</button>
          <button onClick={() => stage.current?.from("back")}>back</button>
          <button onClick={() => stage.current?.from("side")}>edge</button>
          <button onClick={() => stage.current?.from("aslant")}>aslant</button>
        </div>
        {told ? <Told of={told} /> : <p class="quiet">Point at a thing: what it is stands here. Drag to turn, drag with the right button or two fingers to move, turn the wheel or pinch to come nearer.</p>}
      </aside>
    </div>
  );
}

function Told({ of }) {
  return (
    <>
      <h3>{of.designator || of.name}</h3>
      <p>{[of.kind !== of.name && of.kind, of.value, of.net && `net ${of.net}`, of.side].filter(Boolean).join(", ")}</p>
      {of.pins && <p class="quiet">{of.pins.map(p => `pin ${p.pin}${p.function ? ` (${p.function})` : ""}: ${p.net}`).join("; ")}</p>}
      {of.depths_mm && (
        <p class="quiet">
          {of.depths_mm.from.toFixed(2)} to {of.depths_mm.to.toFixed(2)} mm behind the front
        </p>
      )}
    </>
  );
}
