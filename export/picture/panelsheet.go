package picture

import (
	"context"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/pdf"
	"lampblack/export/scene/typeset"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// PanelPDF returns the panel at true size, as a template: edge, openings and holes with their middles, the lettering, and
// dashed what lies behind, which is the space of the parts and the board's edge. A legend tells each kind of line and colour
// that is there. Side views follow on pages of their own.
func PanelPDF(ctx context.Context, p panel.Panel, e *lettering.Engraving, boards []board.Board, print Print, views ...SideView) []byte {
	return wanted(ctx, func(w *work.Watch) []byte {
		pages := []scene.Page{panelSheet(w, p, e.Or(w, p), boards, print)}
		for _, v := range views {
			pages = append(pages, sidePage(w, v, true))
		}
		return pdf.Encode(w, pdf.Document{Title: Titled(p.Name+": panel", print.Revision), Version: print.Version, Date: print.Date}, pages...)
	})
}

const (
	faceFill   scene.Colour = 0xf3efe6
	letterFill scene.Colour = 0xc2b49e // pale, so that the middles of the holes behind it can be seen
	screwInk   scene.Colour = 0x8a3b2a
	faintBlue  scene.Colour = 0x5f86a3 // the board's edge behind a panel
)

// layer is one kind of thing on the panel's sheet. Drawing and legend are both made from it, so that they agree.
type layer struct {
	name, says string
	style      scene.Path  // as the things are painted
	cross      scene.Paint // marks the middles; none: no marks
	sample     func(d *drawing, at geom.Box) []geom.Contour
	things     []*scene.Path // shapes and labels, on the page
	middles    []panel.Hole
}

// panelLayers returns what there is to show of a panel, the lowest first.
func panelLayers(w *work.Watch, f scene.Frame, p panel.Panel, e *lettering.Engraving, boards []board.Board) []layer {
	const pen = 200 * geom.Micrometre
	shapes := func(c ...geom.Contour) []*scene.Path { return []*scene.Path{{Shapes: f.Contours(c...)}} }
	face := []geom.Contour{p.Outline}
	for _, o := range p.Openings {
		face = append(face, o.Contour)
	}
	holes := func(l []panel.Hole) []*scene.Path {
		var edges []geom.Contour
		for _, h := range l {
			edges = append(edges, geom.Circle(h.At, h.D))
		}
		return shapes(edges...)
	}
	var round, slotted []panel.Hole
	var slots []geom.Contour
	for i, c := range p.MountCuts(panel.FaceSheet) {
		if _, _, ok := c.Circular(); ok {
			round = append(round, p.Mounts[i])
		} else {
			slotted, slots = append(slotted, p.Mounts[i]), append(slots, c)
		}
	}
	var rooms, edges []geom.Contour
	for _, b := range boards {
		for _, r := range b.Room {
			rooms = append(rooms, r.Contour)
		}
		edges = append(append(edges, b.Outline), b.Cutouts...)
	}
	all := []layer{
		{name: "face", says: "panel, its edge and openings", sample: boxSample, things: shapes(face...),
			style: scene.Path{Fill: scene.Solid(faceFill), EvenOdd: true, Stroke: scene.Line(ink, linePen)}},
		{name: "lettering", says: "lettering", sample: letterSample, things: letterings(w, f, p, e),
			style: scene.Path{Fill: scene.Solid(letterFill), EvenOdd: true}},
		{name: "bodies", says: bodiesSay(p), sample: boxSample, things: shapes(p.Bodies...),
			style: scene.Path{Stroke: scene.Line(edgeInk, pen).Dashed(geom.MM(2), geom.MM(1))}},
		{name: "room", says: "behind: room kept free for a part", sample: boxSample, things: shapes(rooms...),
			style: scene.Path{Stroke: scene.Line(roomInk, pen).Dashed(geom.MM(0.6), geom.MM(0.8))}},
		{name: "board", says: "behind: edge of the board", sample: boxSample, things: shapes(edges...),
			style: scene.Path{Stroke: scene.Line(faintBlue, pen).Dashed(geom.MM(4), geom.MM(1))}},
		{name: "led-holes", says: "LED hole and its middle", sample: holeSample, things: holes(p.LEDs), middles: p.LEDs,
			style: scene.Path{Stroke: scene.Line(ink, pen)}, cross: scene.Solid(ink)},
		{name: "mounts", says: "screw hole and its middle", sample: holeSample, things: holes(round), middles: round,
			style: scene.Path{Stroke: scene.Line(screwInk, pen)}, cross: scene.Solid(screwInk)},
		{name: "slots", says: "screw slot in the sheets and its middle", sample: slotSample, things: shapes(slots...), middles: slotted,
			style: scene.Path{Stroke: scene.Line(screwInk, pen)}, cross: scene.Solid(screwInk)},
	}
	var out []layer
	for _, l := range all {
		if visible(l.things) {
			out = append(out, l)
		}
	}
	return out
}

// visible reports whether there is anything to see.
func visible(l []*scene.Path) bool {
	for _, p := range l {
		for _, c := range p.Shapes {
			if len(c) > 0 {
				return true
			}
		}
	}
	return false
}

// painted returns shapes in the layer's style.
func (l layer) painted(shapes []geom.Contour, label string) *scene.Path {
	p := l.style
	p.Shapes, p.Label = shapes, label
	return &p
}

// panelSheet is the panel's sheet: the drawing, and the legend below or beside it, whichever takes less paper.
func panelSheet(watch *work.Watch, p panel.Panel, e *lettering.Engraving, boards []board.Board, print Print) scene.Page {
	layers := panelLayers(watch, scene.Frame{}, p, e, boards)
	box := geom.EmptyBox()
	for _, l := range layers {
		for _, q := range l.things {
			for _, c := range q.Shapes {
				box = box.Union(c.Box())
			}
		}
	}
	if box.Empty() {
		box = geom.Box{}
	}
	box.Min.Y, box.Max.Y = -box.Max.Y, -box.Min.Y // the panel's Y is up
	width, height, list, beside := panelPaper(box.W(), box.H(), layers)
	d := newSheet(watch, width, height, Titled(p.Name+" — panel", print.Revision),
		measures(p.Outline.Box().W(), p.Outline.Box().H())+", at true size, seen from the front")
	// What is not drawing is shared out evenly, but no more than a finger's width goes above it.
	w, h := box.W(), box.H()
	if beside {
		w += legendGap + list.w
	} else {
		h += legendGap + list.h
	}
	at := geom.Pt{X: (width - w) / 2, Y: sheetMargin + sheetHead + min((roomFor(height)-h)/2, 20*geom.Millimetre)}
	f := scene.Frame{Box: box, At: at}
	move := f.Pt(geom.Pt{}).Sub(geom.Pt{})
	d.open("panel")
	for _, l := range layers {
		d.open(l.name)
		for _, q := range l.things {
			shapes := make([]geom.Contour, len(q.Shapes))
			for i, c := range q.Shapes {
				shapes[i] = c.Moved(move)
			}
			d.add(l.painted(shapes, q.Label))
		}
		for _, h := range l.middles {
			d.cross(f.Pt(h.At), h.D/2+800*geom.Micrometre, l.cross.Colour)
		}
		d.close()
	}
	d.close()
	if beside {
		list.draw(d, at.X+box.W()+legendGap, at.Y)
	} else {
		list.draw(d, (width-list.w)/2, at.Y+box.H()+legendGap)
	}
	return d.page
}

// panelPaper returns the sheet for a drawing of w by h and its legend, and the legend as it is set there.
func panelPaper(w, h geom.Nm, layers []layer) (width, height geom.Nm, list legendList, beside bool) {
	for _, s := range papers(w, h) {
		room, high := s[0]-2*sheetMargin, roomFor(s[1])
		if w > room || h > high {
			continue
		}
		if l := newLegend(layers, room); l.w <= room && h+legendGap+l.h <= high {
			return s[0], s[1], l, false
		}
		if column := room - w - legendGap; column >= narrowest {
			if l := newLegend(layers, min(column, widestColumn)); l.h <= high {
				return s[0], s[1], l, true
			}
		}
	}
	width = max(w+2*sheetMargin, a4Wide)
	list = newLegend(layers, width-2*sheetMargin)
	return width, h + legendGap + list.h + sheetHead + sheetFoot + 2*sheetMargin, list, false
}

// Measures of the panel's legend.
const (
	legendGap    = 6 * geom.Millimetre // from the drawing
	sampleWide   = 9 * geom.Millimetre
	sampleHigh   = 5 * geom.Millimetre
	sampleGap    = 2 * geom.Millimetre // from a sample to its words
	lineStep     = 3200 * geom.Micrometre
	itemGap      = 5 * geom.Millimetre  // between columns
	narrowest    = 28 * geom.Millimetre // of a column beside the drawing
	widestColumn = 65 * geom.Millimetre
)

// legendList is the legend, set in columns of equal width.
type legendList struct {
	w, h    geom.Nm
	column  geom.Nm // of a sample with its words
	columns int
	items   []legendItem
	rows    []geom.Nm // their heights
}

type legendItem struct {
	layer
	lines []string
}

// newLegend sets the legend at most room wide.
func newLegend(layers []layer, room geom.Nm) legendList {
	var d typeset.Setter // to measure with
	l := legendList{}
	for _, y := range layers {
		lines := d.Wrapped(y.says, textHeight, max(room-sampleWide-sampleGap, geom.Millimetre))
		l.items = append(l.items, legendItem{y, lines})
		for _, s := range lines {
			l.column = max(l.column, sampleWide+sampleGap+d.Wide(s, textHeight))
		}
	}
	l.columns = max(1, min(len(layers), int((room+itemGap)/max(l.column+itemGap, 1))))
	if n := len(layers); n > 0 {
		rows := (n + l.columns - 1) / l.columns
		l.columns = (n + rows - 1) / rows // as even as can be
	}
	l.w = geom.Nm(l.columns)*(l.column+itemGap) - itemGap
	for i, it := range l.items {
		if i%l.columns == 0 {
			l.rows = append(l.rows, 0)
		}
		r := &l.rows[len(l.rows)-1]
		*r = max(*r, max(sampleHigh, geom.Nm(len(it.lines))*lineStep)+2*geom.Millimetre)
	}
	for _, r := range l.rows {
		l.h += r
	}
	return l
}

// draw draws the legend from (x, y) of the page.
func (l legendList) draw(d *drawing, x, y geom.Nm) {
	d.open("legend")
	defer d.close()
	for i, it := range l.items {
		from := x + geom.Nm(i%l.columns)*(l.column+itemGap)
		row := l.rows[i/l.columns]
		mid := y + row/2
		at := geom.Box{Min: geom.Pt{X: from, Y: mid - sampleHigh/2}, Max: geom.Pt{X: from + sampleWide, Y: mid + sampleHigh/2}}
		d.open("legend-" + it.name)
		d.add(it.painted(it.sample(d, at.Grown(-300*geom.Micrometre)), it.says))
		if !it.cross.None() {
			d.cross(at.Centre(), sampleHole/2+800*geom.Micrometre, it.cross.Colour)
		}
		d.close()
		base := mid + textHeight/2 - geom.Nm(len(it.lines)-1)*lineStep/2
		for j, s := range it.lines {
			d.letters(from+sampleWide+sampleGap, base+geom.Nm(j)*lineStep, textHeight, left, ink, s)
		}
		if i%l.columns == l.columns-1 {
			y += row
		}
	}
}

// sampleHole is the diameter of the hole in the legend.
const sampleHole = 2600 * geom.Micrometre

// boxSample shows a face, or an edge.
func boxSample(_ *drawing, at geom.Box) []geom.Contour { return []geom.Contour{geom.Rect(at)} }

// holeSample shows a hole.
func holeSample(_ *drawing, at geom.Box) []geom.Contour {
	return []geom.Contour{geom.Circle(at.Centre(), sampleHole)}
}

// slotSample shows a slot.
func slotSample(_ *drawing, at geom.Box) []geom.Contour {
	c := at.Centre()
	d := geom.Vec{X: sampleHole / 3}
	return []geom.Contour{geom.Stadium(geom.Segment{A: c.Add(d.Neg()), B: c.Add(d)}, sampleHole/2)}
}

// letterSample shows letters.
func letterSample(d *drawing, at geom.Box) []geom.Contour {
	const s = "Abc"
	h := at.H() * 7 / 10
	x := at.Centre().X - d.Wide(s, h)/2
	g := d.Glyphs(s, geom.Pt{X: x, Y: at.Centre().Y + h/2}, h)
	return g.Outlines()
}

// bodiesSay says what bodies are, and which sheets are cut for them.
func bodiesSay(p panel.Panel) string {
	return "behind: space of a part" + map[panel.Depth]string{panel.BehindDiffuser: ", cut out of the LED sheet", panel.BehindFace: ", cut out of diffuser and LED sheet"}[p.BodyDepth]
}
