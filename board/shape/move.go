package shape

import (
	"fmt"
	"math"
	"strings"

	"lampblack/board"
	"lampblack/panel/geom"
)

// inWords says of a move what a person at the drawing does: "by 0.31 mm to the right and 0.05 mm up". Hundredths are rounded
// away from nothing, so that the move is long enough.
func inWords(x, y float64) string {
	var parts []string
	one := func(v float64, more, less string) {
		way := more
		if v < 0 {
			way = less
		}
		if h := math.Ceil(math.Abs(v)/1e4 - 1e-6); h > 0 {
			parts = append(parts, fmt.Sprintf("%.2f mm %s", h/100, way))
		}
	}
	one(x, "to the right", "to the left")
	one(y, "up", "down")
	return "by " + strings.Join(parts, " and ")
}

// ways are the directions that moves are looked for in, the plain ones first: X and Y of unit vectors.
func ways() [][2]float64 {
	const h, a, b = math.Sqrt2 / 2, 0.9238795325112867, 0.3826834323650898 // of 45, 22.5 degrees
	return [][2]float64{
		{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {h, h}, {-h, h}, {-h, -h}, {h, -h},
		{a, b}, {b, a}, {-b, a}, {-a, b}, {-a, -b}, {-b, -a}, {b, -a}, {a, -b},
	}
}

// mostMoves bounds for how many LEDs a move is looked for, and farthest how far one may lead.
const (
	mostMoves = 30
	farthest  = 5e6
)

// way returns the shortest move after which the LED has its room on the area, at least missing long; ok is false where none
// of those that are tried will do.
func (s lamp) way(area geom.Region, at geom.Pt, need, missing float64) (x, y float64, ok bool) {
	for d := math.Ceil(missing/1e4) * 1e4; d <= farthest; d = math.Ceil(d*1.2/1e4) * 1e4 {
		for _, w := range ways() {
			x, y := float64(w[0]*d), float64(w[1]*d)
			q := at.Add(geom.Vec{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))})
			if area.Locate(q) != geom.Inside {
				continue
			}
			for _, turn := range board.Turns() {
				if s.room(area, q, turn) >= need {
					return x, y, true
				}
			}
		}
	}
	return 0, 0, false
}
