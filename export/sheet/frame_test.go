package sheet_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/sheet"
	"lampblack/panel"
	"lampblack/panel/frame"
	"lampblack/panel/geom"
)

// A panel of 100 x 60 with an opening of 20 mm: walls of 4 are a rim and a ring, each with a cut outside and one inside. With a cut of 0.2
// the material comes out as the frame is: rim 4·(200+120)-4·16 = 1216, ring π(14²-10²) = 302 mm².
func TestFrame(t *testing.T) {
	p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(100, 60)}), Openings: []panel.Opening{{Contour: geom.Circle(geom.PtMM(50, 30), geom.MM(20))}}}
	p.Frame = frame.Of(t.Context(), p, geom.MM(4), nil)
	sizes := func(cs []geom.Contour) (out []float64) {
		for _, c := range cs {
			out = append(out, math.Round(c.Box().W().MM()*10)/10)
		}
		return out
	}
	l := sheet.Laid{Sheet: sheet.Frame(t.Context(), p, sheet.Options{})}
	require.Equal(t, []float64{20, 28, 92}, sizes(l.Inner()), "the ring lies in the rim's window and is cut before it")
	require.Equal(t, []float64{100}, sizes(l.Outer()))
	area := 0.0
	for _, one := range sheet.FramePieces(t.Context(), p, sheet.Options{}) {
		l := sheet.Laid{Sheet: one}
		require.Len(t, l.Outer(), 1)
		require.Len(t, l.Inner(), 1)
		area += l.Outer()[0].Area() - l.Inner()[0].Area()
	}
	require.InDelta(t, 1216+301.6, area, 0.5)
	wide := sheet.Laid{Sheet: sheet.Frame(t.Context(), p, sheet.Options{Kerf: geom.MM(0.2)})}
	require.Equal(t, []float64{19.8, 28.2, 91.8}, sizes(wide.Inner()), "half of the cut lies in what drops")
	require.Equal(t, []float64{100.2}, sizes(wide.Outer()))
	found := sheet.CheckFrame(p)
	require.Len(t, found, 1)
	require.Equal(t, "sheet-frame-pieces", found[0].Code)
	p.Openings, p.Frame = nil, frame.Of(t.Context(), panel.Panel{Outline: p.Outline}, geom.MM(4), nil)
	require.Empty(t, sheet.CheckFrame(p))
	p.Frame = nil
	require.Equal(t, "sheet-no-frame", sheet.CheckFrame(p)[0].Code)
}
