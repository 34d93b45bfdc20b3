// The folder that the page was opened with, if it was: what lies there, what changes there meanwhile, and what of the desk is not saved.
import { signal, computed, effect } from "@preact/signals";
import { desk, begin, change, content, known } from "./desk.js";
import { Stopped } from "./engine.js";
import { engine } from "./work.js";

export const folder = signal(""); // its name; "" where there is none
export const disk = signal({}); // ids by path, as last seen
export const draft = signal(null); // {desk, stale}, left from last time
export const disputed = signal([]); // paths that changed both here and on disk
export const lost = signal(""); // why the folder is not followed

// same reports whether two ids name the same bytes.
function same(a, b) {
  if (a === b) return true;
  const x = content(a), y = content(b);
  return !!x && !!y && x.length === y.length && x.every((v, i) => v === y[i]);
}

// unsaved are the paths that differ from the disk.
export const unsaved = computed(() => {
  const paths = new Set([...Object.keys(desk.value), ...Object.keys(disk.value)]);
  return folder.value ? [...paths].filter(p => !same(desk.value[p], disk.value[p])).sort() : [];
});

// open begins with the folder, where the engine has one, and follows it.
export async function open() {
  const { gives, files } = await engine.ask("hello");
  if (!gives.follows) return;
  known(files);
  disk.value = gives.disk ?? {};
  begin(gives.desk ?? {});
  if (gives.draft) draft.value = { desk: gives.draft, stale: gives.stale ?? [] };
  folder.value = gives.folder;
  effect(keeping);
  following();
}

let watch = new AbortController(); // ends an ask that knows an older disk than the page

async function following() {
  for (;;) {
    try {
      watch = new AbortController();
      const { gives, files } = await engine.ask("follow", { take: { disk: disk.value }, signal: watch.signal });
      known(files);
      lost.value = "";
      took(gives.disk);
    } catch (e) {
      if (e instanceof Stopped) continue;
      lost.value = e.message;
      await new Promise(r => setTimeout(r, 2000));
    }
  }
}

// took is told what is on disk now: what was not touched here follows, of the rest it is asked.
function took(now) {
  const before = disk.value, takes = {}, asks = [];
  for (const p of new Set([...Object.keys(before), ...Object.keys(now)])) {
    if (same(before[p], now[p]) || same(desk.value[p], now[p])) continue;
    if (!same(desk.value[p], before[p])) asks.push(p);
    else if (now[p]) takes[p] = now[p];
  }
  disk.value = now;
  if (Object.keys(takes).length) change(`${Object.keys(takes).join(", ")} saved in another program`, takes);
  disputed.value = [...new Set([...disputed.value, ...asks])].filter(p => !same(desk.value[p], now[p]));
}

// settle ends a dispute over a file: with the disk's, or with the desk's, which then stays to be saved.
export function settle(path, disks) {
  disputed.value = disputed.value.filter(p => p !== path);
  if (disks) change(`${path} as it is on disk`, { [path]: disk.value[path] ?? null });
}

// save writes the desk into the folder. It returns words for the user.
export async function save() {
  const files = desk.value, writes = unsaved.value.filter(p => files[p]);
  const { gives, files: news } = await engine.ask("save", { desk: files, take: { disk: disk.value } });
  known(news);
  disk.value = gives.disk;
  watch.abort(); // or what is written there next, and is as it was before, would not be seen
  if (!gives.changed) return `Saved: ${writes.join(", ")}.`;
  disputed.value = [...new Set([...disputed.value, ...gives.changed])];
  return "Nothing is saved yet: what is on disk changed meanwhile.";
}

// keeping has a draft beside the project, a second after each change.
let later, kept = false;
function keeping() {
  // Of a file in dispute nothing is seen yet: it will be asked again next time.
  const files = desk.value, seen = { ...disk.value, ...Object.fromEntries(disputed.value.map(p => [p, ""])) }, some = unsaved.value.length > 0;
  clearTimeout(later);
  if (draft.value || (!some && !kept)) return; // what was left from last time stays until it is answered
  later = setTimeout(() => {
    kept = some;
    engine.ask("keep", { desk: some ? files : disk.value, take: { disk: some ? seen : disk.value } }).catch(e => (lost.value = e.message));
  }, 1000);
}

// resume takes up what was left from last time, or does away with it.
export function resume(yes) {
  const d = draft.value;
  kept = true;
  draft.value = null;
  if (!yes) return;
  const files = Object.fromEntries([...new Set([...Object.keys(d.desk), ...Object.keys(desk.value)])].map(p => [p, d.desk[p] ?? null]));
  change("what was not saved last time", files);
  disputed.value = d.stale;
}
