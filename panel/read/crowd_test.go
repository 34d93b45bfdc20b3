package read

import (
	"math"
	"testing"

	"lampblack/panel/dxf"
)

// BenchmarkCrowd surveys drawings that are easy to make slow: very many things at one place or in one another.
// Each must stay near linear.
func BenchmarkCrowd(b *testing.B) {
	line := func(x0, y0, x1, y1 float64) dxf.Path {
		return dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x0, Y: y0}}, {XY: dxf.XY{X: x1, Y: y1}}}}
	}
	circle := func(x, y, r float64) dxf.Path {
		return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - r, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + r, Y: y}, Bulge: 1}}}
	}
	square := func(x, y, r float64) dxf.Path {
		return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: x - r, Y: y - r}}, {XY: dxf.XY{X: x + r, Y: y - r}}, {XY: dxf.XY{X: x + r, Y: y + r}}, {XY: dxf.XY{X: x - r, Y: y + r}}}}
	}
	const n = 20_000
	for _, k := range []struct {
		name, layer string
		thing       func(i float64) dxf.Path
	}{
		{"holes", "LED", func(i float64) dxf.Path { return circle(math.Mod(i, 200)*4+5, math.Floor(i/200)*4+5, 1.5) }},
		{"holes-guessed", "0", func(i float64) dxf.Path { return circle(math.Mod(i, 200)*4+5, math.Floor(i/200)*4+5, 1.5) }},
		{"rings", "OPENING", func(i float64) dxf.Path { return circle(450, 450, 0.02*(i+1)) }},
		{"frames", "OUTLINE", func(i float64) dxf.Path { return square(450, 450, 0.02*(i+1)) }},
		{"stairs", "OPENING", func(i float64) dxf.Path { return square(100+i/100, 100+i/100, 50) }},
		{"texts", "LETTERING", nil},
		{"one-line", "OPENING", func(float64) dxf.Path { return line(0, 0, 1, 1) }},
		{"fan", "OPENING", func(i float64) dxf.Path {
			s, c := math.Sincos(i)
			return line(450, 450, 450+100*c, 450+100*s)
		}},
		{"comb", "OPENING", func(i float64) dxf.Path { return line(450, i/50, 450+math.Mod(i, 7), i/50) }},
	} {
		b.Run(k.name, func(b *testing.B) {
			edge := dxf.Entity{Type: "LWPOLYLINE", Layer: "OUTLINE", Path: square(450, 450, 450)}
			if k.layer == "0" {
				edge.Layer = "0"
			}
			d := dxf.Drawing{Name: "crowd.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}, Entities: []dxf.Entity{edge}}
			for i := range n {
				if k.thing == nil {
					d.Entities = append(d.Entities, dxf.Entity{Type: "TEXT", Layer: k.layer, Text: &dxf.Text{Text: "DEW", At: dxf.XY{X: 450, Y: 450}, Height: 3, Width: 1}})
					continue
				}
				d.Entities = append(d.Entities, dxf.Entity{Type: "LINE", Layer: k.layer, Path: k.thing(float64(i))})
			}
			for b.Loop() {
				Survey(b.Context(), d, Options{})
			}
		})
	}
}
