// Package group shares the LEDs of a panel out to strings: which LEDs are in one string, and in which order.
//
// In go points in the panel's frame, out come paths through them; a hop that crosses an opening or a body costs the way round.
package group

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Wanted are paths through given points, their numbers of points given up to one, with little length in all. Method:
//
//  1. a short tour of all points: order along a Hilbert curve, improved by 2-opt and or-opt moves among near neighbours
//     (Bentley, "Fast Algorithms for Geometric Traveling Salesman Problems", ORSA J. Computing 4(4), 1992);
//  2. the tour cut at its best places into pieces of the sizes wanted, exactly, by dynamic programming;
//  3. pairs, then triples, of neighbouring strings taken together and cut anew exactly (Held and Karp's recursion over
//     subsets, J. SIAM 10(1), 1962, then every split), until no pair or triple gives anything; strings too long for
//     that exchange LEDs and ends instead.
//
// Every step has a bound on its work that depends on the input alone, never on a clock.

// metric gives the length of a hop between two points, in nanometres.
type metric func(i, j int) int64

// straight is the metric of straight hops.
func straight(pts []geom.Pt) metric {
	return func(i, j int) int64 { return int64(math.Round(pts[i].Dist(pts[j]))) }
}

// Strings splits the points into paths of at most longest points: as few as can be, their sizes differing by one at most.
// blocks are areas that a hop does not cross without a detour. It looks at the watch every some thousand hops.
func Strings(w *work.Watch, pts []geom.Pt, longest int, blocks []Block) [][]int {
	n := len(pts)
	if n == 0 {
		return nil
	}
	longest = min(max(longest, 1), n)
	count := (n + longest - 1) / longest
	size, big := n/count, n%count // big strings have size+1
	near := neighbours(pts, 10)
	length := around(pts, blocks)
	hop := func(i, j int) int64 {
		w.Step()
		return length(i, j)
	}
	tour := improveTour(hilbertOrder(pts), near, hop)
	paths := cutTour(tour, size, count, big, hop)
	for i := range paths {
		paths[i] = improvePath(paths[i], hop)
	}
	if count > 1 && size+min(big, 1) > 1 {
		paths = exchange(paths, near, hop)
	}
	for i := range paths {
		paths[i] = headFirst(paths[i], pts)
	}
	return ReadingOrder(paths, pts)
}

// headFirst turns the path so that its head, where the resistor joins, is the left end, or the upper of two in line.
func headFirst(path []int, pts []geom.Pt) []int {
	a, b := pts[path[0]], pts[path[len(path)-1]]
	if b.X < a.X || b.X == a.X && b.Y > a.Y {
		slices.Reverse(path)
	}
	return path
}

// rowHeight is how far string centres may lie apart in height and still count as one row.
const rowHeight = 8 * geom.Millimetre

// ReadingOrder sorts paths by rows from the top, and in a row from the left.
func ReadingOrder(paths [][]int, pts []geom.Pt) [][]int {
	type at struct {
		path   []int
		centre geom.Pt
		row    int
	}
	list := make([]at, len(paths))
	for i, p := range paths {
		box := geom.EmptyBox()
		for _, q := range p {
			box = box.With(pts[q])
		}
		list[i] = at{path: p, centre: box.Centre()}
	}
	slices.SortFunc(list, func(a, b at) int {
		return cmp.Or(cmp.Compare(b.centre.Y, a.centre.Y), cmp.Compare(a.centre.X, b.centre.X), cmp.Compare(a.path[0], b.path[0]))
	})
	for i := range list {
		if i > 0 {
			list[i].row = list[i-1].row
			if top := slices.IndexFunc(list[:i], func(a at) bool { return a.row == list[i].row }); list[top].centre.Y-list[i].centre.Y > rowHeight {
				list[i].row++
			}
		}
	}
	slices.SortStableFunc(list, func(a, b at) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.centre.X, b.centre.X))
	})
	out := make([][]int, len(list))
	for i := range list {
		out[i] = list[i].path
	}
	return out
}

// neighbours returns for each point its k nearest others, nearest first, found in a grid of about two points a cell.
func neighbours(pts []geom.Pt, k int) [][]int {
	n := len(pts)
	k = min(k, n-1)
	out := make([][]int, n)
	if k <= 0 {
		return out
	}
	box := geom.BoxOf(pts...)
	w, h := float64(box.W())+1, float64(box.H())+1
	cell := max(math.Sqrt(float64(w*h)*2/float64(n)), max(w, h)/float64(2*n+1), 1)
	cols, rows := int(w/cell)+1, int(h/cell)+1
	grid := make([][]int, cols*rows)
	where := func(p geom.Pt) (x, y int) {
		return int(float64(p.X-box.Min.X) / cell), int(float64(p.Y-box.Min.Y) / cell)
	}
	for i, p := range pts {
		x, y := where(p)
		grid[y*cols+x] = append(grid[y*cols+x], i)
	}
	type cand struct {
		i int
		d int64
	}
	var found []cand
	for i, p := range pts {
		found = found[:0]
		cx, cy := where(p)
		for r := 0; r <= max(cols, rows); r++ {
			for y := max(cy-r, 0); y <= min(cy+r, rows-1); y++ {
				step := 2 * r
				if y == cy-r || y == cy+r || r == 0 {
					step = 1
				}
				for x := cx - r; x <= cx+r; x += step {
					if x < 0 || x >= cols {
						continue
					}
					for _, j := range grid[y*cols+x] {
						if j != i {
							v := pts[j].Sub(p)
							found = append(found, cand{j, v.Dot(v)})
						}
					}
				}
			}
			slices.SortFunc(found, func(a, b cand) int { return cmp.Or(cmp.Compare(a.d, b.d), cmp.Compare(a.i, b.i)) })
			// Everything within r cells has been seen.
			if len(found) >= k && math.Sqrt(float64(found[k-1].d)) <= float64(r)*cell {
				break
			}
		}
		for _, c := range found[:min(k, len(found))] {
			out[i] = append(out[i], c.i)
		}
	}
	return out
}

// hilbertOrder returns the points in the order of a Hilbert curve over their box.
func hilbertOrder(pts []geom.Pt) []int {
	box := geom.BoxOf(pts...)
	side := max(box.W(), box.H(), 1)
	const bits = 15
	key := make([]uint64, len(pts))
	order := make([]int, len(pts))
	for i, p := range pts {
		x := uint64(int64(p.X-box.Min.X) * (1<<bits - 1) / int64(side))
		y := uint64(int64(p.Y-box.Min.Y) * (1<<bits - 1) / int64(side))
		key[i], order[i] = hilbert(x, y, bits), i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(key[a], key[b]), cmp.Compare(a, b)) })
	return order
}

// hilbert returns the distance along the curve to the cell (x, y).
func hilbert(x, y uint64, bits int) uint64 {
	d := uint64(0)
	for s := uint64(1) << (bits - 1); s > 0; s >>= 1 {
		rx, ry := x/s&1, y/s&1
		d += s * s * (3*rx ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = s-1-x&(s-1), s-1-y&(s-1)
			}
			x, y = y, x
		}
		x, y = x&(s-1), y&(s-1)
	}
	return d
}
