// Package sheet draws the sheets of a panel for the laser: face, diffuser and LED sheet, and a plate that carries its controls.
//
// A panel.Panel goes in and a Sheet comes out, which is written as SVG or DXF in millimetres and at true size, seen from the
// front; but a face whose paint is on its back is drawn as it lies on the laser, seen from behind. Three layers hold the work in
// the order it must be done, because a sheet that is cut out first lies loose when the rest is cut: 1-engrave, 2-cut-inner,
// 3-cut-outer; a layer without work is left out. Lettering is filled outlines, so that no font is needed; cuts are thin lines of
// one pure colour a layer without a fill, and arcs stay arcs: what laser shops ask for (common practice). Within a layer the
// next cut is the one nearest to the end of the last.
//
// A laser burns away a line of width Options.Kerf. With it given, the outer cut runs half of it outside the drawn line
// and every hole's half of it inside, so that the parts come out as drawn (laser shops' common practice). Openings that
// overlap one another or the edge are cut as the one shape they form together. Check tells what will not come out as
// drawn, and Preview shows the sheets to people.
package sheet

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lampblack/export/scene"
	scenedxf "lampblack/export/scene/dxf"
	"lampblack/export/scene/svg"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Options say how the sheets are cut.
type Options struct {
	Kerf   geom.Nm // width of the cut; 0 cuts on the drawn line
	Behind bool    // the paint, and so the engraving, is on the back of the face
	Relief Relief  // what the sheets in front of the boards are cut for beside all else
	Laser  Laser   // the zero Laser is UsualLaser
}

// Relief is holes for what stands out of the fronts of the boards.
type Relief struct{ LED, Plate []geom.Contour }

// Laser is how the files tell the laser's program what to do with a line.
type Laser struct {
	Cut, Inner, Engrave scene.Colour // of the outer cut, of those within it, of what is engraved
	Line                geom.Nm      // width of lines to cut
	Release             dxf.Release  // of DXF files
}

// UsualLaser is black to engrave, blue for cuts within and red for the outer one, in lines of 0.01 mm: what many laser shops
// ask for, though there is no rule (common practice).
func UsualLaser() Laser {
	return Laser{Cut: 0xff0000, Inner: 0x0000ff, Engrave: 0x000000, Line: 10 * geom.Micrometre, Release: dxf.R2000}
}

func (l Laser) orUsual() Laser {
	if l == (Laser{}) {
		return UsualLaser()
	}
	return l
}

// margin is what the page has round the panel.
const margin = 2 * geom.Millimetre

// Sheet is one sheet of acrylic and what the laser does to it.
type Sheet struct {
	of      string // the panel
	what    string // the sheet
	box     geom.Box
	edge    geom.Contour
	holes   []geom.Contour // as drawn: some may overlap
	mirror  bool           // seen from behind
	painted bool           // the face
	nested  bool           // pieces lie within others
	cut     job
	engrave []named // nil where nothing is engraved
	opt     Options
}

// named is an area to engrave and the words that it shows.
type named struct {
	area geom.Region
	says string
}

// Face returns the front sheet: the lettering, whose areas are made here where e is nil, the openings and mounts, the edge. Once
// ctx is done what it and its like return means nothing.
func Face(ctx context.Context, p panel.Panel, e *lettering.Engraving, opt Options) Sheet {
	return made(ctx, p, "face sheet", opt, func(w *work.Watch, s *Sheet) {
		s.painted, s.mirror = true, opt.Behind
		s.engrave = engraving(w, p, e.Or(w, p))
	}, p.Cuts(panel.FaceSheet), p.MountCuts(panel.FaceSheet))
}

// Diffuser returns the sheet that spreads the light: the openings as wide as it wants them, bodies that begin before it, mounts, the edge.
func Diffuser(ctx context.Context, p panel.Panel, opt Options) Sheet {
	return made(ctx, p, "diffuser sheet", opt, nil, p.Cuts(panel.DiffuserSheet), p.MountCuts(panel.DiffuserSheet))
}

// LED returns the sheet that holds the LEDs: their holes, the openings as wide as it wants them, bodies that begin before it, mounts,
// the edge.
func LED(ctx context.Context, p panel.Panel, opt Options) Sheet {
	return made(ctx, p, "LED sheet", opt, nil, ledHoles(p), p.Cuts(panel.LEDSheet), p.MountCuts(panel.LEDSheet), opt.Relief.LED)
}

// flange is how much wider the plate's hole for an LED is than the LED sheet's: the rim of a lamp of 3 mm is 3.8 across, and its leads
// are bent there (common practice).
const flange = geom.Millimetre

// Plate returns the sheet right behind the LED sheet that carries the controls: their holes, wider ones for the LEDs, the mounts, all
// bodies that begin before it, the edge.
func Plate(ctx context.Context, p panel.Panel, opt Options) Sheet {
	leds := make([]geom.Contour, len(p.LEDs))
	for i, h := range p.LEDs {
		leds[i] = geom.Circle(h.At, h.D+flange)
	}
	return made(ctx, p, "plate", opt, nil, leds, p.Cuts(panel.PlateSheet), p.MountCuts(panel.PlateSheet), opt.Relief.Plate)
}

// made is the sheet that the holes are cut out of.
func made(ctx context.Context, p panel.Panel, what string, opt Options, more func(*work.Watch, *Sheet), holes ...[]geom.Contour) Sheet {
	opt.Laser = opt.Laser.orUsual()
	s := Sheet{of: p.Name, what: what, box: p.Outline.Box(), edge: p.Outline, holes: slices.Concat(holes...), opt: opt}
	if s.box.Empty() {
		s.box = geom.Box{}
	}
	work.Until(ctx, func(w *work.Watch) {
		s.cut = cuts(w, p, opt, holes...)
		if more != nil {
			more(w, &s)
		}
	})
	return s
}

// Drawn returns the sheet's edge and its holes as they are when it is cut, some of which may overlap.
func (s Sheet) Drawn() (edge geom.Contour, holes []geom.Contour) { return s.edge, s.holes }

// Name returns what people call the sheet.
func (s Sheet) Name() string { return s.what }

// ledHoles are those that the LEDs look through.
func ledHoles(p panel.Panel) []geom.Contour {
	holes := make([]geom.Contour, len(p.LEDs))
	for i, h := range p.LEDs {
		holes[i] = geom.Circle(h.At, h.D)
	}
	return holes
}

// ledCuts are the holes of the LED sheet as they are drawn.
func ledCuts(p panel.Panel) [][]geom.Contour {
	return [][]geom.Contour{ledHoles(p), openings(p), p.MountCuts(panel.LEDSheet)}
}

func openings(p panel.Panel) []geom.Contour {
	out := make([]geom.Contour, len(p.Openings))
	for i, o := range p.Openings {
		out[i] = o.Contour
	}
	return out
}

// Figures is what a sheet asks of the laser.
type Figures struct {
	W, H     geom.Nm
	Cut      float64 // mm, along all cuts
	Holes    int     // cut out of it
	Engraved float64 // mm²
}

// Figures returns what the sheet asks of the laser.
func (s Sheet) Figures() Figures {
	f := Figures{W: s.box.W(), H: s.box.H(), Holes: len(s.cut.inner)}
	for _, c := range slices.Concat(s.cut.inner, s.cut.outer) {
		f.Cut += c.Perimeter()
	}
	for _, c := range s.cut.open {
		for _, e := range c.Edges()[:len(c)-1] {
			f.Cut += e.Len() / float64(geom.Millimetre)
		}
	}
	for _, n := range s.engrave {
		f.Engraved += n.area.Area()
	}
	return f
}

// SVG returns the sheet as SVG.
func (s Sheet) SVG(ctx context.Context) (data []byte) { return asSVG(ctx, s.page) }

// DXF returns the sheet as DXF, each layer in the one of CAD's colours that is nearest to the laser's.
func (s Sheet) DXF(ctx context.Context) ([]byte, error) {
	return asDXF(ctx, s.page, s.opt.Laser.Release)
}

// asSVG returns a page as SVG.
func asSVG(ctx context.Context, page func(*work.Watch) scene.Page) (data []byte) {
	work.Until(ctx, func(w *work.Watch) { data = svg.Encode(w, page(w)) })
	return data
}

// asDXF returns a page as DXF.
func asDXF(ctx context.Context, page func(*work.Watch) scene.Page, release dxf.Release) ([]byte, error) {
	var data []byte
	var err error
	if !work.Until(ctx, func(w *work.Watch) {
		p := page(w)
		work.Aside(w, func() { // the library that puts the file together cannot look
			data, err = dxf.Write(scenedxf.Drawing(p), dxf.Options{Release: release})
		})
	}) {
		return nil, nil
	}
	return data, err
}

// page is a sheet, whatever it is written as.
func (s Sheet) page(*work.Watch) scene.Page {
	kerf, laser := s.opt.Kerf, s.opt.Laser
	b := s.box
	desc := fmt.Sprintf("%s by %s. Millimetres, true size. Work the layers in the order of their numbers.", b.W(), b.H())
	desc += " " + kerfed(kerf)
	if s.mirror {
		desc += " Seen from behind, as it lies with its painted back up; the other sheets are seen from the front."
	}
	b = b.Grown(margin + kerf)
	f := scene.Frame{Box: b, Mirror: s.mirror}
	out := scene.Page{W: b.W(), H: b.H(), Title: s.of + ": " + s.what, Desc: desc}
	layer(&out.Body, "1-engrave", "Engraving", s.engraved(f, scene.Solid(laser.Engrave)))
	inner := scene.Line(laser.Inner, laser.Line)
	layer(&out.Body, "2-cut-inner", "Inner cuts", append(openLines(f, inner, s.cut.open), lines(f, inner, s.cut.inner)...))
	layer(&out.Body, "3-cut-outer", "Outer cut", lines(f, scene.Line(laser.Cut, laser.Line), s.cut.outer))
	return out
}

// layer adds a layer to the group, unless there is nothing on it.
func layer(g *scene.Group, name, title string, items []scene.Item) {
	if len(items) > 0 {
		g.Add(&scene.Group{Name: name, Title: title, Items: items})
	}
}

// engraving returns the areas that the laser takes off.
func engraving(w *work.Watch, p panel.Panel, e *lettering.Engraving) []named {
	var out []named
	add := func(g geom.Region, says string) {
		w.Look()
		if len(g) > 0 {
			out = append(out, named{g, strings.ReplaceAll(says, "\n", " ")})
		}
	}
	for i, g := range e.Texts {
		add(g, p.Lettering[i].Text)
	}
	for _, g := range e.Symbols {
		add(g, "")
	}
	return out
}

func (s Sheet) engraved(f scene.Frame, paint scene.Paint) []scene.Item {
	out := make([]scene.Item, len(s.engrave))
	for i, n := range s.engrave {
		out[i] = &scene.Path{Label: n.says, Shapes: f.Region(n.area), Fill: paint}
	}
	return out
}

// lines returns lines to cut, whole circles as such.
func lines(f scene.Frame, pen scene.Stroke, cs []geom.Contour) []scene.Item {
	var out []scene.Item
	for _, k := range cs {
		out = append(out, &scene.Path{Shapes: f.Contours(whole(k)), Stroke: pen})
	}
	return out
}

// openLines returns lines to cut that are not closed.
func openLines(f scene.Frame, pen scene.Stroke, cs []geom.Contour) []scene.Item {
	var out []scene.Item
	for _, k := range cs {
		out = append(out, &scene.Path{Shapes: f.Contours(k), Open: true, Stroke: pen})
	}
	return out
}

// whole returns a circle as geom makes them, and everything else as it is.
func whole(c geom.Contour) geom.Contour {
	if at, d, ok := c.Circular(); ok {
		return geom.Circle(at, d)
	}
	return c
}
