package gang

import (
	"cmp"
	"math"
	"slices"

	"lampblack/export"
	"lampblack/panel/geom"
)

// groove is half the width of a scored groove at the surface: a wheel of 30° goes a third into 1.6 mm of laminate, 0.53 mm,
// and opens 0.14 mm to each side; its line wanders by some hundredths (common practice).
const groove = 200 * geom.Micrometre

// ground is what a board's silkscreen keeps off besides the board's own edge, in the board's frame: the holes that perforate its
// tabs, and the lines along which it is scored.
type ground struct {
	holes []geom.Pt
	lines []geom.Segment
	clear geom.Nm
}

// ground returns that of board i.
func (p *Plan) ground(i int) ground {
	b := p.Boards[i]
	undo, g := b.undo(), ground{clear: p.pieces[b.Piece].InkClear}
	near := b.Box.Grown(holeD + g.clear)
	for _, t := range p.Tabs {
		if t.Board != i && t.Other != i {
			continue
		}
		for _, q := range t.perforation() {
			if near.Contains(q) {
				g.holes = append(g.holes, undo.pt(q))
			}
		}
	}
	for _, s := range p.score {
		g.lines = append(g.lines, geom.Segment{A: undo.pt(s.A), B: undo.pt(s.B)})
	}
	return g
}

// stroke is a straight piece of silkscreen and half its width.
type stroke struct {
	geom.Segment
	half geom.Nm
}

// strokeOf returns what a draw or a flash of a layer prints, an arc as its chord.
func strokeOf(l export.Layer, o export.Object) stroke {
	if o.Op == export.Flash {
		o.From = o.To
	}
	a := l.Apertures[o.Aperture]
	return stroke{geom.Segment{A: o.From, B: o.To}, (max(a.W, a.H) + 1) / 2}
}

// gap returns the way from a stroke to what it must keep off.
func (g ground) gap(s stroke) float64 {
	least := math.Inf(1)
	for _, h := range g.holes {
		least = min(least, s.DistTo(h)-float64(holeD/2+s.half))
	}
	for _, l := range g.lines {
		least = min(least, l.Dist(s.Segment)-float64(groove+s.half))
	}
	return least
}

// printed returns a layer of board i as it is in the array, in the board's frame: silkscreen is cut where it would come nearer to
// the perforation or to a scored line than to any other hole. Elsewhere it is the board's.
func (p *Plan) printed(l export.Layer, i int) export.Layer {
	if !l.Function.Silkscreen() {
		return l
	}
	g := p.ground(i)
	var kept []export.Object
	for _, o := range l.Objects {
		kept = append(kept, g.cut(o, l)...)
	}
	l.Objects = kept
	return l
}

// cut returns what is left of a piece of ink: of an area all but what is too near; of a stroke that is not straight, which this
// program does not print, nothing.
func (g ground) cut(o export.Object, l export.Layer) []export.Object {
	if o.Op == export.Region {
		return g.cutArea(o)
	}
	s := strokeOf(l, o)
	if g.gap(s) >= float64(g.clear) {
		return []export.Object{o}
	}
	if o.Op == export.Flash || o.Bulge != 0 {
		return nil
	}
	// Where along the stroke, from 0 to 1, something is too near.
	var taken [][2]float64
	for _, h := range g.holes {
		taken = append(taken, within(s.Segment, h, float64(holeD/2+g.clear+s.half)))
	}
	for _, line := range g.lines {
		taken = append(taken, beside(s.Segment, line, float64(groove+g.clear+s.half)))
	}
	slices.SortFunc(taken, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out []export.Object
	at := 0.0
	add := func(to float64) {
		left := o
		left.From, left.To = partway(s.Segment, at), partway(s.Segment, to)
		// Specks are no strokes; rounding may bring an end nearer by a nanometre, which nobody holds against it.
		if to > at && left.From.Dist(left.To) >= float64(2*s.half) {
			out = append(out, left)
		}
	}
	for _, t := range taken {
		if t[0] < t[1] {
			add(t[0])
			at = max(at, t[1])
		}
	}
	add(1)
	return out
}

// speck is half the width below which what is left of an area is no print.
const speck = 60 * geom.Micrometre

// cutArea returns what is left of an area. What clears ink takes the same away from what is left.
func (g ground) cutArea(o export.Object) []export.Object {
	ring := o.Contour.Ring(geom.FlattenTolerance)
	if o.Clear || g.areaGap(ring) >= float64(g.clear) {
		return []export.Object{o}
	}
	const slack = geom.FlattenTolerance + geom.Micrometre // circles are flattened
	var taken []geom.Ring
	for _, h := range g.holes {
		taken = append(taken, geom.Circle(h, holeD+2*(g.clear+slack)).Ring(geom.FlattenTolerance))
	}
	for _, l := range g.lines {
		taken = append(taken, geom.Stadium(l, groove+g.clear+slack).Ring(geom.FlattenTolerance))
	}
	var out []export.Object
	for _, p := range geom.NewRegion(ring).Minus(geom.UnionOf(taken...)).Opened(speck) {
		out = append(out, export.Inked(p)...)
	}
	return out
}

// areaGap returns the way from what a ring encloses to what it must keep off, negative where it covers some of that.
func (g ground) areaGap(r geom.Ring) float64 {
	least := math.Inf(1)
	for _, h := range g.holes {
		d := r.DistTo(h)
		if r.Locate(h) != geom.Outside {
			d = -d
		}
		least = min(least, d-float64(holeD)/2)
	}
	for _, s := range r.Segments() {
		for _, l := range g.lines {
			least = min(least, l.Dist(s)-float64(groove))
		}
	}
	return least
}

// partway returns the point of a segment at a share of its length.
func partway(s geom.Segment, f float64) geom.Pt {
	if f >= 1 {
		return s.B
	}
	d := s.B.Sub(s.A)
	return s.A.Add(geom.Vec{X: geom.Nm(math.Round(float64(d.X) * f)), Y: geom.Nm(math.Round(float64(d.Y) * f))})
}

// within returns the part of a segment that lies in a circle, as shares of its length; empty where the first is not less than the
// second.
func within(s geom.Segment, c geom.Pt, r float64) [2]float64 {
	n := s.Len()
	if n == 0 {
		return [2]float64{}
	}
	d, to := s.B.Sub(s.A), c.Sub(s.A)
	foot := float64(d.Dot(to)) / n
	off := float64(d.Cross(to)) / n
	reach := float64(r*r) - float64(off*off)
	if reach <= 0 {
		return [2]float64{}
	}
	h := math.Sqrt(reach) + 1 // a nanometre beyond, for rounding
	return [2]float64{max(0, (foot-h)/n), min(1, (foot+h)/n)}
}

// beside returns the part of a segment that lies nearer than r to an endless line, as within does.
func beside(s, line geom.Segment, r float64) [2]float64 {
	n := line.Len()
	if n == 0 {
		return [2]float64{}
	}
	d := line.B.Sub(line.A)
	a, b := float64(d.Cross(s.A.Sub(line.A)))/n, float64(d.Cross(s.B.Sub(line.A)))/n
	if a == b {
		if math.Abs(a) < r {
			return [2]float64{0, 1}
		}
		return [2]float64{}
	}
	reach := r + 1
	f, g := (-reach-a)/(b-a), (reach-a)/(b-a)
	return [2]float64{max(0, min(f, g)), min(1, max(f, g))}
}
