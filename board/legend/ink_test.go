package legend

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// Every glyph stays in its grid and looks like no other; whatever a name may hold becomes something printable.
func TestFont(t *testing.T) {
	seen := map[string]rune{}
	for _, r := range "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789k+-./:,()_=#%!?'*&" {
		strokes, ok := lettering.Strokes(r)
		require.True(t, ok, "%c", r)
		g := fmt.Sprint(strokes)
		require.Zero(t, seen[g], "%c looks like %c", r, seen[g])
		seen[g] = r
		require.NotEmpty(t, setText(string(r)).lines, "%c", r)
		for _, line := range setText(string(r)).lines {
			require.GreaterOrEqual(t, len(line), 2, "%c: a stroke has two ends", r)
			for _, p := range line {
				require.True(t, p[0] >= 0 && p[0] <= 4 && p[1] >= 0 && p[1] <= capUnits, "%c: %v", r, p)
			}
		}
	}
	require.Equal(t, "UBERSICHT 4-7 ?", plain(" Übersicht 4–7 ✓ "))
	require.Equal(t, "1k3 DESK 10k", plain("1k3 desk 10k"), "a value as the lists have it")
}

// Text on the bottom is the mirror image, so that it reads from behind.
func TestMirror(t *testing.T) {
	c := geom.PtMM(20, 10)
	front := setText("R7").at(c, geom.MM(1.2), 0, false)
	back := setText("R7").at(c, geom.MM(1.2), 0, true)
	require.Len(t, back, len(front))
	for i := range front {
		for k := range front[i] {
			require.Equal(t, c.X-front[i][k].X, back[i][k].X-c.X)
			require.Equal(t, front[i][k].Y, back[i][k].Y)
		}
	}
}

// A line of 0.15 through a round mask opening of 1.9 mm is cut 0.15 mm from it: at 0.95 + 0.15 + 0.075 from its middle.
func TestClipped(t *testing.T) {
	b := board.Board{Rules: board.UsualRules(), Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(20, 10)))}
	pad := board.Pad{At: geom.PtMM(10, 5), Shape: board.Round, W: geom.MM(1.8), H: geom.MM(1.8), Through: true, Mask: geom.MM(0.05)}
	b.Parts = []board.Part{{Pads: []board.Pad{pad}}}
	f := newFace(nil, b, geom.Top)
	got := f.clipped(board.Stroke{Width: geom.MM(0.15), Path: geom.Polyline{geom.PtMM(5, 5), geom.PtMM(25, 5)}})
	require.Len(t, got, 2)
	require.Equal(t, geom.PtMM(5, 5), got[0][0])
	const fine = 0.002 // mm: slack
	require.InDelta(t, 10-1.175-fine, got[0][1].X.MM(), 1e-5)
	require.InDelta(t, 10+1.175+fine, got[1][0].X.MM(), 1e-5)
	require.InDelta(t, 20-0.225-fine, got[1][1].X.MM(), 1e-5, "and at the board's edge")
}
