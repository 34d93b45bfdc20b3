package gerber_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/boardtest/made"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/gerber"
)

// All rules, on every layer of boards as the tool makes them.
func TestRulesOnRealBoards(t *testing.T) {
	for seed := range uint64(2) {
		b, _, l := made.Board(seed, 12+int(seed)*6)
		require.NoError(t, l.Err())
		a := full(export.Lower(b), export.Components(b))
		for i, l := range a.Layers {
			require.Empty(t, exporttest.Breaks(gerber.Layer(a, i, meta())), fmt.Sprintf("seed %d, %v", seed, l.Function))
		}
	}
}
