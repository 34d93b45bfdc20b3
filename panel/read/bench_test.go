package read

import (
	"fmt"
	"math"
	"testing"

	"lampblack/panel/dxf"
)

// BenchmarkPanels turns LED holes on a grid into a panel: the cost of one must hardly grow with their number, nor with the
// corners of the outline round them.
func BenchmarkPanels(b *testing.B) {
	for _, k := range []struct{ holes, corners int }{{20_000, 4}, {1_000_000, 4}, {20_000, 5000}} {
		b.Run(fmt.Sprintf("holes=%d/corners=%d", k.holes, k.corners), func(b *testing.B) {
			d := gridOf(k.holes, k.corners)
			for b.Loop() {
				ps, l := Panels(b.Context(), d, Options{})
				if len(ps) != 1 || len(ps[0].LEDs) != k.holes || l.HasErrors() {
					b.Fatal(len(ps), l)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*k.holes), "ns/hole")
		})
	}
}

// gridOf is a panel of 990 mm a side with holes on a grid, and with that many corners: of more than four, teeth of 2 mm
// along its upper edge.
func gridOf(holes, corners int) dxf.Drawing {
	const side = 990.0
	n := int(math.Ceil(math.Sqrt(float64(holes))))
	pitch := (side - 10) / float64(n)
	edge := dxf.Entity{Type: "LWPOLYLINE", Layer: "OUTLINE", Path: dxf.Path{Closed: true}}
	at := func(x, y float64) {
		edge.Path.Vertices = append(edge.Path.Vertices, dxf.Vertex{XY: dxf.XY{X: x, Y: y}})
	}
	at(0, 0)
	at(side, 0)
	for i := range corners - 2 {
		at(side*(1-float64(i)/float64(corners-3)), side+2*float64(i%2)*float64(min(1, corners-4)))
	}
	d := dxf.Drawing{Name: "grid.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}, Entities: []dxf.Entity{edge}}
	r := min(1.5, pitch/3)
	for i := range holes {
		x, y := 5+pitch*(float64(i%n)+0.5), 5+pitch*(float64(i/n)+0.5)
		d.Entities = append(d.Entities, dxf.Entity{Type: "CIRCLE", Layer: "LED", Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - r, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + r, Y: y}, Bulge: 1}}}})
	}
	return d
}
