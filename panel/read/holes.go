package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// byDiameter groups round holes whose diameters differ by no more than a twentieth of a millimetre, smallest first;
// within a group the order is the drawing's.
func byDiameter(holes []loop) [][]loop {
	order := make([]int, len(holes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(holes[a].d, holes[b].d) })
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
// edges of a pen: the one nearest an LED's size, else the smallest.
func concentric(ls []loop) ([]loop, findings) {
	var said findings
	const reach = 0.05 // mm
	var out []loop
	dropped := 0
	var first *dxf.Entity
	grid := map[[2]int64][]int{}
	for _, l := range ls {
		if !l.round {
			out = append(out, l)
			continue
		}
		twin := -1
		cell := func(x, y float64) [2]int64 { return [2]int64{int64(math.Floor(x)), int64(math.Floor(y))} }
		from, to := cell(l.c.X-reach, l.c.Y-reach), cell(l.c.X+reach, l.c.Y+reach)
		for x := from[0]; x <= to[0]; x++ {
			for y := from[1]; y <= to[1]; y++ {
				for _, i := range grid[[2]int64{x, y}] {
					if twin < 0 && out[i].c.Dist(l.c) <= reach {
						twin = i
					}
				}
			}
		}
		if twin < 0 {
			at := cell(l.c.X, l.c.Y)
			grid[at] = append(grid[at], len(out))
			out = append(out, l)
			continue
		}
		dropped++
		if first == nil {
			first = l.from
		}
		if a, b := ledSize(l.d), ledSize(out[twin].d); a && !b || a == b && l.d < out[twin].d {
			out[twin] = l
		}
	}
	if dropped > 0 {
		said.add(diag.Note, "panel-concentric", first, "%s drawn round the centre of another; one of each is taken as the hole", count(dropped, "circle")).
			Fix("delete the circle that is not the hole, if the wrong one was taken")
	}
	return out, said
}

func ledSize(d float64) bool { return d >= led3Min && d <= led3Max || d >= led5Min && d <= led5Max }
