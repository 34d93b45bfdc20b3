package height_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/height"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// level is a line right through the panel of built.
func level(y float64) height.Line {
	return height.Line{A: geom.PtMM(0, y), B: geom.PtMM(100, y)}
}

func slicesOf(c height.Cut, of, what string) []height.Range {
	var out []height.Range
	for _, q := range c.Pieces {
		if q.Of == of && q.What == what {
			out = append(out, q.Along)
		}
	}
	return out
}

// A line cuts sheets between their holes, and round things to their chords: 1.2 off the axis a lens of 3 mm shows 1.8 of itself, and so
// much of its hole is open.
func TestAcross(t *testing.T) {
	in := built(put(t, "D1", "radial-3mm", 50, 30), put(t, "J1", "terminal-3.5", 20, 10))
	sheet := height.Solid{Name: "LED sheet", From: mm(14), To: mm(17), Edge: in.Panel.Outline, Holes: []geom.Contour{geom.Circle(geom.PtMM(50, 30), mm(3)), rect(70, 20, 80, 55)}}
	c := in.Across([]height.Solid{sheet}, level(31.2))
	require.Len(t, c.Layers, 2, "the sheet and the board")
	near := func(want [][2]float64, got []height.Range) {
		t.Helper()
		require.Len(t, got, len(want))
		for i, w := range want {
			require.InDelta(t, w[0], got[i].From.MM(), 0.005)
			require.InDelta(t, w[1], got[i].To.MM(), 0.005)
		}
	}
	near([][2]float64{{0, 49.1}, {50.9, 70}, {80, 100}}, c.Layers[0].Cut)
	near([][2]float64{{2, 98}}, c.Layers[1].Cut)
	require.InDelta(t, 21.6, c.Layers[1].To.MM(), 1e-9)
	near([][2]float64{{49.1, 50.9}}, slicesOf(c, "D1", height.Lens))
	require.Empty(t, slicesOf(c, "J1", height.Body), "it stands 20 mm beside the line")
	require.InDelta(t, 30.4, c.Depth.MM(), 1e-9, "and counts for the depth all the same")
	deepest, ok := c.Deepest()
	require.True(t, ok)
	require.Equal(t, "J1", deepest.Of)

	// A slanted line, 3-4-5: between its ends alone, and as long as it is.
	slant := height.Line{A: geom.PtMM(50, 30), B: geom.PtMM(74, 48)}
	c = in.Across([]height.Solid{sheet}, slant)
	require.Equal(t, mm(30), c.Len())
	near([][2]float64{{1.5, 25}}, c.Layers[0].Cut) // at x = 70, 4/5 of 25
	near([][2]float64{{0, 1.5}}, slicesOf(c, "D1", height.Lens))
	require.True(t, in.Meets(slant))
	require.False(t, in.Meets(height.Line{A: geom.PtMM(-20, 70), B: geom.PtMM(120, 70)}))
	require.False(t, in.Meets(height.Line{A: geom.PtMM(20, 20), B: geom.PtMM(20, 20)}))
}

// Without being told, the line goes through a connector, a control about its axis, and LEDs, where one line meets them.
func TestTellingLine(t *testing.T) {
	in := built(put(t, "D1", "radial-3mm", 50, 45), put(t, "D2", "radial-3mm", 60, 50), put(t, "D3", "radial-3mm", 70, 50), put(t, "J1", "terminal-3.5", 20, 28))
	in.Panel.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(80, 28), mm(12.2))}}
	k, ok := control.Find("toggle-m12")
	require.True(t, ok)
	in.Panel = seat.In(in.Panel, []seat.Told{{Set: true, Kind: k}}, seat.Wish{Stack: seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}})
	l := in.TellingLine()
	require.Equal(t, level(28), l)
	require.NotEmpty(t, slicesOf(in.Across(nil, l), "J1", height.Pin))

	bare := height.In{Panel: panel.Panel{Outline: rect(0, 0, 100, 60)}}
	require.Equal(t, level(30), bare.TellingLine(), "through the middle, where there is nothing")
}

// What stands out of the sides, alike things together.
func TestStands(t *testing.T) {
	in := built(put(t, "D1", "radial-3mm", 50, 30), put(t, "J1", "terminal-3.5", 20, 10), put(t, "J2", "terminal-3.5", 80, 10))
	got := in.Stands()
	require.Len(t, got, 1)
	require.Equal(t, []geom.Nm{mm(20), mm(21.6), mm(3)}, []geom.Nm{got[0].Front, got[0].Back, got[0].Room})
	require.Equal(t, height.Side{On: geom.Top, Whose: height.LED, Kind: "radial-3mm", What: height.Lens, Height: mm(6.1), Count: 1}, got[0].Sides[0])
	require.Contains(t, got[0].Sides, height.Side{On: geom.Top, Whose: height.Connector, Kind: "terminal-3.5", What: height.Pin, Height: mm(2), Count: 2})
	require.Contains(t, got[0].Sides, height.Side{On: geom.Bottom, Whose: height.Connector, Kind: "terminal-3.5", What: height.Body, Height: mm(8.8), Count: 2})
}
