package picture

import (
	"context"
	"fmt"

	"lampblack/export/scene"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Stock is a sheet of stock with what is cut from it.
type Stock struct {
	Title  string // what its pieces are: "Faces"
	Fact   string // "1 of 2"
	W, H   geom.Nm
	Gap    geom.Nm
	Used   geom.Nm // of the width; 0: all
	Face   bool    // painted
	Pieces []StockPiece
}

// StockPiece is a piece in its place on the stock, whose lower left corner is the origin, Y up.
type StockPiece struct {
	Name         string
	Outer, Inner []geom.Contour
}

// What people see of stock: a sheet lying on paper, its pieces as acrylic, those of faces painted.
const (
	stockSheet scene.Colour = 0xd3d9dc
	stockLeft  scene.Colour = 0xeef1f2
	stockEdge  scene.Colour = 0x6a767c
	stockPiece scene.Colour = 0xf6f2e4
	stockFace  scene.Colour = 0x3a3644
	stockName  scene.Colour = 0x1f2a30
	stockLight scene.Colour = 0xf3ead2
	stockCut   scene.Colour = 0x8a3b22
)

// mostStock is how many sheets of stock are shown; a wall of them tells nobody more.
const mostStock = 60

// Nests shows sheets of stock in rows. Once ctx is done what it returns means nothing.
func Nests(ctx context.Context, title string, all []Stock) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return nests(w, title, all) })
}

func nests(w *work.Watch, title string, all []Stock) []byte {
	shown := all[:min(len(all), mostStock)]
	long := geom.Nm(0) // of the longest side, by which letters and lines are sized
	for _, s := range shown {
		long = max(long, s.W, s.H)
	}
	letter, rim := long/45, long/40
	// Rows of at most two sheets of the widest, or as many narrow ones.
	type placed struct{ x, y geom.Nm }
	at := make([]placed, len(shown))
	x, y, tall, wide := rim, rim, geom.Nm(0), geom.Nm(0)
	for i, s := range shown {
		head := 3 * letter // of the caption above it
		if i > 0 && x+s.W > 2*rim+2*long {
			x, y, tall = rim, y+tall+rim, 0
		}
		at[i] = placed{x, y + head}
		x += s.W + rim
		tall = max(tall, head+s.H)
		wide = max(wide, x)
	}
	high := y + tall + rim
	if len(all) > len(shown) {
		high += 2 * letter
	}
	d := newDrawing(w, max(wide, 30*letter), high, title)
	d.ground(paper)
	for i, s := range shown {
		d.stock(s, geom.Pt{X: at[i].x, Y: at[i].y}, letter)
	}
	if n := len(all) - len(shown); n > 0 {
		d.letters(rim, high-rim, letter, left, stockName, fmt.Sprintf("and %d more", n))
	}
	return d.encoded()
}

// stock draws a sheet whose upper left corner comes to a point of the page.
func (d *drawing) stock(s Stock, at geom.Pt, letter geom.Nm) {
	f := scene.Frame{Box: geom.Box{Max: geom.Pt{X: s.W, Y: s.H}}, At: at}
	pen := scene.Line(stockEdge, letter/12)
	d.open("")
	defer d.close()
	d.letters(at.X, at.Y-letter, letter, left, stockName, d.Shortened(fmt.Sprintf("%s, %s: %s", s.Title, s.Fact, measures(s.W, s.H)), letter, s.W))
	d.rect(at.X, at.Y, s.W, s.H, stockSheet)
	if rest := s.W - s.Used - s.Gap; s.Used > 0 && rest > 0 {
		x := at.X + s.Used + s.Gap
		d.rect(x, at.Y, rest, s.H, stockLeft)
		d.run(scene.Line(stockCut, letter/10).Dashed(letter, letter/2), x, at.Y, x, at.Y+s.H)
		for _, h := range []geom.Nm{letter, letter * 3 / 4, letter / 2} {
			if words := "left: " + measures(rest, s.H); d.Wide(words, h) < rest-h {
				d.letters(x+rest/2, at.Y+s.H/2, h, centre, stockCut, words)
				break
			}
		}
	}
	d.line(scene.Rect(at.X, at.Y, s.W, s.H), pen)
	fill, ink := stockPiece, stockName
	if s.Face {
		fill, ink = stockFace, stockLight
	}
	for _, p := range s.Pieces {
		d.fill(f.Contours(p.Outer...), fill)
	}
	for _, p := range s.Pieces { // a window may hold a smaller piece, which is drawn over it
		d.fill(f.Contours(p.Inner...), stockSheet)
	}
	for _, p := range s.Pieces {
		if inWindow(p, s.Pieces) {
			d.fill(f.Contours(p.Outer...), fill)
			d.fill(f.Contours(p.Inner...), stockSheet)
		}
		d.line(f.Contours(p.Outer...), pen)
		d.line(f.Contours(p.Inner...), pen)
	}
	for _, p := range s.Pieces {
		if spot, h, words := d.named(p, letter); words != "" {
			q := f.Pt(spot)
			d.letters(q.X, q.Y, h, left, ink, words)
		}
	}
}

// inWindow reports whether a piece lies in a window of another.
func inWindow(p StockPiece, all []StockPiece) bool {
	if len(p.Outer) == 0 {
		return false
	}
	for _, o := range all {
		for _, c := range o.Inner {
			if c.Box().Contains(p.Outer[0][0].Pt) && c.Ring(geom.Millimetre/100).Locate(p.Outer[0][0].Pt) == geom.Inside {
				return true
			}
		}
	}
	return false
}

// named finds room for a piece's name, between its windows, as near to its middle as there is: where its baseline starts, and how high
// its capitals are. A name without room stands across the windows, shortened.
func (d *drawing) named(p StockPiece, letter geom.Nm) (at geom.Pt, h geom.Nm, words string) {
	box := geom.EmptyBox()
	for _, c := range p.Outer {
		box = box.Union(c.Box())
	}
	if box.Empty() {
		return at, 0, ""
	}
	outer := p.Outer[0].Ring(geom.Millimetre / 10)
	edges := outer.Segments()
	for _, h := range []geom.Nm{letter, letter * 3 / 4, letter / 2, letter / 3} {
		w, pad := d.Wide(p.Name, h), h/2
		best, found := 0.0, false
		const tries = 24
		for i := range tries + 1 {
			for k := range tries + 1 {
				low := geom.Pt{X: box.Min.X + (box.W()-w)*geom.Nm(i)/tries, Y: box.Min.Y + (box.H()-h)*geom.Nm(k)/tries}
				room := geom.Box{Min: low, Max: geom.Pt{X: low.X + w, Y: low.Y + h}}.Grown(pad)
				if far := room.Centre().Dist(box.Centre()); (!found || far < best) && box.W() > w && box.H() > h && clear(room, outer, edges, p.Inner) {
					at, best, found = low, far, true
				}
			}
		}
		if found {
			return at, h, p.Name
		}
	}
	h = letter / 3
	words = d.Shortened(p.Name, h, box.W())
	return geom.Pt{X: box.Centre().X - d.Wide(words, h)/2, Y: box.Centre().Y - h/2}, h, words
}

// clear reports whether a label's room lies within the outline and beside all windows.
func clear(room geom.Box, outer geom.Ring, edges []geom.Segment, windows []geom.Contour) bool {
	if outer.Locate(room.Min) != geom.Inside {
		return false
	}
	for _, c := range windows {
		if c.Box().Touches(room) {
			return false
		}
	}
	for _, s := range edges {
		if s.Box().Touches(room) && room.DistTo(s) == 0 {
			return false
		}
	}
	return true
}
