// LEDs as lists of {id, x, y, kind}: what can be done with several, and where one may not be. Nothing here knows of the page.

// moved returns the list with some of them moved by dx, dy.
export const moved = (leds, ids, dx, dy) => leds.map(l => (ids.has(l.id) ? { ...l, x: l.x + dx, y: l.y + dy } : l));

// inRow puts some of them on one line, across ("y") or up ("x"): that of their mean.
export function inLine(leds, ids, axis) {
  const some = leds.filter(l => ids.has(l.id));
  const mean = some.reduce((n, l) => n + l[axis], 0) / some.length;
  return leds.map(l => (ids.has(l.id) ? { ...l, [axis]: mean } : l));
}

// spread puts some of them at one pitch on the straight line between the two that are farthest out, in the order in which they are.
export function spread(leds, ids) {
  const some = leds.filter(l => ids.has(l.id)), span = axis => Math.max(...some.map(l => l[axis])) - Math.min(...some.map(l => l[axis]));
  const axis = span("x") >= span("y") ? "x" : "y";
  some.sort((a, b) => a[axis] - b[axis]);
  const a = some[0], z = some[some.length - 1], place = new Map();
  some.forEach((l, i) => {
    const f = i / (some.length - 1);
    place.set(l.id, { ...l, x: a.x + (z.x - a.x) * f, y: a.y + (z.y - a.y) * f });
  });
  return leds.map(l => place.get(l.id) ?? l);
}

// within returns the ids of those in a frame.
export function within(leds, [ax, ay], [bx, by]) {
  const in_ = (v, a, b) => v >= Math.min(a, b) && v <= Math.max(a, b);
  return leds.filter(l => in_(l.x, ax, bx) && in_(l.y, ay, by)).map(l => l.id);
}

// Ground tells where LEDs may be; kinds are those of unlit.
export class Ground {
  #ink = document.createElement("canvas").getContext("2d");
  #kinds;

  constructor(kinds) {
    this.#kinds = new Map(kinds.map(k => [k.name, { ...k, path: new Path2D(k.room) }]));
  }

  kind(l) {
    return this.#kinds.get(l.kind ?? "");
  }

  // amiss returns why an LED may not be where it is, in words; "" where it may.
  amiss(l, leds) {
    const k = this.kind(l);
    if (!k) return "";
    if (!this.#ink.isPointInPath(k.path, l.x, l.y, "nonzero")) return "no room on the board: an edge, an opening, a screw or a part is too near";
    const near = leds.find(o => o.id !== l.id && Math.hypot(o.x - l.x, o.y - l.y) < (k.spacing + this.kind(o).spacing) / 2 - 1e-6);
    return near ? "too near another LED: their pads and a track between need more" : "";
  }
}

// free returns a place near x, y where an LED of a kind may be, or x, y itself where there is none within 40 mm.
export function free(ground, leds, kind, x, y) {
  for (let r = 0; r <= 40; r += 1) {
    const n = Math.max(1, Math.round(r * 4));
    for (let i = 0; i < n; i++) {
      const l = { id: -1, kind, x: x + r * Math.cos((2 * Math.PI * i) / n), y: y + r * Math.sin((2 * Math.PI * i) / n) };
      if (!ground.amiss(l, leds)) return l;
    }
  }
  return { x, y, kind };
}
