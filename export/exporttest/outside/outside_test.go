package outside_test

import (
	"fmt"
	"testing"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/exporttest/outside"
	"lampblack/led"
	"lampblack/panel/geom"
)

func TestOutside(t *testing.T) {
	desk, grid := exporttest.Desk(), exporttest.Grid(60)
	a := export.Lower(desk)
	a.Layers = append(a.Layers, export.Components(desk)...)
	a.Drills[1].Slots = []export.Slot{{Tool: 0, Path: geom.Polyline{geom.PtMM(20, 38), geom.PtMM(23, 38), geom.PtMM(23, 39)}}}
	// Pads aslant, the outermost of their layers, so that the extents tell how they are turned.
	aslant := board.Board{Name: "aslant", Outline: desk.Outline, Nets: desk.Nets}
	for i, turn := range []int{45, 135} {
		pad := board.Pad{Pin: "1", Net: led.Supply, At: geom.PtMM(20+15*float64(i), 20), Shape: board.Square, W: geom.MM(3), H: geom.MM(1), Mask: geom.MM(0.05)}
		aslant.Parts = append(aslant.Parts, board.Part{Ref: fmt.Sprintf("R%d", i+1), At: pad.At, Turn: turn, Pads: []board.Pad{pad.Turned(turn)}})
	}
	outside.Compare(t, a, export.Lower(grid), export.Lower(aslant))
}
