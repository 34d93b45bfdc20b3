package readback_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/check"
	"lampblack/board/fill"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/export/readback"
	"lampblack/led"
)

// made returns a board of the test field as a build makes it; ok is false where a stage refuses the panel.
func made(seed uint64, n int) (board.Board, led.Wiring, bool) {
	p := boardtest.Panel(seed, n)
	w := boardtest.Wiring(p)
	b, l := shape.Derive(p, board.UsualRules())
	if l.HasErrors() {
		return b, w, false
	}
	if b, _, l = place.Place(b, p, w, place.Options{}); l.HasErrors() {
		return b, w, false
	}
	if b, _, l = route.Route(b, route.Options{}); l.HasErrors() {
		return b, w, false
	}
	b, _, l = fill.Fill(b, fill.Usual())
	b = legend.Draw(b, legend.Options{Name: p.Name, Supply: "12 V DC"})
	return b, w, !l.HasErrors()
}

// TestFieldBoards takes boards of the whole chain of stages through files and back: same artwork, and the raised board is
// proven like the first.
func TestFieldBoards(t *testing.T) {
	for _, seed := range []uint64{1, 12} {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			b, w, ok := made(seed, 14)
			require.True(t, ok)
			want, files := written(t, b)
			p, found := readback.Open(files)
			show(t, found)
			require.Empty(t, found)
			require.Empty(t, readback.Compare(want, p.Artwork))
			raised, found := readback.Raise(p, b.Rules)
			show(t, found)
			require.Empty(t, found)
			before, after := check.Audit(b, w), check.Audit(raised, w)
			show(t, after)
			require.Equal(t, codes(before), codes(after))
			require.False(t, after.HasErrors())
			require.Equal(t, check.Measure(b), check.Measure(raised))
		})
	}
}
