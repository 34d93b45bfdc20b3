package light_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/light"
	"lampblack/panel/geom"
)

func region(x0, y0, x1, y1 float64) geom.Region {
	return geom.NewRegion(geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1))).Ring(geom.FlattenTolerance))
}

// A plain room of 100 x 50 mm at a pitch of 25 mm has four by two, half a pitch from its edges but for the grid that sites lie on.
func TestRows(t *testing.T) {
	plain := light.Rows{Ample: region(0, 0, 100, 50), Tight: region(0, 0, 100, 50), Spacing: geom.MM(6)}
	at := plain.At(geom.MM(25), 100)
	require.Len(t, at, 8)
	for i, q := range at {
		require.InDelta(t, 12.5+25*float64(i%4), q.X.MM(), 1)
		require.InDelta(t, 37.5-25*float64(i/4), q.Y.MM(), 1)
	}
	require.Len(t, plain.At(geom.MM(25), 3), 3)

	// A frame round a large opening has a row along each side, and no place on it is farther than three quarters of the pitch from an LED.
	frame := region(0, 0, 100, 80).Minus(region(6, 6, 94, 74))
	around := light.Rows{Ample: frame, Tight: frame, Spacing: geom.MM(6)}
	at = around.At(geom.MM(25), 100)
	require.GreaterOrEqual(t, len(at), 10, "334 mm of frame, 1.5 pitches at most from one to the next")
	for _, q := range at {
		require.NotEqual(t, geom.Outside, frame.Locate(q))
	}
	for x := 0.5; x < 100; x++ {
		for _, y := range []float64{3, 77} {
			near := math.Inf(1)
			for _, q := range at {
				near = min(near, q.Dist(geom.PtMM(x, y)))
			}
			require.Less(t, near, 20.5e6)
		}
	}

	// Pieces smaller than the grid of sites are found.
	crossings := region(10.3, 10.3, 10.6, 10.6).Or(region(40.3, 10.3, 40.6, 10.6))
	require.Len(t, light.Rows{Tight: crossings, Spacing: geom.MM(6)}.At(geom.MM(25), 10), 2)

	for _, n := range []int{1, 2, 3, 7, 20, 41} {
		at := plain.Of(n)
		require.Len(t, at, n)
		for i, a := range at {
			for _, b := range at[:i] {
				require.GreaterOrEqual(t, a.Dist(b), 6e6)
			}
		}
		require.Equal(t, at, plain.Of(n))
	}
	require.Less(t, len(plain.Of(1000)), 200, "there is no room for so many")
	require.Empty(t, light.Rows{Spacing: geom.MM(6)}.Of(3))
}
