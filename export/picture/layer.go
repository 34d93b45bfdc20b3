package picture

import (
	"fmt"

	"lampblack/export"
	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// layerColour returns the colour of a single layer, on paper.
func layerColour(f export.Function) scene.Colour {
	switch f {
	case export.CopperTop, export.CopperBottom:
		return 0xb8743a
	case export.SoldermaskTop, export.SoldermaskBottom:
		return 0x6f9a86
	case export.PasteTop, export.PasteBottom:
		return 0x8a94a0
	case export.Profile, export.Vcut:
		return 0x8a7a55
	}
	return ink
}

// mostPainted bounds the objects that a picture of a layer shows; a file from elsewhere may repeat a thing a million times.
const mostPainted = 200_000

// Layer returns a picture of one layer as a file has it: what is dark, seen from the top and never mirrored, in the frame
// of size (of the layer itself when that is empty). title and what go below it.
func Layer(l export.Layer, size geom.Box, title, what string) []byte {
	for _, o := range l.Objects {
		size = size.Union(Extent(l, o))
	}
	p := newPlate(size, title)
	if len(l.Objects) > mostPainted {
		l.Objects = l.Objects[:mostPainted]
		what += fmt.Sprintf("; only the first %d objects are shown", mostPainted)
	}
	p.paint(l, layerColour(l.Function), paper)
	return p.end(title, what)
}

// Holes returns a picture of a drill file: each hole and slot at its size.
func Holes(d export.Drill, size geom.Box, title, what string) []byte {
	for _, h := range d.Hits {
		size = size.Union(geom.BoxOf(h.At).Grown(d.Tools[h.Tool].D / 2))
	}
	for _, s := range d.Slots {
		size = size.Union(s.Path.Box().Grown(d.Tools[s.Tool].D / 2))
	}
	p := newPlate(size, title)
	if len(d.Hits) > mostPainted {
		d.Hits = d.Hits[:mostPainted]
		what += fmt.Sprintf("; only the first %d holes are shown", mostPainted)
	}
	p.drill(d, white, scene.Line(ink, finePen))
	return p.end(title, what)
}

// Array returns a picture of whole artwork at true size, one side as it comes from the board house: laminate with its
// cut-outs, mask, copper below it, bare copper, silkscreen and holes; the mask's colour is told, empty for white. It is for arrays, which have no
// board.Board.
func Array(a export.Artwork, side geom.Side, mask, title, what string) []byte {
	c := scene.CoatOf(mask)
	p := newPlate(a.Size, title)
	find := func(f export.Function) export.Layer {
		l, _ := a.Layer(f)
		return l
	}
	var edges []geom.Contour
	var loop geom.Contour
	for _, o := range find(export.Profile).Objects {
		if o.Op != export.Draw {
			continue
		}
		loop = append(loop, geom.Vertex{Pt: o.From, Bulge: o.Bulge})
		if o.To == loop[0].Pt {
			edges, loop = append(edges, loop), nil
		}
	}
	d, f := p.d, p.f
	open := find(export.SoldermaskTop + export.Function(side))
	var windows []geom.Contour
	for _, o := range open.Objects {
		if o.Op == export.Flash {
			windows = append(windows, flashed(open.Apertures[o.Aperture], o.To)...)
		}
	}
	d.open("board").Clip = f.Contours(edges...)
	p.ground(c.Mask)
	copper := find(export.CopperTop + export.Function(side))
	p.paint(copper, c.Track, c.Mask)
	d.open("open").Clip = f.Contours(windows...)
	p.ground(laminate)
	p.paint(copper, finish, laminate)
	d.close()
	p.paint(find(export.SilkscreenTop+export.Function(side)), c.Legend, c.Mask)
	d.close()
	d.line(f.Contours(edges...), scene.Line(edge, thinPen))
	for _, l := range a.Layers {
		if l.Function == export.Vcut {
			p.paint(l, 0xb0483a, paper)
		}
	}
	for _, dr := range a.Drills {
		p.drill(dr, night, scene.Line(rim, rimPen))
	}
	return p.end(title, what)
}

// plate is a picture of layers: a paper with a caption.
type plate struct {
	d   *drawing
	f   scene.Frame
	box geom.Box
}

func newPlate(size geom.Box, title string) *plate {
	if size.Empty() {
		size = geom.Box{}
	}
	page := size.Grown(around)
	page.Min.Y -= caption
	p := &plate{d: newDrawing(nil, page.W(), page.H(), title), f: scene.Frame{Box: page}, box: size}
	p.d.page.Step = geom.Micrometre / 10
	p.d.ground(paper)
	return p
}

func (p *plate) ground(c scene.Colour) {
	p.d.fill(p.f.Contours(geom.Rect(p.box)), c)
}

func (p *plate) end(title, what string) []byte {
	h := p.d.page.H - around
	p.d.letters(around, h, small, left, ink, title)
	if x := around + p.d.Wide(title, small) + 3*geom.Millimetre; x+p.d.Wide(what, small) < p.d.page.W {
		p.d.letters(x, h, small, left, edgeInk, what)
	}
	return p.d.encoded()
}

// thinnest is the width of lines that a file gives none, so that they can be seen.
const thinnest = 20 * geom.Micrometre

// paint draws the objects in their order, dark in colour and clear in ground; runs of like objects share a path.
func (p *plate) paint(l export.Layer, colour, ground scene.Colour) {
	for i := 0; i < len(l.Objects); {
		first := l.Objects[i]
		shade := colour
		if first.Clear {
			shade = ground
		}
		line := first.Op == export.Draw && l.Apertures[first.Aperture].Shape == export.Circle
		var shapes []geom.Contour
		j := i
		var at geom.Pt
		for ; j < len(l.Objects); j++ {
			o := l.Objects[j]
			if o.Clear != first.Clear || o.Op != first.Op || o.Op != export.Region && o.Aperture != first.Aperture {
				break
			}
			switch {
			case o.Op == export.Region:
				shapes = append(shapes, o.Contour)
			case o.Op == export.Flash:
				shapes = append(shapes, flashed(l.Apertures[o.Aperture], o.To)...)
			case line:
				if n := len(shapes) - 1; j > i && o.From == at { // go on where the last one ended, for round joints
					shapes[n][len(shapes[n])-1].Bulge = o.Bulge
					shapes[n] = append(shapes[n], geom.Vertex{Pt: o.To})
				} else {
					shapes = append(shapes, geom.Contour{{Pt: o.From, Bulge: o.Bulge}, {Pt: o.To}})
				}
				at = o.To
			default:
				for _, r := range swept(l.Apertures[o.Aperture], o) {
					shapes = append(shapes, geom.Straight(r...))
				}
			}
			if o.Op == export.Region {
				j++
				break // each region by itself: two of them may overlap
			}
		}
		q := &scene.Path{Shapes: p.f.Contours(shapes...)}
		if line {
			q.Open, q.Stroke = true, scene.Line(shade, max(l.Apertures[first.Aperture].W, thinnest)).Round()
		} else {
			q.Fill, q.EvenOdd = scene.Solid(shade), first.Op == export.Flash // an aperture may have holes
		}
		p.d.add(q)
		i = j
	}
}

// flashed returns the contours of an aperture at a point.
func flashed(a export.Aperture, at geom.Pt) []geom.Contour {
	move := at.Sub(geom.Pt{})
	lo := geom.Pt{X: at.X - a.W/2, Y: at.Y - a.H/2}
	box := geom.Box{Min: lo, Max: geom.Pt{X: lo.X + a.W, Y: lo.Y + a.H}}
	switch a.Shape {
	case export.Circle:
		if a.W == 0 {
			return nil
		}
		return []geom.Contour{geom.Circle(at, a.W)}
	case export.Rectangle:
		c := geom.Rect(box)
		if a.Slant {
			c = c.Turned(at, geom.EighthDegrees)
		}
		return []geom.Contour{c}
	case export.Obround:
		r := min(a.W, a.H) / 2
		if a.W > a.H {
			return []geom.Contour{geom.Stadium(geom.Segment{A: geom.Pt{X: box.Min.X + r, Y: at.Y}, B: geom.Pt{X: box.Max.X - r, Y: at.Y}}, r)}
		}
		return []geom.Contour{geom.Stadium(geom.Segment{A: geom.Pt{X: at.X, Y: box.Min.Y + r}, B: geom.Pt{X: at.X, Y: box.Max.Y - r}}, r)}
	case export.Diamond:
		return []geom.Contour{geom.Straight(geom.Pt{X: at.X + a.W/2, Y: at.Y}, geom.Pt{X: at.X, Y: at.Y + a.W/2},
			geom.Pt{X: at.X - a.W/2, Y: at.Y}, geom.Pt{X: at.X, Y: at.Y - a.W/2})}
	}
	var out []geom.Contour
	for _, c := range a.Contours {
		out = append(out, c.Moved(move))
	}
	return out
}

// swept returns what an aperture that is no circle paints when it is dragged straight: both ends, and the strip that each
// of its edges leaves.
func swept(a export.Aperture, o export.Object) []geom.Ring {
	var out []geom.Ring
	step := o.To.Sub(o.From)
	for _, c := range flashed(a, o.From) {
		r := c.Ring(geom.FlattenTolerance)
		out = append(out, r, r.Moved(step))
		for _, s := range r.Segments() {
			if q := (geom.Ring{s.A, s.B, s.B.Add(step), s.A.Add(step)}); q.SignedArea2() != 0 {
				out = append(out, q.Oriented(geom.CCW))
			}
		}
	}
	return out
}

// Extent returns the box round what an object of a layer paints.
func Extent(l export.Layer, o export.Object) geom.Box {
	switch o.Op {
	case export.Region:
		return o.Contour.Box()
	case export.Flash:
		b := geom.BoxOf(o.To)
		for _, c := range flashed(l.Apertures[o.Aperture], o.To) {
			b = b.Union(c.Box())
		}
		return b
	}
	a := l.Apertures[o.Aperture]
	return geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}.Box().Grown(max(a.W, a.H) / 2)
}

// drill draws the holes and slots of a drill file.
func (p *plate) drill(d export.Drill, fill scene.Colour, rim scene.Stroke) {
	for t, tool := range d.Tools {
		var holes []geom.Contour
		for _, h := range d.Hits {
			if h.Tool == t {
				holes = append(holes, geom.Circle(h.At, tool.D))
			}
		}
		for _, s := range d.Slots {
			for _, g := range s.Path.Segments() {
				if s.Tool == t {
					holes = append(holes, geom.Stadium(g, tool.D/2))
				}
			}
		}
		if len(holes) > 0 {
			p.d.add(&scene.Path{Shapes: p.f.Contours(holes...), Fill: scene.Solid(fill), Stroke: rim})
		}
	}
}
