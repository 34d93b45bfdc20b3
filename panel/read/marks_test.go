package read

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// concentricPanel is a plate with two circles about each of four places in a row or in the corners.
func concentricPanel(layer [2]string, edge string, d [2]float64, corners bool) string {
	out := edge + " rect 0 0 120 60\n"
	for i := range 4 {
		x, y := 30+20*float64(i), 30.0
		if corners {
			x, y = 6+108*float64(i%2), 6+48*float64(i/2)
		}
		for k := range 2 {
			out += fmt.Sprintf("%s circle %v %v %v\n", layer[k], x, y, d[k])
		}
	}
	return out
}

// TestHoleIsNoRingOfAPad: a hole of a screw's, an LED's or a switch's size stays one when its centre is marked by a small circle,
// on its layer or on another; and so does what is drilled, when a head, a washer or a pocket is drawn round it.
func TestHoleIsNoRingOfAPad(t *testing.T) {
	for _, c := range []struct {
		d                      [2]float64
		corners                bool
		leds, mounts, openings float64 // the diameter of each of four; 0: none
	}{
		{d: [2]float64{3.2, 0.3}, corners: true, mounts: 3.2},
		{d: [2]float64{3.2, 0.8}, corners: true, mounts: 3.2},
		{d: [2]float64{3.2, 1.2}, corners: true, mounts: 3.2},
		{d: [2]float64{3.2, 1}, leds: 3.2},
		{d: [2]float64{5, 0.8}, leds: 5},
		{d: [2]float64{7, 1}, openings: 7},
		{d: [2]float64{12, 1}, openings: 12},
		{d: [2]float64{3.2, 6}, corners: true, mounts: 3.2},
		{d: [2]float64{3.4, 6.5}, corners: true, mounts: 3.4},
		{d: [2]float64{5, 9.5}, leds: 5},
		{d: [2]float64{7, 11.2}, openings: 7},
		{d: [2]float64{7, 13.3}, openings: 7},
		{d: [2]float64{9.5, 15.2}, openings: 9.5},
	} {
		for _, layer := range [][2]string{{"0", "0"}, {"0", "Layer_2"}} {
			ps, l := Panels(t.Context(), drawn(t, concentricPanel(layer, "0", c.d, c.corners)), Options{})
			require.False(t, l.HasErrors(), "%v", l)
			require.Len(t, ps, 1)
			p := ps[0]
			n := func(d float64) int {
				if d > 0 {
					return 4
				}
				return 0
			}
			require.Len(t, p.LEDs, n(c.leds), "%v on %v", c.d, layer)
			require.Len(t, p.Mounts, n(c.mounts), "%v on %v", c.d, layer)
			require.Len(t, p.Openings, n(c.openings), "%v on %v", c.d, layer)
			for _, h := range p.LEDs {
				require.Equal(t, geom.MM(c.leds), h.D)
			}
			for _, h := range p.Mounts {
				require.Equal(t, geom.MM(c.mounts), h.D)
			}
			for _, o := range p.Openings {
				require.InDelta(t, c.openings, o.Contour.Box().W().MM(), 1e-6)
			}
		}
	}
}

// TestMountsOfOurLayer: on the layer of mounts the hole is what is drilled: not the head round it, which may have an LED's
// size, nor the mark in its centre.
func TestMountsOfOurLayer(t *testing.T) {
	for d, want := range map[[2]float64]float64{{2.2, 5}: 2.2, {2.7, 5}: 2.7, {3.2, 6}: 3.2, {3.2, 0.8}: 3.2, {6.4, 1}: 6.4} {
		for _, at := range [][2]float64{d, {d[1], d[0]}} {
			ps, l := Panels(t.Context(), drawn(t, concentricPanel([2]string{"MOUNT", "MOUNT"}, "OUTLINE", at, true)), Options{})
			require.False(t, l.HasErrors(), "%v", l)
			require.Len(t, ps[0].Mounts, 4)
			require.Equal(t, geom.MM(want), ps[0].Mounts[0].D, "%v", at)
		}
	}
}

// TestDrilledByItsLayer: a small circle whose layer alone is named for drilling is what is drilled.
func TestDrilledByItsLayer(t *testing.T) {
	ps, l := Panels(t.Context(), drawn(t, concentricPanel([2]string{"Layer_2", "drill"}, "0", [2]float64{5, 1.2}, false)), Options{})
	require.False(t, l.HasErrors(), "%v", l)
	require.Empty(t, ps[0].LEDs)
	require.Equal(t, 4, len(ps[0].Openings)+len(ps[0].Mounts))
}
