package picture

import (
	"time"

	"lampblack/board"
	"lampblack/export/internal/pdf"
	"lampblack/export/internal/svg"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
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
	d.Open("g", "id", "scale-bar", "aria-label", says)
	for i := range 5 {
		fill := ink
		if i%2 == 1 {
			fill = "#ffffff"
		}
		d.Empty("rect", "x", num(x+scaled(barLength*geom.Nm(i)/5, twice)), "y", num(y), "width", num(scaled(barLength/5, twice)),
			"height", num(high*2/5), "fill", fill, "stroke", ink, "stroke-width", "0.15")
	}
	for i := range 6 {
		at := x + scaled(barLength*geom.Nm(i)/5, twice)
		d.Empty("path", "d", "M"+num(at)+" "+num(y)+"v"+num(high), "stroke", ink, "stroke-width", "0.15", "fill", "none")
	}
	d.Close("g")
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
	d = newDrawing(width, height, title, "")
	d.letters(sheetMargin, sheetMargin+4*geom.Millimetre, 4*geom.Millimetre, left, ink, title)
	d.letters(width-sheetMargin, sheetMargin+4*geom.Millimetre, textHeight, right, edgeInk, size)
	d.bar(sheetMargin, height-sheetMargin-5*geom.Millimetre, 2, "50 mm: print at 100 %, without fitting to the page, and measure this")
	x = (width - w) / 2
	y = sheetMargin + sheetHead + (height-2*sheetMargin-sheetHead-sheetFoot-h)/2
	return d, x, min(y, sheetMargin+sheetHead+20*geom.Millimetre)
}

// cross marks the middle of a hole, for a drill or a pin, on the page.
func (d *drawing) cross(x, y, r geom.Nm, colour string) {
	d.Empty("path", "d", "M"+num(x-r)+" "+num(y)+"h"+num(2*r)+"M"+num(x)+" "+num(y-r)+"v"+num(2*r), "fill", "none",
		"stroke", colour, "stroke-width", "0.12")
}

// AssemblyPDF returns the assembly drawing at true size, to lay on the panel before the board is ordered: the top on the
// first page, the bottom, seen from behind, on the second.
func AssemblyPDF(b board.Board, p Print) []byte {
	return pdf.Write(pdf.Document{Title: b.Name + ": assembly", Version: p.Version, Date: p.Date},
		assemblySheet(b, geom.Top), assemblySheet(b, geom.Bottom))
}

// assemblySheet is one side of the board at true size.
func assemblySheet(b board.Board, side geom.Side) []byte {
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
	f := svg.Frame{Box: box, Digits: 3, Mirror: side == geom.Bottom}
	v := view{d: d, b: b, f: f, side: side, x: x, y: y, scale: 2}
	v.draw(what)
	for _, h := range b.Holes {
		hx, hy := v.at(h.At)
		d.cross(hx, hy, h.D/2+geom.Millimetre, ink)
	}
	return d.end()
}

// PanelPDF returns the panel at true size, as a template: edge, openings and holes with their middles, the lettering, and
// dashed what lies behind, which is the space of the parts and the board's edge.
func PanelPDF(p panel.Panel, b board.Board, print Print) []byte {
	return pdf.Write(pdf.Document{Title: p.Name + ": panel", Version: print.Version, Date: print.Date}, panelSheet(p, b))
}

func panelSheet(p panel.Panel, b board.Board) []byte {
	box := p.Outline.Box()
	for _, c := range p.Bodies {
		box = box.Union(c.Box())
	}
	if box.Empty() {
		box = geom.Box{}
	}
	d, x, y := sheet(box.W(), box.H(), p.Name+" — panel",
		measures(p.Outline.Box().W(), p.Outline.Box().H())+", at true size, seen from the front")
	f := svg.Frame{Box: box, Digits: 3}
	d.Open("g", "transform", "translate("+num(x)+" "+num(y)+")")
	face := []geom.Contour{p.Outline}
	for _, o := range p.Openings {
		face = append(face, o.Contour)
	}
	d.Empty("path", "d", f.Path(face...), "fill", "#f3efe6", "fill-rule", "evenodd", "stroke", ink, "stroke-width", "0.25")
	d.Open("g", "fill", "#c2b49e") // pale, so that the middles of the holes behind it can be seen
	for _, t := range p.Lettering {
		d.Empty("path", "d", f.Region(lettering.Outline(t)), "fill-rule", "evenodd")
	}
	for _, s := range p.Symbols {
		d.Empty("path", "d", f.Region(lettering.SymbolRegion(s, engraved)), "fill-rule", "evenodd")
	}
	d.Close("g")
	d.Empty("path", "d", f.Path(p.Bodies...), "fill", "none", "stroke", edgeInk, "stroke-width", "0.2", "stroke-dasharray", "2 1")
	if len(b.Outline) > 0 {
		d.Empty("path", "d", f.Path(append([]geom.Contour{b.Outline}, b.Cutouts...)...), "fill", "none", "stroke", faintBlue,
			"stroke-width", "0.2", "stroke-dasharray", "4 1")
	}
	for _, holes := range [][]panel.Hole{p.LEDs, p.Mounts} {
		var edges []geom.Contour
		for _, h := range holes {
			edges = append(edges, geom.Circle(h.At, h.D))
		}
		d.Empty("path", "d", f.Path(edges...), "fill", "none", "stroke", ink, "stroke-width", "0.2")
		for _, h := range holes {
			hx, hy := f.XY(h.At)
			d.cross(hx, hy, h.D/2+800*geom.Micrometre, ink)
		}
	}
	d.Close("g")
	return d.end()
}

const faintBlue = "#5f86a3" // the board's edge behind a panel
