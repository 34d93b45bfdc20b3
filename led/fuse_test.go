package led_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
)

// Values of IEC 60127 (references.md section 5) chosen by hand: the next above the worst load over 0.75, at least 500 mA. The
// loads at the limit, 0.75 of a value, still take it.
func TestFuseForALoad(t *testing.T) {
	for _, c := range []struct{ load, fuse part.Amp }{
		{0.001, 0.5}, {0.375, 0.5}, {0.376, 0.63}, {0.460, 0.63}, // 0.460/0.75 = 0.613
		{0.480, 0.8},                 // 0.480/0.75 = 0.640: 630 mA would be loaded by 76 %
		{0.600, 0.8}, {0.7501, 1.25}, // 1 A at most 0.75 A
		{0.9375, 1.25}, {0.95, 1.6}, {1.2, 1.6}, {1.21, 2}, {2.36, 3.15}, {2.37, 4}, {7.5, 10},
	} {
		got, ok := led.FuseFor(c.load)
		require.True(t, ok, "%v", c.load)
		require.Equal(t, c.fuse, got, "%v", c.load)
	}
	_, ok := led.FuseFor(7.51)
	require.False(t, ok, "beyond 10 A there is none")
}
