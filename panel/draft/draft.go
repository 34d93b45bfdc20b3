// Package draft draws panels as CAD drawings.
package draft

import (
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// Drawing returns panels as a drawing that CAD can take back (dxf.Write): each thing on the layer of its role, in the frame
// of the drawing that the panel came from. read.Panels makes the same panels of it.
func Drawing(ps ...panel.Panel) dxf.Drawing {
	d := dxf.Drawing{Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	prints := func(p panel.Panel) bool { return !p.Print[geom.Top].Empty() || !p.Print[geom.Bottom].Empty() }
	for _, role := range panel.Roles() {
		if role == panel.RoleWindow && !slices.ContainsFunc(ps, func(p panel.Panel) bool { return len(p.Windows()) > 0 }) {
			continue
		}
		if !role.Printed() || slices.ContainsFunc(ps, prints) {
			d.Layers = append(d.Layers, dxf.Layer{Name: string(role)})
		}
	}
	for _, p := range ps {
		if d.Name == "" {
			d.Name = p.Drawing
		}
		d.Entities = append(d.Entities, drawnOf(p)...)
	}
	return d
}

// On is Drawing on other layers, for the roles that these are told for.
func On(layers map[panel.Role]string, ps ...panel.Panel) dxf.Drawing {
	d := Drawing(ps...)
	name := func(layer *string) {
		if to := layers[panel.Role(*layer)]; to != "" {
			*layer = to
		}
	}
	for i := range d.Layers {
		name(&d.Layers[i].Name)
	}
	for i := range d.Entities {
		name(&d.Entities[i].Layer)
	}
	return d
}

func drawnOf(p panel.Panel) []dxf.Entity {
	var out []dxf.Entity
	at := func(q geom.Pt) dxf.XY { return dxf.XY{X: p.Origin.X + q.X.MM(), Y: p.Origin.Y + q.Y.MM()} }
	vertices := func(c geom.Contour) []dxf.Vertex {
		var vs []dxf.Vertex
		for _, v := range c {
			vs = append(vs, dxf.Vertex{XY: at(v.Pt), Bulge: v.Bulge})
		}
		return vs
	}
	line := func(role panel.Role, c geom.Contour, closed bool, handle string) {
		if len(c) == 0 {
			return
		}
		out = append(out, dxf.Entity{Type: "LWPOLYLINE", Layer: string(role), Handle: handle, Path: dxf.Path{Closed: closed, Vertices: vertices(c)}})
	}
	holes := func(role panel.Role, hs []panel.Hole) {
		for _, h := range hs {
			line(role, geom.Circle(h.At, h.D), true, h.Handle)
		}
	}
	line(panel.RoleOutline, p.Outline, true, "")
	for _, b := range p.Boards {
		for _, c := range b {
			line(panel.RoleBoard, c, true, "")
		}
	}
	holes(panel.RoleLED, p.LEDs)
	holes(panel.RoleMount, p.Mounts)
	for _, o := range p.Openings {
		role := panel.RoleOpening
		if o.Mount {
			role = panel.RoleMount
		}
		line(role, o.Contour, true, o.Handle)
	}
	for _, c := range p.Drawn() {
		line(panel.RoleBody, c, true, "")
	}
	drawn := func(role panel.Role, symbols []panel.Symbol, texts []panel.Text) {
		for _, s := range symbols {
			if len(s.Shape) == 0 {
				continue
			}
			if s.Window {
				line(panel.RoleWindow, s.Shape, true, "")
				for _, h := range s.Holes {
					if !slices.ContainsFunc(p.Openings, func(o panel.Opening) bool { return slices.Equal(o.Contour, h) }) {
						line(panel.RoleWindow, h, true, "")
					}
				}
				continue
			}
			line(role, s.Shape, s.Closed, "")
			e := &out[len(out)-1]
			if e.Width, e.Weight, e.Pen = penOf(s); s.Filled {
				var holes []dxf.Path
				for _, h := range s.Holes {
					holes = append(holes, dxf.Path{Closed: true, Vertices: vertices(h)})
				}
				e.Type, e.Fill, e.Holes = "HATCH", true, &holes
			}
		}
		for _, t := range texts {
			out = append(out, dxf.Entity{Type: "TEXT", Layer: string(role), Text: &dxf.Text{
				Text: t.Text, At: at(t.At), Height: t.Height.MM(), Angle: t.Angle, Width: t.Width, Span: t.Span.MM(),
				H: dxf.HAlign(t.Anchor.H), V: dxf.VAlign(t.Anchor.V), Mirror: t.Mirror,
				Slant: t.Slant, Font: t.Font, Block: t.Block,
			}})
		}
	}
	drawn(panel.RoleLettering, p.Symbols, p.Lettering)
	for side, role := range panel.PrintRoles() {
		drawn(role, p.Print[side].Symbols, p.Print[side].Texts)
	}
	return out
}

// penOf returns what a symbol's line is drawn with: a line weight where its ends are round and DXF has one, else a width.
func penOf(s panel.Symbol) (width float32, weight uint8, pen *dxf.Pen) {
	const most = 211 // hundredths of a millimetre
	if w := s.Width / (geom.Millimetre / 100); !s.Flat && w <= most && w*(geom.Millimetre/100) == s.Width {
		weight = uint8(w)
	} else {
		width = float32(s.Width.MM())
	}
	if s.Dashes != nil {
		pen = &dxf.Pen{Runs: s.Runs}
		for _, d := range s.Dashes {
			pen.Dashes = append(pen.Dashes, d.MM())
		}
	}
	return width, weight, pen
}
