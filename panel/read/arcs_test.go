package read

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
)

// missing makes one arc of almost a full turn round c, whose ends are gap mm apart.
func missing(c dxf.XY, d, gap float64) *dxf.Entity {
	r := d / 2
	half := math.Asin(gap / d) // of the angle that lacks
	s, k := math.Sincos(half)
	return &dxf.Entity{Type: "ARC", Layer: "OPENING", Path: dxf.Path{Vertices: []dxf.Vertex{
		{XY: dxf.XY{X: c.X + r*k, Y: c.Y + r*s}, Bulge: math.Tan((2*math.Pi - 2*half) / 4)},
		{XY: dxf.XY{X: c.X + r*k, Y: c.Y - r*s}},
	}}}
}

// TestAlmostFullTurn: a hole drawn as one arc, or as a polyline of one bulge, is the round hole that it looks like
// however little its ends miss each other, silently or with a word.
func TestAlmostFullTurn(t *testing.T) {
	for _, gap := range []float64{1e-6, 0.001, 0.009, 0.02, 0.03, 0.06, 0.099} {
		j := join(nil, []*dxf.Entity{missing(dxf.XY{X: 147.7, Y: 64.89}, 3.2, gap)}, 0.1, false)
		require.Len(t, j.loops, 1, "gap %v", gap)
		require.Empty(t, j.none)
		require.Empty(t, j.open)
		l := j.loops[0]
		require.True(t, l.round, "gap %v", gap)
		require.InDelta(t, 3.2, l.d, 1e-4, "gap %v", gap)
		require.InDelta(t, 147.7, l.c.X, 0.001)
		require.InDelta(t, 64.89, l.c.Y, 0.001)
		require.Equal(t, gap > snap, len(j.gaps) > 0)
	}
}

// TestGapKeepsSides: a gap that only the project's join closes gets a straight piece: the sides that it lies between
// are not bent.
func TestGapKeepsSides(t *testing.T) {
	j := join(nil, strokes([]float64{0, 0, 40, 0}, []float64{41, 0, 100, 0}, []float64{100, 0, 100, 50}, []float64{100, 50, 0, 50}, []float64{0, 50, 0, 0.8}), 1.5, false)
	require.Len(t, j.loops, 1)
	require.Len(t, j.gaps, 2)
	require.InDelta(t, 5000, j.loops[0].area, 1e-9)
	require.Equal(t, dxf.XY{}, j.loops[0].box.Min)
}
