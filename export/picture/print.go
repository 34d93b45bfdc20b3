package picture

import (
	"context"
	"strings"
	"time"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/pdf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Print is what the PDFs say about themselves.
type Print struct {
	Version  string    // of Lampblack
	Revision string    // of the console; may be empty
	Date     time.Time // zero: none
}

// Titled is a name with the revision that it is of; either may be empty.
func Titled(name, revision string) string {
	if revision == "" {
		return name
	}
	return strings.TrimPrefix(name+", revision "+revision, ", ")
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
		d.add(&scene.Path{Shapes: scene.Rect(x+scaled(barLength*geom.Nm(i)/5, twice), y, scaled(barLength/5, twice), high*2/5),
			Fill: scene.Solid(fill), Stroke: scene.Line(ink, finePen)})
	}
	var ticks [][]geom.Nm
	for i := range 6 {
		at := x + scaled(barLength*geom.Nm(i)/5, twice)
		ticks = append(ticks, []geom.Nm{at, y, at, y + high})
	}
	d.runs(scene.Line(ink, finePen), ticks...)
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

// papers returns the sheets to try for a drawing of w by h, the smallest first: A4 and A3, upright or across.
func papers(w, h geom.Nm) [][2]geom.Nm {
	sizes := [][2]geom.Nm{{a4Wide, a4High}, {a4High, a4Wide}, {a3Wide, a3High}, {a3High, a3Wide}}
	if w > h {
		sizes[2], sizes[3] = sizes[3], sizes[2]
	}
	return sizes
}

// paperFor returns the smallest sheet that holds w by h between margins and strips, else one made to measure, for a plotter
// or to print in tiles.
func paperFor(w, h geom.Nm) (width, height geom.Nm) {
	for _, s := range papers(w, h) {
		if w <= s[0]-2*sheetMargin && h <= roomFor(s[1]) {
			return s[0], s[1]
		}
	}
	return max(w+2*sheetMargin, a4Wide), h + sheetHead + sheetFoot + 2*sheetMargin
}

// roomFor returns how high a drawing may be on a sheet of that height, between title and scale bar.
func roomFor(height geom.Nm) geom.Nm { return height - sheetHead - sheetFoot - 2*sheetMargin }

// sheet starts a page to print at true size, with title and scale bar; what is w by h goes to (x, y).
func sheet(watch *work.Watch, w, h geom.Nm, title, size string) (d *drawing, x, y geom.Nm) {
	width, height := paperFor(w, h)
	d = newSheet(watch, width, height, title, size)
	x = (width - w) / 2
	y = sheetMargin + sheetHead + (roomFor(height)-h)/2
	return d, x, min(y, sheetMargin+sheetHead+20*geom.Millimetre)
}

// newSheet starts a page of that size to print at true size, with title and scale bar.
func newSheet(watch *work.Watch, width, height geom.Nm, title, size string) *drawing {
	d := newDrawing(watch, width, height, title)
	d.heading(title, size)
	d.bar(sheetMargin, height-sheetMargin-5*geom.Millimetre, 2, "50 mm: print at 100 %, without fitting to the page, and measure this")
	return d
}

// heading writes a title across the head of a page, smaller and then cut short where it is long, and at the right what its
// size is.
func (d *drawing) heading(title, size string) {
	const base, usual = sheetMargin + 4*geom.Millimetre, 4 * geom.Millimetre
	room := d.page.W - 2*sheetMargin
	if size != "" {
		room -= d.Wide(size, textHeight) + 5*geom.Millimetre
	}
	h := usual
	if w := d.Wide(title, h); w > room {
		h = max(h*max(room, 0)/w, textHeight*5/4)
	}
	d.letters(sheetMargin, base, h, left, ink, d.Shortened(title, h, room))
	d.letters(d.page.W-sheetMargin, base, textHeight, right, edgeInk, size)
}

// cross marks the middle of a hole, for a drill or a pin, on the page.
func (d *drawing) cross(at geom.Pt, r geom.Nm, colour scene.Colour) {
	d.runs(scene.Line(colour, crossPen), []geom.Nm{at.X - r, at.Y, at.X + r, at.Y}, []geom.Nm{at.X, at.Y - r, at.X, at.Y + r})
}

// AssemblyPDF returns the assembly drawing at true size, to lay on the panel before the board is ordered: the top on the
// first page, the bottom, seen from behind, on the second.
func AssemblyPDF(ctx context.Context, b board.Board, p Print) []byte {
	return wanted(ctx, func(w *work.Watch) []byte {
		return pdf.Encode(w, pdf.Document{Title: Titled(b.Name+": assembly", p.Revision), Version: p.Version, Date: p.Date},
			assemblySheet(w, b, geom.Top, p), assemblySheet(w, b, geom.Bottom, p))
	})
}

// assemblySheet is one side of the board at true size.
func assemblySheet(w *work.Watch, b board.Board, side geom.Side, p Print) scene.Page {
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	what := "top, the LED side"
	if side == geom.Bottom {
		what = "bottom, seen from behind"
	}
	d, x, y := sheet(w, box.W(), box.H(), Titled(b.Name+" — assembly", p.Revision),
		"board "+measures(box.W(), box.H())+", at true size")
	v := newView(d, b, side, geom.Pt{X: x, Y: y}, 2)
	v.draw(what)
	for _, h := range b.Holes {
		d.cross(v.f.Pt(h.At), h.D/2+geom.Millimetre, ink)
	}
	return d.page
}
