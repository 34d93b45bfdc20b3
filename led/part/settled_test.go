package part

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSettled(t *testing.T) {
	for v, want := range map[float64]float64{
		1.0 / 3: 0.333333333, -2e-26 / 3: -6.66666667e-27, 1e-10: 1e-10, 0: 0, 0.30000000000000004: 0.3, math.Inf(1): math.Inf(1), 1.7976931348e308: 1.79769313e308,
	} {
		require.Equal(t, want, Settled(v), "%g", v)
	}
	require.True(t, math.IsNaN(Settled(math.NaN())))
	// Bare wires and tracks too are the same on every processor.
	require.Equal(t, AWGWire(24).Ohms, Ohm(Settled(float64(AWGWire(24).Ohms))))
}
