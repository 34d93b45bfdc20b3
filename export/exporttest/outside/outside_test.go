package outside_test

import (
	"testing"

	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/exporttest/outside"
	"lampblack/panel/geom"
)

func TestOutside(t *testing.T) {
	desk, grid := exporttest.Desk(), exporttest.Grid(60)
	a := export.Lower(desk)
	a.Layers = append(a.Layers, export.Components(desk)...)
	a.Drills[1].Slots = []export.Slot{{Tool: 0, Path: geom.Polyline{geom.PtMM(20, 38), geom.PtMM(23, 38), geom.PtMM(23, 39)}}}
	outside.Compare(t, a, export.Lower(grid))
}
