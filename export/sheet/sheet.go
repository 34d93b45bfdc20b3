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
	"fmt"
	"strings"

	"lampblack/export/internal/svg"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// Options say how the sheets are cut.
type Options struct {
	Kerf   geom.Nm // width of the cut; 0 cuts on the drawn line
	Stroke geom.Nm // width of an engraved open line; 0 means DefaultStroke
	Mirror bool    // the sheet as seen from the back, for paint that is engraved on the back of a clear sheet
	Recess bool    // also cut the bodies out of the LED sheet, for parts that are fixed to the diffuser
}

// DefaultStroke is about the stem of a 3 mm letter.
const DefaultStroke = 400 * geom.Micrometre

func (o Options) stroke() geom.Nm {
	if o.Stroke <= 0 {
		return DefaultStroke
	}
	return o.Stroke
}

const (
	margin   = 2 * geom.Millimetre // of the page round the panel
	hairline = "0.05"              // mm; a machine takes the line itself, people must still see it

	engraveColour = "#4b4266" // plum
	innerColour   = "#a8641a" // ochre
	outerColour   = "#1f6f5c" // sea green
)

// Face returns the front sheet: the lettering, the openings and mounts, the edge.
func Face(p panel.Panel, opt Options) []byte {
	return document(p, opt, "face sheet", cuts(p, opt, openings(p), mounts(p)), true)
}

// Diffuser returns the sheet that spreads the light: the openings and mounts, the edge.
func Diffuser(p panel.Panel, opt Options) []byte {
	return document(p, opt, "diffuser sheet", cuts(p, opt, openings(p), mounts(p)), false)
}

// LED returns the sheet that holds the LEDs: their holes, the openings and mounts, the edge.
func LED(p panel.Panel, opt Options) []byte {
	return document(p, opt, "LED sheet", cuts(p, opt, ledCuts(p, opt)...), false)
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

func document(p panel.Panel, opt Options, what string, c job, engrave bool) []byte {
	b := p.Outline.Box()
	if b.Empty() {
		b = geom.Box{}
	}
	f := svg.Frame{Box: b.Grown(margin + opt.Kerf), Mirror: opt.Mirror}
	var w svg.Writer
	desc := fmt.Sprintf("%s by %s. Millimetres, true size. Work the groups in the order of their numbers.", b.W(), b.H())
	if opt.Kerf > 0 {
		desc += fmt.Sprintf(" Lines are moved for a cut %s wide: do not let the machine's program move them again.", opt.Kerf)
	} else {
		desc += " Lines are as drawn: the width of the cut is not allowed for."
	}
	if opt.Mirror {
		desc += " Seen from the back."
	}
	w.Start(f.W(), f.H(), p.Name+": "+what, desc)
	if engrave {
		engraving(&w, f, p, opt)
	}
	group(&w, f, "2-cut-inner", "Inner cuts", innerColour, c.inner)
	group(&w, f, "3-cut-outer", "Outer cut", outerColour, c.outer)
	return w.End()
}

func engraving(w *svg.Writer, f svg.Frame, p panel.Panel, opt Options) {
	open := false
	draw := func(g geom.Region, label string) {
		if len(g) == 0 {
			return
		}
		if !open {
			w.Open("g", "id", "1-engrave", "fill", engraveColour, "stroke", "none")
			w.Text("title", "Engraving")
			open = true
		}
		w.Empty("path", "aria-label", strings.ReplaceAll(label, "\n", " "), "d", f.Region(g))
	}
	for _, t := range p.Lettering {
		draw(lettering.Outline(t), t.Text)
	}
	for _, s := range p.Symbols {
		draw(lettering.SymbolRegion(s, opt.stroke()), "")
	}
	if open {
		w.Close("g")
	}
}

func group(w *svg.Writer, f svg.Frame, id, title, colour string, cs []geom.Contour) {
	if len(cs) == 0 {
		return
	}
	w.Open("g", "id", id, "fill", "none", "stroke", colour, "stroke-width", hairline)
	w.Text("title", title)
	for _, c := range cs {
		if at, d, ok := c.Circular(); ok {
			x, y := f.XY(at)
			w.Empty("circle", "cx", f.Num(x), "cy", f.Num(y), "r", f.Num(d/2))
			continue
		}
		w.Empty("path", "d", f.Path(c))
	}
	w.Close("g")
}
