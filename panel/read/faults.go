package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// LED holes outside these diameters, in mm, are more likely a slip of the pen: radial LEDs have 1.8 to 10 mm.
const ledMin, ledMax = 1.0, 12.0

// maxTold bounds how many findings of one kind a panel gets; the last one counts the rest.
const maxTold = 20

// faults tells LED holes and mounts that can't be right.
func faults(w *work.Watch, s *sheet) findings {
	var said findings
	told := 0
	openings := fieldOf(w, len(s.openings), func(i int) dxf.Box { return s.openings[i].box })
	leds := fieldOf(w, len(s.leds), func(i int) dxf.Box { return s.leds[i].box })
	for i := range s.leds {
		w.Step()
		l := &s.leds[i]
		if l.d < ledMin || l.d > ledMax {
			if told++; told <= maxTold {
				said.add(diag.Warning, "panel-led-size", l.from, "an LED hole of %.4g mm fits no LED", l.d).Of(s.name).
					Fix("common LEDs need 3 or 5 mm; the layer is for LED holes only")
			}
		}
		if d := s.outline.distance(l.c, l.d/2); d < l.d/2 {
			said.add(diag.Error, "panel-led-edge", l.from, "an LED hole of %.4g mm at (%.3f, %.3f) runs over the panel's edge", l.d, l.c.X, l.c.Y).Of(s.name).
				Fix("move it inward by at least %.3f mm", l.d/2-d)
		}
		hit := -1 // the first of the openings that it overlaps
		openings.near(l.box, func(k int) bool {
			o := &s.openings[k]
			if (hit < 0 || k < hit) && (o.holds(l.c) || o.distance(l.c, l.d/2) < l.d/2) {
				hit = k
			}
			return true
		})
		if hit >= 0 {
			said.add(diag.Error, "panel-led-in-opening", l.from, "an LED hole at (%.3f, %.3f) overlaps an opening", l.c.X, l.c.Y).Of(s.name).
				Fix("move the LED hole or the opening").Note(about(s.openings[hit].from), "this opening")
		}
	}
	said.join(overlaps(s.leds, &leds, s.name))
	for i := range s.mounts {
		w.Step()
		m := &s.mounts[i]
		if s.outline.distance(m.c, m.d/2) < m.d/2 {
			said.add(diag.Error, "panel-mount-edge", m.from, "a mount hole at (%.3f, %.3f) runs over the panel's edge", m.c.X, m.c.Y).Of(s.name).
				Fix("move it inward")
		}
		var hits []int
		leds.near(m.box, func(k int) bool {
			if l := &s.leds[k]; l.c.Dist(m.c) < (l.d+m.d)/2 {
				hits = append(hits, k)
			}
			return len(hits) < maxPairs
		})
		slices.Sort(hits)
		for _, k := range hits {
			l := &s.leds[k]
			said.add(diag.Error, "panel-led-mount", l.from, "an LED hole at (%.3f, %.3f) overlaps a mount hole", l.c.X, l.c.Y).Of(s.name).
				Fix("move the LED hole or the mount").Note(about(m.from), "this mount")
		}
	}
	return said
}

// maxPairs bounds the pairs of things that are found to overlap: a drawing with more is not read any better for it.
const maxPairs = 100_000

// overlaps tells LED holes that overlap each other, from left to right.
func overlaps(ls []loop, leds *field, name string) findings {
	var said findings
	var pairs [][2]int // the left one first
	left := func(a, b int) int { return cmp.Or(compareXY(ls[a].c, ls[b].c), cmp.Compare(a, b)) }
	for a := 0; a < len(ls) && len(pairs) < maxPairs; a++ {
		leds.near(ls[a].box, func(b int) bool {
			if b > a && ls[a].c.Dist(ls[b].c) < (ls[a].d+ls[b].d)/2 {
				if left(a, b) < 0 {
					pairs = append(pairs, [2]int{a, b})
				} else {
					pairs = append(pairs, [2]int{b, a})
				}
			}
			return len(pairs) < maxPairs
		})
	}
	slices.SortFunc(pairs, func(p, q [2]int) int { return cmp.Or(left(p[0], q[0]), left(p[1], q[1])) })
	for _, p := range pairs[:min(len(pairs), maxTold)] {
		x, y := &ls[min(p[0], p[1])], &ls[max(p[0], p[1])]
		said.add(diag.Error, "panel-led-overlap", y.from, "two LED holes overlap: (%.3f, %.3f) and (%.3f, %.3f) are only %.3f mm apart", x.c.X, x.c.Y, y.c.X, y.c.Y, x.c.Dist(y.c)).
			Of(name).Fix("move them apart, or delete one").Note(about(x.from), "the other LED hole")
	}
	if n := len(pairs) - maxTold; n > 0 {
		said.add(diag.Error, "panel-led-overlap", nil, "%d more pairs of LED holes overlap", n).Of(name).Fix("move them apart, or delete one of each: two LEDs do not fit into one place")
	}
	return said
}

// crossings tells where outline, openings, bodies and board edges cross themselves, and reports whether the outline
// does.
func crossings(w *work.Watch, s *sheet, guessed bool) (outline bool, said findings) {
	check := func(l *loop, what string) {
		w.Step()
		if l.round {
			return
		}
		sev := diag.Error
		if guessed && l != &s.outline { // what the shape is, is only guessed
			sev = diag.Warning
		}
		if at, ok := crossingOf(w, spread(l.flat())); ok {
			outline = outline || l == &s.outline
			said.add(sev, "panel-self-crossing", l.from, "%s crosses itself at (%.3f, %.3f)", what, at.X, at.Y).At(at.X, at.Y).Of(s.name).
				Together("%d edges cross themselves").
				Fix("draw the edge so that it runs round once without crossing")
		}
	}
	check(&s.outline, "the outline")
	for i := range s.openings {
		check(&s.openings[i], "an opening")
	}
	for i := range s.slots {
		check(&s.slots[i], "a slot")
	}
	for i := range s.bodies {
		check(&s.bodies[i], "a body")
	}
	for i := range s.windows {
		check(&s.windows[i], "a window")
	}
	for i := range s.boards {
		check(&s.boards[i], "the board's edge")
	}
	return outline, said
}

// spread drops points that lie closer than a tenth of a micrometre to the one before: what is left of joints.
func spread(r []dxf.XY) []dxf.XY {
	var out []dxf.XY
	for _, p := range r {
		if len(out) == 0 || p.Dist(out[len(out)-1]) > 1e-4 {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0].Dist(out[len(out)-1]) <= 1e-4 {
		out = out[:len(out)-1]
	}
	return out
}

// crossingOf returns a point where the polygon crosses or touches itself, by a sweep along X. Cost: n log n and, for
// each segment, those that overlap it in X; a budget bounds the worst case.
func crossingOf(w *work.Watch, r []dxf.XY) (dxf.XY, bool) {
	n := len(r)
	if n < 4 {
		return dxf.XY{}, false
	}
	order := make([]int, n)
	lo := make([]float64, n)
	for i := range order {
		order[i] = i
		lo[i] = min(r[i].X, r[(i+1)%n].X)
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(lo[a], lo[b]), cmp.Compare(a, b)) })
	budget := 20_000_000 // pairs: a tenth of a second; beyond it only an absurd outline goes unchecked
	for k, i := range order {
		w.Step()
		a, b := r[i], r[(i+1)%n]
		hi := max(a.X, b.X)
		y0, y1 := min(a.Y, b.Y), max(a.Y, b.Y)
		for _, j := range order[k+1:] {
			if lo[j] > hi || budget == 0 {
				break
			}
			w.Step()
			budget--
			c, d := r[j], r[(j+1)%n]
			if min(c.Y, d.Y) > y1 || max(c.Y, d.Y) < y0 {
				continue
			}
			if j == (i+1)%n || i == (j+1)%n {
				if folds(r, i, j) {
					return b, true
				}
				continue
			}
			if at, ok := meet(a, b, c, d); ok {
				return at, true
			}
		}
	}
	return dxf.XY{}, false
}

// folds reports whether neighbouring segments run back on each other.
func folds(r []dxf.XY, i, j int) bool {
	n := len(r)
	if i == (j+1)%n && j != (i+1)%n {
		i, j = j, i
	}
	u, v := r[(i+1)%n].Sub(r[i]), r[(j+1)%n].Sub(r[j])
	return u.Dot(v) < 0 && math.Abs(u.Cross(v)) < 1e-9*u.Len()*v.Len()
}

// meet returns the point that two segments share, touching included.
func meet(a, b, c, d dxf.XY) (dxf.XY, bool) {
	u, v, w := b.Sub(a), d.Sub(c), c.Sub(a)
	k := u.Cross(v)
	if math.Abs(k) < 1e-12*u.Len()*v.Len() {
		// Parallel: on one line within a tenth of a micrometre, and overlapping?
		if l := u.Len(); l > 0 && math.Abs(u.Cross(w))/l < 1e-4 {
			t0, t1 := u.Dot(w)/(l*l), u.Dot(d.Sub(a))/(l*l)
			if min(t0, t1) < 1-1e-9 && max(t0, t1) > 1e-9 {
				return a.Add(u.Times(min(1, max(0, min(t0, t1))))), true
			}
		}
		return dxf.XY{}, false
	}
	t, s := w.Cross(v)/k, w.Cross(u)/k
	if t >= 0 && t <= 1 && s >= 0 && s <= 1 {
		return a.Add(u.Times(t)), true
	}
	return dxf.XY{}, false
}
