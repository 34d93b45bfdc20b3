package height_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/height"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// Along a path a sheet is cut as each of its lines cuts it: here between 0 and 60 through a hole of 10 to 30, from there on through one of 70
// to 80; and what the path meets on either level is cut, what it meets beyond the ends of a line is beside it.
func TestAcrossSteps(t *testing.T) {
	in := built(put(t, "D1", "radial-3mm", 50, 30), put(t, "D2", "radial-3mm", 90, 30), put(t, "D3", "radial-3mm", 90, 45))
	sheet := height.Solid{Name: "face", To: mm(3), Edge: in.Panel.Outline, Holes: []geom.Contour{rect(10, 25, 30, 35), rect(70, 40, 80, 50), rect(62, 25, 66, 35)}}
	c := in.Across([]height.Solid{sheet}, height.Line{A: geom.PtMM(0, 30), B: geom.PtMM(60, 30)}, height.Line{A: geom.PtMM(60, 45), B: geom.PtMM(100, 45)})
	require.Equal(t, mm(100), c.Len())
	require.Equal(t, []geom.Nm{mm(60)}, c.Steps())
	require.Equal(t, []height.Range{{From: 0, To: mm(10)}, {From: mm(30), To: mm(70)}, {From: mm(80), To: mm(100)}}, c.Layers[0].Cut)
	require.Len(t, slicesOf(c, "D1", height.Lens), 1)
	require.Empty(t, slicesOf(c, "D2", height.Lens))
	require.Len(t, slicesOf(c, "D3", height.Lens), 1)
	a, b := c.Ends()
	require.Equal(t, []geom.Pt{geom.PtMM(0, 30), geom.PtMM(100, 45)}, []geom.Pt{a, b})
}

// A connector, a control, a screw and an LED that no line meets together are all cut, wherever they stand; the lines follow one another
// from edge to edge, and none ends in what it cuts.
func TestTellingPath(t *testing.T) {
	k, ok := control.Find("toggle-m12")
	require.True(t, ok)
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 11))
		xs, ys := []float64{14, 38, 62, 86}, []float64{10, 23, 36, 49}
		r.Shuffle(4, func(i, j int) { xs[i], xs[j] = xs[j], xs[i] })
		r.Shuffle(4, func(i, j int) { ys[i], ys[j] = ys[j], ys[i] })
		in := built(put(t, "D1", "radial-3mm", xs[0], ys[0]), put(t, "J1", "terminal-3.5", xs[1], ys[1]))
		in.Panel.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(xs[2], ys[2]), mm(12.2))}}
		in.Panel = seat.In(in.Panel, []seat.Told{{Set: true, Kind: k}}, seat.Wish{Stack: seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}})
		in.Mounts = []fasten.Mount{{At: geom.PtMM(xs[3], ys[3]), D: mm(3.2), Thread: "M3", Screw: mm(30), Out: mm(8), Board: "dome"}}
		path := in.TellingPath()
		c := in.Across(nil, path...)
		require.LessOrEqual(t, len(path), 4)
		for _, whose := range []height.Whose{height.LED, height.Connector, height.Control, height.Screw} {
			require.True(t, slices.ContainsFunc(c.Pieces, func(q height.Slice) bool { return q.Whose == whose }), "seed %d: no %s on %v", seed, whose, path)
		}
		long := c.Len()
		require.Contains(t, []geom.Nm{mm(100), mm(60)}, long, "from edge to edge")
		for i, l := range path[1:] {
			at, before := l.A, path[i].B
			require.True(t, at.X == before.X || at.Y == before.Y, "seed %d", seed)
			require.NotEqual(t, at, before)
		}
		for _, x := range c.Steps() {
			for _, q := range c.Pieces {
				require.False(t, q.Along.From <= x && x <= q.Along.To, "seed %d: a step through %s of %s", seed, q.What, q.Of)
			}
		}
	}
	// One line does where it meets all, and where there is nothing to meet.
	in := built(put(t, "D1", "radial-3mm", 50, 20), put(t, "J1", "terminal-3.5", 20, 20))
	require.Equal(t, []height.Line{level(20)}, in.TellingPath())
	bare := height.In{Panel: panel.Panel{Outline: rect(0, 0, 100, 60)}, Boards: []board.Board{}}
	require.Equal(t, []height.Line{level(30)}, bare.TellingPath())
}

// What is grazed is drawn as beside the line: of an LED, and of a screw, whose washer alone would be named as the screw is.
func TestAcrossGrazes(t *testing.T) {
	in := built(put(t, "D1", "radial-3mm", 50, 30))
	in.Mounts = []fasten.Mount{{At: geom.PtMM(80, 30), D: mm(3.2), Thread: "M3", Screw: mm(30), Out: mm(8), Board: "dome"}}
	screws := func(y float64) (n int) {
		for _, q := range in.Across(nil, level(y)).Pieces {
			if q.Whose == height.Screw {
				n++
			}
		}
		return n
	}
	require.Positive(t, screws(30))
	require.Zero(t, screws(32.6), "within the head alone, which is 5.5 mm wide at an M3 (ISO 4762), and the washer")
}

// No step goes through what is cut, however near to each other things stand along the line.
func TestStepsKeepOff(t *testing.T) {
	k, ok := control.Find("toggle-m12")
	require.True(t, ok)
	stepped := 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 12))
		x := func() float64 { return 10 + 80*r.Float64() }
		in := built(put(t, "D1", "radial-3mm", x(), 12), put(t, "D2", "radial-3mm", x(), 12), put(t, "J1", "terminal-3.5", x(), 26))
		in.Panel.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(x(), 45), mm(12.2))}}
		in.Panel = seat.In(in.Panel, []seat.Told{{Set: true, Kind: k}}, seat.Wish{Stack: seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}})
		c := in.Across(nil, in.TellingPath()...)
		for _, x := range c.Steps() {
			stepped++
			for _, q := range c.Pieces {
				require.False(t, q.Along.From <= x && x <= q.Along.To, "seed %d: a step through %s of %s", seed, q.What, q.Of)
			}
		}
	}
	require.Greater(t, stepped, 20)
}
