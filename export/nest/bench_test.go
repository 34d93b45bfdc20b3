package nest

import (
	"testing"

	"lampblack/panel/geom"
)

// desks are the outlines of a control desk's panels: rectangles, an L, a disc with a flat, and a frame with a window.
func desks(copies int) (parts []Part) {
	disc := geom.NewRegion(geom.Circle(geom.PtMM(75, 75), geom.MM(150)).Ring(geom.FlattenTolerance)).
		And(geom.NewRegion(rect(150, 136)))
	for range copies {
		parts = append(parts,
			piece(AnyQuarter, rect(200, 120)),
			piece(AnyQuarter, rect(240, 160), rect(100, 44).Moved(geom.Vec{X: geom.MM(70), Y: geom.MM(70)})),
			piece(AnyQuarter, geom.Ring{{}, {X: geom.MM(150)}, {X: geom.MM(150), Y: geom.MM(56)}, {X: geom.MM(76), Y: geom.MM(56)}, {X: geom.MM(76), Y: geom.MM(112)}, {Y: geom.MM(112)}}),
			Part{disc, AnyQuarter},
			piece(AnyQuarter, rect(220, 132)),
			piece(AnyQuarter, rect(82, 63)))
	}
	return parts
}

// One console in 720 steps, and fifty in 666: what a build takes.
func BenchmarkArrange(b *testing.B) {
	for name, c := range map[string]struct{ copies, steps int }{"1": {1, 720}, "50": {50, 666}} {
		b.Run(name, func(b *testing.B) {
			s := Stock{W: geom.MM(600), H: geom.MM(400), Gap: geom.MM(2), Edge: geom.MM(2)}
			for b.Loop() {
				l := Arrange(nil, desks(c.copies), s, c.steps)
				b.ReportMetric(float64(l.Sheets), "sheets")
				b.ReportMetric(l.Used.MM(), "mm")
			}
		})
	}
}
