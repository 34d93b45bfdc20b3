package readback_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// Ink that a program clears at the end, as over pads, is not judged, and that is told; what lies elsewhere is.
func TestClearedInkIsNotJudged(t *testing.T) {
	rect := func(x0, y0, x1, y1 float64, clear bool) export.Object {
		return export.Object{Op: export.Region, Clear: clear, Contour: geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)))}
	}
	draw := func(x0, y0, x1, y1 float64) export.Object {
		return export.Object{Op: export.Draw, From: geom.PtMM(x0, y0), To: geom.PtMM(x1, y1)}
	}
	raise := func(objects ...export.Object) (board.Board, []string) {
		l := export.Layer{Function: export.SilkscreenTop, Apertures: []export.Aperture{{Shape: export.Circle, W: geom.MM(0.2), H: geom.MM(0.2)}}, Objects: objects}
		b, found := readback.Raise(t.Context(), readback.Pack{Artwork: export.Artwork{Layers: []export.Layer{l}}}, board.UsualRules())
		var codes []string
		for _, f := range found {
			if f.Code != "readback-no-profile" {
				codes = append(codes, f.Code)
			}
		}
		return b, codes
	}
	b, codes := raise(rect(0, 0, 5, 5, false), rect(1, 1, 2, 2, true), draw(10, 0, 15, 0), draw(10, 5, 15, 5))
	require.Empty(t, codes)
	require.Len(t, b.Ink, 1)
	require.InDelta(t, 24, b.Ink[0].Fill.Area(), 1e-9)
	require.Len(t, b.Legend, 2)

	b, codes = raise(rect(0, 0, 5, 5, false), rect(20, 0, 25, 5, false), draw(10, 0, 15, 0), draw(10, 5, 15, 5), rect(4, -1, 11, 1, true))
	require.Equal(t, []string{"readback-legend-cleared"}, codes)
	require.Len(t, b.Ink, 1, "the area that is not touched")
	require.Equal(t, geom.PtMM(20, 0), b.Ink[0].Fill.Outer.Box().Min)
	require.Len(t, b.Legend, 1)
	require.Equal(t, geom.PtMM(10, 5), b.Legend[0].Path[0])
}
