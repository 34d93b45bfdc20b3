package read

import (
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// byDiameter groups round holes whose diameters differ by no more than a twentieth of a millimetre, smallest first;
// within a group they stay as they come.
func byDiameter(w *work.Watch, holes []loop) [][]loop {
	order := make([]int, len(holes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		w.Step()
		return compare(holes[a].d, holes[b].d)
	})
	var out [][]loop
	for _, i := range order {
		h := holes[i]
		if n := len(out); n > 0 && h.d-out[n-1][0].d <= 0.05 {
			out[n-1] = append(out[n-1], h)
		} else {
			out = append(out, []loop{h})
		}
	}
	return out
}

// concentric keeps one of several round holes about one centre, as a hole drawn with its countersink or with both
// edges of a pen: by what makes the better hole.
func concentric(w *work.Watch, ls []loop, better func(a, b float64) bool) ([]loop, findings) {
	return oneOf(w, ls, math.Inf(1), better)
}

// betterLED reports whether a circle is rather the hole of an LED than another one about its centre, by their diameters in mm:
// one of an LED's size, else what drills best.
func betterLED(a, b float64) bool {
	if x, y := ledSize(a), ledSize(b); x != y {
		return x
	}
	return betterDrill(a, b)
}

// betterDrill reports whether a circle is rather the hole than another one about its centre: the smallest, but that what is
// smaller than any screw's or LED's hole marks the centre, or is a pad's.
func betterDrill(a, b float64) bool {
	if x, y := a >= role.Pin, b >= role.Pin; x != y {
		return x
	}
	return (a < b) == (a >= role.Pin) && a != b
}

// penWidth is the widest pen, in mm, both of whose edges are drawn: a line of 0.5 mm (ISO 128-2 has 0.13 to 2 mm, of
// which drawings for cutting use the thin ones).
const penWidth = 0.5

// penned keeps one of the round holes about one centre that lie no more than a pen's width apart.
func penned(w *work.Watch, ls []loop) ([]loop, findings) { return oneOf(w, ls, 2*penWidth, betterLED) }

// oneOf keeps the best of the round holes about one centre whose diameters differ by no more than most, mm.
func oneOf(w *work.Watch, ls []loop, most float64, better func(a, b float64) bool) ([]loop, findings) {
	var said findings
	const reach = 0.05 // mm
	centres := newGrid(w, 1, len(ls))
	kept := make([]int32, 0, len(ls)) // of ls
	var slot []int32                  // of kept, by number of the centre
	var first *dxf.Entity
	for i := range ls {
		l := &ls[i]
		twin := -1
		if l.round {
			centres.near(l.c, reach, func(k int) {
				if at := int(slot[k]); (twin < 0 || at < twin) && ls[kept[at]].c.Dist(l.c) <= reach && math.Abs(ls[kept[at]].d-l.d) <= most {
					twin = at
				}
			})
		}
		if twin >= 0 {
			if first == nil {
				first = l.from
			}
			if better(l.d, ls[kept[twin]].d) {
				kept[twin] = int32(i)
			}
			continue
		}
		if l.round {
			centres.add(l.c)
			slot = append(slot, int32(len(kept)))
		}
		kept = append(kept, int32(i))
	}
	dropped := len(ls) - len(kept)
	if dropped == 0 {
		return ls, said
	}
	out := make([]loop, len(kept))
	for k, i := range kept {
		out[k] = ls[i]
	}
	said.add(diag.Note, "panel-concentric", first, "%s drawn round the centre of another; one of each is taken as the hole", count(dropped, "circle")).
		Fix("delete the circle that is not the hole, if the wrong one was taken")
	return out, said
}

// ledSize reports whether an LED of 3 or 5 mm fits: holes of 3.0 to 3.2 mm and 5.0 to 5.2 mm by common practice, a tenth
// more for kerf and fitted chords.
func ledSize(d float64) bool { return d >= 2.8 && d <= 3.3 || d >= 4.8 && d <= 5.3 }
