package excellon

import (
	"cmp"
	"math"
	"slices"

	"lampblack/export"
	"lampblack/panel/geom"
)

// Bounds of the work that Ordered puts in, so that no input makes it run away: a plain nearest-neighbour tour is
// quadratic, and so is 2-opt at its worst.
const (
	nearestUpTo = 4_000
	improveUpTo = 20_000
	neighbours  = 10
)

// Ordered returns the hits of one tool in an order with a short travel, when the spindle starts at from. Equal points
// stay as often as they were given. The order is the same whatever order they are given in.
//
// Method: nearest neighbour, then 2-opt on an open path with neighbour lists and don't-look bits, until no exchange
// shortens it. Source: G. A. Croes, "A Method for Solving Traveling-Salesman Problems", Operations Research 6(6), 1958,
// doi:10.1287/opre.6.6.791; J. L. Bentley, "Fast Algorithms for Geometric Traveling Salesman Problems", ORSA Journal on
// Computing 4(4), 1992, doi:10.1287/ijoc.4.4.387. We differ: the path is open, its start is fixed, equal gains go to the
// lower index; beyond 4 000 hits the first order is rows run to and fro instead, and beyond 20 000 it stays so.
func Ordered(hits []geom.Pt, from geom.Pt) []geom.Pt {
	pts := slices.Clone(hits)
	slices.SortFunc(pts, func(a, b geom.Pt) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X)) })
	if len(pts) <= nearestUpTo {
		pts = nearest(pts, from)
	} else {
		pts = rows(pts)
	}
	if len(pts) > improveUpTo {
		return pts
	}
	return improved(append([]geom.Pt{from}, pts...))[1:]
}

// Travel returns the way of the spindle between the hits of a drill file, from the origin, tool by tool: in the order
// given, and in the order written. Slots do not count.
func Travel(d export.Drill) (plain, short geom.Nm) {
	var p, s float64
	var pAt, sAt geom.Pt
	for _, t := range sorted(d.Tools) {
		hits := hitsOf(d, t)
		for _, h := range Ordered(hits, sAt) {
			s += sAt.Dist(h)
			sAt = h
		}
		for _, h := range hits {
			p += pAt.Dist(h)
			pAt = h
		}
	}
	return geom.Nm(math.Round(p)), geom.Nm(math.Round(s))
}

// squared returns the exact squared distance, in nm².
func squared(a, b geom.Pt) int64 { d := a.Sub(b); return d.Dot(d) }

func nearest(pts []geom.Pt, from geom.Pt) []geom.Pt {
	rest := slices.Clone(pts)
	out := make([]geom.Pt, 0, len(pts))
	for at := from; len(rest) > 0; {
		best := 0
		for i := range rest {
			if squared(at, rest[i]) < squared(at, rest[best]) {
				best = i
			}
		}
		at = rest[best]
		out = append(out, at)
		rest = slices.Delete(rest, best, best+1)
	}
	return out
}

// rows sorts the points into rows of equal height, run alternately right and left.
func rows(pts []geom.Pt) []geom.Pt {
	box := geom.BoxOf(pts...)
	n := max(1, int64(math.Sqrt(float64(len(pts))/2)))
	height := max(1, int64(box.H())/n+1)
	row := func(p geom.Pt) int64 { return int64(p.Y-box.Min.Y) / height }
	out := slices.Clone(pts)
	slices.SortFunc(out, func(a, b geom.Pt) int {
		x := cmp.Compare(a.X, b.X)
		if row(a)%2 == 1 {
			x = -x
		}
		return cmp.Or(cmp.Compare(row(a), row(b)), x, cmp.Compare(a.Y, b.Y))
	})
	return out
}

// improved shortens the open path p, whose first point stays, by 2-opt.
func improved(p []geom.Pt) []geom.Pt {
	near := neighbourLists(p)
	tour := make([]int32, len(p)) // position → point
	pos := make([]int32, len(p))  // point → position
	for i := range tour {
		tour[i], pos[i] = int32(i), int32(i)
	}
	queue, queued := slices.Clone(tour), make([]bool, len(p))
	for i := range queued {
		queued[i] = true
	}
	for len(queue) > 0 {
		c := queue[0]
		queue = queue[1:]
		queued[c] = false
		i, j := exchange(p, near[c], tour, pos, c)
		if i >= j {
			continue
		}
		ends := []int32{tour[i-1], tour[i], tour[j]}
		if int(j)+1 < len(tour) {
			ends = append(ends, tour[j+1])
		}
		slices.Reverse(tour[i : j+1])
		for k := i; k <= j; k++ {
			pos[tour[k]] = k
		}
		for _, e := range ends {
			if !queued[e] {
				queued[e] = true
				queue = append(queue, e)
			}
		}
	}
	out := make([]geom.Pt, len(p))
	for i, k := range tour {
		out[i] = p[k]
	}
	return out
}

// exchange returns the stretch of the tour whose reversal shortens it most, of those that bring point c next to one of
// its neighbours; i ≥ j when none does.
func exchange(p []geom.Pt, near, tour, pos []int32, c int32) (i, j int32) {
	n := int32(len(tour))
	dist := func(a, b int32) float64 { return p[a].Dist(p[b]) }
	best := -1.0 // gains below a nanometre are rounding
	try := func(a, b int32) {
		// Reversing a..b trades the edges before a and after b.
		if a < 1 || b >= n || a >= b {
			return
		}
		delta := dist(tour[a-1], tour[b]) - dist(tour[a-1], tour[a])
		if b+1 < n {
			delta += dist(tour[a], tour[b+1]) - dist(tour[b], tour[b+1])
		}
		if delta < best {
			best, i, j = delta, a, b
		}
	}
	at := pos[c]
	for _, q := range near {
		to := pos[q]
		lo, hi := min(at, to), max(at, to)
		try(lo+1, hi) // joins their successors and makes them neighbours
		try(lo, hi-1) // the same with their predecessors
	}
	try(at, n-1) // an open end: the path may stop at c
	try(at+1, n-1)
	return i, j
}

// neighbourLists returns the nearest points of each point, nearest first, found in a grid of squares.
func neighbourLists(p []geom.Pt) [][]int32 {
	box := geom.BoxOf(p...)
	cell := geom.Nm(math.Sqrt(float64(box.W()+1)*float64(box.H()+1)*3/float64(len(p)))) + 1
	cell = max(cell, max(box.W(), box.H())/1000+1)
	cols, lines := int(box.W()/cell)+1, int(box.H()/cell)+1
	grid := make([][]int32, cols*lines)
	place := func(q geom.Pt) (int, int) { return int((q.X - box.Min.X) / cell), int((q.Y - box.Min.Y) / cell) }
	for i, q := range p {
		x, y := place(q)
		grid[y*cols+x] = append(grid[y*cols+x], int32(i))
	}
	out := make([][]int32, len(p))
	var found []int32
	for i, q := range p {
		x, y := place(q)
		found = found[:0]
		for v := max(0, y-1); v <= min(lines-1, y+1); v++ {
			for u := max(0, x-1); u <= min(cols-1, x+1); u++ {
				// A crowd in one square would make the lists quadratic.
				found = append(found, grid[v*cols+u][:min(len(grid[v*cols+u]), 64)]...)
			}
		}
		found = slices.DeleteFunc(found, func(k int32) bool { return k == int32(i) })
		slices.SortFunc(found, func(a, b int32) int {
			return cmp.Or(cmp.Compare(squared(q, p[a]), squared(q, p[b])), cmp.Compare(a, b))
		})
		out[i] = slices.Clone(found[:min(neighbours, len(found))])
	}
	return out
}
