package place

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// Rows are LEDs in a line with nothing else as near; fields, rings and bends have none.
func TestRowsOf(t *testing.T) {
	line := func(n int, x, y, pitch, degrees float64) (out [][2]float64) {
		for i := range n {
			s, c := math.Sincos(degrees * math.Pi / 180)
			out = append(out, [2]float64{x + pitch*float64(i)*c, y + pitch*float64(i)*s})
		}
		return out
	}
	grid := func(skew float64) (out [][2]float64) {
		for i := range 6 {
			for k := range 6 {
				out = append(out, [2]float64{10*float64(i) + skew*float64(k%2), 10 * float64(k)})
			}
		}
		return out
	}
	var ring [][2]float64
	for i := range 12 {
		s, c := math.Sincos(float64(i) * math.Pi / 6)
		ring = append(ring, [2]float64{50 + 20*c, 50 + 20*s})
	}
	for _, c := range []struct {
		what string
		at   [][2]float64
		want []int // lengths
	}{
		{"a row", line(5, 10, 10, 8, 45), []int{5}},
		{"two", append(line(5, 10, 10, 8, 45), line(4, 90, 10, 8, 120)...), []int{5, 4}},
		{"along X too", line(4, 10, 10, 9, 0), []int{4}},
		{"two LEDs are none", line(2, 10, 10, 8, 45), nil},
		{"one beside its end", append(line(5, 10, 10, 8, 45), [2]float64{45, 32}), []int{5}},
		{"two that meet at a corner", append(line(4, 10, 10, 8, 45), line(4, 10, 58, 8, -45)...), []int{4, 4}},
		{"a square field", grid(0), nil},
		{"a staggered field", grid(5), nil},
		{"a ring", ring, nil},
		{"a bend", append(line(4, 10, 10, 8, 20), line(4, 46, 24, 8, 60)...), []int{4, 4}},
	} {
		var lamps []lamp
		for _, q := range c.at {
			lamps = append(lamps, lamp{at: geom.PtMM(q[0], q[1])})
		}
		var got []int
		for _, r := range rowsOf(lamps) {
			got = append(got, len(r))
			require.True(t, straight(lamps, r), c.what)
		}
		require.Equal(t, c.want, got, c.what)
	}
	for degrees := range 360 {
		s, c := math.Sincos(float64(degrees) * math.Pi / 180)
		want := int(math.Round(float64(degrees)/45)) * 45 % 360
		require.Equal(t, want, nearestEighth(geom.Vec{X: geom.MM(50 * c), Y: geom.MM(50 * s)}), "%d degrees", degrees)
	}
}
