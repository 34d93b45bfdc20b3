// Package dxf writes a scene as DXF: the curves alone, each on its layer, in millimetres with Y up.
//
// A shape is an entity on the layer of the innermost name around it: circles stay circles, arcs are bulges. Letters are their
// outlines. DXF draws lines, not areas: colours, widths, dashes and clipping are left out, and a filled shape is its edge.
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
	d := drawing{high: p.H, out: dxf.Drawing{Name: p.Title, Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}}
	d.group(&p.Body, "0")
	return d.out
}

// drawing is the curves in the making.
type drawing struct {
	high geom.Nm // of the page
	out  dxf.Drawing
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
			for _, s := range it.Shapes {
				d.curve(s, it.Open, named(it.Name, layer))
			}
		case *scene.Glyphs:
			for _, s := range it.Outlines() {
				d.curve(s, false, layer)
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

func (d *drawing) curve(c geom.Contour, open bool, layer string) {
	if len(c) == 0 {
		return
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
