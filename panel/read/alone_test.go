package read

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// buttons draws holes for push buttons, d mm across, on a grid.
func buttons(across, down int, d float64) string {
	var out []string
	for i := range across {
		for k := range down {
			out = append(out, fmt.Sprintf("0 circle %d %d %g", 20+40*i, 20+40*k, d))
		}
	}
	return strings.Join(out, "\n")
}

// TestNoOutlineInSoManyWords: twelve holes for buttons without a panel round them are no twelve panels.
func TestNoOutlineInSoManyWords(t *testing.T) {
	for _, marks := range []string{"", "\n0 line 15 20 25 20\n0 line 20 15 20 25"} {
		ps, l := Panels(t.Context(), drawn(t, buttons(4, 3, 24)+marks), Options{})
		require.Empty(t, ps)
		require.Contains(t, codes(l), "error panel-no-outline")
		require.Equal(t, "the drawing has no outline: its 12 circles of 24 mm stand beside each other and hold nothing, as the openings of a panel do whose edge is not drawn", l[0].Text)
		require.Contains(t, l[0].Advice, "from (8, 8) to (152, 112)")
	}
	// Round panels with holes in them are panels, and so are large plates.
	ps, l := Panels(t.Context(), drawn(t, buttons(2, 1, 38)+"\n0 circle 20 20 3\n0 circle 60 20 3"), Options{})
	require.Len(t, ps, 2)
	require.NotContains(t, codes(l), "error panel-no-outline")
	ps, _ = Panels(t.Context(), drawn(t, "0 rect 0 0 200 80\n0 rect 0 100 200 180\n0 rect 0 200 200 280"), Options{})
	require.Len(t, ps, 3)
}

// TestUnitIsNoQuestionWithoutOutline: an assumed unit is not told where nothing is measured in it.
func TestUnitIsNoQuestionWithoutOutline(t *testing.T) {
	d := drawn(t, "0 line 0 0 100 0\n0 line 100 0 100 50")
	d.Units.Assumed, d.Units.Why = true, "the file names no unit"
	_, l := Panels(t.Context(), d, Options{})
	require.Equal(t, []string{"error dxf-open-outline", "warning dxf-open-line"}, codes(l))
	d = drawn(t, "0 rect 0 0 100 50")
	d.Units.Assumed, d.Units.Why = true, "the file names no unit"
	_, l = Panels(t.Context(), d, Options{})
	require.Contains(t, codes(l), "warning dxf-units-assumed")
}

// TestOutlinesAcrossEachOther: two outlines that overlap are an error that tells where, on their own layer or guessed.
func TestOutlinesAcrossEachOther(t *testing.T) {
	for _, layer := range []string{"outline", "0"} {
		_, l := Panels(t.Context(), drawn(t, strings.ReplaceAll("L rect 0 0 120 80\nL rect 100 20 200 60\nled circle 20 20 3\nled circle 150 40 3", "L", layer)), Options{})
		n := 0
		for _, f := range l {
			if f.Code == "panel-outlines-overlap" {
				n++
				require.Equal(t, 120.0, f.Place.At.X)
				require.Contains(t, f.Text, "one of 120 x 80 mm, one of 100 x 40 mm")
			}
		}
		require.Equal(t, 2, n, "each of the two panels has it: %v", l)
	}
	// Side by side with a common edge they are two panels.
	_, l := Panels(t.Context(), drawn(t, "outline rect 0 0 120 80\noutline rect 120 0 200 80\nled circle 20 20 3\nled circle 150 40 3"), Options{})
	require.NotContains(t, strings.Join(codes(l), " "), "overlap")
}

// TestFallsApart: a circle drawn into a square leaves four corners; a notch, or an opening at one side alone, leaves one piece.
func TestFallsApart(t *testing.T) {
	for src, want := range map[string]bool{
		"outline rect 0 0 60 60\nopening circle 30 30 60":                             true,
		"outline rect 0 0 60 60\nopening rect -1 20 61 30":                            true,
		"outline rect 0 0 60 60\nopening rect -1 20 30 30":                            false,
		"outline rect 0 0 60 60\nopening circle 30 30 40":                             false,
		"outline rect 0 0 60 60\nopening rect 0 20 40 30\nopening rect 40 20 60 30":   true,
		"outline rect 0 0 60 60\nopening rect 0 20 28 30\nopening rect 32 20 60 30":   false,
		"outline rect 0 0 10 10\nopening circle 5 5 10\nled circle 0.9 0.9 1":         true,
		"outline rect 0 0 60 60\nopening rect 0.02 20 59.98 30\nled circle 10 10 3.1": true,
	} {
		_, l := Panels(t.Context(), drawn(t, src), Options{})
		require.Equal(t, want, slices.Contains(codes(l), "error panel-falls-apart"), src)
	}
}

// TestWindowIsNoPanel: a line that holds nothing, with holes beside it or on a layer that is named for openings, is no panel, and
// neither is what stands beside a drawn board; the error says how to take it for one all the same.
func TestWindowIsNoPanel(t *testing.T) {
	const holes = "\n0 circle 10 10 3\n0 circle 20 10 3\n0 circle 30 10 3"
	for _, src := range []string{
		"0 rect 30 20 90 60" + holes,
		"0 rect 30 20 230 120" + holes,
		"0 circle 60 40 50" + holes,
		"0 rect 30 20 90 60\n0 circle 27 17 2.7\n0 circle 93 17 2.7\n0 circle 27 63 2.7\n0 circle 93 63 2.7",
		"Fenster rect 30 20 90 60",
		"board rect 30 20 90 60\n0 circle 40 30 3\n0 circle 50 30 3\n0 rect 5 20 25 60\n0 circle 100 30 12",
	} {
		ps, l := Panels(t.Context(), drawn(t, src), Options{})
		require.Empty(t, ps, src)
		require.Contains(t, codes(l), "error panel-no-outline", src)
		require.Contains(t, l[0].Advice, "outline: largest", src)
		r, err := ParseRule("outline", "largest")
		require.NoError(t, err)
		if ps, _ = Panels(t.Context(), drawn(t, src), Options{Rules: []Rule{r}}); !strings.HasPrefix(src, "board") {
			require.Len(t, ps, 1, src)
		}
	}
	for _, src := range []string{
		"0 rect 30 20 90 60",                                      // a blank one
		"0 rect 30 20 90 60\n0 circle 40 30 3" + holes,            // it holds something
		"0 rect 30 20 90 60\n0 circle 10 10 3",                    // one remark
		"Ausschnitte rect 0 0 90 60\nAusschnitte circle 40 30 12", // all on one layer
	} {
		ps, _ := Panels(t.Context(), drawn(t, src), Options{})
		require.Len(t, ps, 1, src)
	}
}
