package flow

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/expect"
)

// What is measured board by board is what is there: without a board that came to nothing, as much current flows as its neighbour takes
// on the bench (by Kirchhoff's current law; what a metre of wire drops moves it by less than a hundredth).
func TestGuideMeasuresWhatIsThere(t *testing.T) {
	c := pairBuilt(t, false, "").Circuit
	all := expect.Chain(c)
	require.Len(t, all, 2)
	for lost, there := range map[string]string{"long-a": "long-b", "long-b": "long-a"} {
		steps := expect.Chain(unlit(c, []string{lost}))
		require.Len(t, steps, 2)
		bench, ok := expect.OnBench(c, there)
		require.True(t, ok)
		require.InEpsilon(t, bench.Amps.Usual, steps[1].Amps.Usual, 0.01)
		require.Less(t, steps[1].Amps.Usual, all[1].Amps.Usual)
	}
	require.Equal(t, all, expect.Chain(c), "the circuit itself stays")
}

// A board hangs on the chain at the supply that its own chain starts from at last, in whatever order they are told.
func TestRooted(t *testing.T) {
	chain := func(from string, boards ...string) led.Chain {
		c := led.Chain{From: from}
		for _, b := range boards {
			c.Links = append(c.Links, led.Link{Panel: b})
		}
		return c
	}
	require.Equal(t, map[string]int{"a": 3, "b": 3, "c": 3, "d": 2, "e": 3},
		rooted([]led.Chain{chain("b", "c"), chain("", "d"), chain("", "a", "b"), chain("c", "e")}))
}
