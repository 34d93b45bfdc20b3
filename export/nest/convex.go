package nest

import (
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// vector is a place or a step, in micrometres.
type vector struct{ x, y int64 }

func (a vector) plus(b vector) vector  { return vector{a.x + b.x, a.y + b.y} }
func (a vector) minus(b vector) vector { return vector{a.x - b.x, a.y - b.y} }
func (a vector) cross(b vector) int64  { return a.x*b.y - a.y*b.x }

// ring is a closed line of straight edges.
type ring []vector

// convex is a ring that is convex and counter-clockwise, its lowest and then leftmost corner first.
type convex ring

// turned returns the ring in micrometres, turned about the origin by quarters, counter-clockwise and without doubled corners.
func turned(r geom.Ring, quarters int) ring {
	var out ring
	for _, p := range r {
		v := geom.Vec{X: p.X, Y: p.Y}.Quarter(quarters)
		q := vector{rounded(v.X), rounded(v.Y)}
		if len(out) == 0 || out[len(out)-1] != q {
			out = append(out, q)
		}
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	if out.area2() < 0 {
		slices.Reverse(out)
	}
	return out
}

func rounded(v geom.Nm) int64 {
	if v < 0 {
		return -int64((-v + micron/2) / micron)
	}
	return int64((v + micron/2) / micron)
}

func (r ring) moved(by vector) ring {
	out := make(ring, len(r))
	for i, p := range r {
		out[i] = p.plus(by)
	}
	return out
}

func (r ring) box() (lo, hi vector) {
	lo, hi = vector{1 << 62, 1 << 62}, vector{-1 << 62, -1 << 62}
	for _, p := range r {
		lo, hi = vector{min(lo.x, p.x), min(lo.y, p.y)}, vector{max(hi.x, p.x), max(hi.y, p.y)}
	}
	return lo, hi
}

// area2 is twice the area, positive if counter-clockwise.
func (r ring) area2() int64 {
	sum := int64(0)
	for i, p := range r {
		sum += p.cross(r[(i+1)%len(r)])
	}
	return sum
}

// pieces returns convex pieces whose union is what is within outer and in no window: triangles by clipping ears (Meisters 1975),
// after windows are joined to the outline by a cut each, put together again as long as they stay convex (Hertel, Mehlhorn
// 1983).
func pieces(w *work.Watch, outer ring, windows []ring) []convex {
	tri := triangles(w, joined(outer, windows))
	for {
		w.Look()
		merged := false
		for i := 0; i < len(tri) && !merged; i++ {
			for j := i + 1; j < len(tri) && !merged; j++ {
				if m, ok := together(tri[i], tri[j]); ok {
					tri[i] = m
					tri = slices.Delete(tri, j, j+1)
					merged = true
				}
			}
		}
		if !merged {
			break
		}
	}
	out := make([]convex, len(tri))
	for i, t := range tri {
		out[i] = lowest(t)
	}
	return out
}

// joined returns the outline with each window cut open to it: the window farthest to the right first, by a line to a corner that
// it sees (Eberly, Triangulation by Ear Clipping).
func joined(outer ring, windows []ring) ring {
	out := slices.Clone(outer)
	right := func(r ring) int {
		best := 0
		for i, p := range r {
			if p.x > r[best].x || p.x == r[best].x && p.y < r[best].y {
				best = i
			}
		}
		return best
	}
	left := slices.Clone(windows)
	slices.SortStableFunc(left, func(a, b ring) int { return int(min(max(b[right(b)].x-a[right(a)].x, -1), 1)) })
	for k, h := range left {
		if h.area2() > 0 {
			h = slices.Clone(h)
			slices.Reverse(h)
		}
		m := right(h)
		best := -1
		for i, p := range out {
			if best >= 0 && far2(p, h[m]) >= far2(out[best], h[m]) {
				continue
			}
			if sees(out, h[m], p) && sees(h, h[m], p) && !slices.ContainsFunc(left[k+1:], func(o ring) bool { return !sees(o, h[m], p) }) {
				best = i
			}
		}
		if best < 0 {
			continue // a window that sees no corner counts as filled
		}
		var with ring
		with = append(with, out[:best+1]...)
		with = append(with, h[m:]...)
		with = append(with, h[:m+1]...)
		out = append(with, out[best:]...)
	}
	return out
}

func far2(a, b vector) int64 { d := a.minus(b); return d.x*d.x + d.y*d.y }

// sees reports whether no edge of the ring crosses the line from a to b or touches it but at its ends.
func sees(r ring, a, b vector) bool {
	for i, p := range r {
		q := r[(i+1)%len(r)]
		if p == a || p == b || q == a || q == b {
			continue
		}
		d := b.minus(a)
		s, t := d.cross(p.minus(a)), d.cross(q.minus(a))
		e := q.minus(p)
		u, v := e.cross(a.minus(p)), e.cross(b.minus(p))
		if (s >= 0) != (t > 0) && (u >= 0) != (v > 0) || s == 0 && between(a, b, p) || t == 0 && between(a, b, q) {
			return false
		}
	}
	return true
}

// between reports whether p, on the line through a and b, lies between them.
func between(a, b, p vector) bool {
	return min(a.x, b.x) <= p.x && p.x <= max(a.x, b.x) && min(a.y, b.y) <= p.y && p.y <= max(a.y, b.y)
}

// triangles cuts ears off a counter-clockwise ring, which may touch itself along cuts.
func triangles(w *work.Watch, r ring) []ring {
	var out []ring
	left := slices.Clone(r)
	for len(left) > 2 {
		w.Look()
		n, cut := len(left), -1
		for i := range n {
			a, b, c := left[(i+n-1)%n], left[i], left[(i+1)%n]
			turn := b.minus(a).cross(c.minus(b))
			if turn == 0 {
				cut = i // no area: the corner goes
				break
			}
			if turn > 0 && empty(left, a, b, c) {
				out = append(out, ring{a, b, c})
				cut = i
				break
			}
		}
		if cut < 0 {
			break // lines that cross: what is left has no ear
		}
		left = slices.Delete(left, cut, cut+1)
	}
	return out
}

// empty reports whether no other corner of the ring lies in the triangle or on its side from c to a.
func empty(r ring, a, b, c vector) bool {
	for _, p := range r {
		if p == a || p == b || p == c {
			continue
		}
		if b.minus(a).cross(p.minus(a)) >= 0 && c.minus(b).cross(p.minus(b)) >= 0 && a.minus(c).cross(p.minus(c)) >= 0 {
			return false
		}
	}
	return true
}

// together returns two convex rings with a common edge as one, if that is convex.
func together(a, b ring) (ring, bool) {
	for i, p := range a {
		q := a[(i+1)%len(a)]
		for j, s := range b {
			if s != q || b[(j+1)%len(b)] != p {
				continue
			}
			var m ring
			for k := 1; k <= len(a); k++ {
				m = append(m, a[(i+k)%len(a)]) // from q round to p
			}
			for k := 2; k < len(b); k++ {
				m = append(m, b[(j+k)%len(b)])
			}
			for k := range m {
				x, y, z := m[k], m[(k+1)%len(m)], m[(k+2)%len(m)]
				if y.minus(x).cross(z.minus(y)) < 0 {
					return nil, false
				}
			}
			return m, true
		}
	}
	return nil, false
}

// lowest returns the ring without corners that are none, from its lowest and then leftmost corner.
func lowest(r ring) convex {
	var out ring
	for i, p := range r {
		if b := r[(i+len(r)-1)%len(r)]; p.minus(b).cross(r[(i+1)%len(r)].minus(p)) != 0 {
			out = append(out, p)
		}
	}
	best := 0
	for i, p := range out {
		if p.y < out[best].y || p.y == out[best].y && p.x < out[best].x {
			best = i
		}
	}
	return convex(slices.Concat(out[best:], out[:best]))
}

// sum returns the Minkowski sum of two convex rings, by merging their edges in the order of their directions.
func sum(a, b convex) convex {
	out := convex{a[0].plus(b[0])}
	for i, j := 0, 0; i < len(a) || j < len(b); {
		var d, e vector
		if i < len(a) {
			d = a[(i+1)%len(a)].minus(a[i])
		}
		if j < len(b) {
			e = b[(j+1)%len(b)].minus(b[j])
		}
		turn := d.cross(e)
		switch {
		case j == len(b) || i < len(a) && (half(d) < half(e) || half(d) == half(e) && turn > 0):
			i++
			e = vector{}
		case i == len(a) || half(d) > half(e) || turn < 0:
			j++
			d = vector{}
		default:
			i++
			j++
		}
		out = append(out, out[len(out)-1].plus(d).plus(e))
	}
	return out[:len(out)-1]
}

// half is 0 for directions from right to just before left, 1 for the others: rings that begin at their lowest corner turn through
// these in order.
func half(d vector) int {
	if d.y > 0 || d.y == 0 && d.x > 0 {
		return 0
	}
	return 1
}

// behind returns the piece turned over about the origin.
func behind(c convex) convex {
	out := make(ring, len(c))
	for i, p := range c {
		out[i] = vector{-p.x, -p.y}
	}
	return lowest(out)
}

// octagon holds the circle of radius r about the origin, and no more than 1.09 of it across: half of a side is at least
// r*tan(22.5 degrees).
func octagon(r int64) convex {
	if r == 0 {
		return convex{{0, 0}}
	}
	s := (r*4142136 + 9999999) / 10000000
	return lowest(ring{{-s, -r}, {s, -r}, {r, -s}, {r, s}, {s, r}, {-s, r}, {-r, s}, {-r, -s}})
}
