package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// runs is boxes round the runs of a row of things: round each fan things in a row, each fan such runs in a row, and so
// on. Where neighbours in the row are neighbours in place, what is asked of one place looks at few things, however many
// there are: a hundred of thousands.
type runs struct {
	n     int
	boxes [][]dxf.Box // boxes[k][i] is round the things from i·fan^(k+1) on
}

const fan = 8

// runsOf returns the runs of n things, of which box tells the boxes.
func runsOf(n int, box func(i int) dxf.Box) runs {
	r := runs{n: n}
	if n <= fan {
		return r
	}
	level := make([]dxf.Box, 0, (n+fan-1)/fan)
	for from := 0; from < n; from += fan {
		b := box(from)
		for i := from + 1; i < min(from+fan, n); i++ {
			b = b.Union(box(i))
		}
		level = append(level, b)
	}
	for r.boxes = append(r.boxes, level); len(level) > fan; r.boxes = append(r.boxes, level) {
		up := make([]dxf.Box, 0, (len(level)+fan-1)/fan)
		for from := 0; from < len(level); from += fan {
			b := level[from]
			for _, c := range level[from+1 : min(from+fan, len(level))] {
				b = b.Union(c)
			}
			up = append(up, b)
		}
		level = up
	}
	return r
}

// walk visits the runs from the longest to the single thing; a run is entered only if see says so.
func (r *runs) walk(see func(k, i int) bool, thing func(i int)) { r.down(len(r.boxes), 0, see, thing) }

// down visits what run i of level k consists of; level 0 is the things themselves.
func (r *runs) down(k, i int, see func(k, i int) bool, thing func(i int)) {
	if k == 0 {
		for e := i * fan; e < min((i+1)*fan, r.n); e++ {
			thing(e)
		}
		return
	}
	for c := i * fan; c < min((i+1)*fan, len(r.boxes[k-1])); c++ {
		if see(k-1, c) {
			r.down(k-1, c, see, thing)
		}
	}
}

// span returns the things of a run: from the first to before the last.
func (r *runs) span(k, i int) (from, to int) {
	size := fan
	for range k {
		size *= fan
	}
	return i * size, min((i+1)*size, r.n)
}

// field finds things by place, all known beforehand; finder those that come one by one.
type field struct {
	runs
	watch *work.Watch
	order []int32 // of the things, in strips from left to right and each from below
	box   func(i int) dxf.Box
}

// fieldOf returns the field of n things, of which box tells the boxes.
//
// Source: S. T. Leutenegger, M. A. Lopez, J. Edgington, "STR: A Simple and Efficient Algorithm for R-Tree Packing", Proc.
// 13th Int. Conf. on Data Engineering, 1997, doi:10.1109/ICDE.1997.582015.
func fieldOf(w *work.Watch, n int, box func(i int) dxf.Box) field {
	f := field{watch: w, order: make([]int32, n), box: box}
	x, y := make([]float64, n), make([]float64, n)
	for i := range n {
		f.order[i] = int32(i)
		b := box(i)
		x[i], y[i] = b.Min.X+b.Max.X, b.Min.Y+b.Max.Y
	}
	by := func(order []int32, v []float64) {
		slices.SortFunc(order, func(a, b int32) int {
			w.Step()
			return cmp.Or(cmp.Compare(v[a], v[b]), cmp.Compare(a, b))
		})
	}
	by(f.order, x)
	strip := int(math.Ceil(math.Sqrt(float64(n)/fan))) * fan
	for from := 0; from < n; from += strip {
		by(f.order[from:min(from+strip, n)], y)
	}
	f.runs = runsOf(n, func(i int) dxf.Box { return box(int(f.order[i])) })
	return f
}

// near visits the things whose boxes touch the one given, in no particular order, until visit says false.
func (f *field) near(b dxf.Box, visit func(i int) bool) {
	f.watch.Step()
	on := true
	f.walk(func(k, i int) bool { return on && overlap(f.boxes[k][i], b) }, func(i int) {
		if k := int(f.order[i]); on && overlap(f.box(k), b) {
			on = visit(k)
		}
	})
}

// overlap reports whether two boxes share a point.
func overlap(a, b dxf.Box) bool {
	return a.Min.X <= b.Max.X && a.Max.X >= b.Min.X && a.Min.Y <= b.Max.Y && a.Max.Y >= b.Min.Y
}

// boxIn reports whether one box lies in the other, but for play on every side.
func boxIn(b, o dxf.Box, play float64) bool {
	return b.Min.X >= o.Min.X-play && b.Min.Y >= o.Min.Y-play && b.Max.X <= o.Max.X+play && b.Max.Y <= o.Max.Y+play
}

// grid finds points by cells of one size, where very many lie far apart; they are numbered as they come. Cells that hash
// alike share a chain: what is found must be looked at.
type grid struct {
	watch *work.Watch
	size  float64
	bits  int
	first []int32 // number + 1 of the last point of each chain; 0: none
	next  []int32 // the one before it
}

// newGrid returns a grid for about n points.
func newGrid(w *work.Watch, size float64, n int) *grid {
	bits := 4
	for 1<<bits < n {
		bits++
	}
	return &grid{watch: w, size: size, bits: bits, first: make([]int32, 1<<bits), next: make([]int32, 0, n)}
}

// slot returns the chain of a cell, by multiplicative hashing with odd constants near 2^64 over the golden ratio and its
// square (D. E. Knuth, "The Art of Computer Programming" vol. 3, section 6.4).
func (g *grid) slot(x, y float64) uint64 {
	return (uint64(int64(x))*0x9E3779B97F4A7C15 ^ uint64(int64(y))*0xC2B2AE3D27D4EB4F) * 0x9E3779B97F4A7C15 >> (64 - g.bits)
}

// add adds the next point.
func (g *grid) add(p dxf.XY) {
	s := g.slot(math.Floor(p.X/g.size), math.Floor(p.Y/g.size))
	g.next = append(g.next, g.first[s])
	g.first[s] = int32(len(g.next))
}

// near visits all points within d of p in X and Y, and some others.
func (g *grid) near(p dxf.XY, d float64, visit func(i int)) {
	g.watch.Step()
	x1, y1 := math.Floor((p.X+d)/g.size), math.Floor((p.Y+d)/g.size)
	for x := math.Floor((p.X - d) / g.size); x <= x1; x++ {
		for y := math.Floor((p.Y - d) / g.size); y <= y1; y++ {
			for i := g.first[g.slot(x, y)]; i > 0; i = g.next[i-1] {
				visit(int(i - 1))
			}
		}
	}
}
