package readback

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// Two things are at one place if rounding can have parted them, twice by half of 0.0001 inch along both axes: 3.6 µm. At 10 to 20 µm,
// in a cell beside or across the corner of one, they are two.
func TestGridKnowsOnePlaceFromTwo(t *testing.T) {
	for _, c := range []struct {
		dx, dy geom.Nm
		same   bool
	}{{0, 0, true}, {2540, 2540, true}, {-2540, 2540, true}, {4900, 0, true}, {10000, 0, false}, {0, -12000, false}, {9000, 9000, false}, {15000, 15000, false}} {
		for _, from := range []geom.Pt{{}, {X: 9999, Y: 9999}, {X: -1, Y: -1}, {X: 5000, Y: -5000}} {
			g := Grid{}
			g.Put(from, 7)
			require.Equal(t, c.same, g.At(from.Add(geom.Vec{X: c.dx, Y: c.dy}), func(i int) bool { return i == 7 }), "%v from %v", c, from)
		}
	}
}
