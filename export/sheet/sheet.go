// Package sheet draws the three acrylic sheets of a panel for the laser: face, diffuser and LED sheet.
//
// A panel.Panel goes in and one SVG document a sheet comes out, in millimetres and at true size: seen from the front,
// or from the back where Options.Mirror asks for it. Three groups hold the work in the order it must be done, because
// a sheet that is cut out first lies loose when the rest is cut: 1-engrave, 2-cut-inner, 3-cut-outer; a group without
// work is left out. Lettering is filled outlines, so that no font is needed; cuts are hairlines, and arcs stay arcs.
// Within a group the next cut is the one nearest to the end of the last.
//
// A laser burns away a line of width Options.Kerf. With it given, the outer cut runs half of it outside the drawn line
// and every hole's half of it inside, so that the parts come out as drawn (laser shops' common practice). Openings that
// overlap one another or the edge are cut as the one shape they form together. Check tells what will not come out as
// drawn.
package sheet

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Options say how the sheets are cut.
type Options struct {
	Kerf   geom.Nm // width of the cut; 0 cuts on the drawn line
	Mirror bool    // the sheet as seen from the back, for paint that is engraved on the back of a clear sheet
	Recess bool    // also cut the bodies out of the LED sheet, for parts that are fixed to the diffuser
}

const (
	margin   = 2 * geom.Millimetre  // of the page round the panel
	hairline = 50 * geom.Micrometre // a machine takes the line itself, people must still see it

	engraveColour scene.Colour = 0x4b4266 // plum
	innerColour   scene.Colour = 0xa8641a // ochre
	outerColour   scene.Colour = 0x1f6f5c // sea green
)

// Face returns the front sheet: the lettering, whose areas are made here where e is nil, the openings and mounts, the edge. Once ctx is done what it and its like return
// means nothing.
func Face(ctx context.Context, p panel.Panel, e *lettering.Engraving, opt Options) []byte {
	return written(ctx, p, opt, "face sheet", true, e, openings(p), mounts(p))
}

// Diffuser returns the sheet that spreads the light: the openings and mounts, the edge.
func Diffuser(ctx context.Context, p panel.Panel, opt Options) []byte {
	return written(ctx, p, opt, "diffuser sheet", false, nil, openings(p), mounts(p))
}

// LED returns the sheet that holds the LEDs: their holes, the openings and mounts, the edge.
func LED(ctx context.Context, p panel.Panel, opt Options) []byte {
	return written(ctx, p, opt, "LED sheet", false, nil, ledCuts(p, opt)...)
}

// written is the SVG of the sheet that the holes are cut out of.
func written(ctx context.Context, p panel.Panel, opt Options, what string, engrave bool, e *lettering.Engraving, holes ...[]geom.Contour) (data []byte) {
	work.Until(ctx, func(w *work.Watch) {
		data = svg.Encode(w, page(w, p, opt, what, cuts(w, p, opt, holes...), engrave, e))
	})
	return data
}

func ledCuts(p panel.Panel, opt Options) [][]geom.Contour {
	holes := make([]geom.Contour, len(p.LEDs))
	for i, h := range p.LEDs {
		holes[i] = geom.Circle(h.At, h.D)
	}
	groups := [][]geom.Contour{holes, openings(p), mounts(p)}
	if opt.Recess {
		groups = append(groups, p.Bodies)
	}
	return groups
}

func openings(p panel.Panel) []geom.Contour {
	out := make([]geom.Contour, len(p.Openings))
	for i, o := range p.Openings {
		out[i] = o.Contour
	}
	return out
}

func mounts(p panel.Panel) []geom.Contour {
	out := make([]geom.Contour, len(p.Mounts))
	for i, h := range p.Mounts {
		out[i] = geom.Circle(h.At, h.D)
	}
	return out
}

// page is a sheet, whatever it is written as.
func page(w *work.Watch, p panel.Panel, opt Options, what string, c job, engrave bool, e *lettering.Engraving) scene.Page {
	b := p.Outline.Box()
	if b.Empty() {
		b = geom.Box{}
	}
	desc := fmt.Sprintf("%s by %s. Millimetres, true size. Work the groups in the order of their numbers.", b.W(), b.H())
	if opt.Kerf > 0 {
		desc += fmt.Sprintf(" Lines are moved for a cut %s wide: do not let the machine's program move them again.", opt.Kerf)
	} else {
		desc += " Lines are as drawn: the width of the cut is not allowed for."
	}
	if opt.Mirror {
		desc += " Seen from the back."
	}
	b = b.Grown(margin + opt.Kerf)
	f := scene.Frame{Box: b, Mirror: opt.Mirror}
	out := scene.Page{W: b.W(), H: b.H(), Title: p.Name + ": " + what, Desc: desc}
	if engrave {
		layer(&out, "1-engrave", "Engraving", engraving(w, f, p, e.Or(w, p)))
	}
	layer(&out, "2-cut-inner", "Inner cuts", run(f, innerColour, c.inner))
	layer(&out, "3-cut-outer", "Outer cut", run(f, outerColour, c.outer))
	return out
}

// layer adds a layer to the page, unless there is nothing on it.
func layer(p *scene.Page, name, title string, items []scene.Item) {
	if len(items) > 0 {
		p.Body.Add(&scene.Group{Name: name, Title: title, Items: items})
	}
}

// engraving returns the areas that the laser takes off.
func engraving(w *work.Watch, f scene.Frame, p panel.Panel, e *lettering.Engraving) []scene.Item {
	var out []scene.Item
	add := func(g geom.Region, label string) {
		if len(g) > 0 {
			out = append(out, &scene.Path{Label: strings.ReplaceAll(label, "\n", " "), Shapes: f.Region(g), Fill: scene.Solid(engraveColour)})
		}
	}
	for i, g := range e.Texts {
		w.Look()
		add(g, p.Lettering[i].Text)
	}
	for _, g := range e.Symbols {
		w.Look()
		add(g, "")
	}
	return out
}

// run returns lines to cut, whole circles as such.
func run(f scene.Frame, c scene.Colour, cs []geom.Contour) []scene.Item {
	var out []scene.Item
	for _, k := range cs {
		if at, d, ok := k.Circular(); ok {
			k = geom.Circle(at, d)
		}
		out = append(out, &scene.Path{Shapes: f.Contours(k), Stroke: scene.Line(c, hairline)})
	}
	return out
}

// Visible returns a sheet that this package wrote with its hairlines as wide as they must be to be seen in a small picture,
// for people alone: a laser wants the sheet as it is.
func Visible(svg []byte) []byte {
	const seen = 450 * geom.Micrometre
	width := func(v geom.Nm) []byte { return []byte(`stroke-width="` + scene.Decimal(v, geom.Micrometre) + `"`) }
	return bytes.ReplaceAll(svg, width(hairline), width(seen))
}
