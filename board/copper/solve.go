package copper

import (
	"slices"

	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// join is a plated hole: a conductor from layer to layer.
type join struct {
	at      geom.Pt
	r       geom.Nm
	squares float64 // its resistance over that of a square of the sheet
}

// link is a conductor between two nodes, in squares⁻¹.
type link struct {
	a, b int32
	g    float64
}

// Nodes that stand for the electrodes.
const (
	held0 int32 = -1
	held1 int32 = -2
)

// solve returns the resistance between the electrodes, in squares of the sheet: 1 over the heat at 1 V. ok is false when no
// copper joins them.
func (g *grid) solve(w *work.Watch, joins []join, ends [2]electrode) (squares float64, ok bool) {
	node, n := g.nodes(ends)
	links := g.links(node, ends)
	for _, j := range joins {
		links = g.through(links, node, j)
	}
	if !joined(n, links) {
		return 0, false
	}
	m := newMatrix(n, links)
	v := m.solve(w, 1e-4)
	at := func(k int32) float64 {
		switch k {
		case held0:
			return 0
		case held1:
			return 1
		}
		return v[k]
	}
	heat := 0.0
	for _, l := range links {
		d := at(l.a) - at(l.b)
		heat += float64(float64(l.g*d) * d)
	}
	return 1 / heat, heat > 0
}

// joined reports whether the links join the electrodes.
func joined(n int, links []link) bool {
	// The electrodes, which have negative numbers, follow behind the nodes.
	sets := disjoint.New(n + 2)
	at := func(k int32) int {
		if k < 0 {
			return n - 1 - int(k)
		}
		return int(k)
	}
	for _, l := range links {
		sets.Join(at(l.a), at(l.b))
	}
	return sets.Joined(at(held0), at(held1))
}

// nodes numbers the cells that touch copper, by side, row and column; cells whose middle lies in an electrode are held. An
// electrode smaller than a cell holds the one it is in.
func (g *grid) nodes(ends [2]electrode) (node [2][]int32, n int) {
	const none int32 = -3
	for side := range node {
		node[side] = make([]int32, g.nx*g.ny)
		for k := range node[side] {
			node[side][k] = none
			i := k % g.nx
			if g.right[side][k] > 0 || g.up[side][k] > 0 || i > 0 && g.right[side][k-1] > 0 || k >= g.nx && g.up[side][k-g.nx] > 0 {
				node[side][k] = int32(n)
				n++
			}
		}
		for e, end := range ends {
			if !end.on[side] {
				continue
			}
			held := int32(-1 - e)
			i0, j0 := g.cellOf(end.box.Min)
			i1, j1 := g.cellOf(end.box.Max)
			any := false
			for j := j0; j <= j1; j++ {
				for i := i0; i <= i1; i++ {
					if end.holds(g.centre(i, j)) {
						node[side][j*g.nx+i], any = held, true
					}
				}
			}
			if !any {
				i, j := g.cellOf(end.box.Centre())
				node[side][j*g.nx+i] = held
			}
		}
	}
	// Held cells leave gaps in the numbers.
	n = 0
	for side := range node {
		for k, v := range node[side] {
			if v >= 0 {
				node[side][k] = int32(n)
				n++
			}
		}
	}
	return node, n
}

// links returns the conductors within the layers. Next to an electrode the way is not from middle to middle but ends at the
// electrode's edge.
func (g *grid) links(node [2][]int32, ends [2]electrode) []link {
	var out []link
	for side := range node {
		for k, a := range node[side] {
			i, j := k%g.nx, k/g.nx
			if p := g.right[side][k]; p > 0 && i+1 < g.nx {
				out = g.link(out, a, node[side][k+1], float64(p), g.centre(i, j), g.centre(i+1, j), ends)
			}
			if p := g.up[side][k]; p > 0 && j+1 < g.ny {
				out = g.link(out, a, node[side][k+g.nx], float64(p), g.centre(i, j), g.centre(i, j+1), ends)
			}
		}
	}
	return out
}

func (g *grid) link(out []link, a, b int32, part float64, p, q geom.Pt, ends [2]electrode) []link {
	if a < 0 && a == b {
		return out
	}
	way := 1.0
	if a < 0 && b >= 0 {
		way = outside(ends[-1-a], q, p)
	}
	if b < 0 && a >= 0 {
		way = outside(ends[-1-b], p, q)
	}
	return append(out, link{a, b, part / way})
}

// outside returns how much of the way from p to q, the middle of a held cell, lies outside the electrode, at least a tenth. An
// electrode smaller than its cell may not hold q.
func outside(e electrode, p, q geom.Pt) float64 {
	if !e.holds(q) {
		return 1
	}
	lo, hi := 0.0, 1.0
	for range 12 {
		t := (lo + hi) / 2
		m := geom.Pt{X: p.X + geom.Nm(t*float64(q.X-p.X)), Y: p.Y + geom.Nm(t*float64(q.Y-p.Y))}
		if e.holds(m) {
			hi = t
		} else {
			lo = t
		}
	}
	const least = 0.1
	return max(least, hi)
}

// through adds a plated hole: a conductor shared out over the cells whose middle it holds, at least the one it is in.
func (g *grid) through(out []link, node [2][]int32, j join) []link {
	lo := geom.Pt{X: j.at.X - j.r, Y: j.at.Y - j.r}
	hi := geom.Pt{X: j.at.X + j.r, Y: j.at.Y + j.r}
	i0, j0 := g.cellOf(lo)
	i1, j1 := g.cellOf(hi)
	var cells []int
	add := func(i, k int) {
		c := k*g.nx + i
		if a, b := node[geom.Top][c], node[geom.Bottom][c]; a >= held1 && b >= held1 && !slices.Contains(cells, c) {
			cells = append(cells, c)
		}
	}
	for k := j0; k <= j1; k++ {
		for i := i0; i <= i1; i++ {
			if g.centre(i, k).Dist(j.at) <= float64(j.r) {
				add(i, k)
			}
		}
	}
	if len(cells) == 0 {
		add(g.cellOf(j.at))
	}
	for _, c := range cells {
		a, b := node[geom.Top][c], node[geom.Bottom][c]
		if a < 0 && b < 0 {
			continue
		}
		out = append(out, link{a, b, 1 / (j.squares * float64(len(cells)))})
	}
	return out
}
