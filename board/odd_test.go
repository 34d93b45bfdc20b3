package board_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
)

// LEDs that stand otherwise are named while they are a third at most.
func TestOdd(t *testing.T) {
	for _, c := range []struct {
		turns []int
		refs  []string
		mixed bool
		says  string
	}{
		{[]int{90}, nil, false, ""},
		{[]int{90, 90, 90}, nil, false, "All LEDs stand the same way round."},
		{[]int{90, 270, 90}, []string{"D2"}, false, "D2 stands another way round than the other LEDs, and has a ! behind its name."},
		{[]int{0, 180, 0, 0, 45, 0}, []string{"D2", "D5"}, false, "D2, D5 stand another way round than the other LEDs, and have a ! behind their names."},
		{[]int{0, 180}, nil, true, "LEDs stand different ways round: go by the plus at each."},
		{[]int{0, 180, 0, 180, 0}, nil, true, "LEDs stand different ways round: go by the plus at each."},
	} {
		b := board.Board{Parts: []board.Part{{Ref: "R1", Kind: board.Resistor, Turn: 180}, {Ref: "J1", Kind: board.Connector, Turn: 270}}}
		for i, turn := range c.turns {
			b.Parts = append(b.Parts, board.Part{Ref: "D" + string(rune('1'+i)), Kind: board.LED, Turn: turn})
		}
		_, mixed := b.Odd()
		require.Equal(t, c.mixed, mixed, "%v", c.turns)
		require.Equal(t, c.refs, b.OddRefs(), "%v", c.turns)
		require.Equal(t, c.says, b.TurnsTold())
	}
}
