package readback_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/boardtest/made"
	"lampblack/board/check"
	"lampblack/export/readback"
)

// TestFieldBoards takes boards of the whole chain of stages through files and back: same artwork, and the raised board is
// proven like the first.
func TestFieldBoards(t *testing.T) {
	for _, seed := range []uint64{1, 12} {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			b, w, l := made.Board(seed, 14)
			require.NoError(t, l.Err())
			want, files := written(t, b)
			p, found := readback.Open(t.Context(), files)
			show(t, found)
			require.Empty(t, found)
			require.Empty(t, readback.Compare(want, p.Artwork))
			raised, found := readback.Raise(t.Context(), p, b.Rules)
			show(t, found)
			require.Empty(t, found)
			before, after := check.Audit(context.Background(), b, w), check.Audit(context.Background(), raised, w)
			show(t, after)
			require.Equal(t, codes(before), codes(after))
			require.False(t, after.HasErrors())
			require.Equal(t, check.Measure(context.Background(), b), check.Measure(context.Background(), raised))
		})
	}
}
