package panel

import (
	"fmt"
	"lampblack/panel/dxf"
	"math"
	"testing"
	"time"
)

func TestStress(t *testing.T) {
	mk := func(name string, n int, f func(i int) dxf.Path, layer string) {
		d := dxf.Drawing{Name: "x.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
		d.Entities = append(d.Entities, dxf.Entity{Type: "L", Layer: "OUTLINE", Path: rectP(0, 0, 900, 900)})
		if layer == "0" {
			d.Entities[0].Layer = "0"
		}
		for i := range n {
			d.Entities = append(d.Entities, dxf.Entity{Type: "L", Layer: layer, Path: f(i)})
		}
		s := time.Now()
		_, l := Survey(d, Options{})
		fmt.Println(name, n, time.Since(s), len(l))
	}
	line := func(a, b, c, d float64) dxf.Path {
		return dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: a, Y: b}}, {XY: dxf.XY{X: c, Y: d}}}}
	}
	circ := func(x, y, r float64) dxf.Path {
		return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - r, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + r, Y: y}, Bulge: 1}}}
	}
	for _, layer := range []string{"0", "LED", "OPENING", "OUTLINE", "LETTERING", "BODY"} {
		mk("grid circles "+layer, 40000, func(i int) dxf.Path { return circ(float64(i%200)*4+5, float64(i/200)*4+5, 1.5) }, layer)
		mk("concentric "+layer, 20000, func(i int) dxf.Path { return circ(450, 450, 0.02*float64(i+1)) }, layer)
		mk("same line "+layer, 40000, func(i int) dxf.Path { return line(0, 0, 1, 1) }, layer)
		mk("fan "+layer, 40000, func(i int) dxf.Path { s, c := math.Sincos(float64(i)); return line(450, 450, 450+100*c, 450+100*s) }, layer)
		mk("vertical ends "+layer, 40000, func(i int) dxf.Path { return line(450, float64(i)/50, 450+float64(i%7), float64(i)/50) }, layer)
		mk("nested squares "+layer, 5000, func(i int) dxf.Path {
			return rectP(0.05*float64(i+1), 0.05*float64(i+1), 900-.05*float64(i+1), 900-.05*float64(i+1))
		}, layer)
		mk("zigzag chain "+layer, 40000, func(i int) dxf.Path {
			return line(float64(i)/50, float64(i%2)*800, float64(i+1)/50, float64((i+1)%2)*800)
		}, layer)
	}
}
func rectP(a, b, c, d float64) dxf.Path {
	return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: a, Y: b}}, {XY: dxf.XY{X: c, Y: b}}, {XY: dxf.XY{X: c, Y: d}}, {XY: dxf.XY{X: a, Y: d}}}}
}
