package route

import (
	"math"

	"lampblack/board"
	"lampblack/panel/geom"
)

// shape is copper, a hole or an edge as the router measures it: all points no farther than r from the segment a-b or,
// when rect is set, from the rectangle with corners a (low) and b (high).
type shape struct {
	a, b geom.Pt
	r    geom.Nm
	rect bool
	ring *[4]geom.Pt // of a rectangle aslant its corners, counter-clockwise; a and b are those of its box
}

// shapeOf returns the copper of a pad. A Square pad is a rectangle, a Round or Oblong one a capsule: both exact.
func shapeOf(p board.Pad) shape {
	lo := geom.Pt{X: p.At.X - p.W/2, Y: p.At.Y - p.H/2}
	hi := geom.Pt{X: lo.X + p.W, Y: lo.Y + p.H}
	if p.Shape == board.Square && p.Slant {
		s := shape{rect: true, ring: new([4]geom.Pt)}
		c := p.Contour(0)
		for i := range s.ring {
			s.ring[i] = c[i].Pt
		}
		box := c.Box()
		s.a, s.b = box.Min, box.Max
		return s
	}
	if p.Shape == board.Square {
		return shape{a: lo, b: hi, rect: true}
	}
	if p.Shape == board.Round || p.W == p.H {
		return shape{a: p.At, b: p.At, r: (p.W + 1) / 2}
	}
	if p.W > p.H {
		r := (p.H + 1) / 2
		return shape{a: geom.Pt{X: lo.X + r, Y: p.At.Y}, b: geom.Pt{X: hi.X - r, Y: p.At.Y}, r: r}
	}
	r := (p.W + 1) / 2
	return shape{a: geom.Pt{X: p.At.X, Y: lo.Y + r}, b: geom.Pt{X: p.At.X, Y: hi.Y - r}, r: r}
}

func disc(c geom.Pt, d geom.Nm) shape { return shape{a: c, b: c, r: (d + 1) / 2} }

func capsule(s geom.Segment, r geom.Nm) shape { return shape{a: s.A, b: s.B, r: r} }

// box returns the bounding box.
func (s shape) box() geom.Box {
	if s.rect {
		return geom.Box{Min: s.a, Max: s.b}
	}
	return geom.BoxOf(s.a, s.b).Grown(s.r)
}

// distTo returns the distance from p to the shape, in nm; negative inside a capsule, 0 inside a rectangle.
func (s shape) distTo(p geom.Pt) float64 {
	if s.ring != nil {
		return s.dist(geom.Segment{A: p, B: p})
	}
	if s.rect {
		dx := max(s.a.X-p.X, p.X-s.b.X, 0)
		dy := max(s.a.Y-p.Y, p.Y-s.b.Y, 0)
		return geom.Vec{X: dx, Y: dy}.Len()
	}
	return geom.Segment{A: s.a, B: s.b}.DistTo(p) - float64(s.r)
}

// dist returns the distance from the segment to the shape, in nm; at most 0 when they touch.
func (s shape) dist(t geom.Segment) float64 {
	if !s.rect {
		return geom.Segment{A: s.a, B: s.b}.Dist(t) - float64(s.r)
	}
	c := [4]geom.Pt{s.a, {X: s.b.X, Y: s.a.Y}, s.b, {X: s.a.X, Y: s.b.Y}}
	if s.ring != nil {
		c = *s.ring
	}
	holds := func(p geom.Pt) bool {
		for i := range c {
			if geom.Orient(c[i], c[(i+1)%4], p) == geom.CW {
				return false
			}
		}
		return true
	}
	if holds(t.A) || holds(t.B) {
		return 0
	}
	best := math.Inf(1)
	for i := range c {
		best = min(best, geom.Segment{A: c[i], B: c[(i+1)%4]}.Dist(t))
	}
	return best
}

// contains reports whether p lies in the shape or on its border.
func (s shape) contains(p geom.Pt) bool { return s.distTo(p) <= 0 }
