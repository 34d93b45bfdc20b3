package picture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Circles cover neither each other nor a place, near places of one finding share one, and of many the rest is counted.
func TestFindingsAreMarked(t *testing.T) {
	p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(120, 80)})}
	var marks []Mark
	for i := range 3 {
		marks = append(marks, Mark{geom.PtMM(20+20*float64(i), 40), 1, diag.Warning}, Mark{geom.PtMM(20+20*float64(i), 40), 2, diag.Error})
	}
	for i := range 50 {
		marks = append(marks, Mark{geom.PtMM(80+0.1*float64(i), 60), 7, diag.Note})
	}
	svg := string(Findings(t.Context(), p, nil, marks))
	require.Equal(t, 3, strings.Count(svg, `aria-label="1"`), "a place each")
	require.Contains(t, svg, "10 more places are told there")

	d := newDrawing(nil, 200*geom.Millimetre, 100*geom.Millimetre, "")
	r := 3 * geom.Millimetre
	var set []bubble
	dots := []geom.Pt{geom.PtMM(50, 50), geom.PtMM(52, 50), geom.PtMM(50, 54), geom.PtMM(196, 3)}
	for range 3 {
		for _, at := range dots {
			free := d.free(at, r, set, dots)
			for _, b := range set {
				require.GreaterOrEqual(t, b.at.Dist(free), float64(2*r), "circles cover each other")
			}
			for _, q := range dots {
				require.GreaterOrEqual(t, q.Dist(free), float64(r), "a circle covers a place")
			}
			require.True(t, free.X >= r && free.Y >= r && free.X <= d.page.W-r, "a circle leaves the page")
			set = append(set, bubble{free, len(set)})
		}
	}
}
