package geom

import (
	"cmp"
	"math"
	"slices"

	"github.com/tdewolff/canvas"
)

// Polygon is a counter-clockwise outer ring with clockwise holes in it.
type Polygon struct {
	Outer Ring
	Holes []Ring
}

// Region is a set of polygons that do not overlap. The zero Region is empty.
type Region []Polygon

// NewRegion returns the area inside the rings by the even-odd rule: a ring in a ring is a hole.
func NewRegion(rings ...Ring) Region {
	if len(rings) == 1 {
		if r := rings[0].simple(); r != nil {
			return Region{{Outer: r}}
		}
	}
	return regionOf(pathOf(rings...).Settle(canvas.EvenOdd))
}

// simple returns the ring counter-clockwise if it is a triangle or a convex or axis-parallel quadrilateral, which
// needs no settling, else nil.
func (r Ring) simple() Ring {
	if len(r) < 3 || len(r) > 4 {
		return nil
	}
	turn := Orient(r[0], r[1], r[2])
	for i := range r {
		if t := Orient(r[i], r[(i+1)%len(r)], r[(i+2)%len(r)]); t != turn || t == Collinear {
			return nil
		}
	}
	return r.Oriented(CCW)
}

// UnionOf returns what at least one of the rings covers, whatever way they run.
func UnionOf(rings ...Ring) Region {
	up := make([]Ring, len(rings))
	for i, r := range rings {
		up[i] = r.Oriented(CCW)
	}
	return regionOf(pathOf(up...).Settle(canvas.NonZero))
}

// Rings returns all rings: each outer one, then its holes.
func (g Region) Rings() []Ring {
	var out []Ring
	for _, p := range g {
		out = append(out, p.Outer)
		out = append(out, p.Holes...)
	}
	return out
}

// Or returns the union.
func (g Region) Or(h Region) Region {
	if len(g) == 0 {
		return h
	}
	if len(h) == 0 {
		return g
	}
	return regionOf(g.path().Or(h.path()))
}

// And returns the intersection.
func (g Region) And(h Region) Region {
	if len(g) == 0 || len(h) == 0 {
		return nil
	}
	return regionOf(g.path().And(h.path()))
}

// Minus returns g without h.
func (g Region) Minus(h Region) Region {
	if len(g) == 0 || len(h) == 0 {
		return g
	}
	return regionOf(g.path().Not(h.path()))
}

// Grown returns the points no farther than d from g: its Minkowski sum with a disc (round corners).
func (g Region) Grown(d Nm) Region {
	if d <= 0 || len(g) == 0 {
		return g
	}
	return regionOf(pathOf(append(g.Rings(), g.collar(d)...)...).Settle(canvas.NonZero))
}

// Shrunk returns the points of g farther than d from its border.
func (g Region) Shrunk(d Nm) Region {
	if d <= 0 || len(g) == 0 {
		return g
	}
	inside := make([]Ring, 0, len(g))
	for _, r := range g.Rings() {
		inside = append(inside, r.Reversed())
	}
	return g.Minus(regionOf(pathOf(Region(nil).collarOf(inside, d)...).Settle(canvas.NonZero)))
}

// Opened returns g without the parts narrower than 2d and with outer corners rounded to d.
func (g Region) Opened(d Nm) Region { return g.Shrunk(d).Grown(d) }

// Closed returns g with gaps narrower than 2d filled and inner corners rounded to d.
func (g Region) Closed(d Nm) Region { return g.Grown(d).Shrunk(d) }

// Area returns the area in mm².
func (g Region) Area() float64 {
	sum := 0.0
	for _, p := range g {
		sum += p.Area()
	}
	return sum
}

// Box returns the bounding box.
func (g Region) Box() Box {
	b := EmptyBox()
	for _, p := range g {
		b = b.Union(p.Outer.Box())
	}
	return b
}

// Locate says where p lies.
func (g Region) Locate(p Pt) Where {
	for _, poly := range g {
		if w := poly.Locate(p); w != Outside {
			return w
		}
	}
	return Outside
}

// DistTo returns the distance from p to the nearest edge, in nanometres, +Inf for the empty region.
func (g Region) DistTo(p Pt) float64 {
	best := math.Inf(1)
	for _, r := range g.Rings() {
		best = min(best, r.DistTo(p))
	}
	return best
}

// Area returns the area in mm², holes taken off.
func (p Polygon) Area() float64 {
	sum := p.Outer.Area()
	for _, h := range p.Holes {
		sum -= h.Area()
	}
	return sum
}

// Locate says where q lies.
func (p Polygon) Locate(q Pt) Where {
	if w := p.Outer.Locate(q); w != Inside {
		return w
	}
	for _, h := range p.Holes {
		switch h.Locate(q) {
		case Inside:
			return Outside
		case OnEdge:
			return OnEdge
		}
	}
	return Inside
}

// Rings returns the outer ring and the holes.
func (p Polygon) Rings() []Ring { return append([]Ring{p.Outer}, p.Holes...) }

// collar returns, for every edge, the strip of width d on its outer side, and for every corner that points outward
// the sector between two strips: the Minkowski sum of the border with a disc, less what lies inside.
func (g Region) collar(d Nm) []Ring { return g.collarOf(g.Rings(), d) }

func (Region) collarOf(rings []Ring, d Nm) []Ring {
	var out []Ring
	for _, r := range rings {
		n := len(r)
		for i := range r {
			a, b, c := r[i], r[(i+1)%n], r[(i+2)%n]
			u, v := rightOf(a, b, d), rightOf(b, c, d)
			out = append(out, Ring{a, a.Add(u), b.Add(u), b})
			if Orient(a, b, c) == CCW {
				out = append(out, sector(b, u, v, d))
			} else if Orient(a, b, c) == Collinear && b.Sub(a).Dot(c.Sub(b)) < 0 {
				out = append(out, sector(b, u, v, d)) // a spike turns right round
			}
		}
	}
	return out
}

// rightOf returns the vector of length d to the right of a→b.
func rightOf(a, b Pt, d Nm) Vec {
	v := b.Sub(a)
	k := float64(d) / v.Len()
	return Vec{Nm(math.Round(float64(v.Y) * k)), Nm(math.Round(-float64(v.X) * k))}
}

// sector returns the pie slice round c from u counter-clockwise to v, both of length d.
func sector(c Pt, u, v Vec, d Nm) Ring {
	sweep := math.Atan2(float64(u.Cross(v)), float64(u.Dot(v)))
	if sweep <= 0 {
		sweep = math.Pi
	}
	out := Ring{c}
	arc := Arc{From: c.Add(u), To: c.Add(v), Bulge: math.Tan(sweep / 4)}
	out = append(out, arc.Flatten(FlattenTolerance)...)
	return append(out, arc.To)
}

// Stadium returns the outline of all points no farther than r from the segment, flattened.
func Stadium(s Segment, r Nm) Ring {
	if s.A == s.B {
		return Circle(s.A, 2*r).Ring(FlattenTolerance)
	}
	u := rightOf(s.A, s.B, r)
	c := Contour{{s.A.Add(u), 0}, {s.B.Add(u), 1}, {s.B.Add(u.Neg()), 0}, {s.A.Add(u.Neg()), 1}}
	return c.Ring(FlattenTolerance)
}

// path returns the region as a canvas path in millimetres.
func (g Region) path() *canvas.Path { return pathOf(g.Rings()...) }

func pathOf(rings ...Ring) *canvas.Path {
	p := &canvas.Path{}
	for _, r := range rings {
		if len(r) < 3 {
			continue
		}
		p.MoveTo(r[0].X.MM(), r[0].Y.MM())
		for _, q := range r[1:] {
			p.LineTo(q.X.MM(), q.Y.MM())
		}
		p.Close()
	}
	return p
}

// regionOf rounds a settled path, in which outer rings run counter-clockwise and holes clockwise, to nanometres and
// groups its holes with the outer ring round them. Rings that rounding leaves without area are dropped. The result is
// in a total order and each ring starts at its lowest left point, so that equal areas are equal values.
func regionOf(p *canvas.Path) Region {
	var outer, holes []Ring
	for _, sub := range p.Split() {
		var r Ring
		for _, c := range sub.Coords() {
			r = append(r, PtMM(c.X, c.Y))
		}
		r = r.tidied()
		switch a := r.SignedArea2(); {
		case len(r) < 3 || a == 0:
		case a > 0:
			outer = append(outer, r)
		default:
			holes = append(holes, r)
		}
	}
	slices.SortFunc(outer, compareRings)
	slices.SortFunc(holes, compareRings)
	out := make(Region, len(outer))
	boxes := make([]Box, len(outer))
	for i, r := range outer {
		out[i].Outer = r
		boxes[i] = r.Box()
	}
	for _, h := range holes {
		best := -1
		for i := range outer {
			if boxes[i].Contains(h[0]) && inRing(outer[i], h) &&
				(best < 0 || outer[i].SignedArea2() < outer[best].SignedArea2()) {
				best = i
			}
		}
		if best >= 0 {
			out[best].Holes = append(out[best].Holes, h)
		}
	}
	return out
}

// inRing reports whether hole h lies in r; its points may touch r's border.
func inRing(r, h Ring) bool {
	for _, p := range h {
		switch r.Locate(p) {
		case Inside:
			return true
		case Outside:
			return false
		}
	}
	return true
}

// tidied drops repeated points and points in the middle of a straight edge, and starts at the lowest left point.
func (r Ring) tidied() Ring {
	for {
		var out Ring
		n := len(r)
		for i := range r {
			prev, next := r[(i+n-1)%n], r[(i+1)%n]
			if r[i] == next || n > 2 && Orient(prev, r[i], next) == Collinear {
				continue
			}
			out = append(out, r[i])
		}
		if len(out) == n || len(out) < 3 {
			r = out
			break
		}
		r = out
	}
	if len(r) == 0 {
		return nil
	}
	first := 0
	for i := range r {
		if comparePts(r[i], r[first]) < 0 {
			first = i
		}
	}
	return append(slices.Clone(r[first:]), r[:first]...)
}

func comparePts(a, b Pt) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X)) }

func compareRings(a, b Ring) int { return slices.CompareFunc(a, b, comparePts) }
