package picture

import (
	"time"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/pdf"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Print is what the PDFs say about themselves.
type Print struct {
	Version string    // of Lampblack
	Date    time.Time // zero: none
}

// barLength is how long the bar is by which a print's scale is measured.
const barLength = 50 * geom.Millimetre

// bar draws a scale bar from (x, y) to the right: barLength of the real thing, drawn that many halves larger. It is 3 mm
// high, ticks every 10 mm, and says what it is.
func (d *drawing) bar(x, y geom.Nm, twice int, says string) {
	const high = 3 * geom.Millimetre
	d.open("scale-bar").Label = says
	for i := range 5 {
		fill := ink
		if i%2 == 1 {
			fill = white
		}
		d.add(&scene.Path{Shapes: rect(x+scaled(barLength*geom.Nm(i)/5, twice), y, scaled(barLength/5, twice), high*2/5),
			Fill: scene.Solid(fill), Stroke: scene.Line(ink, geom.MM(0.15))})
	}
	var ticks [][]geom.Nm
	for i := range 6 {
		at := x + scaled(barLength*geom.Nm(i)/5, twice)
		ticks = append(ticks, []geom.Nm{at, y, at, y + high})
	}
	d.runs(scene.Line(ink, geom.MM(0.15)), ticks...)
	d.close()
	d.letters(x+scaled(barLength, twice)+2*geom.Millimetre, y+high*4/5, textHeight, left, ink, says)
}

// Paper sizes of ISO 216, upright.
const (
	a4Wide, a4High = 210 * geom.Millimetre, 297 * geom.Millimetre
	a3Wide, a3High = 297 * geom.Millimetre, 420 * geom.Millimetre
)

// sheetHead and sheetFoot are the strips for title and scale bar on a page to print.
const (
	sheetHead = 14 * geom.Millimetre
	sheetFoot = 10 * geom.Millimetre
)

// paperFor returns the smallest sheet that holds w by h between margins and strips: A4 or A3, upright or across, else one
// made to measure, for a plotter or to print in tiles.
func paperFor(w, h geom.Nm) (width, height geom.Nm) {
	sizes := [][2]geom.Nm{{a4Wide, a4High}, {a4High, a4Wide}, {a3Wide, a3High}, {a3High, a3Wide}}
	if w > h {
		sizes[2], sizes[3] = sizes[3], sizes[2]
	}
	w, h = w+2*sheetMargin, h+sheetHead+sheetFoot+2*sheetMargin
	for _, s := range sizes {
		if w <= s[0] && h <= s[1] {
			return s[0], s[1]
		}
	}
	return max(w, a4Wide), h
}

// sheet starts a page to print at true size, with title and scale bar; what is w by h goes to (x, y).
func sheet(w, h geom.Nm, title, size string) (d *drawing, x, y geom.Nm) {
	width, height := paperFor(w, h)
	d = newDrawing(width, height, title)
	d.letters(sheetMargin, sheetMargin+4*geom.Millimetre, 4*geom.Millimetre, left, ink, title)
	d.letters(width-sheetMargin, sheetMargin+4*geom.Millimetre, textHeight, right, edgeInk, size)
	d.bar(sheetMargin, height-sheetMargin-5*geom.Millimetre, 2, "50 mm: print at 100 %, without fitting to the page, and measure this")
	x = (width - w) / 2
	y = sheetMargin + sheetHead + (height-2*sheetMargin-sheetHead-sheetFoot-h)/2
	return d, x, min(y, sheetMargin+sheetHead+20*geom.Millimetre)
}

// cross marks the middle of a hole, for a drill or a pin, on the page.
func (d *drawing) cross(at geom.Pt, r geom.Nm, colour scene.Colour) {
	d.runs(scene.Line(colour, geom.MM(0.12)), []geom.Nm{at.X - r, at.Y, at.X + r, at.Y}, []geom.Nm{at.X, at.Y - r, at.X, at.Y + r})
}

// AssemblyPDF returns the assembly drawing at true size, to lay on the panel before the board is ordered: the top on the
// first page, the bottom, seen from behind, on the second.
func AssemblyPDF(b board.Board, p Print) []byte {
	return pdf.Encode(pdf.Document{Title: b.Name + ": assembly", Version: p.Version, Date: p.Date},
		assemblySheet(b, geom.Top), assemblySheet(b, geom.Bottom))
}

// assemblySheet is one side of the board at true size.
func assemblySheet(b board.Board, side geom.Side) scene.Page {
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	what := "top, the LED side"
	if side == geom.Bottom {
		what = "bottom, seen from behind"
	}
	d, x, y := sheet(box.W(), box.H(), b.Name+" — assembly",
		"board "+measures(box.W(), box.H())+", at true size")
	v := newView(d, b, side, geom.Pt{X: x, Y: y}, 2)
	v.draw(what)
	for _, h := range b.Holes {
		d.cross(v.f.Pt(h.At), h.D/2+geom.Millimetre, ink)
	}
	return d.page
}

// PanelPDF returns the panel at true size, as a template: edge, openings and holes with their middles, the lettering, and
// dashed what lies behind, which is the space of the parts and the board's edge.
func PanelPDF(p panel.Panel, b board.Board, print Print) []byte {
	return pdf.Encode(pdf.Document{Title: p.Name + ": panel", Version: print.Version, Date: print.Date}, panelSheet(p, b))
}

func panelSheet(p panel.Panel, b board.Board) scene.Page {
	box := p.Outline.Box()
	for _, c := range p.Bodies {
		box = box.Union(c.Box())
	}
	if box.Empty() {
		box = geom.Box{}
	}
	d, x, y := sheet(box.W(), box.H(), p.Name+" — panel",
		measures(p.Outline.Box().W(), p.Outline.Box().H())+", at true size, seen from the front")
	f := scene.Frame{Box: box, At: geom.Pt{X: x, Y: y}}
	face := []geom.Contour{p.Outline}
	for _, o := range p.Openings {
		face = append(face, o.Contour)
	}
	const pen = 200 * geom.Micrometre
	d.add(&scene.Path{Name: "face", Shapes: f.Contours(face...), Fill: scene.Solid(0xf3efe6), EvenOdd: true, Stroke: scene.Line(ink, geom.MM(0.25))})
	d.open("lettering")
	for _, q := range letterings(f, p) {
		q.Fill = scene.Solid(0xc2b49e) // pale, so that the middles of the holes behind it can be seen
		d.add(q)
	}
	d.close()
	d.add(&scene.Path{Name: "bodies", Shapes: f.Contours(p.Bodies...), Stroke: scene.Line(edgeInk, pen).Dashed(geom.MM(2), geom.MM(1))})
	d.add(&scene.Path{Name: "board", Shapes: f.Contours(append([]geom.Contour{b.Outline}, b.Cutouts...)...),
		Stroke: scene.Line(faintBlue, pen).Dashed(geom.MM(4), geom.MM(1))})
	for _, holes := range [][]panel.Hole{p.LEDs, p.Mounts} {
		var edges []geom.Contour
		for _, h := range holes {
			edges = append(edges, geom.Circle(h.At, h.D))
		}
		d.line(f.Contours(edges...), scene.Line(ink, pen))
		for _, h := range holes {
			d.cross(f.Pt(h.At), h.D/2+800*geom.Micrometre, ink)
		}
	}
	return d.page
}

const faintBlue scene.Colour = 0x5f86a3 // the board's edge behind a panel
