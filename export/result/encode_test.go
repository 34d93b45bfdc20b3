package result

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

func TestNum(t *testing.T) {
	require.Equal(t, 1.234568, num(1.23456789, 6))
	require.Zero(t, num(math.NaN(), 6))
	require.Zero(t, num(math.Inf(1), 6))
	require.False(t, math.Signbit(num(-1e-9, 6)), "no minus zero")
	require.Equal(t, 1e300, num(1e300, 6))
}

func TestFrame(t *testing.T) {
	f := frame{X: 1000.25, Y: -3}
	x, y := f.at(geom.PtMM(1.5, 2))
	require.Equal(t, 1001.75, x)
	require.Equal(t, -1.0, y)
}
