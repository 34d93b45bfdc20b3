package read

import (
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// What is thinner than web breaks when it is cut: half a laser's kerf of 0.2 mm from either side.
const web = 0.1 // mm

// fallsApart tells a panel of which openings that reach its edge leave several pieces.
func fallsApart(w *work.Watch, s *sheet, p *panel.Panel) findings {
	var said findings
	first := -1 // of the openings at the edge
	n := 0
	for i := range s.openings {
		w.Step()
		o := &s.openings[i]
		near := o.standingIn(&s.outline) == crossing
		if !near {
			near = slices.ContainsFunc(o.flat(), func(q dxf.XY) bool { return s.outline.near(q, web) })
		}
		if near {
			if n++; first < 0 {
				first = i
			}
		}
	}
	if n == 0 || n > 100 {
		return said
	}
	var rings []geom.Ring
	for i := range p.Openings {
		if c := p.Openings[i].Contour; len(c) > 1 {
			rings = append(rings, c.Ring(geom.FlattenTolerance))
		}
	}
	w.Look()
	left := geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)).Minus(geom.UnionOf(rings...).Grown(geom.MM(web / 2)))
	pieces := 0
	for _, g := range left {
		if (geom.Region{g}).Area() >= 1 { // mm²: less is a crumb
			pieces++
		}
	}
	if pieces < 2 {
		return said
	}
	o := &s.openings[first]
	m := o.middle()
	said.add(diag.Error, "panel-falls-apart", o.from, "the panel falls into %d pieces: an opening of %s touches its edge", pieces, sizeOf(o)).At(m.X, m.Y).Of(s.name).
		Fix("make the opening smaller, or move it inward; if it is not cut out, draw it on layer lettering or on one without a meaning")
	return said
}
