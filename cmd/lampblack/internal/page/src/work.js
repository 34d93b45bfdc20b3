// What the engine makes of the desk, as it follows each change: understood at once, built when there is a pause.
import { useEffect } from "preact/hooks";
import { batch, effect, signal } from "@preact/signals";
import { Engine, Stopped, served } from "./engine.js";
import { desk, content, known } from "./desk.js";
import { inPage } from "./workers.js";

const within = inPage();
export const whole = within !== null; // the program is in the page
export const engine = new Engine(within ?? served, content);

export const understood = signal(null); // what `understand` gave last
export const made = signal(null); // what `build` gave last
export const busy = signal(null); // {words, done, total} while something works
export const trouble = signal(""); // what the engine could not do
export const halted = signal(false); // the user stopped the work on the desk as it is

export const looking = signal(0); // how many views show what a build makes only then: pictures, solids, papers
export const later = signal(false); // those of the last build are still to be made

export const silent = signal(0); // seconds since the engine gave a sign of life, once they are many

const long = 8; // seconds: it gives one each second
let heard = 0;
const sign = () => {
  heard = performance.now();
  silent.value = 0; // read nowhere here: who follows the desk would follow it too, and begin anew
};

let stop = null;
const anew = signal(0); // work that was stopped is begun again

// halt ends the work that is going on; again begins it anew.
export function halt() {
  stop?.abort();
  busy.value = null;
  silent.value = 0;
  halted.value = true;
}

export function again() {
  anew.value++;
}

// follow has both follow the desk.
export function follow() {
  effect(() => {
    const files = desk.value;
    anew.value;
    stop?.abort();
    halted.value = false;
    const mine = (stop = new AbortController());
    if (!files["lampblack.yaml"]) return;
    sign();
    const listens = setInterval(() => {
      const s = Math.floor((performance.now() - heard) / 1000);
      silent.value = busy.value && s >= long ? s : 0;
    }, 1000);
    mine.signal.addEventListener("abort", () => clearInterval(listens));
    run(files, mine.signal).catch(e => {
      if (e instanceof Stopped || mine.signal.aborted) return;
      trouble.value = e.message;
      busy.value = null;
    }).finally(() => clearInterval(listens));
  });
}

async function run(files, signal) {
  busy.value = { words: "looking at the drawings", done: 0, total: 0 };
  understood.value = (await engine.ask("understand", { desk: files, signal, sign })).gives;
  trouble.value = "";
  await new Promise(r => setTimeout(r, 400));
  if (signal.aborted) throw new Stopped();
  sign();
  const step = s => (busy.value = { words: s.what, done: s.done, total: s.total });
  for (;;) {
    const all = looking.peek() > 0;
    const { gives } = await engine.ask("build", { desk: files, take: all ? {} : { later: true }, signal, step, sign });
    batch(() => {
      made.value = gives;
      later.value = !all;
      busy.value = null;
    });
    if (all) return;
    await looked(signal);
    busy.value = { words: "making pictures and papers", done: 0, total: 0 };
    sign();
  }
}

// looked waits until somebody looks at what is made only then.
async function looked(signal) {
  let end;
  try {
    await new Promise((go, fail) => {
      signal.addEventListener("abort", () => fail(new Stopped()));
      end = effect(() => {
        if (looking.value > 0) go();
      });
    });
  } finally {
    end();
  }
}

// useAll has a build make everything while a view is shown.
export function useAll() {
  useEffect(() => {
    looking.value++;
    return () => void looking.value--;
  }, []);
}

// fetched returns the bytes of files of the last build, by path.
export async function fetched(path) {
  const f = made.value?.files.find(f => f.path === path);
  if (!f) return null;
  if (!content(f.id)) known((await engine.ask("fetch", { take: { ids: [f.id] } })).files);
  return content(f.id);
}
