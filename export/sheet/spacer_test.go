package sheet

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// A board of 80 x 50 with an LED, a connector on its back, a screw and a cut-out: its spacer sheet, as its file has it, is 80 x 50
// less a hole that the LED's flange of 3.8 and its pads pass, one of 2.6+1 or 3.4+1 (pin 1 is oblong) for each joint of the
// terminal, the screw's 3.2 and the cut-out.
func TestSpacerSheet(t *testing.T) {
	lamp, ok := footprint.Lookup("radial-3mm")
	require.True(t, ok)
	block, ok := footprint.Lookup("terminal-5.08")
	require.True(t, ok)
	b := board.Board{
		Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(80, 50)}),
		Cutouts: []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(60, 30), Max: geom.PtMM(70, 40)}).Reversed()},
		Holes:   []board.Hole{{At: geom.PtMM(5, 5), D: geom.MM(3.2)}},
		Parts: []board.Part{
			lamp.Place("D1", board.LED, geom.PtMM(20, 30), 0, geom.Top, 0),
			block.Place("J1", board.Connector, geom.PtMM(40, 8), 0, geom.Bottom, 0),
		},
	}
	s := Spacer(t.Context(), b, panel.Panel{}, Options{})
	require.Empty(t, CheckSpacer(b, s))
	data, err := s.DXF(t.Context())
	require.NoError(t, err)
	d, l := dxf.Read(t.Context(), data, "spacer.dxf")
	require.Empty(t, l)
	round := map[geom.Pt]geom.Nm{} // from the outline's lower left corner, which the file has at the margin
	for _, e := range d.Entities {
		var c geom.Contour
		for _, v := range e.Path.Vertices {
			c = append(c, geom.Vertex{Pt: geom.PtMM(v.X, v.Y), Bulge: v.Bulge})
		}
		at, dia, ok := c.Circular()
		switch {
		case ok:
			round[at.Add(geom.Vec{X: -margin, Y: -margin})] = dia
		case e.Layer == "3-cut-outer":
			require.InDelta(t, 80*50, c.Area(), 1e-6)
		default:
			require.InDelta(t, 10*10, c.Area(), 1e-6)
		}
	}
	require.Len(t, d.Entities, 6)
	lampHole := round[geom.PtMM(20, 30)]
	require.Greater(t, lampHole, geom.MM(2*(1.27+0.9)), "pads of 1.8 on 2.54")
	require.Less(t, lampHole, geom.MM(5.6))
	delete(round, geom.PtMM(20, 30))
	require.Equal(t, map[geom.Pt]geom.Nm{
		geom.PtMM(5, 5): geom.MM(3.2), geom.PtMM(40-2.54, 8): geom.MM(4.4), geom.PtMM(40+2.54, 8): geom.MM(3.6),
	}, round)
}

// LEDs so close that their holes meet across the sheet part it, which is told.
func TestSpacerSheetFallsApart(t *testing.T) {
	lamp, ok := footprint.Lookup("radial-3mm")
	require.True(t, ok)
	b := board.Board{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(80, 8)})}
	for i := range 2 {
		b.Parts = append(b.Parts, lamp.Place("D", board.LED, geom.PtMM(40, float64(2+4*i)), 0, geom.Top, 0))
	}
	l := CheckSpacer(b, Spacer(t.Context(), b, panel.Panel{}, Options{}))
	require.Len(t, l, 1)
	require.Equal(t, "sheet-falls-apart", l[0].Code)
}
