package check_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// A screw near copper and an LED near the edge: down to the floor a warning that tells what is left, and the audit holds that; below
// it nothing gives way, and the audit tells an error as of any board.
func TestGaveWay(t *testing.T) {
	good, w := focusBoard()
	none, l := check.GaveWay(t.Context(), good, board.Floors{ScrewClear: []geom.Nm{geom.MM(0.3)}, CopperToEdge: geom.MM(0.3)})
	require.Empty(t, none)
	require.Empty(t, l)

	// The hole is moved to copper.
	b := clone(good)
	b.Holes[3].At = geom.PtMM(52, 4)
	before := count(check.Audit(t.Context(), b, w), "check-screw-room")
	require.Positive(t, before)
	for _, c := range []struct {
		floors []geom.Nm
		want   bool
	}{{nil, false}, {[]geom.Nm{geom.MM(1.5), geom.MM(1.3)}, false}, {[]geom.Nm{geom.MM(1.3), geom.MM(0.2)}, true}} {
		less, l := check.GaveWay(t.Context(), b, board.Floors{ScrewClear: c.floors})
		if !c.want {
			require.Empty(t, less)
			require.Empty(t, l)
			continue
		}
		require.Len(t, less, 1)
		require.Equal(t, board.ScrewRoom, less[0].Limit)
		require.Equal(t, b.Holes[3].At, less[0].At)
		require.Len(t, l, 1)
		require.Equal(t, diag.Warning, l[0].Severity)
		require.Contains(t, l[0].Text, less[0].Left.String()+" are free round this mount hole")
		kept := b
		kept.Less = less
		require.Zero(t, count(check.Audit(t.Context(), kept, w), "check-screw-room"))
		// It is what is left, and no more: with a hundredth more the audit tells it.
		kept.Less = []board.Less{{At: less[0].At, Limit: less[0].Limit, Left: less[0].Left + 15*geom.Micrometre}}
		require.Positive(t, count(check.Audit(t.Context(), kept, w), "check-screw-room"))
	}

	// An LED's pads 0.38 mm from the edge, 0.5 wanted.
	b = clone(good)
	b.Rules.CopperToEdge = geom.MM(0.5)
	d := part(&b, "D1")
	low := geom.MaxCoord
	for _, p := range d.Pads {
		low = min(low, p.At.Y-p.H/2)
	}
	shift(d, 0, geom.MM(0.38).MM()-low.MM())
	require.Positive(t, count(sounds(t, b), "check-copper-to-edge"))
	less, l := check.GaveWay(t.Context(), b, board.Floors{CopperToEdge: geom.MM(0.3)})
	require.Equal(t, []board.Less{{At: d.At, Limit: board.EdgeGap, Left: geom.MM(0.38)}}, less)
	require.Contains(t, l[0].Text, "pads of D1 come as near as 0.38 mm to the board's edge: 0.5 mm is usual")
	b.Less = less
	require.Zero(t, count(sounds(t, b), "check-copper-to-edge"))
	less, _ = check.GaveWay(t.Context(), b, board.Floors{CopperToEdge: geom.MM(0.4)})
	require.Empty(t, less, "below its floor")
}

func count(l diag.List, code string) int {
	n := 0
	for _, c := range codes(l) {
		if c == code {
			n++
		}
	}
	return n
}

// sounds returns what is told of a board whose circuit nobody knows.
func sounds(t *testing.T, b board.Board) diag.List {
	l, _ := check.Sound(t.Context(), b)
	return l
}
