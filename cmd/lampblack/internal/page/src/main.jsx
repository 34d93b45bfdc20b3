// The workshop: the page's frame, and the five views of a project in the order in which a builder goes through them.
import "./page.css";
import { render } from "preact";
import { useState } from "preact/hooks";
import { begin, desk, known, undo, redo, undoable, redoable } from "./desk.js";
import { busy, engine, follow, made, trouble, understood } from "./work.js";

const views = ["drawing", "light", "boards", "currents", "files"];

function Workshop() {
  const [view, show] = useState("drawing");
  if (!desk.value["lampblack.yaml"]) return <Beginning />;
  return (
    <>
      <header>
        <h1>{understood.value?.console ?? "Lampblack"}</h1>
        <nav aria-label="views">
          {views.map(v => (
            <button key={v} aria-current={v === view ? "page" : undefined} onClick={() => show(v)}>
              {v}
            </button>
          ))}
        </nav>
        <button disabled={!undoable.value} onClick={undo}>undo</button>
        <button disabled={!redoable.value} onClick={redo}>redo</button>
        <output>{trouble.value || (busy.value ? `${busy.value.words} ${busy.value.done}/${busy.value.total}` : "")}</output>
      </header>
      <main>
        <pre>{JSON.stringify(view === "drawing" ? understood.value : made.value?.result, null, 1)}</pre>
      </main>
    </>
  );
}

function Beginning() {
  const start = async of => {
    const { files } = await engine.ask("start", { take: { of } });
    known(files);
    begin(Object.fromEntries(files.map(f => [f.path, f.id])));
  };
  return (
    <main>
      <h1>Lampblack</h1>
      <button onClick={() => start("observatory")}>the observatory's desk</button>
      <button onClick={() => start("greenhouse")}>the greenhouse's desk</button>
      <button onClick={() => start("empty")}>an empty panel</button>
    </main>
  );
}

follow();
render(<Workshop />, document.getElementById("workshop"));
