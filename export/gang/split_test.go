package gang_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/gang"
	"lampblack/panel/geom"
)

// plate is a bare board of that size, mm.
func plate(name string, w, h float64, n int) gang.Piece {
	outline := geom.Rect(geom.Box{Max: geom.PtMM(w, h)})
	return piece(board.Board{Name: name, Outline: outline, Rules: board.UsualRules()}, n)
}

// On 300 x 300 mm with a frame of 7 mm and slots of 2 mm there are 284 mm each way for boards with their slots: 3 x 3 of 90 mm (92 with
// the slot), and of boards of 200 x 250 mm one.
func TestOrdersAreSplit(t *testing.T) {
	opt := options()
	opt.Width = geom.MM(300)
	scored := opt
	scored.Cut = gang.Vcuts // edge to edge, 286 mm each way: 3 x 3 too
	load := func(times int, counts ...int) gang.Load { return gang.Load{Counts: counts, Times: times} }
	ninety := func(n int) []gang.Piece { return []gang.Piece{plate("a", 90, 90, n)} }
	for _, c := range []struct {
		name   string
		pieces []gang.Piece
		opt    gang.Options
		want   []gang.Load
		made   []int // where the order is wanted three times
	}{
		{"all fit", ninety(9), opt, []gang.Load{load(1, 9)}, []int{3}},
		{"one too many", ninety(10), opt, []gang.Load{load(2, 5)}, []int{6}},
		{"three arrays, one kind of them", ninety(20), opt, []gang.Load{load(3, 7)}, []int{9}}, // 60 wanted, 8 of 7 are 56
		{"spares made good use of", ninety(28), opt, []gang.Load{load(4, 7)}, []int{12}},
		{"scored", ninety(20), scored, []gang.Load{load(3, 7)}, []int{9}},
		{"two kinds", []gang.Piece{plate("a", 90, 90, 6), plate("b", 90, 90, 4)}, opt, []gang.Load{load(2, 3, 2)}, []int{6}},
		{"each by itself", []gang.Piece{plate("a", 200, 250, 1), plate("b", 190, 250, 1), plate("c", 200, 240, 1)}, opt,
			[]gang.Load{load(1, 1, 0, 0), load(1, 0, 1, 0), load(1, 0, 0, 1)}, []int{3, 3, 3}},
		{"no parting helps", []gang.Piece{plate("a", 290, 290, 2)}, opt, []gang.Load{load(1, 2)}, []int{3}},
		{"kinds cannot be scored", []gang.Piece{plate("a", 90, 90, 20), plate("b", 90, 90, 1)}, scored, []gang.Load{load(1, 20, 1)}, []int{3}},
	} {
		got := gang.Loads(t.Context(), c.pieces, c.opt)
		require.Equal(t, c.want, got, c.name)
		var counts []int
		for _, p := range c.pieces {
			counts = append(counts, p.Count)
		}
		require.Equal(t, c.made, gang.Quantities(got, counts, 3), c.name)
		if len(got) == 1 && got[0].Times == 1 {
			continue // all in one, or Make says why not
		}
		for _, l := range got {
			var some []gang.Piece
			for i, n := range l.Counts {
				if p := c.pieces[i]; n > 0 {
					p.Count = n
					some = append(some, p)
				}
			}
			_, findings := gang.Make(t.Context(), some, c.opt)
			require.False(t, findings.HasErrors(), "%s: %v", c.name, findings)
		}
	}
	// 3 times 10 boards by arrays of 4: eight of them, not nine.
	require.Equal(t, []int{8}, gang.Quantities([]gang.Load{load(3, 4)}, []int{10}, 3))
}
