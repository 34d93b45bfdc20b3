package picture_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/picture"
	"lampblack/led"
	"lampblack/panel/geom"
)

// The picture of open nets has a dashed line for each missing joint, an outline for each thing in its way and no others, and says
// what they are; it is the same every time.
func TestOpenNets(t *testing.T) {
	mm := geom.PtMM
	pad := func(x, y float64) board.Pad {
		return board.Pad{Pin: "1", At: mm(x, y), Shape: board.Round, W: geom.MM(1.8), H: geom.MM(1.8), Through: true, Drill: geom.MM(0.9)}
	}
	body := geom.Ring{mm(9, 9), mm(12, 9), mm(12, 12), mm(9, 12)}
	b := board.Board{
		Name: "vents", Rules: board.UsualRules(), Nets: []led.Net{{}, {Name: "V+"}, {Name: "0V"}, {Name: "S1.1"}},
		Outline: geom.Rect(geom.BoxOf(mm(0, 0), mm(60, 30))),
		Parts: []board.Part{{Ref: "D1", Kind: board.LED, Pads: []board.Pad{pad(10, 10), pad(12.54, 10)}, Body: body},
			{Ref: "D2", Kind: board.LED, Pads: []board.Pad{pad(40, 10), pad(42.54, 10)}, Body: body}},
		Tracks: []board.Track{{Net: 1, Width: geom.MM(1), Path: geom.Polyline{mm(25, 2), mm(25, 28)}}},
		Holes:  []board.Hole{{At: mm(50, 20), D: geom.MM(3.2), What: board.MountHole}},
	}
	joint := func(change func(*picture.Missing)) picture.Missing {
		m := picture.Missing{Net: "S1.1", From: mm(12.54, 10), To: mm(40, 10), Of: "D1 K", With: "D2 A", At: mm(24, 10), Why: "the way there is taken by V+",
			Taken: []led.NetID{1}, Reach: geom.MM(1.4)}
		change(&m)
		return m
	}
	draw := func(open ...picture.Missing) string {
		data := picture.OpenNets(t.Context(), b, open)
		require.Equal(t, data, picture.OpenNets(t.Context(), b, open))
		return string(data)
	}
	count := func(svg, from string) int { // of the shapes in that group
		_, group, ok := strings.Cut(svg, `id="`+from)
		require.True(t, ok, from)
		group, _, _ = strings.Cut(group, "</g>")
		return strings.Count(group, "M") + strings.Count(group, "<circle")
	}
	one := draw(joint(func(*picture.Missing) {}))
	require.Contains(t, one, "vents: open nets")
	require.Contains(t, one, "stroke-dasharray")
	require.Equal(t, 1, count(one, "in"), "the track in the way")
	// Copper that is not in the way is not outlined.
	require.Zero(t, count(draw(joint(func(m *picture.Missing) { m.Taken = []led.NetID{2} })), "in"))
	// Between pads, holes and edges: those near where the way ends. D2's far pad; the screw's room; the edge.
	walls := func(x, y float64) int {
		return count(draw(joint(func(m *picture.Missing) { m.Taken, m.At = nil, mm(x, y) })), "in")
	}
	require.Equal(t, 1, walls(42.54, 11.5))
	require.Equal(t, 1, walls(50, 16))
	require.Equal(t, 1, walls(30, 29))
	require.Zero(t, walls(30, 20))
	// As many dashed lines as joints, and one in the legend.
	two := draw(joint(func(*picture.Missing) {}), joint(func(m *picture.Missing) { m.From, m.To = mm(10, 10), mm(42.54, 10) }))
	require.Equal(t, 3, strings.Count(two, "stroke-dasharray"))
}
