// A look at a plane: which part of it is seen, moved and enlarged by mouse, touch and keys. All views that show millimetres share it.
import { useCallback, useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";

// useView shows box, [x0, y0, x1, y1] in mm with y up, in an svg, all of it at first and again when name changes. It returns
//
//   props     for the svg: spread them on it, and draw within <g transform="scale(1 -1)">; things that pointers are to grab have data-grab
//   pixel     mm that a pixel of the screen is wide, for lines and signs that keep their size
//   at(e)     the place of a pointer's event, [x, y] in mm
//   fit()     shows all of it
//   near(p)   goes to a place, near enough to see what is there
//   zoom(k)   enlarges about the middle
export function useView(box, name) {
  const ref = useRef(null);
  const [size, setSize] = useState([600, 400]);
  const [seen, setSeen] = useState(null); // {x, y, w}: the middle and how many mm wide
  const live = useRef();

  const whole = useCallback(() => {
    const [x0, y0, x1, y1] = box;
    return { x: (x0 + x1) / 2, y: (y0 + y1) / 2, w: 1.08 * Math.max(x1 - x0, ((y1 - y0) * size[0]) / size[1], 1) };
  }, [box.join(), size.join()]);
  const now = seen && seen.name === name ? seen : whole();
  const most = whole().w * 3, least = 2;
  live.current = { now, size, name, most, least };

  const set = useCallback(next => {
    const { name, most, least } = live.current;
    setSeen({ ...next, w: Math.min(most, Math.max(least, next.w)), name });
  }, []);

  useLayoutEffect(() => {
    const look = new ResizeObserver(([e]) => setSize([Math.max(1, e.contentRect.width), Math.max(1, e.contentRect.height)]));
    look.observe(ref.current);
    return () => look.disconnect();
  }, []);

  const at = useCallback(e => {
    const r = ref.current.getBoundingClientRect(), { now, size } = live.current;
    const pixel = now.w / size[0];
    return [now.x + (e.clientX - r.left - size[0] / 2) * pixel, now.y - (e.clientY - r.top - size[1] / 2) * pixel];
  }, []);

  // about enlarges so that the place p stays where it is on the screen.
  const about = useCallback((k, p) => {
    const { now, most, least } = live.current;
    const w = Math.min(most, Math.max(least, now.w / k)), f = w / now.w;
    set({ x: p[0] + (now.x - p[0]) * f, y: p[1] + (now.y - p[1]) * f, w });
  }, []);

  useEffect(() => {
    const svg = ref.current;
    const wheel = e => {
      e.preventDefault();
      about(Math.exp(-e.deltaY * (e.ctrlKey ? 0.01 : e.deltaMode ? 0.05 : 0.0016)), at(e));
    };
    svg.addEventListener("wheel", wheel, { passive: false });
    return () => svg.removeEventListener("wheel", wheel);
  }, []);

  // One pointer moves, two move and enlarge.
  const down = useRef(new Map());
  const onPointerDown = e => {
    if (e.target.closest("[data-grab]") || (e.pointerType === "mouse" && e.button > 1)) return;
    down.current.set(e.pointerId, [e.clientX, e.clientY]);
    ref.current.setPointerCapture(e.pointerId);
  };
  const onPointerMove = e => {
    const was = down.current.get(e.pointerId);
    if (!was) return;
    const { now, size } = live.current, pixel = now.w / size[0], others = [...down.current].filter(([id]) => id !== e.pointerId);
    if (others.length === 0) {
      set({ x: now.x - (e.clientX - was[0]) * pixel, y: now.y + (e.clientY - was[1]) * pixel, w: now.w });
    } else {
      const [ox, oy] = others[0][1], far = p => Math.hypot(p[0] - ox, p[1] - oy);
      const middle = at({ clientX: (e.clientX + ox) / 2, clientY: (e.clientY + oy) / 2 });
      if (far(was) > 4) about(far([e.clientX, e.clientY]) / far(was), middle);
    }
    down.current.set(e.pointerId, [e.clientX, e.clientY]);
  };
  const onPointerUp = e => down.current.delete(e.pointerId);
  const onKeyDown = e => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const { now, size } = live.current, step = now.w / 10;
    const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    if (moves[e.key] && e.target === ref.current) set({ x: now.x + moves[e.key][0] * step, y: now.y + (moves[e.key][1] * step * size[1]) / size[0], w: now.w });
    else if (e.key === "+" || e.key === "=") about(1.25, [now.x, now.y]);
    else if (e.key === "-") about(0.8, [now.x, now.y]);
    else if (e.key === "0") setSeen(null);
    else return;
    e.preventDefault();
  };

  const pixel = now.w / size[0], high = pixel * size[1];
  return {
    props: {
      ref, tabindex: 0, viewBox: `${now.x - now.w / 2} ${-now.y - high / 2} ${now.w} ${high}`, style: { touchAction: "none" },
      onPointerDown, onPointerMove, onPointerUp, onPointerCancel: onPointerUp, onKeyDown,
    },
    pixel, at,
    fit: () => setSeen(null),
    near: p => set({ x: p[0], y: p[1], w: Math.min(live.current.now.w, 60) }),
    zoom: k => about(k, [live.current.now.x, live.current.now.y]),
  };
}
