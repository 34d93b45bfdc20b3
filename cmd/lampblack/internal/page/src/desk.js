// What the page has: the files of a project as they are now, and as they were, for going back.
import { signal, computed, batch } from "@preact/signals";

const contents = new Map(); // id -> bytes; a content never changes

// content returns the bytes of an id, if the page has them.
export const content = id => contents.get(id);

// known takes contents that came with an answer.
export function known(files) {
  for (const f of files) if (f.id && f.bytes) contents.set(f.id, f.bytes);
}

// fresh gives bytes an id of the page's own.
export function fresh(bytes) {
  const id = "p" + [...crypto.getRandomValues(new Uint8Array(16))].map(b => b.toString(16).padStart(2, "0")).join("");
  contents.set(id, bytes);
  return id;
}

// A step is {desk, words}: the files after it, and what was done.
const steps = signal([{ desk: {}, words: "" }]);
const at = signal(0);

// desk is the files now: ids by path.
export const desk = computed(() => steps.value[at.value].desk);
export const undoable = computed(() => (at.value > 0 ? steps.value[at.value].words : ""));
export const redoable = computed(() => steps.value[at.value + 1]?.words ?? "");

// past is all steps, and the one that the desk is at.
export const past = computed(() => ({ steps: steps.value, at: at.value }));

// resumed goes on with steps that were taken before.
export function resumed(was) {
  batch(() => {
    steps.value = was.steps;
    at.value = was.at;
  });
}

// begin lays other files on the desk, with nothing to go back to.
export const begin = files => resumed({ steps: [{ desk: files, words: "" }], at: 0 });

// change takes a step. files is {path: id}, null for one that goes. Steps that were taken back are gone. A step that goes on with the one
// before, as writing does, is one with it.
export function change(words, files, goesOn) {
  const next = { ...desk.value };
  for (const [path, id] of Object.entries(files)) {
    if (id === null) delete next[path];
    else next[path] = id;
  }
  batch(() => {
    const one = goesOn && at.value > 0 && steps.value[at.value].words === words;
    steps.value = [...steps.value.slice(0, at.value + (one ? 0 : 1)), { desk: next, words }];
    at.value = steps.value.length - 1;
  });
}

export function undo() {
  if (at.value > 0) at.value--;
}

export function redo() {
  if (at.value + 1 < steps.value.length) at.value++;
}
