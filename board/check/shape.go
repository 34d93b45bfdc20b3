package check

import (
	"math"
	"math/bits"

	"lampblack/board"
	"lampblack/panel/geom"
)

// shape is a piece of copper, a mask opening, ink or a hole as the prover sees it: all points no farther than width/2
// from one of segs and, where poly is set, the inside of poly (whose edges segs then are, with width 0). Round and
// oblong pads, tracks, vias and holes are exact in this form: nothing is flattened.
type shape struct {
	segs  []geom.Segment
	width geom.Nm
	poly  *geom.Locator
	box   geom.Box
}

func stroke(path geom.Polyline, width geom.Nm) shape {
	return shape{segs: path.Segments(), width: width, box: path.Box().Grown((width + 1) / 2)}
}

func disc(at geom.Pt, d geom.Nm) shape { return stroke(geom.Polyline{at}, d) }

func solid(p geom.Polygon) shape {
	s := shape{box: p.Outer.Box(), poly: geom.NewLocator(p)}
	for _, r := range p.Rings() {
		s.segs = append(s.segs, r.Segments()...)
	}
	return s
}

// padShape is the pad's copper grown by d on each side; it is empty when nothing is left of the pad.
func padShape(p board.Pad, d geom.Nm) shape {
	w, h := p.W+2*d, p.H+2*d
	if w <= 0 || h <= 0 {
		return shape{box: geom.EmptyBox()}
	}
	switch p.Shape {
	case board.Round:
		return disc(p.At, w)
	case board.Oblong:
		a, b, t := p.At, p.At, min(w, h)
		a.X, b.X = a.X-(w-t)/2, b.X+(w-t)/2
		a.Y, b.Y = a.Y-(h-t)/2, b.Y+(h-t)/2
		return stroke(geom.Polyline{a, b}, t)
	}
	lo := geom.Pt{X: p.At.X - w/2, Y: p.At.Y - h/2}
	hi := geom.Pt{X: lo.X + w, Y: lo.Y + h}
	r := geom.Ring{lo, {X: hi.X, Y: lo.Y}, hi, {X: lo.X, Y: hi.Y}}
	if p.Slant { // along the diagonals: (±w±h)/√8 from the middle
		r = r.Turned(p.At, geom.EighthDegrees)
	}
	return solid(geom.Polygon{Outer: r})
}

// gapTo returns the gap between two shapes in nanometres and where it is narrowest. It is zero or negative exactly
// when they share a point; then it tells how far spines and edges run into the other's half widths.
func (s shape) gapTo(t shape) (float64, geom.Pt) {
	best, at := math.Inf(1), geom.Pt{}
	for _, a := range s.segs {
		for _, b := range t.segs {
			if d := segGap(a, b, s.width+t.width); d < best {
				best, at = d, midway(a, b)
			}
		}
	}
	if d, p, ok := s.swallows(t); ok && d < best {
		best, at = d, p
	}
	return best, at
}

// swallows reports whether one of the shapes holds the other's first point in its inside, so that they overlap
// though their borders may be far apart.
func (s shape) swallows(t shape) (float64, geom.Pt, bool) {
	depth := -float64(max(s.width, t.width)) / 2
	if s.poly != nil && len(t.segs) > 0 && s.box.Contains(t.segs[0].A) && s.poly.Locate(t.segs[0].A) == geom.Inside {
		return depth, t.segs[0].A, true
	}
	if t.poly != nil && len(s.segs) > 0 && t.box.Contains(s.segs[0].A) && t.poly.Locate(s.segs[0].A) == geom.Inside {
		return depth, s.segs[0].A, true
	}
	return 0, geom.Pt{}, false
}

// segGap returns the distance between the segments less half of widths, in nanometres. Its sign is exact: it is
// positive if and only if discs of these widths run along the segments do not touch.
func segGap(a, b geom.Segment, widths geom.Nm) float64 {
	d := a.Dist(b) - float64(widths)/2
	if d > -1 && d < 1 {
		if reaches(a, b, widths) {
			return min(d, 0)
		}
		return max(d, math.SmallestNonzeroFloat64)
	}
	return d
}

// reaches reports whether the distance between the segments is at most widths/2. Exact for coordinates within
// geom.MaxCoord and widths whose sum is below 2^31.
func reaches(a, b geom.Segment, widths geom.Nm) bool {
	if a.Crosses(b) {
		return true
	}
	w := uint64(max(widths, 0))
	w *= w
	return pointReach(a, b.A, w) || pointReach(a, b.B, w) || pointReach(b, a.A, w) || pointReach(b, a.B, w)
}

// pointReach reports 4·dist(s, p)² <= w2. Beside the segment that is 4·c² <= w2·l² with the cross product c < 2^63 and
// the length's square l² < 2^63, both sides below 2^128.
func pointReach(s geom.Segment, p geom.Pt, w2 uint64) bool {
	d, v := s.B.Sub(s.A), p.Sub(s.A)
	dot, l2 := d.Dot(v), d.Dot(d)
	if dot > 0 && dot < l2 {
		c := d.Cross(v)
		if c < 0 {
			c = -c
		}
		ch, cl := bits.Mul64(uint64(c), uint64(c))
		ch, cl = ch<<2|cl>>62, cl<<2
		wh, wl := bits.Mul64(w2, uint64(l2))
		return ch < wh || ch == wh && cl <= wl
	}
	if dot >= l2 {
		v = p.Sub(s.B)
	}
	return uint64(v.Dot(v)) <= w2/4
}

// midway returns the middle of the shortest way between the segments.
func midway(a, b geom.Segment) geom.Pt {
	p, q := closest(a, b)
	return geom.Pt{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2}
}

// closest returns the points of a and b that are nearest to each other, rounded.
func closest(a, b geom.Segment) (geom.Pt, geom.Pt) {
	if a.Crosses(b) {
		p := crossing(a, b)
		return p, p
	}
	type pair struct{ p, q geom.Pt }
	best, at := math.Inf(1), pair{}
	for _, c := range [4]pair{{a.Nearest(b.A), b.A}, {a.Nearest(b.B), b.B}, {a.A, b.Nearest(a.A)}, {a.B, b.Nearest(a.B)}} {
		if d := c.p.Dist(c.q); d < best {
			best, at = d, c
		}
	}
	return at.p, at.q
}

func crossing(a, b geom.Segment) geom.Pt {
	d, e := a.B.Sub(a.A), b.B.Sub(b.A)
	den := d.Cross(e)
	if den == 0 { // collinear or a point: an end of one lies on the other
		for _, p := range [2]geom.Pt{b.A, b.B} {
			if a.DistTo(p) == 0 {
				return p
			}
		}
		return a.A
	}
	k := float64(b.A.Sub(a.A).Cross(e)) / float64(den)
	return a.A.Add(geom.Vec{X: geom.Nm(math.Round(float64(d.X) * k)), Y: geom.Nm(math.Round(float64(d.Y) * k))})
}
