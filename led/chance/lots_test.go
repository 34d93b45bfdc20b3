package chance

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

func same(v float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// Two words, each lit by one LED of its own. By hand: the darkest over the mean is 2a/(a+b), a the dimmer; for LEDs whose logarithms are
// evenly spread over ln 1.6 the difference of two is triangular, |x| ≤ ln 1.6: below x = ln 1.6·(1-√(1-q)) with probability q, so
// half of all draws have a ratio of at most 1.6^0.2929 = 1.1476, and a darkest word of at least 2/(1+1.1476) = 0.931; 95 of 100
// a ratio of at most 1.6^0.7764 = 1.4404, and a darkest word of at least 0.8195.
func TestLotsOfTwo(t *testing.T) {
	light := [][]float64{{1, 0}, {0, 1}}
	s := Lots(context.Background(), light, same(1.6, 2), same(1, 2), same(1, 2), 1, 20_000)
	require.InDelta(t, 1, s.Typical, 1e-12)
	require.InDelta(t, 0.931, s.OneLot.P50, 0.003)
	require.InDelta(t, 0.8195, s.OneLot.P5, 0.004)
	require.InDelta(t, s.OneLot.P50, s.Mixed.P50, 0.004, "lots that are all alike are one lot")

	// Lots from half to twice the typical: the same law over ln 4, here without a spread within a lot: 4^0.2929 = 1.501, 2/2.501.
	s = Lots(context.Background(), light, same(1, 2), same(0.5, 2), same(2, 2), 1, 20_000)
	require.InDelta(t, 1, s.OneLot.P5, 1e-12)
	require.InDelta(t, 0.7997, s.Mixed.P50, 0.006)
	require.Equal(t, s, Lots(context.Background(), light, same(1, 2), same(0.5, 2), same(2, 2), 1, 20_000), "the seed decides")
	require.NotEqual(t, s, Lots(context.Background(), light, same(1, 2), same(0.5, 2), same(2, 2), 2, 20_000))
}

// Many LEDs behind each word level out: four times as many, about half the deviation.
func TestManyLEDsLevelOut(t *testing.T) {
	lit := func(n int) [][]float64 {
		a, b := same(0, 2*n), same(0, 2*n)
		for i := range n {
			a[i], b[n+i] = 1, 1
		}
		return [][]float64{a, b}
	}
	off := func(n int) float64 {
		return 1 - Lots(context.Background(), lit(n), same(1.6, 2*n), same(1, 2*n), same(1, 2*n), 3, 4000).OneLot.P50
	}
	require.InEpsilon(t, 0.5, off(16)/off(4), 0.1)
}
