package led_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
)

// holds reports, by trying every millivolt, whether a source of e volts behind r ohms meets its load at some voltage from least on.
func holds(e, r, amps, watts, ohms, least float64) bool {
	for v := max(least, 0.001); v <= e; v += 0.001 {
		if (e-v)/r >= amps+watts/v+v/ohms {
			return true
		}
	}
	return false
}

// What a source is said to need is enough, and hardly more than enough.
func TestNeedIsEnough(t *testing.T) {
	for _, c := range []struct{ e, r, amps, watts, ohms, least float64 }{
		{12, 1, 0, 36.5, math.Inf(1), 0},
		{12, 1, 0.8, 36, math.Inf(1), 0},
		{12, 1, 0.8, 36, 50, 0},
		{12, 1, 0.1, 36, math.Inf(1), 8.8},
		{12, 1, 0.1, 36, math.Inf(1), 2},
		{12, 0.9, 0.1, 36, 60, 8.8},
		{5, 0.3, 2, 20, 8, 0},
		{24, 4, 0.1, 60, 1000, 0},
		{9, 2, 1.5, 30, 3, 2.5},
	} {
		s := led.Source{Min: part.Volt(c.e), Nominal: part.Volt(c.e), Max: part.Volt(c.e), Ohms: part.Ohm(c.r)}
		s.Others = []led.Load{{Watts: part.Watt(c.watts)}}
		if !math.IsInf(c.ohms, 1) {
			s.Others = append(s.Others, led.Load{Ohms: part.Ohm(c.ohms)})
		}
		require.False(t, holds(c.e, c.r, c.amps, c.watts, c.ohms, c.least), "the case is none: %v", c)
		n := s.Holds(part.Amp(c.amps), part.Volt(c.least))
		require.True(t, holds(float64(n.Volts), c.r, c.amps, c.watts, c.ohms, c.least), "%v: %v", c, n)
		require.False(t, holds(float64(n.Volts)/1.05-0.11, c.r, c.amps, c.watts, c.ohms, c.least), "%v: %v", c, n)
		require.True(t, holds(c.e, float64(n.Ohms), c.amps, c.watts, c.ohms, c.least), "%v: %v", c, n)
		require.False(t, holds(c.e, float64(n.Ohms)*1.17, c.amps, c.watts, c.ohms, c.least), "%v: %v", c, n)
		require.True(t, holds(c.e, c.r, c.amps, float64(n.Watts), c.ohms, c.least), "%v: %v", c, n)
		require.False(t, holds(c.e, c.r, c.amps, float64(n.Watts)*1.17, c.ohms, c.least), "%v: %v", c, n)
		require.Regexp(t, `It takes a supply of at least `+n.Volts.String()+`, or at most [0-9.]+ ohm inside it, or other loads of at most `, n.Sentence())
	}
}

func TestVerdictsWords(t *testing.T) {
	require.Equal(t, "none", led.Verdict(0).String(), "what nobody has judged is not ok")
	require.Contains(t, led.Source{}.Sentence(), "not judged")
}
