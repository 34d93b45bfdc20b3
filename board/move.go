package board

import (
	"fmt"
	"math"
	"strings"

	"lampblack/panel/geom"
)

// Move is a way to move a thing on the drawing so that it has room.
type Move geom.Vec

// String says what a person at the drawing does: "by 0.31 mm to the right and 0.05 mm up". Hundredths are rounded away from
// nothing, so that the move is long enough.
func (m Move) String() string {
	var parts []string
	one := func(v geom.Nm, more, less string) {
		way := more
		if v < 0 {
			way, v = less, -v
		}
		if h := (v + 9*geom.Micrometre) / (10 * geom.Micrometre); h > 0 {
			parts = append(parts, fmt.Sprintf("%.2f mm %s", float64(h)/100, way))
		}
	}
	one(m.X, "to the right", "to the left")
	one(m.Y, "up", "down")
	return "by " + strings.Join(parts, " and ")
}

// Moves calls f with moves that get longer, from the least length up to 5 mm, the plain directions of each length first, until
// f takes one. It returns that; ok is false where f takes none.
func Moves(least geom.Nm, f func(Move) bool) (m Move, ok bool) {
	const (
		step     = 10 * geom.Micrometre
		farthest = 5 * geom.Millimetre
	)
	for d := math.Ceil(float64(max(least, 1))/float64(step)) * float64(step); d <= float64(farthest); d = math.Ceil(float64(d*1.2)/float64(step)) * float64(step) {
		for _, w := range ways() {
			m := Move{X: geom.Nm(math.Round(float64(w[0] * d))), Y: geom.Nm(math.Round(float64(w[1] * d)))}
			if f(m) {
				return m, true
			}
		}
	}
	return Move{}, false
}

// ways are the directions that moves are looked for in, the plain ones first: X and Y of unit vectors.
func ways() [][2]float64 {
	const h, a, b = math.Sqrt2 / 2, 0.9238795325112867, 0.3826834323650898 // of 45, 22.5 degrees
	return [][2]float64{
		{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {h, h}, {-h, h}, {-h, -h}, {h, -h},
		{a, b}, {b, a}, {-b, a}, {-a, b}, {-a, -b}, {-b, -a}, {b, -a}, {a, -b},
	}
}
