package shape_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Where a lamp of 3 mm may be on a panel of 100 x 60 mm with a screw, a body and a line that may be an opening: pads of 1.8 mm
// at 2.54 mm reach sqrt(2.17² + 0.9²) = 2.349 mm, the flange 1.9 mm.
func TestSeats(t *testing.T) {
	p := panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 60), Mounts: []panel.Hole{{At: geom.PtMM(20, 30), D: geom.MM(3.2)}},
		Bodies: []geom.Contour{rect(60, 20, 80, 40)}, Unclosed: []geom.Contour{rect(40, 45, 50, 55)}}
	r := board.UsualRules()
	s := shape.SeatsOf(p, "radial-3mm", geom.MM(3), r, board.UsualLaminate())
	inside := func(g geom.Region, x, y float64) bool { return g.Locate(geom.PtMM(x, y)) == geom.Inside }
	for _, c := range []struct {
		what   string
		x, y   float64
		ample  bool
		narrow bool
	}{
		{"in the open", 30, 20, true, true},
		{"margin 1, copper to edge 0.5, pads: 3.849 from the panel's edge", 3.9, 10, true, true},
		{"nearer, with its pads along the edge: 1 + 0.5 + 0.9", 3.8, 10, false, true},
		{"nearer still", 2.3, 10, false, false},
		{"under the screw's head: 1.6 + 2 + 1.9 = 5.5", 25.4, 30, false, false},
		{"beside it", 25.6, 30, true, true},
		{"beside a body: 1 + 0.5 + 2.349", 56.1, 30, true, true},
		{"nearer, turned along it", 56.3, 30, false, true},
		{"in what may be an opening", 45, 50, false, false},
		{"at its edge", 52.5, 50, false, false},
	} {
		require.Equal(t, c.ample, inside(s.Ample, c.x, c.y), c.what)
		require.Equal(t, c.narrow, inside(s.Tight, c.x, c.y), c.what)
	}
	// Whatever is put into a seat, the board takes without a word.
	for _, g := range []geom.Region{s.Ample, s.Tight} {
		for _, ring := range g.Rings() {
			for k := 0; k < len(ring); k += 1 + len(ring)/12 {
				q := p
				q.LEDs = []panel.Hole{{At: ring[k], D: geom.MM(3)}}
				_, l := shape.Derive(q, led.Wiring{}, r, board.FloorsOf(r, nil), board.UsualLaminate())
				require.False(t, l.HasErrors(), "%v at %v", l, ring[k])
			}
		}
	}
	require.InDelta(t, 2*(1.27+0.9)+2*0.2+0.4+0.3, s.Spacing.MM(), 1e-6, "a track passes between the pads of neighbours")

	// A room behind an opening stays as it is: LEDs that nobody drew do not make it smaller.
	p.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(45, 15), geom.MM(12))}}
	p.Room = []panel.Room{{Contour: geom.Circle(geom.PtMM(45, 15), geom.MM(20)), Beyond: geom.MM(4), For: "switches"}}
	s = shape.SeatsOf(p, "radial-3mm", geom.MM(3), r, board.UsualLaminate())
	for _, ring := range s.Ample.Rings() {
		for _, q := range ring {
			require.GreaterOrEqual(t, q.Dist(geom.PtMM(45, 15))/1e6, 10+1+0.5+2.349-0.01)
		}
	}
	// A strip aslant, 6.2 mm wide: quarter turns want 2 x (1 + 0.5 + 1.273 + 1.27 sin 45°) = 7.3 mm, square pads
	// taken by their corners; with its pads along it an LED wants 5.5 mm.
	const c = 6.2 / 2 * 0.70710678
	strip := panel.Panel{Name: "vents", Outline: geom.Ring{geom.PtMM(-c, c), geom.PtMM(c, -c), geom.PtMM(40+c, 40-c), geom.PtMM(40-c, 40+c)}.Contour(geom.Micrometre).CounterClockwise()}
	s = shape.SeatsOf(strip, "radial-3mm", geom.MM(3), r, board.UsualLaminate())
	require.Empty(t, s.Ample)
	require.True(t, inside(s.Tight, 20.2, 19.8))
	require.False(t, inside(s.Tight, 20.7, 19.3), "0.99 mm from the middle of the strip, 0.3 mm are free")

	require.Empty(t, shape.SeatsOf(p, "no such", geom.MM(3), r, board.UsualLaminate()).Tight)
}
