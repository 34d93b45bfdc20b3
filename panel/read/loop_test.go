package read

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
)

// A loop may reach right through another without a corner of either in the other, or have all its corners inside and
// an edge outside: what counts is where its edges run.
func TestStandingIn(t *testing.T) {
	loopOf := func(xy ...float64) *loop {
		var p dxf.Path
		for i := 0; i < len(xy); i += 2 {
			var v dxf.Vertex
			v.X, v.Y = xy[i], xy[i+1]
			p.Vertices = append(p.Vertices, v)
		}
		l := newLoop(p, nil)
		return &l
	}
	box := func(x0, y0, x1, y1 float64) *loop { return loopOf(x0, y0, x1, y0, x1, y1, x0, y1) }
	panel := box(0, 0, 120, 80)
	bent := loopOf(0, 0, 120, 0, 120, 40, 60, 40, 60, 80, 0, 80) // L-shaped
	for _, c := range []struct {
		name     string
		l, outer *loop
		want     standing
	}{
		{"inside", box(10, 10, 20, 20), panel, within},
		{"outside", box(130, 10, 140, 20), panel, apart},
		{"over one edge", box(110, 10, 130, 20), panel, crossing},
		{"over two opposite edges", box(50, -5, 70, 85), panel, crossing},
		{"across the whole width", box(-5, 35, 125, 45), panel, crossing},
		{"from edge to edge exactly", box(50, 0, 70, 80), panel, within},
		{"along an edge outside", box(10, 80, 20, 90), panel, apart},
		{"beside it with a common edge", box(120, 0, 140, 80), panel, apart},
		{"before it with a common edge", box(-20, 0, 0, 80), panel, apart},
		{"round it all", box(-5, -5, 125, 85), panel, apart},
		{"corners inside, an edge through the notch", loopOf(50, 30, 110, 30, 50, 75), bent, crossing},
		{"in the notch", box(70, 50, 110, 70), bent, apart},
	} {
		require.Equal(t, c.want, c.l.standingIn(c.outer), c.name)
	}
}
