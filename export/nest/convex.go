package nest

import (
	"cmp"
	"math"
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

// quarter returns the vector turned about the origin by quarters, counter-clockwise.
func (a vector) quarter(n int) vector {
	switch n & 3 {
	case 1:
		return vector{-a.y, a.x}
	case 2:
		return vector{-a.x, -a.y}
	case 3:
		return vector{a.y, -a.x}
	}
	return a
}

// compare orders places from below, then from the left.
func (a vector) compare(b vector) int { return cmp.Or(cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x)) }

// corners returns the corners of a box turned about the origin by quarters, rounded away from it.
func corners(b geom.Box, quarters int) (lo, hi vector) {
	down := func(v geom.Nm) int64 { return floorDiv(int64(v), int64(micron)) }
	p := vector{down(b.Min.X), down(b.Min.Y)}.quarter(quarters)
	q := vector{-down(-b.Max.X), -down(-b.Max.Y)}.quarter(quarters)
	return vector{min(p.x, q.x), min(p.y, q.y)}, vector{max(p.x, q.x), max(p.y, q.y)}
}

// inMicrons returns the ring in micrometres, counter-clockwise and without doubled corners, and whether it had to be rounded.
func inMicrons(r geom.Ring) (out ring, rounded bool) {
	for _, p := range r {
		q := vector{nearest(p.X), nearest(p.Y)}
		rounded = rounded || geom.Nm(q.x)*micron != p.X || geom.Nm(q.y)*micron != p.Y
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
	return out, rounded
}

// nearest returns a length in micrometres.
func nearest(v geom.Nm) int64 { return floorDiv(int64(v+micron/2), int64(micron)) }

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

// mostPieces and mostCorners bound what a part may be made of: masks take time that grows with the square of the first.
const (
	mostPieces  = 64
	mostCorners = 400
)

// covering returns convex pieces such that the shape lies within slack of their union: as few as are exact, or within 20 um, or else
// within more. Of a shape that is too odd for that windows count as filled, and of one that is too odd even so all of its box.
func covering(w *work.Watch, shape geom.Region) (out []convex, slack int64) {
	filled := make(geom.Region, len(shape))
	for i, p := range shape {
		filled[i].Outer = p.Outer
	}
	for _, g := range []geom.Region{shape, filled} {
		for _, tolerance := range []int64{0, 20, 50, 100, 200, 500} {
			if out, slack = rough(w, g, tolerance); len(out) > 0 {
				return out, slack
			}
		}
	}
	lo, hi := corners(shape.Box(), 0)
	return []convex{{lo, {hi.x, lo.y}, hi, {lo.x, hi.y}}}, 0
}

// rough is covering with one tolerance; nothing where that takes too much.
func rough(w *work.Watch, shape geom.Region, tolerance int64) (out []convex, slack int64) {
	left := mostCorners
	less := func(r geom.Ring) ring {
		s, rounded := inMicrons(r)
		s, off := s.simpler(w, tolerance)
		if rounded {
			off++ // half of it to each side, and across
		}
		slack = max(slack, off)
		left -= len(s)
		return s
	}
	for _, p := range shape {
		outer := less(p.Outer)
		var holes []ring
		for _, h := range p.Holes {
			if r := less(h); len(r) > 2 {
				holes = append(holes, r)
			}
		}
		if len(outer) < 3 || left < 0 {
			return nil, 0
		}
		more, ok := pieces(w, outer, holes)
		if out = append(out, more...); !ok || len(out) > mostPieces {
			return nil, 0
		}
	}
	return out, slack
}

// simpler leaves out corners that lie no farther than tolerance from the line without them (Douglas, Peucker, Cartographica 10(2)
// (1973) 112), and returns how far the farthest lies.
func (r ring) simpler(w *work.Watch, tolerance int64) (out ring, off int64) {
	if len(r) < 4 {
		return r, 0
	}
	start, far := 0, 0
	for i, p := range r {
		if p.compare(r[start]) < 0 {
			start = i
		}
	}
	r = slices.Concat(r[start:], r[:start])
	for i, p := range r {
		if far2(p, r[0]) > far2(r[far], r[0]) {
			far = i
		}
	}
	keep := make([]bool, len(r))
	keep[0], keep[far] = true, true
	type span struct{ from, to int } // to may be len(r), the first corner again
	for open := []span{{0, far}, {far, len(r)}}; len(open) > 0; {
		w.Look()
		s := open[len(open)-1]
		open = open[:len(open)-1]
		most, at := int64(0), -1
		for i := s.from + 1; i < s.to; i++ {
			if d := distance(r[i], r[s.from], r[s.to%len(r)]); d > most {
				most, at = d, i
			}
		}
		if most <= tolerance {
			off = max(off, most)
			continue
		}
		keep[at] = true
		open = append(open, span{s.from, at}, span{at, s.to})
	}
	for i, p := range r {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out, off
}

// distance returns how far p is from the line between a and b, rounded up.
func distance(p, a, b vector) int64 {
	d, v := b.minus(a), p.minus(a)
	along, all := d.x*v.x+d.y*v.y, d.x*d.x+d.y*d.y
	switch {
	case along <= 0:
		return root(far2(p, a)) + 1
	case along >= all:
		return root(far2(p, b)) + 1
	}
	across := d.cross(v)
	if across < 0 {
		across = -across
	}
	if across == 0 {
		return 0
	}
	return across/root(all) + 1
}

// root is the square root, rounded down: the processor's is exact to the last bit wherever it matters here.
func root(v int64) int64 {
	r := int64(math.Sqrt(float64(v)))
	for r*r > v {
		r--
	}
	for (r+1)*(r+1) <= v {
		r++
	}
	return r
}

// pieces returns convex pieces whose union is what is within outer and in no window: triangles by clipping ears (Meisters 1975),
// after windows are joined to the outline by a cut each, put together again as long as they stay convex (Hertel, Mehlhorn
// 1983). ok is false where they do not make it up, as of lines that cross.
func pieces(w *work.Watch, outer ring, windows []ring) (out []convex, ok bool) {
	whole := joined(outer, windows)
	tri := triangles(w, whole)
	area := int64(0)
	for _, t := range tri {
		area += t.area2()
	}
	if len(tri) == 0 || area != whole.area2() {
		return nil, false
	}
	sound := true
	owner := map[[2]vector]int{} // of the edge from one corner to the next
	own := func(i int) {
		for k, p := range tri[i] {
			owner[[2]vector{p, tri[i][(k+1)%len(tri[i])]}] = i
		}
	}
	for i := range tri {
		own(i)
	}
	for i := range tri {
		for k := 0; k < len(tri[i]); k++ {
			w.Look()
			p, q := tri[i][k], tri[i][(k+1)%len(tri[i])]
			j, found := owner[[2]vector{q, p}]
			if !found || j == i {
				continue
			}
			if m, ok := together(tri[i], tri[j]); ok {
				tri[i], tri[j] = m, nil
				own(i)
				k = -1
			}
		}
	}
	for _, t := range tri {
		if t != nil {
			c := lowest(t)
			out = append(out, c)
			area -= ring(c).area2()
			sound = sound && c.sound()
		}
	}
	return out, sound && area == 0
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
			before, after := out[(i+len(out)-1)%len(out)], out[(i+1)%len(out)]
			if within(before, p, after, h[m]) && sees(out, h[m], p) && sees(h, h[m], p) && !slices.ContainsFunc(left[k+1:], func(o ring) bool { return !sees(o, h[m], p) }) {
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

// within reports whether v lies in the angle of a counter-clockwise ring at its corner p: where a corner stands in a ring more than
// once, one of them has that side.
func within(before, p, after, v vector) bool {
	in, out, to := p.minus(before), after.minus(p), v.minus(p)
	left, right := in.cross(to) > 0, out.cross(to) > 0
	if in.cross(out) > 0 {
		return left && right
	}
	return left || right
}

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
	out := slices.Clone(r)
	for i := 0; i < len(out) && len(out) > 2; {
		n := len(out)
		if p := out[i]; p.minus(out[(i+n-1)%n]).cross(out[(i+1)%n].minus(p)) != 0 {
			i++
			continue
		}
		out = slices.Delete(out, i, i+1)
		i = max(0, i-1) // the one before may be none now
	}
	best := 0
	for i, p := range out {
		if p.compare(out[best]) < 0 {
			best = i
		}
	}
	return convex(slices.Concat(out[best:], out[:best]))
}

// sound reports whether the ring is what a convex is.
func (c convex) sound() bool {
	for i, p := range c {
		q := c[(i+1)%len(c)]
		if q.minus(p).cross(c[(i+2)%len(c)].minus(q)) <= 0 {
			return false
		}
	}
	return len(c) > 2
}

// sum returns the Minkowski sum of two convex rings, by merging their edges in the order of their directions.
func sum(a, b convex) convex {
	out := append(make(convex, 0, 1+len(a)+len(b)), a[0].plus(b[0]))
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
