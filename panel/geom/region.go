package geom

import (
	"cmp"
	"math"
	"slices"
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
	return Knife{}.regionOf(Knife{}.overlay(rings, nil, func(a, _ int32) bool { return a&1 == 1 }))
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
	return Knife{}.regionOf(Knife{}.overlay(up, nil, wound))
}

// WoundBy returns what the rings, all together, wind round: the non-zero rule of fonts, by which a ring that runs the other way is a
// hole.
func WoundBy(rings ...Ring) Region {
	return Knife{}.regionOf(Knife{}.overlay(rings, nil, wound))
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
func (g Region) Or(h Region) Region { return Knife{}.Or(g, h) }

// Or is Region.Or.
func (k Knife) Or(g, h Region) Region {
	if len(g) == 0 {
		return h
	}
	if len(h) == 0 {
		return g
	}
	return k.regionOf(k.overlay(g.Rings(), h.Rings(), func(a, b int32) bool { return a != 0 || b != 0 }))
}

// And returns the intersection. Outer rings of one region may overlap here: what several of them cover is covered.
func (g Region) And(h Region) Region { return Knife{}.And(g, h) }

// And is Region.And.
func (k Knife) And(g, h Region) Region {
	if len(g) == 0 || len(h) == 0 {
		return nil
	}
	return k.regionOf(k.overlay(g.Rings(), h.Rings(), func(a, b int32) bool { return a != 0 && b != 0 }))
}

// Minus returns g without h.
func (g Region) Minus(h Region) Region { return Knife{}.Minus(g, h) }

// Minus is Region.Minus.
func (k Knife) Minus(g, h Region) Region {
	if len(g) == 0 || len(h) == 0 {
		return g
	}
	return k.regionOf(k.overlay(g.Rings(), h.Rings(), func(a, b int32) bool { return a != 0 && b == 0 }))
}

// Without returns g without what at least one of the rings covers, whatever way they run: Minus(UnionOf(rings...)) in one
// pass.
func (k Knife) Without(g Region, rings ...Ring) Region {
	if len(g) == 0 || len(rings) == 0 {
		return g
	}
	up := make([]Ring, len(rings))
	for i, r := range rings {
		up[i] = r.Oriented(CCW)
	}
	near, far := g.apart(up)
	return k.regionOf(append(k.overlay(near, up, func(a, b int32) bool { return a != 0 && b == 0 }), far...))
}

// apart divides the region's rings into those that the others may meet and holes far from all of them with nothing in them.
// What is done to the region elsewhere leaves these as they are, so that a few cuts into a sheet with a thousand holes do not
// cost a thousand holes.
func (g Region) apart(others []Ring) (near, far []Ring) {
	box := EmptyBox()
	boxes := make([]Box, len(others))
	for i, r := range others {
		boxes[i] = r.Box()
		box = box.Union(boxes[i])
	}
	outers := make([]Box, len(g))
	for i, p := range g {
		outers[i] = p.Outer.Box()
	}
	for i, p := range g {
		near = append(near, p.Outer)
		for _, h := range p.Holes {
			b := h.Box().Grown(Micrometre)
			meets := func(o Box) bool { return o.Touches(b) }
			if box.Touches(b) && slices.ContainsFunc(boxes, meets) || slices.ContainsFunc(outers[:i], meets) || slices.ContainsFunc(outers[i+1:], meets) {
				near = append(near, h)
			} else {
				far = append(far, h)
			}
		}
	}
	return near, far
}

// With returns g with what the rings cover: Or(UnionOf(rings...)) in one pass.
func (k Knife) With(g Region, rings ...Ring) Region {
	if len(rings) == 0 {
		return g
	}
	up := make([]Ring, len(rings))
	for i, r := range rings {
		up[i] = r.Oriented(CCW)
	}
	return k.regionOf(k.overlay(g.Rings(), up, func(a, b int32) bool { return a != 0 || b != 0 }))
}

// Opened returns g without the parts narrower than 2d and with outer corners rounded to d.
func (g Region) Opened(d Nm) Region { return g.Shrunk(d).Grown(d) }

// Closed returns g with gaps narrower than 2d filled and inner corners rounded to d.
func (g Region) Closed(d Nm) Region { return g.Grown(d).Shrunk(d) }

// Moved returns the region moved by v.
func (g Region) Moved(v Vec) Region {
	out := make(Region, len(g))
	for i, p := range g {
		out[i].Outer = p.Outer.Moved(v)
		for _, h := range p.Holes {
			out[i].Holes = append(out[i].Holes, h.Moved(v))
		}
	}
	return out
}

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

// wound accepts what any ring of the first operand winds round.
func wound(a, _ int32) bool { return a != 0 }

// sliver is the ratio of area to perimeter (half the width of a thin ring) below which a ring is an artefact of
// rounding two nearly equal edges.
const sliver Nm = 5

// regionOf nests simple rings that do not cross: one inside an even number of others bounds an area, one inside an odd
// number is a hole in it. Slivers are dropped. The result is in a total order and each ring starts at its lowest left
// point, so that equal areas are equal values.
func (k Knife) regionOf(border []Ring) Region {
	var rings []Ring
	for _, r := range border {
		k.look()
		if r = r.tidied(); len(r) >= 3 && r.Area()/r.Perimeter() > sliver.MM() {
			rings = append(rings, r.Oriented(CCW).tidied())
		}
	}
	// Largest first, so that whatever is round a ring comes before it.
	slices.SortFunc(rings, func(a, b Ring) int {
		return cmp.Or(cmp.Compare(b.SignedArea2(), a.SignedArea2()), compareRings(a, b))
	})
	boxes := make([]Box, len(rings))
	depth := make([]int, len(rings))
	home := make([]int, len(rings)) // index into out: of an outer ring its own, of a hole its polygon's
	var out Region
	for i, r := range rings {
		k.look()
		boxes[i] = r.Box()
		parent := -1
		for j := i - 1; j >= 0; j-- {
			if boxes[j].Contains(boxes[i].Min) && boxes[j].Contains(boxes[i].Max) && inRing(rings[j], r) {
				parent = j // the smallest ring round it
				break
			}
		}
		if parent >= 0 {
			depth[i] = depth[parent] + 1
		}
		if depth[i]%2 == 0 {
			home[i] = len(out)
			out = append(out, Polygon{Outer: r})
			continue
		}
		home[i] = home[parent]
		poly := &out[home[i]]
		poly.Holes = append(poly.Holes, r.Reversed().tidied())
	}
	slices.SortFunc(out, func(a, b Polygon) int { return compareRings(a.Outer, b.Outer) })
	for i := range out {
		slices.SortFunc(out[i].Holes, compareRings)
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
	r = slices.Compact(slices.Clone(r))
	if n := len(r); n > 1 && r[0] == r[n-1] {
		r = r[:n-1]
	}
	for {
		n := len(r)
		out := make(Ring, 0, n)
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
	return slices.Concat(r[first:], r[:first])
}

// comparePts orders points from bottom to top, then from left to right.
func comparePts(a, b Pt) int {
	if a.Y != b.Y {
		return cmp.Compare(a.Y, b.Y)
	}
	return cmp.Compare(a.X, b.X)
}

func compareRings(a, b Ring) int { return slices.CompareFunc(a, b, comparePts) }
