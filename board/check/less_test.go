package check_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/panel/geom"
)

// A limit that gave way at an LED or a screw holds there, as far as it gave way, and nowhere else.
func TestLessHoldsInItsPlace(t *testing.T) {
	count := func(b board.Board, code string) (n int) {
		_, w := focusBoard()
		for _, f := range check.Audit(context.Background(), b, w) {
			if f.Code == code {
				n++
			}
		}
		return n
	}
	// A hole in the board 0.4 mm beside a pad of D1, which reaches 0.9 mm, and one beside D3.
	b, _ := focusBoard()
	hole := func(x, y float64) geom.Contour { return geom.Circle(geom.PtMM(x, y), geom.MM(3)).Reversed() }
	b.Cutouts = append(b.Cutouts, hole(16, 22+0.9+0.4+1.5))
	const edge = "check-copper-to-edge"
	require.Equal(t, 2, count(b, edge), "the pad, on both sides")
	less := func(left float64) []board.Less {
		return []board.Less{{At: b.Parts[0].At, Limit: board.EdgeGap, Left: geom.MM(left)}}
	}
	b.Less = less(0.4)
	require.Zero(t, count(b, edge))
	f := check.Measure(context.Background(), b)
	require.InDelta(t, 0.4e6, float64(f.MinEdge), 2000)
	require.Equal(t, "copper to edge", f.Tightest.Name)
	require.Equal(t, geom.MM(0.4), f.Tightest.Required)
	b.Less = less(0.41)
	require.Equal(t, 2, count(b, edge), "no nearer than that")
	b.Less = less(0.4)
	far := clone(b)
	far.Cutouts = append(far.Cutouts, hole(22, 9+0.9+0.4+1.5))
	require.Equal(t, 2, count(far, edge), "another LED")
	near := clone(b)
	near.Tracks = append(near.Tracks, track(3, geom.Bottom, 0.4, 16, 22, 17.2, 23.0))
	require.Equal(t, 1, count(near, edge), "a track beside it")

	// A track 1.5 mm from a screw's hole of 3.2 mm.
	s, _ := focusBoard()
	s.Tracks = append(s.Tracks, track(1, geom.Bottom, 0.4, 4+1.6+1.5+0.2, 2, 4+1.6+1.5+0.2, 6))
	const screw = "check-screw-room"
	require.Equal(t, 1, count(s, screw))
	s.Less = []board.Less{{At: s.Holes[0].At, Limit: board.ScrewRoom, Left: geom.MM(1.5)}}
	require.Zero(t, count(s, screw))
	s.Less[0].Left = geom.MM(1.6)
	require.Equal(t, 1, count(s, screw))
	s.Less[0] = board.Less{At: s.Holes[1].At, Limit: board.ScrewRoom, Left: geom.MM(1.5)}
	require.Equal(t, 1, count(s, screw), "another screw")
}
