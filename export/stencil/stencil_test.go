package stencil_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
	"lampblack/export/readback"
	"lampblack/export/stencil"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// pasted is a board with one part, whose two pads have that shape and size.
func pasted(shape board.PadShape, w, h float64, turn int) board.Board {
	f, _ := footprint.Lookup("r-0805")
	for i := range f.Pads {
		f.Pads[i].Shape, f.Pads[i].W, f.Pads[i].H = shape, geom.MM(w), geom.MM(h)
	}
	b := exporttest.Desk()
	b.Parts = []board.Part{f.Place("R1", board.Resistor, geom.PtMM(20, 20), turn, geom.Bottom, b.Rules.MaskMargin)}
	b.Tracks, b.Vias, b.Areas, b.Holes, b.Legend = nil, nil, nil, nil, nil
	return b
}

// judged writes the board's layers, reads them back and judges the paste.
func judged(t *testing.T, b board.Board, thick float64) (stencil.Figures, diag.List) {
	t.Helper()
	art := export.Lower(b)
	art.Layers = append(art.Layers, export.Components(b)...)
	var files []readback.File
	for i, l := range art.Layers {
		files = append(files, readback.File{Name: export.FileName(art.Name, l.Function), Data: gerber.Layer(art, i, gerber.Meta{})})
	}
	pack, l := readback.Open(t.Context(), files)
	require.NoError(t, l.Err())
	raised, _ := readback.Raise(t.Context(), pack, b.Rules)
	return stencil.Judge(pack.Artwork, raised, geom.MM(thick))
}

// Source of the formulas: IPC-7525. Area ratio L·W / (2·(L + W)·T), of a round opening D / (4·T), at least 0.66; aspect ratio W / T, at
// least 1.5; both must hold. The figures are computed by hand; 0.30 x 0.25 in 0.10 is printed by a stencil maker's page as 0.68 and 2.5.
func TestRatios(t *testing.T) {
	for _, c := range []struct {
		what         string
		shape        board.PadShape
		w, h, thick  float64
		area, aspect float64
		says         string // empty: the paste comes out
	}{
		{"as printed", board.Square, 0.30, 0.25, 0.10, 0.6818, 2.5, ""},
		{"the same, the other way", board.Square, 0.25, 0.30, 0.10, 0.6818, 2.5, ""},
		{"the same, thicker", board.Square, 0.30, 0.25, 0.12, 0.5682, 2.0833, "0.3 x 0.25 mm, the area ratio is 0.56, and 0.66 is needed (IPC-7525)"},
		{"round", board.Round, 0.32, 0.32, 0.12, 0.6667, 2.6667, ""},
		{"round, too small", board.Round, 0.31, 0.31, 0.12, 0.6458, 2.5833, "0.31 mm across, the area ratio is 0.64, and 0.66 is needed"},
		{"a slot", board.Square, 5, 0.17, 0.12, 0.6850, 1.4167, "5 x 0.17 mm, the aspect ratio is 1.41, and 1.5 is needed"},
		{"a narrow slot", board.Square, 5, 0.15, 0.12, 0.6068, 1.25, "the area ratio is 0.60, and 0.66 is needed; the aspect ratio is 1.25, and 1.5 is needed"},
		// Ends π·0.3²/4 = 0.070686 and sides 0.5·0.3 = 0.15; walls π·0.3 + 2·0.5 = 1.942478; 0.220686 / 0.233097 = 0.9468.
		{"round ends", board.Oblong, 0.8, 0.3, 0.12, 0.9468, 2.5, ""},
		// A chip resistor 0805 of ours, 1.05 x 1.45: 1.5225 / (5 · 0.12) = 2.5375; 1.05 / 0.12 = 8.75.
		{"0805", board.Square, 1.05, 1.45, 0.12, 2.5375, 8.75, ""},
		{"0805, far too thick", board.Square, 1.05, 1.45, 0.5, 0.6090, 2.1, "the area ratio is 0.60"},
	} {
		for _, turn := range []int{0, 90, 135} {
			if turn == 135 && c.shape == board.Oblong {
				continue // no pad is so
			}
			b := pasted(c.shape, c.w, c.h, turn)
			f, l := judged(t, b, c.thick)
			require.Equal(t, 2, f.Openings, c.what)
			require.InDelta(t, c.area, f.Area, 1e-4, c.what)
			require.InDelta(t, c.aspect, f.Aspect, 1e-4, c.what)
			require.Equal(t, "R1", f.Of, c.what)
			if c.says == "" {
				require.Empty(t, l, c.what)
				require.GreaterOrEqual(t, f.Thickest, geom.MM(c.thick), c.what)
				continue
			}
			require.Len(t, l, 1, "%s: a part is told once", c.what)
			require.Contains(t, l[0].Text, c.says, c.what)
			require.Equal(t, "R1", l[0].Subject.Part)
			require.InDelta(t, b.Parts[0].Pads[0].At.X.MM(), l[0].Place.At.X, 1e-6)
			require.InDelta(t, b.Parts[0].Pads[0].At.Y.MM(), l[0].Place.At.Y, 1e-6)
			require.Contains(t, l[0].Advice, f.Thickest.String())
			require.Len(t, l[0].Changes, 1)
			_, l = judged(t, b, f.Thickest.MM())
			require.Empty(t, l, "%s: as thick as is advised", c.what)
			_, l = judged(t, b, f.Thickest.MM()+0.01)
			require.NotEmpty(t, l, "%s: and no thicker", c.what)
		}
	}
}

// Where no part stands on the surface a stencil is nothing to speak of.
func TestWithoutPaste(t *testing.T) {
	b := pasted(board.Square, 1, 1, 0)
	for i := range b.Parts[0].Pads {
		b.Parts[0].Pads[i].Paste = false
	}
	f, l := judged(t, b, 0.5)
	require.Empty(t, l)
	require.Equal(t, stencil.Figures{}, f)
}
