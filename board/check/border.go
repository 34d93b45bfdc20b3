package check

import (
	"cmp"
	"math"

	"github.com/tidwall/rtree"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// border is the rings of an area, prepared to find its narrow places.
type border struct {
	rings []geom.Ring
	along [][]float64 // way from each ring's first point to its i-th, in nanometres; the last is the whole way round
	tree  rtree.RTreeGN[int64, place]
}

// place is an edge of a border: from point i of a ring to the next.
type place struct{ ring, i int32 }

func newBorder(p geom.Polygon) *border {
	b := &border{rings: p.Rings()}
	// Copper lies on the left of every edge: outer rings counter-clockwise, holes clockwise.
	for k, r := range b.rings {
		if k == 0 {
			b.rings[k] = r.Oriented(geom.CCW)
		} else {
			b.rings[k] = r.Oriented(geom.CW)
		}
		sum, along := 0.0, []float64{0}
		for i, s := range b.rings[k].Segments() {
			lo, hi := corners(s.Box())
			b.tree.Insert(lo, hi, place{int32(k), int32(i)})
			sum += s.Len()
			along = append(along, sum)
		}
		b.along = append(b.along, along)
	}
	return b
}

func (b *border) at(p place) geom.Segment {
	r := b.rings[p.ring]
	return geom.Segment{A: r[p.i], B: r[(int(p.i)+1)%len(r)]}
}

// narrow returns the places where copper is narrower than neck and gaps narrower than gap, one for each pair of edges.
func (b *border) narrow(w *work.Watch, neck, gap geom.Nm) (necks, gaps []meeting) {
	reach := max(neck, gap)
	for k := range b.rings {
		for i := range b.rings[k] {
			w.Step()
			from := place{int32(k), int32(i)}
			s := b.at(from)
			lo, hi := corners(s.Box().Grown(reach))
			var near []place
			b.tree.Search(lo, hi, func(_, _ [2]int64, to place) bool {
				if to.ring > from.ring || to.ring == from.ring && to.i > from.i {
					near = append(near, to)
				}
				return true
			})
			sortPlaces(near)
			for _, to := range near {
				t := b.at(to)
				if s.Crosses(t) || s.Dist(t) >= float64(reach) {
					continue
				}
				neck, gap := b.between(from, to, neck, gap)
				necks, gaps = append(necks, neck...), append(gaps, gap...)
			}
		}
	}
	return necks, gaps
}

// between returns the narrowest neck and the narrowest gap between two edges: at most one of each. Tried are the ends of
// each edge with their feet on the other, and the middle of the stretch that they run beside each other.
func (b *border) between(e, f place, neck, gap geom.Nm) (necks, gaps []meeting) {
	s, t := b.at(e), b.at(f)
	fa, fb := s.Nearest(t.A), s.Nearest(t.B)
	mid := geom.Pt{X: (fa.X + fb.X) / 2, Y: (fa.Y + fb.Y) / 2}
	for _, c := range [5][2]geom.Pt{{fa, t.A}, {fb, t.B}, {s.A, t.Nearest(s.A)}, {s.B, t.Nearest(s.B)}, {mid, t.Nearest(mid)}} {
		p, q := c[0], c[1]
		d := p.Dist(q)
		if d == 0 || e.ring == f.ring && b.way(e, p, f, q) <= 3*d {
			continue
		}
		at := meeting{gap: d, at: geom.Pt{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2}}
		switch out, in := b.leaves(e, p, q), b.leaves(f, q, p); {
		case out > 0 && in > 0 && d < float64(neck) && (necks == nil || d < necks[0].gap) && !b.crossed(p, q):
			necks = []meeting{at}
		case out < 0 && in < 0 && d < float64(gap) && (gaps == nil || d < gaps[0].gap):
			gaps = []meeting{at}
		}
	}
	return necks, gaps
}

// crossed reports whether an edge crosses the way from p to q, so that they are not the two sides of one neck.
func (b *border) crossed(p, q geom.Pt) bool {
	lo, hi := corners(geom.BoxOf(p, q))
	found := false
	b.tree.Search(lo, hi, func(_, _ [2]int64, e place) bool {
		u := b.at(e)
		found = geom.Orient(p, q, u.A)*geom.Orient(p, q, u.B) < 0 && geom.Orient(u.A, u.B, p)*geom.Orient(u.A, u.B, q) < 0
		return !found
	})
	return found
}

// way returns the shorter way along the ring from p on one edge to q on another.
func (b *border) way(e place, p geom.Pt, f place, q geom.Pt) float64 {
	along := b.along[e.ring]
	x := along[e.i] + b.at(e).A.Dist(p)
	y := along[f.i] + b.at(f).A.Dist(q)
	d := math.Abs(x - y)
	return min(d, along[len(along)-1]-d)
}

// leaves reports whether the way from p, on edge e, to q sets out into the copper (1), out of it (-1), or along the
// border (0).
func (b *border) leaves(e place, p, q geom.Pt) int {
	r := b.rings[e.ring]
	n := len(r)
	i := int(e.i)
	s := b.at(e)
	switch p {
	case s.A:
		return cone(r[(i+n-1)%n], p, r[(i+1)%n], q)
	case s.B:
		return cone(r[i], p, r[(i+2)%n], q)
	}
	return cmp.Compare(s.B.Sub(s.A).Cross(q.Sub(p)), 0)
}

// cone reports whether q, seen from the corner a→p→c with copper on the left, lies in the copper's angle.
func cone(a, p, c, q geom.Pt) int {
	in, out := geom.Orient(a, p, q), geom.Orient(p, c, q)
	var left, right bool
	if geom.Orient(a, p, c) == geom.CW { // the copper's angle is more than 180°
		left, right = in == geom.CCW || out == geom.CCW, in == geom.CW && out == geom.CW
	} else {
		left, right = in == geom.CCW && out == geom.CCW, in == geom.CW || out == geom.CW
	}
	switch {
	case left:
		return 1
	case right:
		return -1
	}
	return 0
}
