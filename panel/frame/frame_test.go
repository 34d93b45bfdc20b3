package frame_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/frame"
	"lampblack/panel/geom"
)

// desk is 120 x 60 with an opening of 20 x 10 in its middle, one mount and LEDs at the places.
func desk(leds ...geom.Pt) panel.Panel {
	p := panel.Panel{
		Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(120, 60)}),
		Openings: []panel.Opening{{Contour: geom.Rect(geom.BoxOf(geom.PtMM(50, 25), geom.PtMM(70, 35)))}},
		Mounts:   []panel.Hole{{At: geom.PtMM(15, 15), D: geom.MM(3.2)}},
	}
	for _, q := range leds {
		p.LEDs = append(p.LEDs, panel.Hole{At: q, D: geom.MM(3)})
	}
	return p
}

// in asks whether the frame is at places.
func in(g geom.Region, x, y float64) bool { return g.Locate(geom.PtMM(x, y)) == geom.Inside }

// Walls of 4 stand along the rim, round the opening and round the screw; and nowhere else. The rim alone is 2·4·(120+60)-4·4·4 = 1376 mm²; the
// opening's wall 4·60 and four quarters of a circle of 4, 290; the screw's two circles of 11.2 and 3.2 differ by 90.
func TestOf(t *testing.T) {
	g := frame.Of(t.Context(), desk(geom.PtMM(100, 30)), geom.MM(4), nil)
	require.Len(t, g, 3)
	require.True(t, in(g, 1, 30) && in(g, 60, 3) && !in(g, 60, 5))
	require.True(t, in(g, 47, 30) && in(g, 60, 37) && !in(g, 60, 30) && !in(g, 45, 30))
	require.True(t, in(g, 18, 15) && !in(g, 16, 15) && !in(g, 22, 15))
	require.False(t, in(g, 100, 30))
	require.InDelta(t, 1376+290.3+90.5, g.Area(), 1.5)
}

// An LED's hole is cut out of a wall, 1 wider than the LED sheet's; where it leaves less than 1 of the wall, the wall is open.
func TestLEDsInWalls(t *testing.T) {
	g := frame.Of(t.Context(), desk(geom.PtMM(60, 37.5)), geom.MM(4), nil)
	require.False(t, in(g, 60, 36.5), "35.5 to 35: half a millimetre is left")
	require.True(t, in(g, 55, 36.5))
	g = frame.Of(t.Context(), desk(geom.PtMM(60, 39)), geom.MM(4), nil)
	require.True(t, in(g, 60, 36))
}

// Between two groups side by side the wall stands in the middle, from rim to rim; between two sets behind the same words there is none.
func TestGroups(t *testing.T) {
	four := []geom.Pt{geom.PtMM(20, 45), geom.PtMM(30, 45), geom.PtMM(80, 45), geom.PtMM(90, 45)}
	g := frame.Of(t.Context(), desk(four...), geom.MM(4), []int{0, 0, 1, 1})
	require.True(t, in(g, 55, 50) && in(g, 55, 12) && in(g, 54, 45) && !in(g, 52, 45))
	require.False(t, in(frame.Of(t.Context(), desk(four...), geom.MM(4), nil), 55, 50))
	pairs := []geom.Pt{geom.PtMM(20, 45), geom.PtMM(26, 45), geom.PtMM(80, 45), geom.PtMM(86, 45)}
	g = frame.Of(t.Context(), desk(pairs...), geom.MM(4), []int{0, 1, 0, 1})
	require.False(t, in(g, 53, 50) || in(g, 23, 45))
}
