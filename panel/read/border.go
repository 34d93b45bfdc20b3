package read

import (
	"math"

	"lampblack/panel/dxf"
)

// border is a polygon whose edges are found by runs of them, since neighbours along it are neighbours in place.
type border struct {
	pts []dxf.XY
	runs
}

func newBorder(pts []dxf.XY) *border {
	b := &border{pts: pts}
	b.runs = runsOf(len(pts), func(i int) dxf.Box {
		from, to := b.edge(i)
		return dxf.EmptyBox().With(from).With(to)
	})
	return b
}

// edge returns an edge.
func (b *border) edge(i int) (from, to dxf.XY) {
	if i+1 == len(b.pts) {
		return b.pts[i], b.pts[0]
	}
	return b.pts[i], b.pts[i+1]
}

// holds reports whether the point lies inside, by the even-odd rule: a run that lies all to the right of it crosses the
// way from it to the right an odd number of times when its ends lie on different sides.
func (b *border) holds(p dxf.XY) bool {
	in := false
	b.walk(func(k, i int) bool {
		box := &b.boxes[k][i]
		switch {
		case p.Y < box.Min.Y, p.Y > box.Max.Y, p.X > box.Max.X:
			return false
		case p.X < box.Min.X:
			from, to := b.span(k, i)
			if (b.pts[from].Y > p.Y) != (b.pts[to%len(b.pts)].Y > p.Y) {
				in = !in
			}
			return false
		}
		return true
	}, func(i int) {
		a, c := b.edge(i)
		if (a.Y > p.Y) != (c.Y > p.Y) && p.X < a.X+(c.X-a.X)*(p.Y-a.Y)/(c.Y-a.Y) {
			in = !in
		}
	})
	return in
}

// distance returns the distance from the point to the nearest edge if that is less than most, else most.
func (b *border) distance(p dxf.XY, most float64) float64 {
	best := most
	b.walk(func(k, i int) bool { return boxDistance(&b.boxes[k][i], p) < best }, func(i int) {
		a, c := b.edge(i)
		best = min(best, segmentDistance(a, c, p))
	})
	return best
}

// meets reports whether hit says so of an edge whose box touches the one given.
func (b *border) meets(box dxf.Box, hit func(a, c dxf.XY) bool) bool {
	met := false
	b.walk(func(k, i int) bool { return !met && overlap(b.boxes[k][i], box) }, func(i int) {
		a, c := b.edge(i)
		if !met && min(a.X, c.X) <= box.Max.X && max(a.X, c.X) >= box.Min.X && min(a.Y, c.Y) <= box.Max.Y && max(a.Y, c.Y) >= box.Min.Y {
			met = hit(a, c)
		}
	})
	return met
}

// boxDistance returns the distance from a point to a box, a hair less: rounding must not hide an edge.
func boxDistance(b *dxf.Box, p dxf.XY) float64 {
	dx := max(b.Min.X-p.X, p.X-b.Max.X, 0)
	dy := max(b.Min.Y-p.Y, p.Y-b.Max.Y, 0)
	if dx == 0 && dy == 0 {
		return 0
	}
	return math.Sqrt(float64(dx*dx)+float64(dy*dy)) * (1 - 1e-12)
}

func segmentDistance(a, b, p dxf.XY) float64 {
	d, w := b.Sub(a), p.Sub(a)
	l2 := d.Dot(d)
	t := 0.0
	if l2 > 0 {
		t = min(1, max(0, d.Dot(w)/l2))
	}
	return p.Dist(a.Add(d.Times(t)))
}
