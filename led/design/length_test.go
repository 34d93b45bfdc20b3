package design

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/led/solve"
)

// spread returns how far the current of a string of k LEDs can go up and down from i, relative to it, when its resistor is
// what would give i at the nominal voltage; ok is false when there is no room for a resistor.
func spread(r led.Request, k part.LED, d part.Diode, n int, i part.Amp, tol float64) (up, down float64, ok bool) {
	src := source(r)
	room := r.Supply.Nominal - part.Volt(float64(n)*float64(src.Cornered(k, d, 0).Volts(i)))
	if !(room > 0 && float64(room.Over(i)) >= 1) {
		return 0, 0, false
	}
	ohms := float64(room.Over(i))
	high, _ := solve.String{LEDs: n, Diode: src.Cornered(k, d, -1), Ohms: ohms * (1 - tol)}.At(float64(r.Supply.Max))
	low, _ := solve.String{LEDs: n, Diode: src.Cornered(k, d, 1), Ohms: ohms * (1 + tol)}.At(float64(r.Supply.Min))
	return high/float64(i) - 1, 1 - low/float64(i), true
}

// A string is as long as the limit on its change allows, and no longer.
func TestStringLength(t *testing.T) {
	for _, c := range []struct {
		kind   string
		window part.Window
		want   int
	}{
		{"red-3mm", part.Window{Min: 12, Nominal: 12, Max: 12}, 4},
		{"white-3mm", part.Window{Min: 12, Nominal: 12, Max: 12}, 2},
		{"red-3mm", part.Window{Min: 24, Nominal: 24, Max: 24}, 8},
		{"red-3mm", part.Window{Min: 11.4, Nominal: 12, Max: 12.6}, 3},
		{"red-3mm", part.Window{Min: 5, Nominal: 5, Max: 5}, 1},
	} {
		req := led.Usual()
		req.Supply = c.window
		k, ok := part.Find(c.kind)
		require.True(t, ok)
		d, _ := part.Fit(k)
		got, l := longest(req, k, d, req.Defaults, 40)
		require.Empty(t, l)
		require.Equal(t, c.want, got, "%v", c)
		up, down, ok := spread(req, k, d, got, 0.008, 0.05)
		require.True(t, ok)
		require.LessOrEqual(t, max(up, down), 0.30)
		up, down, ok = spread(req, k, d, got+1, 0.008, 0.05)
		require.True(t, !ok || max(up, down) > 0.30)
	}
}
