// Package picture draws boards and panels for people, as SVG.
//
// A board.Board or panel.Panel goes in, and one self-contained SVG document comes out, in millimetres: no fonts, no
// style sheets, no other files. Top and Bottom show the bare board at true size as it comes from the board house, in
// their soldermask, the bottom as one sees it from behind, mirrored left to right; what is drilled shows the
// background. Assembly is the sheet to solder by: both sides with names, values and polarity, and a list of parts.
// Panel is the panel as it was drawn. The colours are ours and say nothing about what a board house delivers.
package picture

import (
	"context"
	"fmt"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Colours of the pictures: a lamp-lit workshop.
const (
	night     scene.Colour = 0x231c18 // behind everything
	nightText scene.Colour = 0xd9c7a8
	finish    scene.Colour = 0xc9873f // copper that the mask leaves open
	laminate  scene.Colour = 0xa99a72 // laminate that the mask leaves open
	edge      scene.Colour = 0x8a7a55
	rim       scene.Colour = 0x7d5022 // of a plated hole
)

const (
	around  = 5 * geom.Millimetre // background round the board
	caption = 9 * geom.Millimetre // strip below it
)

// Top returns the LED side of the bare board in a soldermask of that colour, white where that is empty. Once ctx is done what it and its like return means nothing.
func Top(ctx context.Context, b board.Board, mask string) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return svg.Encode(w, bare(w, b, geom.Top, scene.CoatOf(mask))) })
}

// Bottom returns the wiring side of the bare board, as seen from behind.
func Bottom(ctx context.Context, b board.Board, mask string) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return svg.Encode(w, bare(w, b, geom.Bottom, scene.CoatOf(mask))) })
}

func bare(w *work.Watch, b board.Board, side geom.Side, c scene.Coat) scene.Page {
	box := b.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	page := box.Grown(around)
	page.Min.Y -= caption
	f := scene.Frame{Box: page, Mirror: side == geom.Bottom}
	d := newDrawing(w, page.W(), page.H(), fmt.Sprintf("%s: board, %s", b.Name, side))
	d.ground(night)

	area, lines := areas(f, b, side), copper(f, b, side)
	laid := scene.Rect(around, around, box.W(), box.H())
	d.open("board").Clip = f.Contours(material(b)...)
	d.fill(laid, c.Mask)
	d.paint(area, c.Area)
	d.paint(lines, c.Track)
	d.open("open").Clip = f.Contours(openings(b, side)...)
	d.fill(laid, laminate)
	d.paint(area, finish)
	d.paint(lines, finish)
	d.close()
	d.open("silkscreen")
	d.paint(inked(f, b, side), c.Legend)
	d.paint(strokes(f, silkscreen(b, side)), c.Legend)
	d.close()
	d.close()

	d.line(f.Contours(append([]geom.Contour{b.Outline}, b.Cutouts...)...), scene.Line(edge, thinPen))
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
	d.line(f.Contours(plated...), scene.Line(rim, rimPen))
	d.line(f.Contours(plain...), scene.Line(edge, crossPen))

	d.captioned(b, side)
	return d.page
}

// captioned writes below a bare board what it is: as much as there is room for, its name last to be cut short.
func (d *drawing) captioned(b board.Board, side geom.Side) {
	what, brief := "top: the LED side", "top"
	if side == geom.Bottom {
		what, brief = "bottom: the wiring side, seen from behind", "from behind"
	}
	const gap = 3 * geom.Millimetre
	low, room := d.page.H-around, d.page.W-2*around
	size := ""
	if d.page.W > 95*geom.Millimetre {
		box := b.Outline.Box()
		size = measures(box.W(), box.H())
		room -= d.Wide(size, small) + gap
	}
	if d.Wide(b.Name, big)+gap+d.Wide(what, small) > room {
		what = brief
	}
	name := d.Shortened(b.Name, big, room-gap-d.Wide(what, small))
	d.letters(around, low, big, left, nightText, name)
	x := d.Wide(name, big) + gap
	if x+d.Wide(what, small) <= room {
		d.letters(around+x, low, small, left, edge, what)
	}
	d.letters(d.page.W-around, low, small, right, edge, size)
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
	for _, q := range b.Spots {
		if q.On == side {
			out = append(out, q.Pad().Contour(q.Mask))
		}
	}
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
