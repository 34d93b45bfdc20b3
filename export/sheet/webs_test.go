package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/sheet"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Two openings of 12 and 8, and a mount of 3.2 by the edge: what is left between them is told from under a millimetre on, once for all
// sheets that have it; what overlaps is cut as one, and what lies within another hole is no web.
func TestWebs(t *testing.T) {
	circle := func(x, d float64) geom.Contour { return geom.Circle(geom.PtMM(x, 25), geom.MM(d)) }
	told := func(second, mount float64, leds ...panel.Hole) diag.List {
		p := panel.Panel{Name: "vent", Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(100, 50))),
			Openings: []panel.Opening{{Contour: circle(30, 12)}, {Contour: circle(second, 8)}},
			Mounts:   []panel.Hole{{At: geom.PtMM(mount, 5), D: geom.MM(3.2)}}, LEDs: leds}
		return sheet.Webs(p.Name, sheet.Face(t.Context(), p, nil, sheet.Options{}), sheet.LED(t.Context(), p, sheet.Options{}))
	}
	require.Empty(t, told(41.1, 2.7), "1.1 between the openings, 1.1 to the edge")
	require.Empty(t, told(39, 50), "they overlap")
	require.Empty(t, told(30, 50), "one lies in the other")
	l := told(40.4, 50)
	require.Len(t, l, 1)
	require.Equal(t, "sheet-thin-web", l[0].Code)
	require.Equal(t, "0.40 mm of the face sheet and LED sheet is left between two holes, and what is under 1 mm breaks or melts when it is cut", l[0].Text)
	require.Contains(t, l[0].Advice, "0.6 mm")
	require.InDelta(t, 36.2, l[0].Place.At.X, 0.01)
	require.InDelta(t, 25, l[0].Place.At.Y, 0.3)
	l = told(50, 2.1)
	require.Len(t, l, 1)
	require.Contains(t, l[0].Text, "0.50 mm of the face sheet and LED sheet is left between a hole and the edge")
	l = told(50, 50, panel.Hole{At: geom.PtMM(38, 25), D: geom.MM(3)})
	require.Len(t, l, 1, "beside the LED")
	require.Contains(t, l[0].Text, "0.50 mm of the LED sheet is left")
}
