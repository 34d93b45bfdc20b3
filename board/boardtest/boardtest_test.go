package boardtest_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/boardtest"
	"lampblack/led"
)

// The helper must keep its promises, or the tests that lean on it prove nothing.
func TestPanelAndWiring(t *testing.T) {
	for seed := range uint64(40) {
		n := 6 + int(seed*7)
		p := boardtest.Panel(seed, n)
		require.Equal(t, p, boardtest.Panel(seed, n), "seed %d", seed)
		require.Greater(t, len(p.LEDs), n*8/10, "seed %d: LEDs of %d", seed, n)
		box := p.Outline.Box()
		require.GreaterOrEqual(t, box.W().MM(), 40.0)
		require.LessOrEqual(t, box.W().MM(), 400.0)
		require.LessOrEqual(t, box.H().MM(), 300.0)

		w := boardtest.Wiring(p)
		require.Len(t, w.LEDs, len(p.LEDs))
		used := map[int]bool{}
		pins := map[led.NetID]int{}
		for _, l := range w.LEDs {
			require.False(t, used[l.Hole])
			used[l.Hole] = true
			pins[l.Anode]++
			pins[l.Cathode]++
		}
		for _, r := range w.Resistors {
			pins[r.From]++
			pins[r.To]++
		}
		for id := range w.Nets {
			if id > int(led.Return) {
				require.Equal(t, 2, pins[led.NetID(id)], "seed %d: net %d joins two pins", seed, id)
			}
		}
		require.Equal(t, len(w.Strings), pins[led.Supply])
		require.Equal(t, len(w.Strings), pins[led.Return])
	}
}
