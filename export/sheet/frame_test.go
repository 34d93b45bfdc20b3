package sheet_test

import (
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
	p.Frame = frame.Of(p, geom.MM(4), nil)
	s := sheet.Frame(t.Context(), p, sheet.Options{})
	l := sheet.Laid{Sheet: s}
	require.Len(t, l.Outer(), 2)
	require.Len(t, l.Inner(), 2)
	area := 0.0
	for _, c := range l.Outer() {
		area += c.Area()
	}
	for _, c := range l.Inner() {
		area -= c.Area()
	}
	require.InDelta(t, 1216+301.6, area, 0.5)
	wide := sheet.Laid{Sheet: sheet.Frame(t.Context(), p, sheet.Options{Kerf: geom.MM(0.2)})}
	require.InDelta(t, 100.2+28.2, (wide.Outer()[1].Box().W() + wide.Outer()[0].Box().W()).MM(), 0.01, "half of the cut outside")
	found := sheet.CheckFrame("dome", s)
	require.Len(t, found, 1)
	require.Equal(t, "sheet-frame-pieces", found[0].Code)
	p.Openings, p.Frame = nil, frame.Of(panel.Panel{Outline: p.Outline}, geom.MM(4), nil)
	require.Empty(t, sheet.CheckFrame("dome", sheet.Frame(t.Context(), p, sheet.Options{})))
	p.Frame = nil
	require.Equal(t, "sheet-no-frame", sheet.CheckFrame("dome", sheet.Frame(t.Context(), p, sheet.Options{}))[0].Code)
}
