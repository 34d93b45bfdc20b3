// The panel in the dark as the light view works on it: its LEDs as they are being moved, and their light, which follows.
import { signal, effect, batch } from "@preact/signals";
import { panel } from "./at.js";
import { desk } from "./desk.js";
import { deed } from "./do.js";
import { engine } from "./work.js";
import { Stopped } from "./engine.js";
import { Ground } from "./lamps.js";

export const unlit = signal(null); // what `unlit` gave of the panel
export const ground = signal(null); // where LEDs may be on it
export const leds = signal([]); // as they are being moved: {id, x, y, kind}
export const picked = signal(new Set()); // their ids
export const lit = signal(null); // what `light` gave last, with its pictures: {…, below, above}
export const before = signal(null); // what it gave before the last move
export const wrong = signal(""); // why there is nothing to see
export const choice = signal({ set: "", day: false }); // which light is seen
export const moving = signal(false); // a drag or keys are at work

let next = 1; // id
let settled = []; // LEDs as the desk has them
let loading = null, asking = false, again = false;

// follow has all that follow desk and panel, as long as the view is shown; it returns what ends that.
export function follow() {
  const ends = [
    effect(() => load(desk.value, panel.value)),
    effect(() => {
      choice.value;
      look();
    }),
  ];
  return () => {
    ends.forEach(end => end());
    loading?.abort();
    finish();
  };
}

async function load(files, name) {
  loading?.abort();
  const mine = (loading = new AbortController());
  if (!files["lampblack.yaml"] || !name) return;
  try {
    const { gives } = await engine.ask("unlit", { desk: files, take: { panel: name }, signal: mine.signal });
    if (mine.signal.aborted) return;
    const old = unlit.value?.panel === gives.panel ? leds.value : [];
    const taken = new Set();
    settled = gives.leds.map(l => {
      // An LED that stays where it was put is the same one, so that what is picked stays so.
      const same = old.find(o => !taken.has(o.id) && (o.kind ?? "") === (l.kind ?? "") && Math.hypot(o.x - l.x, o.y - l.y) < 1e-4);
      if (same) taken.add(same.id);
      return { kind: "", ...l, id: same?.id ?? next++ };
    });
    batch(() => {
      if (unlit.value?.panel !== gives.panel) {
        before.value = lit.value = null;
        picked.value = new Set();
        choice.value = { set: "", day: false };
      }
      wrong.value = "";
      unlit.value = gives;
      ground.value = new Ground(gives.kinds);
      if (!moving.value) {
        leds.value = settled;
        picked.value = new Set([...picked.value].filter(id => settled.some(l => l.id === id)));
      }
    });
    look();
  } catch (e) {
    if (e instanceof Stopped || mine.signal.aborted) return;
    batch(() => {
      wrong.value = e.message;
      unlit.value = lit.value = null;
      leds.value = [];
    });
  }
}

// bare leaves out what is the page's own.
const bare = list => list.map(({ x, y, kind }) => ({ x, y, kind }));

// look asks for the light of the LEDs as they are now: one ask at a time, the last one wins.
async function look() {
  again = true;
  if (asking) return;
  asking = true;
  while (again) {
    again = false;
    const u = unlit.value;
    if (!u) break;
    const [x0, y0, x1, y1] = u.box, scale = Math.min(2, Math.sqrt(400000 / Math.max(1, (x1 - x0) * (y1 - y0))));
    const take = { panel: u.panel, scale, ...choice.value };
    if (leds.value !== settled) take.leds = bare(leds.value);
    try {
      const { gives, files } = await engine.ask("light", { desk: desk.value, take });
      if (unlit.value?.panel !== u.panel) continue;
      const [below, above] = files.map(f => picture(f.bytes, gives.w, gives.h));
      lit.value = { ...gives, below, above };
    } catch (e) {
      if (!again) wrong.value = e.message;
    }
  }
  asking = false;
}

// picture is bytes as something that can be painted.
function picture(bytes, w, h) {
  const c = document.createElement("canvas");
  c.width = w;
  c.height = h;
  c.getContext("2d").putImageData(new ImageData(new Uint8ClampedArray(bytes.buffer, bytes.byteOffset, bytes.length), w, h), 0, 0);
  return c;
}

// put has the LEDs be these while they are moved.
export function put(list) {
  batch(() => {
    if (!moving.value) {
      before.value = lit.value && { figures: lit.value.figures, darkest: lit.value.darkest };
      moving.value = true;
    }
    leds.value = list;
  });
  look();
}

let words = "", later = 0;

// finish ends a move: what was put is one step that can be taken back.
export function finish(said = words) {
  clearTimeout(later);
  words = "";
  if (!moving.value) return;
  moving.value = false;
  const list = leds.value, u = unlit.value;
  if (!u) return;
  deed("leds", { panel: u.panel, leds: bare(list), words: said }).then(done => {
    if (!done && !moving.value && leds.value === list) back();
  });
}

// soon ends it once nothing more comes: keys are pressed several times.
export function soon(said) {
  words = said;
  clearTimeout(later);
  later = setTimeout(finish, 700);
}

// back takes what was put back before it is a step; it reports whether there was any.
export function back() {
  clearTimeout(later);
  const any = moving.value;
  batch(() => {
    moving.value = false;
    leds.value = settled;
  });
  look();
  return any;
}

// fresh returns an id for an LED that is added.
export const fresh = () => next++;
