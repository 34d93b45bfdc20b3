package read

import (
	"math"

	"lampblack/panel/dxf"
)

// border is a polygon with boxes round its runs of edges: round each fan edges in a row, each fan such runs in a row, and
// so on. Neighbours along the edge are neighbours in place, so that what is asked of one place looks at few edges,
// however many there are: a hundred for thousands.
type border struct {
	pts   []dxf.XY
	boxes [][]dxf.Box // boxes[k][i] is round the edges from i·fan^(k+1) on
}

const fan = 8

func newBorder(pts []dxf.XY) *border {
	b := &border{pts: pts}
	n := len(pts)
	if n <= fan {
		return b
	}
	level := make([]dxf.Box, 0, n/fan+1)
	for from := 0; from < n; from += fan {
		box := dxf.EmptyBox()
		for i := from; i <= min(from+fan, n); i++ {
			box = box.With(pts[i%n])
		}
		level = append(level, box)
	}
	for b.boxes = append(b.boxes, level); len(level) > fan; b.boxes = append(b.boxes, level) {
		var up []dxf.Box
		for from := 0; from < len(level); from += fan {
			box := level[from]
			for _, c := range level[from+1 : min(from+fan, len(level))] {
				box = box.Union(c)
			}
			up = append(up, box)
		}
		level = up
	}
	return b
}

// edge returns an edge.
func (b *border) edge(i int) (from, to dxf.XY) {
	if i+1 == len(b.pts) {
		return b.pts[i], b.pts[0]
	}
	return b.pts[i], b.pts[i+1]
}

// walk visits the runs from the longest to the single edge. With see, a run is entered only if it says so.
func (b *border) walk(see func(k, i int) bool, edge func(i int)) { b.down(len(b.boxes), 0, see, edge) }

// down visits what run i of level k consists of; level 0 is the edges themselves.
func (b *border) down(k, i int, see func(k, i int) bool, edge func(i int)) {
	if k == 0 {
		for e := i * fan; e < min((i+1)*fan, len(b.pts)); e++ {
			edge(e)
		}
		return
	}
	level := b.boxes[k-1]
	for c := i * fan; c < min((i+1)*fan, len(level)); c++ {
		if see(k-1, c) {
			b.down(k-1, c, see, edge)
		}
	}
}

// ends returns the points between which a run goes.
func (b *border) ends(k, i int) (from, to dxf.XY) {
	size := fan
	for range k {
		size *= fan
	}
	return b.pts[i*size], b.pts[min((i+1)*size, len(b.pts))%len(b.pts)]
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
			from, to := b.ends(k, i)
			if (from.Y > p.Y) != (to.Y > p.Y) {
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

// overlap reports whether two boxes share a point.
func overlap(a, b dxf.Box) bool {
	return a.Min.X <= b.Max.X && a.Max.X >= b.Min.X && a.Min.Y <= b.Max.Y && a.Max.Y >= b.Min.Y
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
