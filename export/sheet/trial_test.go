package sheet

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// The kerf gauge as its file has it, cut by lasers of several kerfs: every cut takes half a kerf on either side. The pieces
// pushed to the left end where the scale has that kerf.
func TestKerfGaugeReadsTheKerf(t *testing.T) {
	data, err := KerfGauge(t.Context(), Options{Kerf: geom.MM(0.2), Behind: true}).DXF(t.Context())
	require.NoError(t, err)
	d, l := dxf.Read(t.Context(), data, "kerf.dxf")
	require.Empty(t, l)
	var cuts, window, marks []float64 // x of lines that part the pieces; of the window's ends; of the scale's marks
	for _, e := range d.Entities {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range e.Path.Vertices {
			lo, hi = min(lo, v.X), max(hi, v.X)
		}
		switch {
		case e.Layer == "2-cut-inner" && !e.Path.Closed:
			require.Equal(t, lo, hi)
			cuts = append(cuts, lo)
		case e.Layer == "2-cut-inner":
			window = []float64{lo, hi}
		case e.Layer == "1-engrave" && len(e.Path.Vertices) == 4 && hi-lo < 0.16: // no letter is so thin
			marks = append(marks, (lo+hi)/2)
		}
	}
	require.Len(t, cuts, 19)
	require.Len(t, window, 2)
	require.Len(t, marks, 11)
	edges := slices.Sorted(slices.Values(slices.Concat(cuts, window)))
	for i := range 11 {
		kerf := 0.05 * float64(i)
		end := window[0] - kerf/2 // of the frame, on the left
		for k := range edges[1:] {
			end += edges[k+1] - edges[k] - kerf // of a piece
		}
		require.InDelta(t, end, marks[i], 1e-3, "%v mm", kerf)
	}
}

// The ladder has each width that it tells beneath, and the field and letters.
func TestEngravingLadder(t *testing.T) {
	s := EngravingLadder(t.Context(), Options{})
	widths := map[string]bool{}
	for _, n := range s.engrave {
		if b := n.area.Box(); n.says == "" && b.H() == geom.MM(9) && b.W() < geom.MM(1) {
			widths[strconv.FormatFloat(b.W().MM(), 'g', -1, 64)] = true
		}
	}
	for _, n := range s.engrave {
		delete(widths, n.says)
	}
	require.Empty(t, widths, "untold")
	require.Len(t, s.engrave, 10+10+2*8+8+1+2*7+2+4)
	require.Empty(t, s.cut.inner)
	require.True(t, EngravingLadder(t.Context(), Options{Behind: true}).mirror, "painted as the faces are")
}

// A rectangle of 40 x 30 with a hole of 10: cuts of 140 and 10 pi, on the drawn lines.
func TestFigures(t *testing.T) {
	p := panel.Panel{Outline: plate(40, 30), Openings: []panel.Opening{{Contour: geom.Circle(geom.PtMM(20, 15), geom.MM(10))}}, Symbols: []panel.Symbol{bar(5, 5, 2, 3)}}
	f := Face(t.Context(), p, nil, Options{}).Figures()
	require.Equal(t, geom.MM(40), f.W)
	require.Equal(t, geom.MM(30), f.H)
	require.Equal(t, 1, f.Holes)
	require.InDelta(t, 140+10*math.Pi, f.Cut, 1e-6)
	require.InDelta(t, 6, f.Engraved, 1e-6)
	kerf := KerfGauge(t.Context(), Options{}).Figures()
	require.InDelta(t, 2*(124+44)+2*(100+15)+19*15, kerf.Cut, 1e-6)
}
