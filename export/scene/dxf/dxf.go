// Package dxf writes a scene as DXF: the curves alone, each on its layer, in millimetres with Y up.
//
// A shape is an entity on the layer of the innermost name around it: circles stay circles, arcs are bulges. Letters are their
// outlines. DXF draws lines, not areas: widths, dashes and clipping are left out, and a filled shape is its edge. A layer has the
// colour of the first thing on it, as near as CAD's first seven come.
package dxf

import (
	"lampblack/export/scene"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// Encode returns the page as an ASCII DXF file.
func Encode(p scene.Page) ([]byte, error) { return dxf.Write(Drawing(p), dxf.Options{}) }

// Drawing returns the page's curves; its lower left corner is the drawing's zero.
func Drawing(p scene.Page) dxf.Drawing {
	d := drawing{high: p.H, layers: map[string]bool{}, out: dxf.Drawing{Name: p.Title, Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}}
	d.group(&p.Body, "0")
	return d.out
}

// drawing is the curves in the making.
type drawing struct {
	high   geom.Nm // of the page
	layers map[string]bool
	out    dxf.Drawing
}

func (d *drawing) group(g *scene.Group, layer string) {
	layer = named(g.Name, layer)
	for _, it := range g.Items {
		switch it := it.(type) {
		case *scene.Group:
			d.group(it, layer)
		case *scene.Path:
			if it.Fill.None() && it.Stroke.None() {
				continue
			}
			colour := it.Stroke.Colour
			if it.Stroke.None() {
				colour = it.Fill.Colour
			}
			for _, s := range it.Shapes {
				d.curve(s, it.Open, named(it.Name, layer), colour)
			}
		case *scene.Glyphs:
			for _, s := range it.Outlines() {
				d.curve(s, false, layer, it.Fill.Colour)
			}
		}
	}
}

func named(name, otherwise string) string {
	if name == "" {
		return otherwise
	}
	return name
}

func (d *drawing) curve(c geom.Contour, open bool, layer string, colour scene.Colour) {
	if len(c) == 0 {
		return
	}
	if !d.layers[layer] {
		d.layers[layer] = true
		d.out.Layers = append(d.out.Layers, dxf.Layer{Name: layer, Colour: index(colour)})
	}
	e := dxf.Entity{Type: "LWPOLYLINE", Layer: layer, Path: dxf.Path{Closed: !open}}
	for _, v := range c {
		if v.Bulge != 0 { // Y turns over, and so does the way that arcs turn
			v.Bulge = -v.Bulge
		}
		e.Path.Vertices = append(e.Path.Vertices, dxf.Vertex{XY: dxf.XY{X: v.X.MM(), Y: (d.high - v.Y).MM()}, Bulge: v.Bulge})
	}
	d.out.Entities = append(d.out.Entities, e)
}

// index returns the index of CAD's colour that is nearest: red, yellow, green, cyan, blue, magenta, and 7, which is black on paper
// and white on a screen (DXF Reference, group 62).
func index(c scene.Colour) uint8 {
	at, best := uint8(7), far(c, 0)
	for i, p := range [...]scene.Colour{0xff0000, 0xffff00, 0x00ff00, 0x00ffff, 0x0000ff, 0xff00ff, 0xffffff} {
		if d := far(c, p); d < best {
			at, best = uint8(i+1), d
		}
	}
	return at
}

// far is the square of how far two colours lie apart.
func far(a, b scene.Colour) int {
	sum := 0
	for shift := 0; shift <= 16; shift += 8 {
		d := int(a>>shift&0xff) - int(b>>shift&0xff)
		sum += d * d
	}
	return sum
}
