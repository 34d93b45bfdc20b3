package dxf

import (
	"math"
	"slices"
)

// Edge is one line or arc of a Path.
type Edge struct {
	From, To XY
	Bulge    float64
}

// Edges returns the edges in order.
func (p Path) Edges() []Edge {
	n := len(p.Vertices)
	if n < 2 {
		return nil
	}
	last := n - 1
	if p.Closed {
		last = n
	}
	out := make([]Edge, last)
	for i := range last {
		v := p.Vertices[i]
		out[i] = Edge{v.XY, p.Vertices[(i+1)%n].XY, v.Bulge}
	}
	return out
}

// Centre returns the centre of the arc; it means nothing for a line.
func (e Edge) Centre() XY {
	d := e.To.Sub(e.From)
	// On the perpendicular through the chord's middle, (1-b²)/(4b) chords to its left.
	k := (1 - float64(e.Bulge*e.Bulge)) / (4 * e.Bulge)
	return XY{X: e.From.X + d.X/2 - float64(d.Y*k), Y: e.From.Y + d.Y/2 + float64(d.X*k)}
}

// Radius returns the radius of the arc: c(1+b²)/(4|b|) with chord c.
func (e Edge) Radius() float64 {
	return e.From.Dist(e.To) * (1 + float64(e.Bulge*e.Bulge)) / (4 * math.Abs(e.Bulge))
}

// Sweep returns the signed included angle, radians.
func (e Edge) Sweep() float64 { return 4 * math.Atan(e.Bulge) }

// Len returns the length.
func (e Edge) Len() float64 {
	if e.Bulge == 0 {
		return e.From.Dist(e.To)
	}
	return e.Radius() * math.Abs(e.Sweep())
}

// Mid returns the point half way along the edge: the sagitta is |b|·c/2, to the right of the chord for b > 0.
func (e Edge) Mid() XY {
	d := e.To.Sub(e.From)
	k := e.Bulge / 2
	return XY{X: e.From.X + d.X/2 + float64(d.Y*k), Y: e.From.Y + d.Y/2 - float64(d.X*k)}
}

// Tangent returns the direction in which the edge leaves From, not normalised.
func (e Edge) Tangent() XY {
	d := e.To.Sub(e.From)
	if e.Bulge == 0 {
		return d
	}
	// The chord turned by -θ/2 with b = tan(θ/4): cos θ/2 = (1-b²)/(1+b²), sin θ/2 = 2b/(1+b²).
	q := 1 + float64(e.Bulge*e.Bulge)
	c, s := (1-float64(e.Bulge*e.Bulge))/q, 2*e.Bulge/q
	return XY{X: float64(d.X*c) + float64(d.Y*s), Y: float64(d.Y*c) - float64(d.X*s)}
}

// Reversed returns the edge run backwards.
func (e Edge) Reversed() Edge { return Edge{e.To, e.From, -e.Bulge} }

// Box returns the bounding box.
func (e Edge) Box() Box {
	b := EmptyBox().With(e.From).With(e.To)
	if e.Bulge == 0 || e.From == e.To {
		return b
	}
	c, r, sweep := e.Centre(), e.Radius(), e.Sweep()
	if math.IsInf(r, 0) || math.IsNaN(r) || r > 1e9 { // as good as straight
		return b.With(e.Mid())
	}
	from := math.Atan2(e.From.Y-c.Y, e.From.X-c.X)
	for q, dir := range [4]XY{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		d := math.Mod(float64(q)*math.Pi/2-from, 2*math.Pi)
		if sweep > 0 && d < 0 {
			d += 2 * math.Pi
		}
		if sweep < 0 && d > 0 {
			d -= 2 * math.Pi
		}
		if math.Abs(d) <= math.Abs(sweep) {
			b = b.With(c.Add(dir.Times(r)))
		}
	}
	return b
}

// Circle returns centre and diameter of a closed path of two semicircles, as Read makes one of CIRCLE; ok is false for any
// other, even if it is round.
func (p Path) Circle() (c XY, d float64, ok bool) {
	v := p.Vertices
	if !p.Closed || len(v) != 2 || v[0].Bulge != v[1].Bulge || math.Abs(v[0].Bulge) != 1 {
		return XY{}, 0, false
	}
	return XY{X: v[0].X + (v[1].X-v[0].X)/2, Y: v[0].Y + (v[1].Y-v[0].Y)/2}, v[0].Dist(v[1].XY), true
}

// SignedArea returns the area of a closed path in mm², positive counter-clockwise.
func (p Path) SignedArea() float64 {
	if len(p.Vertices) == 0 {
		return 0
	}
	sum, o := 0.0, p.Vertices[0].XY
	for _, e := range (Path{p.Vertices, true}).Edges() {
		sum += e.From.Sub(o).Cross(e.To.Sub(o)) / 2
		if e.Bulge != 0 && e.From != e.To {
			r, t := e.Radius(), e.Sweep()
			sum += float64(r*r) * (t - math.Sin(t)) / 2
		}
	}
	return sum
}

// Perimeter returns the length of the path in mm.
func (p Path) Perimeter() float64 {
	sum := 0.0
	for _, e := range p.Edges() {
		sum += e.Len()
	}
	return sum
}

// Moved returns the path elsewhere.
func (p Path) Moved(by XY) Path {
	if by == (XY{}) {
		return p
	}
	p.Vertices = slices.Clone(p.Vertices)
	for i := range p.Vertices {
		p.Vertices[i].XY = p.Vertices[i].Add(by)
	}
	return p
}

// Reversed returns the path run backwards.
func (p Path) Reversed() Path {
	n := len(p.Vertices)
	out := Path{make([]Vertex, n), p.Closed}
	for i := range p.Vertices {
		out.Vertices[i] = Vertex{p.Vertices[n-1-i].XY, -p.Vertices[(2*n-2-i)%n].Bulge}
	}
	return out
}
