package geom

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// By odd multiples of 45 degrees each coordinate is the exact one, rounded once, as arithmetic of 200 bits has it; half a turn
// more is the opposite, and quarters are exact.
func TestTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(45, 1))
	half := new(big.Float).SetPrec(200).SetFloat64(0.5)
	root := new(big.Float).SetPrec(200).Sqrt(half)
	exact := func(n Nm) float64 {
		v, _ := new(big.Float).SetPrec(200).Mul(root, new(big.Float).SetInt64(int64(n))).Float64()
		return v
	}
	for range 1000 {
		v := Vec{Nm(rng.Int64N(int64(2*MaxCoord))) - MaxCoord, Nm(rng.Int64N(int64(2*MaxCoord))) - MaxCoord}
		if rng.IntN(2) == 0 {
			v = Vec{v.X % (10 * Millimetre), v.Y % (10 * Millimetre)}
		}
		got := v.Turned(45)
		// Half a nanometre of the rounding, and what the root in 2^30 parts is off.
		off := 0.5 + float64(max(v.X, -v.X)+max(v.Y, -v.Y))*1e-11
		require.InDelta(t, exact(v.X-v.Y), float64(got.X), off)
		require.InDelta(t, exact(v.X+v.Y), float64(got.Y), off)
		for d := -720; d <= 720; d += 45 {
			require.Equal(t, v.Turned(d), v.Turned(d+360))
			require.Equal(t, v.Turned(d).Neg(), v.Turned(d+180))
			require.Equal(t, v.Turned(d).Quarter(1), v.Turned(d+90))
			if d%90 == 0 {
				require.Equal(t, v.Quarter(d/90), v.Turned(d))
			}
		}
	}
	require.Equal(t, Vec{707107, 707107}, Vec{X: Millimetre}.Turned(45)) // √½ mm, to the nanometre
	require.Equal(t, Vec{-707107, 707107}, Vec{X: Millimetre}.Turned(135))
	require.InDelta(t, math.Sqrt2*1e6, float64(Vec{Millimetre, Millimetre}.Turned(45).Y), 0.5)
	require.Panics(t, func() { Vec{X: 1}.Turned(1) }, "a quarter turn is 90, not 1")
}
