package sheet

import (
	"context"

	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// What people see of the sheets: the face painted black and its engraving light, the others as acrylic looks on white paper.
const (
	paint    scene.Colour = 0x24222b
	lit      scene.Colour = 0xfff0d0
	acrylic  scene.Colour = 0xe9e5da
	paper    scene.Colour = 0xffffff
	cutEdge  scene.Colour = 0x6b6458
	edgeLine              = 300 * geom.Micrometre // ISO 128-2's wide enough to be seen where a panel is as wide as a page
	between               = 6 * geom.Millimetre   // two sheets
)

// Preview shows sheets of one panel to people, who do not see a laser's lines: one below the other, or side by side where they
// are higher than wide, each from the front.
func Preview(ctx context.Context, title string, sheets ...Sheet) (data []byte) {
	work.Until(ctx, func(w *work.Watch) {
		out := scene.Page{Title: title}
		at := geom.Pt{X: margin, Y: margin}
		for _, s := range sheets {
			w.Look()
			f := scene.Frame{Box: s.box, At: at}
			fill := acrylic
			if s.painted {
				fill = paint
			}
			g := &scene.Group{Label: s.what}
			if s.nested {
				all := append(filled(f, s.cut.outer), filled(f, s.cut.inner)...)
				g.Add(&scene.Path{Shapes: all, Fill: scene.Solid(paint), EvenOdd: true, Stroke: scene.Line(cutEdge, edgeLine)})
			} else {
				g.Add(&scene.Path{Shapes: filled(f, s.cut.outer), Fill: scene.Solid(fill), Stroke: scene.Line(cutEdge, edgeLine)},
					&scene.Path{Shapes: filled(f, s.cut.inner), Fill: scene.Solid(paper), Stroke: scene.Line(cutEdge, edgeLine)})
			}
			g.Add(openLines(f, scene.Line(cutEdge, edgeLine), s.cut.open)...)
			g.Add(s.engraved(f, scene.Solid(s.shines()))...)
			out.Body.Add(g)
			out.W, out.H = max(out.W, at.X+s.box.W()+margin), max(out.H, at.Y+s.box.H()+margin)
			if s.box.W() >= s.box.H() {
				at.Y += s.box.H() + between
			} else {
				at.X += s.box.W() + between
			}
		}
		data = svg.Encode(w, out)
	})
	return data
}

// shines is the colour of what is engraved: of paint that lets light through, or of bare acrylic.
func (s Sheet) shines() scene.Colour {
	if s.painted {
		return lit
	}
	return cutEdge
}

func filled(f scene.Frame, cs []geom.Contour) []geom.Contour {
	var out []geom.Contour
	for _, c := range cs {
		out = append(out, f.Contours(whole(c))...)
	}
	return out
}
