package geom

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// What differs in its last bits is the same once settled, and quarters of a turn stay what they are.
func TestSettled(t *testing.T) {
	for k := range 1000 {
		a := float64(k) * 0.0123
		sin, cos := Sincos(a)
		require.InDelta(t, math.Sin(a), sin, 5e-10)
		require.InDelta(t, math.Cos(a), cos, 5e-10)
		require.Equal(t, sin, Settled(math.Nextafter(math.Sin(a), 2)), "%v", a)
		require.Equal(t, cos, Settled(math.Nextafter(math.Cos(a), -2)), "%v", a)
	}
	sin, cos := Sincos(0)
	require.Equal(t, [2]float64{0, 1}, [2]float64{sin, cos})
	sin, _ = Sincos(math.Pi / 2)
	require.Equal(t, 1.0, sin)
	require.True(t, math.IsNaN(Settled(math.NaN())))
}
