package read_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// Two variants of a panel over each other, each with its edge, LEDs and words on one layer, could become one board with the LEDs
// of both: that is asked. A face with the words and a sheet with the LEDs are not.
func TestVariantsAreAsked(t *testing.T) {
	draw := func(second bool) dxf.Drawing {
		d := dxf.Drawing{Name: "desk.dxf", Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
		for k, layer := range []string{"North pier", "South pier"} {
			d.Entities = append(d.Entities, dxf.Entity{Type: "LWPOLYLINE", Layer: layer, Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{
				{XY: dxf.XY{}}, {XY: dxf.XY{X: 120}}, {XY: dxf.XY{X: 120, Y: 60}}, {XY: dxf.XY{Y: 60}}}}})
			if k == 0 || second {
				for i := range 5 {
					c := dxf.XY{X: 20 + 20*float64(i), Y: 20 + 20*float64(k)}
					d.Entities = append(d.Entities, dxf.Entity{Type: "CIRCLE", Layer: layer, Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{
						{XY: dxf.XY{X: c.X - 1.5, Y: c.Y}, Bulge: 1}, {XY: dxf.XY{X: c.X + 1.5, Y: c.Y}, Bulge: 1}}}})
				}
			}
			d.Entities = append(d.Entities, dxf.Entity{Type: "TEXT", Layer: layer, Text: &dxf.Text{Text: fmt.Sprint("PIER ", k), At: dxf.XY{X: 30, Y: 28 + 20*float64(k)}, Height: 4}})
		}
		for i := range d.Entities {
			d.Entities[i].Line = i + 1
		}
		return d
	}
	asked := func(l diag.List) (n int) {
		for _, f := range l {
			if f.Question != nil && f.Question.Assumed == string(read.SheetsTogether) {
				n++
			}
		}
		return n
	}
	_, l := read.Panels(t.Context(), draw(true), read.Options{})
	require.Equal(t, 1, asked(l), "%v", l)
	_, l = read.Panels(t.Context(), draw(true), read.Options{Sheets: read.SheetsTogether})
	require.Zero(t, asked(l))
	_, l = read.Panels(t.Context(), draw(false), read.Options{})
	require.Zero(t, asked(l), "%v", l)
}
