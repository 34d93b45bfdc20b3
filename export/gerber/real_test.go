package gerber_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/fill"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
)

// real is a board made by the other stages.
func real(t testing.TB, seed uint64, leds int) board.Board {
	p := boardtest.Panel(seed, leds)
	w := boardtest.Wiring(p)
	b, l := shape.Derive(p, board.UsualRules())
	require.False(t, l.HasErrors(), "seed %d: %v", seed, l)
	b, _, l = place.Place(b, p, w, place.Options{})
	require.False(t, l.HasErrors(), "seed %d: %v", seed, l)
	b, _, _ = route.Route(b, route.Options{})
	b, _, _ = fill.Fill(b, fill.Usual())
	return legend.Draw(b, legend.Options{Name: p.Name, Revision: "A", Supply: "12 V DC"})
}

// All rules, on every layer of boards as the tool makes them.
func TestRulesOnRealBoards(t *testing.T) {
	for seed := range uint64(2) {
		b := real(t, seed, 12+int(seed)*6)
		a := full(export.Lower(b), export.Components(b))
		for i, l := range a.Layers {
			require.Empty(t, exporttest.Breaks(gerber.Layer(a, i, meta())), fmt.Sprintf("seed %d, %v", seed, l.Function))
		}
	}
}
