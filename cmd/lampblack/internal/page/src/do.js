// What is done to the project: each deed asks the engine, and what it answers is one step that can be taken back.
import { signal } from "@preact/signals";
import * as steps from "./desk.js";
import { change, desk, known, redoable, undoable } from "./desk.js";
import { engine } from "./work.js";

// said is what the last deed came to, or why it was refused: {words, wrong}.
export const said = signal(null);

let last = Promise.resolve();

// deed asks what of the desk as it is when all earlier deeds are done, and lays the files of the answer on it. It returns what the engine
// gives, null where it refuses; the page says why. laid are files that lie on the desk already in the ask: {path: id}.
export function deed(what, take, laid = {}) {
  const mine = last.then(async () => {
    try {
      const { gives, files } = await engine.ask(what, { desk: { ...desk.value, ...laid }, take });
      known(files);
      const next = { ...laid };
      for (const path of gives.gone ?? []) next[path] = null;
      for (const f of files) next[f.path] = f.id;
      change(gives.words, next);
      said.value = { words: gives.words };
      return gives;
    } catch (e) {
      said.value = { words: e.message, wrong: true };
      return null;
    }
  });
  last = mine;
  return mine;
}

// undo and redo go a step back and on, and say which.
export function undo() {
  const words = undoable.value;
  steps.undo();
  if (words) said.value = { words: `taken back: ${words}` };
}

export function redo() {
  const words = redoable.value;
  steps.redo();
  if (words) said.value = { words: `done again: ${words}` };
}

// edit makes changes to the project file.
export const edit = changes => deed("edit", { changes });
