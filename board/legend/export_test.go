package legend

import (
	"math"

	"lampblack/board"
	"lampblack/panel/geom"
)

// Find reads the ink of a side for a word: it returns the boxes of all places where every stroke of its letters stands, whatever
// their size and whichever of the two ways text may be turned.
func Find(b board.Board, on geom.Side, word string) []geom.Box {
	lines := setText(word).lines
	if len(lines) == 0 {
		return nil
	}
	span := func(n int, at func(int) (x, y float64)) float64 {
		sum := 0.0
		for i := 1; i < n; i++ {
			x0, y0 := at(i - 1)
			x1, y1 := at(i)
			sum += math.Hypot(x1-x0, y1-y0)
		}
		return sum
	}
	unitLen := span(len(lines[0]), func(i int) (x, y float64) { return lines[0][i][0], lines[0][i][1] })
	var out []geom.Box
	for _, s := range b.Legend {
		if s.On != on || len(s.Path) != len(lines[0]) {
			continue
		}
		unit := span(len(s.Path), func(i int) (x, y float64) { return float64(s.Path[i].X), float64(s.Path[i].Y) }) / unitLen
		for turn := range 2 {
			// Relative to the first point of the first letter.
			place := func(q [2]float64) geom.Pt {
				x, y := (q[0]-lines[0][0][0])*unit, (q[1]-lines[0][0][1])*unit
				if on == geom.Bottom {
					x = -x
				}
				return s.Path[0].Add(geom.Vec{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))}.Quarter(turn))
			}
			var ink geom.Polyline
			whole := true
			for _, line := range lines {
				var want geom.Polyline
				for _, q := range line {
					want = append(want, place(q))
				}
				ink = append(ink, want...)
				if !printedAs(b, on, want) {
					whole = false
					break
				}
			}
			if whole {
				out = append(out, ink.Box())
			}
		}
	}
	return out
}

// printedAs reports whether there is a stroke with these points, to the rounding of sizes.
func printedAs(b board.Board, on geom.Side, want geom.Polyline) bool {
	for _, s := range b.Legend {
		if s.On != on || len(s.Path) != len(want) {
			continue
		}
		same := true
		for i := range want {
			same = same && s.Path[i].Dist(want[i]) < 20
		}
		if same {
			return true
		}
	}
	return false
}
