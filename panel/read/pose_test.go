package read

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
)

// TestPosesAreUndone: what is turned over and moved comes back, closed lines run counter-clockwise in every pose, and an arc bulges
// to the same side of what it belongs to.
func TestPosesAreUndone(t *testing.T) {
	from := &dxf.Entity{}
	l := newLoop(dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: 1, Y: 2}}, {XY: dxf.XY{X: 7, Y: 2}, Bulge: 0.5}, {XY: dxf.XY{X: 7, Y: 5}}, {XY: dxf.XY{X: 2, Y: 6}}}}, from)
	for _, turn := range turns {
		p := turn.onto(l.centre(), dxf.XY{X: 100, Y: -20})
		m := l.posed(p)
		require.InDelta(t, l.area, m.path.SignedArea(), 1e-9, "%+v", turn)
		require.InDelta(t, 0, m.centre().Dist(dxf.XY{X: 100, Y: -20}), 1e-9)
		require.Equal(t, m.path.Box().Centre(), m.centre())
		back := m.posed(p.back())
		for i, v := range back.path.Vertices {
			require.InDelta(t, 0, v.Dist(l.path.Vertices[i].XY), 1e-9)
			require.Equal(t, l.path.Vertices[i].Bulge, v.Bulge)
		}
		there := p.then(turns[1].onto(dxf.XY{X: 3}, dxf.XY{X: 4, Y: 9}))
		require.InDelta(t, 0, there.point(l.centre()).Dist(turns[1].onto(dxf.XY{X: 3}, dxf.XY{X: 4, Y: 9}).point(p.point(l.centre()))), 1e-9)
	}
}

// TestTextsOfSheetsFromBehind: what can be read on a sheet that is seen from behind can be read in the panel's frame, over the same
// place; so can what was mirrored with the sheet.
func TestTextsOfSheetsFromBehind(t *testing.T) {
	behind := turns[1].onto(dxf.XY{X: 50}, dxf.XY{X: 50})
	got := behind.text(dxf.Text{Text: "DEW", At: dxf.XY{X: 10, Y: 5}, H: dxf.Left, Angle: 0.25})
	require.Equal(t, dxf.Text{Text: "DEW", At: dxf.XY{X: 90, Y: 5}, H: dxf.Right, Angle: -0.25}, got)
	// Mirrored with its sheet, it began at its right: its unmirrored image begins at its left.
	got = behind.text(dxf.Text{Text: "DEW", At: dxf.XY{X: 30, Y: 5}, H: dxf.Left, Mirror: true})
	require.Equal(t, dxf.Text{Text: "DEW", At: dxf.XY{X: 70, Y: 5}, H: dxf.Left}, got)
	got = turns[3].text(dxf.Text{Text: "DEW", At: dxf.XY{X: 30, Y: 5}, Angle: math.Pi / 2})
	require.Equal(t, dxf.XY{X: -30, Y: -5}, got.At)
	require.InDelta(t, 1.5*math.Pi, got.Angle, 1e-12)
}
