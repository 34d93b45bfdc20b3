// Where the program is in the page, no folder stands behind it, and the browser keeps the work: what lies on the desk, its history and the
// contents of both, a moment after each step. The next time that the page is opened it goes on there. Nothing leaves the browser.
import { signal, effect } from "@preact/signals";
import { begin, content, known, past, resumed } from "./desk.js";
import { said } from "./do.js";

const pause = 500; // ms after a step
const most = 100; // steps that are kept

export const keeping = signal(false); // it is at it
export const refused = signal(""); // why the browser keeps nothing

// opened opens the place where it is kept: `work` has the one record {steps, at}, `contents` has bytes by id.
function opened() {
  return new Promise((ok, no) => {
    const r = indexedDB.open("lampblack", 1); // throws in some browsers that refuse
    r.onupgradeneeded = () => ["work", "contents"].forEach(s => r.result.createObjectStore(s));
    r.onsuccess = () => ok(r.result);
    r.onerror = () => no(r.error);
  });
}

const given = r => new Promise((ok, no) => { r.onsuccess = () => ok(r.result); r.onerror = () => no(r.error); });

const ended = t => new Promise((ok, no) => { t.oncomplete = ok; t.onabort = t.onerror = () => no(t.error ?? new Error("the browser broke off")); });

// resume goes on with what is kept, and keeps from then on.
export async function resume() {
  try {
    const db = await opened();
    const last = await taken(db);
    const untouched = past.value.steps.length === 1;
    if (last && untouched) {
      resumed(last);
      said.value = { words: "Your work of last time is here again, with its history." };
    }
    keeping.value = true;
    follow(db);
  } catch (e) {
    refuses(e);
  }
}

// taken is the work that is kept, null where there is none or some of its contents are gone.
async function taken(db) {
  const t = db.transaction(["work", "contents"]), contents = t.objectStore("contents");
  const [last, ids, all] = await Promise.all([given(t.objectStore("work").get("last")), given(contents.getAllKeys()), given(contents.getAll())]);
  if (!last) return null;
  const has = new Set(ids);
  if (!last.steps.every(s => Object.values(s.desk).every(id => has.has(id)))) return null;
  known(ids.map((id, i) => ({ id, bytes: all[i] })));
  return last;
}

// follow keeps each step after a pause, and at once when the page is left.
function follow(db) {
  let later = 0, kept = past.value;
  const keep = () => {
    clearTimeout(later);
    later = 0;
    if (past.value === kept || !keeping.value) return;
    kept = past.value;
    write(db, kept).catch(refuses);
  };
  effect(() => {
    if (past.value === kept) return;
    clearTimeout(later);
    later = setTimeout(keep, pause);
  });
  addEventListener("visibilitychange", () => document.hidden && keep());
}

// write keeps all of it or nothing. What other tabs of this page kept is taken away: the last one wins.
function write(db, { steps, at }) {
  const from = Math.max(0, Math.min(at, steps.length - most)), some = steps.slice(from, from + most);
  const ids = new Set(some.flatMap(s => Object.values(s.desk)));
  const t = db.transaction(["work", "contents"], "readwrite"), work = t.objectStore("work"), contents = t.objectStore("contents");
  if (ids.size) work.put({ steps: some, at: at - from }, "last");
  else work.clear();
  contents.getAllKeys().onsuccess = e => {
    const has = new Set(e.target.result);
    for (const id of has) if (!ids.has(id)) contents.delete(id);
    for (const id of ids) if (!has.has(id) && content(id)) contents.put(content(id), id);
  };
  return ended(t);
}

function refuses(e) {
  keeping.value = false;
  refused.value = e?.name === "QuotaExceededError" ? "it has no room left" : e?.message || "it says no more";
}

// clear takes away what is kept, and what is on the desk with its history.
export const clear = () => begin({});
