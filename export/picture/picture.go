// Package picture draws boards and panels for people, as SVG.
//
// A board.Board or panel.Panel goes in, and one self-contained SVG document comes out, in millimetres: no fonts, no
// style sheets, no other files. Top and Bottom show the bare board at true size as it comes from the board house, in
// white soldermask, the bottom as one sees it from behind, mirrored left to right; what is drilled shows the
// background. Assembly is the sheet to solder by: both sides with names, values and polarity, and a list of parts.
// Panel is the panel as it was drawn. The colours are ours and say nothing about what a board house delivers.
package picture

import (
	"fmt"

	"lampblack/board"
	"lampblack/export/internal/svg"
	"lampblack/panel/geom"
)

// Colours of the pictures: a lamp-lit workshop.
const (
	night     = "#231c18" // behind everything
	nightText = "#d9c7a8"
	mask      = "#f4f1e9" // white soldermask on bare laminate
	maskArea  = "#e9dfc9" // the same over a copper area
	maskTrack = "#d9c08f" // over a track or pad
	finish    = "#c9873f" // copper that the mask leaves open
	laminate  = "#a99a72" // laminate that the mask leaves open
	legend    = "#37302b" // silkscreen
	edge      = "#8a7a55"
	rim       = "#7d5022" // of a plated hole
)

const (
	around  = 5 * geom.Millimetre // background round the board
	caption = 9 * geom.Millimetre // strip below it
)

// Top returns the LED side of the bare board.
func Top(b board.Board) []byte { return bare(b, geom.Top) }

// Bottom returns the wiring side of the bare board, as seen from behind.
func Bottom(b board.Board) []byte { return bare(b, geom.Bottom) }

func bare(b board.Board, side geom.Side) []byte {
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	page := box.Grown(around)
	page.Min.Y -= caption
	f := svg.Frame{Box: page, Mirror: side == geom.Bottom, Digits: 3}
	d := newDrawing(f.W(), f.H(), fmt.Sprintf("%s: board, %s", b.Name, side), "")
	d.Empty("rect", "width", f.Num(f.W()), "height", f.Num(f.H()), "fill", night)

	d.Open("defs")
	d.clip("board", f.Path(material(b)...))
	d.clip("open", f.Path(openings(b, side)...))
	d.Open("g", "id", "areas")
	d.areas(f, b, side)
	d.Close("g")
	d.Open("g", "id", "lines")
	d.copper(f, b, side)
	d.Close("g")
	d.Close("defs")

	x, y := num(around), num(around)
	sheet := func(colour string) {
		d.Empty("rect", "x", x, "y", y, "width", f.Num(box.W()), "height", f.Num(box.H()), "fill", colour)
	}
	d.Open("g", "clip-path", "url(#board)")
	sheet(mask)
	d.Empty("use", "href", "#areas", "color", maskArea)
	d.Empty("use", "href", "#lines", "color", maskTrack)
	d.Open("g", "clip-path", "url(#open)")
	sheet(laminate)
	d.Empty("use", "href", "#areas", "color", finish)
	d.Empty("use", "href", "#lines", "color", finish)
	d.Close("g")
	d.Open("g", "color", legend)
	d.strokes(f, silkscreen(b, side))
	d.Close("g")
	d.Close("g")

	d.Empty("path", "d", f.Path(append([]geom.Contour{b.Outline}, b.Cutouts...)...), "fill", "none", "stroke", edge, "stroke-width", "0.2")
	var plated, plain []geom.Contour
	for _, h := range b.Holes {
		plain = append(plain, geom.Circle(h.At, h.D))
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Through {
			plated = append(plated, geom.Circle(p.At, p.Drill))
		}
		return true
	})
	for _, v := range b.Vias {
		plated = append(plated, geom.Circle(v.At, v.Drill))
	}
	d.Empty("path", "d", f.Path(plated...), "fill", "none", "stroke", rim, "stroke-width", "0.08")
	d.Empty("path", "d", f.Path(plain...), "fill", "none", "stroke", edge, "stroke-width", "0.12")

	what := "top: the LED side"
	if side == geom.Bottom {
		what = "bottom: the wiring side, seen from behind"
	}
	d.letters(around, f.H()-around, big, left, nightText, b.Name)
	d.letters(around+d.wide(b.Name, big)+3*geom.Millimetre, f.H()-around, small, left, edge, what)
	caption := measures(box.W(), box.H())
	if f.W() > 95*geom.Millimetre {
		d.letters(f.W()-around, f.H()-around, small, right, edge, caption)
	}
	return d.end()
}

// material returns the outline with everything that is cut or drilled out of it, for the even-odd rule.
func material(b board.Board) []geom.Contour {
	out := append([]geom.Contour{b.Outline}, b.Cutouts...)
	type hole struct {
		at geom.Pt
		d  geom.Nm
	}
	seen := map[hole]bool{} // a hole drilled twice is still a hole
	drill := func(at geom.Pt, d geom.Nm) {
		if h := (hole{at, d}); d > 0 && !seen[h] {
			seen[h] = true
			out = append(out, geom.Circle(at, d))
		}
	}
	for _, h := range b.Holes {
		drill(h.At, h.D)
	}
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Through {
			drill(p.At, p.Drill)
		}
		return true
	})
	for _, v := range b.Vias {
		drill(v.At, v.Drill)
	}
	return out
}

// openings returns where the soldermask of a side is open.
func openings(b board.Board, side geom.Side) []geom.Contour {
	var out []geom.Contour
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			out = append(out, p.Contour(p.Mask))
		}
		return true
	})
	return out
}

func silkscreen(b board.Board, side geom.Side) []board.Stroke {
	var out []board.Stroke
	for _, p := range b.Parts {
		for _, s := range p.Marks {
			if s.On == side {
				out = append(out, s)
			}
		}
	}
	for _, s := range b.Legend {
		if s.On == side {
			out = append(out, s)
		}
	}
	return out
}
