// Package overlay draws what was and what is over each other, panel by panel and board by board, and sets these pictures beside the
// words of a comparison, as a paper.
//
// What both have is grey; what only the old one has is hatched in red, with dashes round it; what only the new one has is full and blue.
// Nothing is told by colour alone. Rings mark places that differ. Everything is seen from the front, also what lies on the back.
package overlay

import (
	"slices"

	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Pair is two states of one thing.
type Pair struct {
	Title           string      // what it is: "copper on the top"
	Both, Gone, New geom.Region // what both have; what the old one alone has; what the new one alone has
	Edge            geom.Region // of the board or the panel, for the eye; may be nothing
}

// pairOf sets two areas over each other. Pieces thinner than rounding leaves them belong to both.
func pairOf(title string, was, is geom.Region) Pair {
	const rounding = 2 * geom.Micrometre
	return Pair{Title: title, Both: was.And(is), Gone: was.Minus(is).Opened(rounding), New: is.Minus(was).Opened(rounding)}
}

// Same reports whether there is nothing to tell.
func (p Pair) Same() bool { return len(p.Gone)+len(p.New) == 0 }

const (
	common scene.Colour = 0xcfcac2
	edge   scene.Colour = 0x6b6660
	old    scene.Colour = 0xb3261e
	fresh  scene.Colour = 0x1f4e9e
	black  scene.Colour = 0x000000
)

// inArcs is how near curves of a picture come to those of the thing: finer than any printer, and a third of the size.
const inArcs = 5 * geom.Micrometre

// Page draws a pair, with what the patterns mean below it.
func Page(w *work.Watch, set *typeset.Setter, p Pair) scene.Page {
	box := p.box()
	u := p.unit()
	margin := 4 * u
	page := scene.Page{Title: p.Title, Desc: "What both have is grey, what only the old one has hatched, what only the new one has full.", Step: geom.Micrometre,
		W: box.W() + 2*margin, H: box.H() + 2*margin + 9*u}
	page.W = max(page.W, 172*u)
	f := scene.Frame{Box: box, At: geom.Pt{X: (page.W - box.W()) / 2, Y: margin}}
	d := &page.Body
	paint(w, d, f, p, u)
	if rings := marks(p, u); len(rings) > 0 {
		d.Add(&scene.Path{Label: "places that differ", Shapes: f.Contours(rings...), Stroke: scene.Line(black, u/4)})
	}
	for _, c := range closer(p) {
		at := f.Contours(scene.Through(c.near.Max.X, c.near.Max.Y, c.near.Max.X, c.near.Max.Y))[0][0].Pt
		tall := 7 * u / 2
		at = geom.Pt{X: min(max(at.X+u/2, u), page.W-3*u), Y: max(at.Y-u/2, tall+u/2)}
		g := set.Glyphs(c.name, at, tall)
		g.Fill = scene.Solid(black)
		d.Add(g)
	}
	legend(d, set, u, page.H-3*u)
	return page
}

// paint draws a pair: what both have, the edge for the eye, and over them what only one has.
func paint(w *work.Watch, d *scene.Group, f scene.Frame, p Pair, u geom.Nm) {
	curves := func(g geom.Region) []geom.Contour {
		var out []geom.Contour
		for _, r := range g.Rings() {
			out = append(out, r.Contour(inArcs))
		}
		return f.Contours(out...)
	}
	if shapes := curves(p.Both); len(shapes) > 0 {
		d.Add(&scene.Path{Label: "both", Shapes: shapes, EvenOdd: true, Fill: scene.Solid(common)})
	}
	if shapes := curves(p.Edge); len(shapes) > 0 {
		d.Add(&scene.Path{Label: "edge", Shapes: shapes, Stroke: scene.Line(edge, u/5)})
	}
	w.Look()
	d.Add(hatched(curves(p.Gone), u)...)
	d.Add(full(curves(p.New), u)...)
}

// hatched paints what only the old one has.
func hatched(shapes []geom.Contour, u geom.Nm) []scene.Item {
	if len(shapes) == 0 {
		return nil
	}
	box := geom.EmptyBox()
	for _, c := range shapes {
		box = box.Union(c.Box())
	}
	var lines []geom.Contour
	for x := box.Min.X - box.H(); x < box.Max.X; x += 3 * u / 2 {
		lines = append(lines, scene.Through(x, box.Max.Y, x+box.H(), box.Min.Y))
	}
	return []scene.Item{
		&scene.Group{Clip: shapes, Items: []scene.Item{&scene.Path{Open: true, Shapes: lines, Stroke: scene.Line(old, u/3)}}},
		&scene.Path{Label: "only the old one", Shapes: shapes, Stroke: scene.Line(old, u/3).Dashed(u, u*2/3)},
	}
}

// full paints what only the new one has.
func full(shapes []geom.Contour, u geom.Nm) []scene.Item {
	if len(shapes) == 0 {
		return nil
	}
	return []scene.Item{&scene.Path{Label: "only the new one", Shapes: shapes, EvenOdd: true, Fill: scene.Solid(fresh), Stroke: scene.Line(fresh, u/4)}}
}

// box is all that is drawn.
func (p Pair) box() geom.Box {
	box := p.Both.Box().Union(p.Gone.Box()).Union(p.New.Box()).Union(p.Edge.Box())
	if box.Empty() {
		return geom.BoxOf(geom.Pt{}, geom.PtMM(1, 1))
	}
	return box
}

// unit is as large as a millimetre on a page that is filled.
func (p Pair) unit() geom.Nm {
	box := p.box()
	return max(box.W(), box.H()/2, 20*geom.Millimetre) / 170
}

// most is how many rings there may be: with more of them they mark nothing.
const most = 40

// places are boxes round what differs, those that touch made one; none where there are too many.
func places(all geom.Region, u geom.Nm) []geom.Box {
	var boxes []geom.Box
	for _, p := range all {
		boxes = append(boxes, p.Outer.Box().Grown(3*u))
	}
	if len(boxes) > 20*most {
		return nil
	}
	for again := true; again; {
		again = false
		for i := 0; i < len(boxes); i++ {
			for j := i + 1; j < len(boxes); j++ {
				if boxes[i].Touches(boxes[j]) {
					boxes[i] = boxes[i].Union(boxes[j])
					boxes = slices.Delete(boxes, j, j+1)
					j, again = i, true
				}
			}
		}
	}
	if len(boxes) > most {
		return nil
	}
	return boxes
}

// marks are rings round what differs.
func marks(p Pair, u geom.Nm) []geom.Contour {
	var out []geom.Contour
	for _, b := range places(slices.Concat(p.Gone, p.New), u) {
		if max(b.W(), b.H()) < 60*u { // what is larger is seen without
			c := b.Centre()
			out = append(out, geom.Circle(c, 2*geom.Nm(c.Dist(b.Max))))
		}
	}
	return out
}

// legend says below a picture what its patterns mean.
func legend(d *scene.Group, set *typeset.Setter, u, y geom.Nm) {
	x := 4 * u
	for _, k := range []struct {
		words string
		paint func([]geom.Contour) []scene.Item
	}{
		{"in both", func(s []geom.Contour) []scene.Item {
			return []scene.Item{&scene.Path{Shapes: s, Fill: scene.Solid(common)}}
		}},
		{"only in the old one", func(s []geom.Contour) []scene.Item { return hatched(s, u) }},
		{"only in the new one", func(s []geom.Contour) []scene.Item { return full(s, u) }},
	} {
		d.Add(k.paint(scene.Rect(x, y-3*u, 8*u, 4*u))...)
		g := set.Glyphs(k.words, geom.Pt{X: x + 10*u, Y: y}, 2*u)
		g.Fill = scene.Solid(black)
		d.Add(g)
		x += 10*u + set.Wide(k.words, 2*u) + 10*u
	}
}
