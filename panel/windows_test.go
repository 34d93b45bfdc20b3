package panel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

func window(shape geom.Contour, holes ...geom.Contour) Symbol {
	return Symbol{Closed: true, Filled: true, Window: true, Shape: shape, Holes: holes}
}

func led(x, y float64) Hole { return Hole{At: geom.PtMM(x, y), D: geom.MM(3)} }

// A window's LEDs are those whose holes reach under it; where there is none, the nearest that is no other window's. What lies in the
// middle of a ring is not behind it.
func TestWindowLEDs(t *testing.T) {
	ring := window(geom.Circle(geom.PtMM(50, 50), geom.MM(34)), geom.Circle(geom.PtMM(50, 50), geom.MM(28)))
	dot := window(geom.Circle(geom.PtMM(100, 50), geom.MM(5)))
	p := Panel{Symbols: []Symbol{{Closed: true, Filled: true, Shape: dot.Shape}, ring, dot}}
	p.LEDs = []Hole{led(50, 50), led(65, 50), led(50, 68.4), led(50, 31.4), led(110, 50), led(107, 50)}
	require.Equal(t, []int{1, 2}, p.Windows(), "a filled shape is none")
	require.Equal(t, [][]int{{1, 2}, {5}}, p.WindowLEDs(), "1.4 mm beside the ring a hole of 3 mm reaches under it, 1.6 mm beside it does not")
	p = p.Assigned()
	for i, is := range []bool{false, true, true, false, false, true} {
		require.Equal(t, is, p.LEDs[i].Window, i)
	}
	require.InDelta(t, math.Pi/4*(34*34-28*28), ring.Area().Area(), 0.2)
	p.LEDs = []Hole{led(100, 80)}
	require.Equal(t, [][]int{nil, nil}, p.WindowLEDs(), "27.5 mm from the edge an LED is nobody's")
	two := Panel{Symbols: []Symbol{dot, window(geom.Circle(geom.PtMM(108, 50), geom.MM(5)))}, LEDs: []Hole{led(108, 50)}}
	require.Equal(t, [][]int{nil, {0}}, two.WindowLEDs(), "behind one window it is not the other's")
}

func TestWindowsAreSaid(t *testing.T) {
	c := geom.PtMM(10, 10)
	require.Equal(t, "the ring of 26 mm", window(geom.Circle(c, geom.MM(26)), geom.Circle(c, geom.MM(20))).Said())
	require.Equal(t, "the round window of 5 mm", window(geom.Circle(c, geom.MM(5))).Said())
	require.Equal(t, "the round window of 26 mm", window(geom.Circle(c, geom.MM(26)), geom.Circle(geom.PtMM(15, 10), geom.MM(5))).Said(), "its hole is not in the middle")
	require.Equal(t, "the window of 20 x 8 mm", window(geom.Rect(geom.BoxOf(c, geom.PtMM(30, 18)))).Said())
	require.Equal(t, "the filled circle of 5 mm", Symbol{Closed: true, Filled: true, Shape: geom.Circle(c, geom.MM(5))}.Said())
}

// Of a ring of 20 to 30 mm at the edge, over which half of it lies, an opening of 24 mm leaves half of what is beyond 24.
func TestSeen(t *testing.T) {
	p := Panel{Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(100, 100))), Openings: []Opening{{Contour: geom.Circle(geom.PtMM(0, 50), geom.MM(24))}}}
	ring := window(geom.Circle(geom.PtMM(0, 50), geom.MM(30)), geom.Circle(geom.PtMM(0, 50), geom.MM(20)))
	require.InDelta(t, math.Pi/8*(30*30-24*24), p.Seen(ring.Area()).Area(), 0.2)
	require.Empty(t, p.Seen(nil))
}
