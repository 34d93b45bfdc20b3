// Which things of the drawing are chosen, which one is pointed at, and which would change by what is offered.
import { computed, effect, signal } from "@preact/signals";
import { reading } from "./at.js";

export const chosen = signal(new Set()); // ids
export const pointed = signal(null); // a thing
export const would = signal(null); // {things: [ids], role} of the offer that is looked at

// things are those of the reading, by id.
export const things = computed(() => new Map((reading.value?.things ?? []).map(t => [t.id, t])));

// What is no longer there is not chosen; another drawing has other things.
let entry = null;
effect(() => {
  const now = things.value, r = reading.value;
  const other = r?.drawing + "/" + r?.entry !== entry;
  entry = r?.drawing + "/" + r?.entry;
  const still = other ? [] : [...chosen.peek()].filter(id => now.has(id));
  if (still.length !== chosen.peek().size) chosen.value = new Set(still);
  pointed.value = other ? null : (now.get(pointed.peek()?.id) ?? null);
  would.value = null;
});

// choose takes ids; more adds to those that are chosen, or takes them off where all are.
export function choose(ids, more) {
  if (!more) return void (chosen.value = new Set(ids));
  const next = new Set(chosen.value), all = ids.every(id => next.has(id));
  for (const id of ids) all ? next.delete(id) : next.add(id);
  chosen.value = next;
}

const pen = document.createElement("canvas").getContext("2d");
const paths = new WeakMap();

function pathOf(thing) {
  let p = paths.get(thing);
  if (!p) paths.set(thing, (p = new Path2D(thing.d)));
  return p;
}

const area = t => (t.box[2] - t.box[0]) * (t.box[3] - t.box[1]);

// thingAt returns the thing at a place: of those whose line is within reach the smallest, else the smallest that it lies in.
export function thingAt(list, [x, y], reach) {
  const near = list.filter(({ box: [x0, y0, x1, y1] }) => x >= x0 - reach && x <= x1 + reach && y >= y0 - reach && y <= y1 + reach);
  near.sort((a, b) => area(a) - area(b));
  pen.lineWidth = 2 * reach;
  return near.find(t => pen.isPointInStroke(pathOf(t), x, y)) ?? near.find(t => t.id[0] !== "o" && pen.isPointInPath(pathOf(t), x, y)) ?? null;
}

// within returns the things that lie in a frame.
export function within(list, [ax, ay], [bx, by]) {
  const x0 = Math.min(ax, bx), y0 = Math.min(ay, by), x1 = Math.max(ax, bx), y1 = Math.max(ay, by);
  return list.filter(({ box: b }) => b[0] >= x0 && b[1] >= y0 && b[2] <= x1 && b[3] <= y1);
}

const middle = ({ box: [x0, y0, x1, y1] }) => [(x0 + x1) / 2, (y0 + y1) / 2];

// nextThing returns the one nearest to a thing in a direction, [dx, dy]; null where there is none. What lies aside counts as farther.
export function nextThing(list, from, [dx, dy]) {
  if (!from) return list[0] ?? null;
  const [x, y] = middle(from);
  let best = null, least = Infinity;
  for (const t of list) {
    const [tx, ty] = middle(t), ahead = (tx - x) * dx + (ty - y) * dy, aside = Math.abs((tx - x) * dy - (ty - y) * dx);
    if (t === from || ahead <= 1e-6 || aside > 2 * ahead) continue;
    const far = ahead + 2 * aside;
    if (far < least) [best, least] = [t, far];
  }
  return best;
}

// told says how many things, and what they are where they are alike.
export function told(list) {
  if (list.length === 1) return list[0].what;
  const kinds = new Map();
  for (const t of list) {
    const what = t.id[0] === "t" ? "text" : t.what;
    kinds.set(what, (kinds.get(what) ?? 0) + 1);
  }
  if (kinds.size > 2) return `${list.length} things`;
  return [...kinds].map(([what, n]) => (n === 1 ? what : `${n} ${plural(what)}`)).join(" and ");
}

const plural = what => what.replace(/^(circle|closed line|open line|filled area|text)/, "$1s");
