// Package starter is the project that `lampblack new` writes: the shutter control of an observatory, small enough to read and
// good enough to build.
package starter

import (
	_ "embed"
	"fmt"
	"math"

	"lampblack/export/bundle"
	"lampblack/panel/dxf"
)

//go:embed lampblack.yaml
var project []byte

// Files returns the project file and the drawing it names.
func Files() ([]bundle.File, error) {
	drawing, err := Drawing()
	if err != nil {
		return nil, err
	}
	return []bundle.File{{Path: "lampblack.yaml", Data: project}, {Path: "shutter.dxf", Data: drawing}}, nil
}

// Drawing returns the panel as DXF of the release that every CAD program reads, in millimetres, seen from the front.
func Drawing() ([]byte, error) {
	d := dxf.Drawing{Layers: []dxf.Layer{
		{Name: outline, Colour: 7}, {Name: led, Colour: 1}, {Name: opening, Colour: 5}, {Name: mount, Colour: 3},
		{Name: body, Colour: 8}, {Name: lettering, Colour: 2},
	}}
	d.Entities = append(d.Entities, edge(140, 60, 5))
	for _, x := range []float64{6, 134} {
		for _, y := range []float64{6, 54} {
			d.Entities = append(d.Entities, circle(mount, x, y, 3.2))
		}
	}
	// Two switches and a display between them.
	d.Entities = append(d.Entities,
		circle(opening, 35, 22, 6.2), box(body, 28, 14, 42, 30),
		circle(opening, 105, 22, 6.2), box(body, 98, 14, 112, 30),
		box(opening, 58, 18, 82, 30),
		word("SHUTTER", 70, 44, 6), word("OPEN", 35, 35, 4), word("CLOSE", 35, 7, 4), word("HEATER", 105, 35, 4), word("OFF", 105, 7, 4),
		box(body, 53, 14, 87, 34))
	// As `lampblack relight` placed them.
	for _, at := range [][2]float64{
		{53.315, 55.03375}, {79.065, 53.90875}, {66.19, 48.59625}, {89.565, 45.72125}, {54.44, 42.84625}, {76.69, 41.22125},
		{117.315, 39.34625}, {95.6275, 39.15875}, {24.0025, 38.40875}, {46.44, 36.53375}, {34.94, 34.90875}, {106.815, 34.72125},
		{96.1275, 9.22125}, {29.2525, 9.15875}, {40.7525, 8.65875}, {107.315, 8.34625},
	} {
		d.Entities = append(d.Entities, circle(led, at[0], at[1], 3))
	}
	src, err := dxf.Write(d, dxf.Options{Release: dxf.R12})
	if err != nil {
		return nil, fmt.Errorf("the starter's drawing: %w", err)
	}
	return src, nil
}

const (
	outline   = "OUTLINE"
	led       = "LED"
	opening   = "OPENING"
	mount     = "MOUNT"
	body      = "BODY"
	lettering = "LETTERING"
)

func circle(layer string, x, y, d float64) dxf.Entity {
	return dxf.Entity{Type: "CIRCLE", Layer: layer, Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{
		{XY: dxf.XY{X: x - d/2, Y: y}, Bulge: 1}, {XY: dxf.XY{X: x + d/2, Y: y}, Bulge: 1}}}}
}

func path(layer string, closed bool, at ...dxf.Vertex) dxf.Entity {
	return dxf.Entity{Layer: layer, Path: dxf.Path{Closed: closed, Vertices: at}}
}

func box(layer string, x0, y0, x1, y1 float64) dxf.Entity {
	return path(layer, true, corner(x0, y0, 0), corner(x1, y0, 0), corner(x1, y1, 0), corner(x0, y1, 0))
}

func corner(x, y, bulge float64) dxf.Vertex { return dxf.Vertex{XY: dxf.XY{X: x, Y: y}, Bulge: bulge} }

// edge returns a rectangle with round corners.
func edge(w, h, r float64) dxf.Entity {
	q := math.Tan(math.Pi / 8) // the bulge of a quarter circle
	return path(outline, true,
		corner(r, 0, 0), corner(w-r, 0, q), corner(w, r, 0), corner(w, h-r, q),
		corner(w-r, h, 0), corner(r, h, q), corner(0, h-r, 0), corner(0, r, q))
}

// word is a text centred on its baseline.
func word(s string, x, y, height float64) dxf.Entity {
	return dxf.Entity{Type: "TEXT", Layer: lettering, Text: &dxf.Text{Text: s, At: dxf.XY{X: x, Y: y}, Height: height, Width: 1, H: dxf.Centre}}
}
