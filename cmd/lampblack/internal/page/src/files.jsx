// The files to take away, and the project's file as text.
import "./files.css";
import { useState } from "preact/hooks";
import { content, desk } from "./desk.js";
import { engine, fetched, later, made, useAll } from "./work.js";
import { panels, place } from "./at.js";
import { said } from "./do.js";
import { anew } from "./take.js";
import { Picture, typeOf } from "./picture.jsx";
import { Text } from "./text.jsx";

const parts = { take: "to take away", text: "the project as text" };

export function Files() {
  const [part, setPart] = useState(place.value?.finding.file?.endsWith(".yaml") ? "text" : "take");
  return (
    <section class="files" aria-label="files">
      <div class="sheet-tools">
        <div role="group" aria-label="files or text">
          {Object.entries(parts).map(([p, words]) => <button key={p} aria-pressed={part === p} onClick={() => setPart(p)}>{words}</button>)}
        </div>
      </div>
      {part === "take" ? <Take /> : <Text />}
    </section>
  );
}

function Take() {
  useAll();
  const m = made.value;
  const [busy, setBusy] = useState("");
  const [seen, see] = useState("");
  const zip = async what => {
    setBusy(what);
    try {
      const { files } = await engine.ask("zip", { desk: desk.value, take: { what }, way: what === "project" ? "take" : "zip" }); // the project waits for no build
      save(files[0].path, files[0].bytes);
      said.value = { words: `${files[0].path} is with your browser's downloads.` };
    } catch (e) {
      said.value = { words: e.message, wrong: true };
    }
    setBusy("");
  };
  const folders = m ? foldersOf(m.files) : [];
  return (
    <div class="take">
      <div class="take-all">
        <button class="first" disabled={!m?.files.length || busy !== ""} onClick={() => zip("all")}>{busy === "all" ? "Packing …" : "Take everything as one zip"}</button>
        <button disabled={busy !== ""} onClick={() => zip("project")}>{busy === "project" ? "Packing …" : "Take the project as a zip"}</button>
        <button onClick={anew}>Begin anew</button>
        <p class="quiet">{m && !m.files.length ? "There is nothing to order or to cut yet: the errors must go first. The project can be taken at any time." : m ? "Everything is what the console needs: packs for the board house, sheets for the laser, lists, pictures, report. The project is your drawings and what you said of them." + (later.value ? " Pictures and papers are still being made; they come into this list." : "") : "The boards are being made; the project can be taken at any time."}</p>
      </div>
      <section aria-label="the project">
        <h2>The project</h2>
        <ul>
          {Object.keys(desk.value).sort().map(path => (
            <li key={path}>
              <div class="file">
                <button class="name" onClick={() => save(path.slice(path.lastIndexOf("/") + 1), content(desk.value[path]))} aria-label={`take ${path}`} title="take it"><Down />{path}</button>
                <span class="what" />
                <span class="size">{size(content(desk.value[path])?.length ?? 0)}</span>
              </div>
            </li>
          ))}
        </ul>
      </section>
      {folders.map(([name, files]) => (
        <section key={name} aria-label={name || "the whole console"}>
          <h2>{name || "The whole console"}</h2>
          <ul>{files.filter(f => !f.path.includes("/fab/")).map(f => <File key={f.path} f={f} pack={files} seen={seen} see={see} />)}</ul>
        </section>
      ))}
    </div>
  );
}

function File({ f, pack, seen, see }) {
  const name = f.path.slice(f.path.lastIndexOf("/") + 1), shown = seen === f.path;
  const inside = name.endsWith("-fab.zip") ? pack.filter(g => g.path.includes("/fab/")) : [];
  return (
    <li class={inside.length ? "pack" : undefined}>
      <div class="file">
        <button class="name" onClick={() => take(f)} aria-label={`take ${name}`} title="take it"><Down />{name}</button>
        <span class="what">{f.what}</span>
        <span class="size">{size(f.size)}</span>
        {typeOf(f.path) && <button class="look" aria-expanded={shown} aria-label={shown ? `hide ${name}` : `look at ${name}`} onClick={() => see(shown ? "" : f.path)}>{shown ? "hide" : "look"}</button>}
      </div>
      {inside.length > 0 && (
        <details>
          <summary>{inside.length} files are in it</summary>
          <ul>{inside.map(g => <File key={g.path} f={g} pack={[]} seen={seen} see={see} />)}</ul>
        </details>
      )}
      {shown && <div class="shown"><Picture path={f.path} words={`${name}: ${f.what}`} /></div>}
    </li>
  );
}

const Down = () => <svg class="line" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true"><path d="M8 2v8M4.5 7 8 10.5 11.5 7M3 14h10" /></svg>;

const size = n => (n < 1000 ? `${n} bytes` : n < 1e6 ? `${Math.round(n / 1e3)} kB` : `${(n / 1e6).toFixed(1)} MB`);

// foldersOf groups files: those of the whole console, then each folder's, in the panels' order.
function foldersOf(files) {
  const out = new Map([["", []], ...panels.value.map(p => [p.name, []])]);
  for (const f of files) {
    const name = f.path.includes("/") ? f.path.slice(0, f.path.indexOf("/")) : "";
    if (!out.has(name)) out.set(name, []);
    out.get(name).push(f);
  }
  return [...out].filter(([, list]) => list.length);
}

async function take(f) {
  try {
    const bytes = await fetched(f.path);
    if (bytes) save(f.path.slice(f.path.lastIndexOf("/") + 1), bytes);
  } catch (e) {
    said.value = { words: e.message, wrong: true };
  }
}

// save hands bytes to the browser's downloads.
function save(name, bytes) {
  const a = document.createElement("a");
  a.href = URL.createObjectURL(new Blob([bytes]));
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 10_000);
}
