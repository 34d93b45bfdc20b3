package check_test

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
	"lampblack/led"
	"lampblack/panel/diag"
)

// made returns the board that the real stages make of a panel from the test field; ok is false when a stage refuses it.
func made(seed uint64, n int) (board.Board, led.Wiring, diag.List) {
	p := boardtest.Panel(seed, n)
	w := boardtest.Wiring(p)
	b, l := shape.Derive(p, board.UsualRules())
	if l.HasErrors() {
		return b, w, l
	}
	b, _, l = place.Place(b, p, w, place.Options{})
	if l.HasErrors() {
		return b, w, l
	}
	b, _, l = route.Route(b, route.Options{})
	if l.HasErrors() {
		return b, w, l
	}
	b, _, l = fill.Fill(b, fill.Usual())
	b = legend.Draw(b, legend.Options{Name: p.Name, Supply: "12 V DC"})
	for i := range b.Parts {
		b.Parts[i].Marks = nil // legend.Draw has printed what there is room for
	}
	return b, w, l
}

// TestRealBoards audits what the stages make.
func TestRealBoards(t *testing.T) {
	for seed := uint64(1); seed <= 2; seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			b, w, l := made(seed, 4+int(seed)*6)
			if l.HasErrors() {
				t.Skipf("refused by a stage: %v", l.Err())
			}
			found := check.Audit(b, w)
			for _, f := range found {
				t.Logf("%s %s %v: %s", f.Severity, f.Code, f.Place.At, f.Text)
			}
			require.False(t, found.HasErrors())
		})
	}
}
