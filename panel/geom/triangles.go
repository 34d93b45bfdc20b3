package geom

import (
	"cmp"
	"math"
	"slices"
)

// Triangles divides the polygon into counter-clockwise triangles. Their corners are numbers of the points of whole: the outer ring's,
// then those of each hole. Whole is the polygon, its rings run the proper ways, with a point more wherever another ring's corner
// touches an edge. No point is left out, also where the border runs straight: every edge of the border is an edge of one triangle and
// every other edge one of two, so that a solid between two such sheets is closed.
//
// Method: holes are joined to the outer ring by bridges, the leftmost hole first, each from its leftmost point to the nearest point
// left of it that it sees (D. Eberly, "Triangulation by Ear Clipping", Geometric Tools, 2002); then ears are cut (G. H. Meisters,
// "Polygons Have Ears", American Mathematical Monthly 82, 1975, doi:10.2307/2319703). A lattice finds the points in a triangle. All
// decisions are exact. Rings may touch at points, as those of a Region do.
func (p Polygon) Triangles() (whole Polygon, corners [][3]int32) {
	if len(p.Outer) < 3 {
		return Polygon{}, nil
	}
	whole = p.knotted()
	e := ears{}
	for _, r := range (Region{whole}).Rings() {
		e.add(r)
	}
	e.part()
	var leftmost []int32 // of holes
	for _, c := range e.cycles() {
		ring, left := make(Ring, len(c)), c[0]
		for i, n := range c {
			if ring[i] = e.at(n); before(ring[i], e.at(left)) {
				left = n
			}
		}
		if ring.SignedArea2() < 0 {
			leftmost = append(leftmost, left)
		} else {
			e.loop = append(e.loop, c...)
		}
	}
	slices.SortStableFunc(leftmost, func(a, b int32) int {
		u, v := e.at(a), e.at(b)
		return cmp.Or(cmp.Compare(u.X, v.X), cmp.Compare(u.Y, v.Y))
	})
	for _, m := range leftmost {
		e.bridge(m)
	}
	e.lattice()
	e.gone = make([]bool, len(e.node))
	for _, c := range e.cycles() {
		e.cut(c[0], len(c))
	}
	return whole, e.out
}

// knotted returns the polygon with its rings run the proper ways, holes without area left out, and a point more wherever a corner lies
// on an edge.
func (p Polygon) knotted() Polygon {
	out := Polygon{Outer: p.Outer.Oriented(CCW)}
	all := slices.Clone(out.Outer)
	for _, h := range p.Holes {
		if len(h) > 2 && h.SignedArea2() != 0 {
			out.Holes = append(out.Holes, h.Oriented(CW))
			all = append(all, h...)
		}
	}
	slices.SortFunc(all, func(a, b Pt) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	all = slices.Compact(all)
	out.Outer = out.Outer.knotted(all)
	for i, h := range out.Holes {
		out.Holes[i] = h.knotted(all)
	}
	return out
}

// knotted returns the ring with those of the points that lie on its edges; they are sorted by X.
func (r Ring) knotted(all []Pt) Ring {
	out := make(Ring, 0, len(r))
	for i, a := range r {
		b := r[(i+1)%len(r)]
		out = append(out, a)
		from, _ := slices.BinarySearchFunc(all, min(a.X, b.X), func(q Pt, x Nm) int { return cmp.Compare(q.X, x) })
		first := len(out)
		for _, q := range all[from:] {
			if q.X > max(a.X, b.X) {
				break
			}
			if q.Y >= min(a.Y, b.Y) && q.Y <= max(a.Y, b.Y) && q != a && q != b && Orient(a, b, q) == Collinear {
				out = append(out, q)
			}
		}
		slices.SortFunc(out[first:], func(u, v Pt) int { return cmp.Compare(u.Sub(a).Dot(u.Sub(a)), v.Sub(a).Dot(v.Sub(a))) })
	}
	return out
}

// ears is a polygon that is being cut: a ring of nodes, each at a point; bridges have two nodes at both ends.
type ears struct {
	pts        []Pt
	node       []int32 // its point
	prev, next []int32
	loop       []int32 // nodes that are joined to the outer ring
	gone       []bool
	out        [][3]int32

	grid  [][]int32 // nodes by place
	box   Box
	cells int
	cellW Nm
	cellH Nm
}

func before(a, b Pt) bool { return a.X < b.X || a.X == b.X && a.Y < b.Y }

func (e *ears) at(n int32) Pt { return e.pts[e.node[n]] }

// add adds a ring.
func (e *ears) add(r Ring) {
	first, n := int32(len(e.pts)), int32(len(r))
	for i := range n {
		e.node = append(e.node, first+i)
		e.prev = append(e.prev, first+(i+n-1)%n)
		e.next = append(e.next, first+(i+1)%n)
	}
	e.pts = append(e.pts, r...)
}

// part joins and parts rings where they touch, so that what lies between the two edges of a node is all inside: an edge that leaves a
// point follows the next one that comes there, counter-clockwise.
func (e *ears) part() {
	order := make([]int32, len(e.node))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(m, n int32) int {
		a, b := e.at(m), e.at(n)
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(m, n))
	})
	type ray struct {
		Vec
		to    int32
		comes bool
	}
	for i := 0; i < len(order); {
		k := i + 1
		for k < len(order) && e.at(order[k]) == e.at(order[i]) {
			k++
		}
		if group := order[i:k]; len(group) > 1 {
			var rays []ray
			for _, n := range group {
				rays = append(rays, ray{e.at(e.next[n]).Sub(e.at(n)), e.next[n], false}, ray{e.at(e.prev[n]).Sub(e.at(n)), e.prev[n], true})
			}
			slices.SortStableFunc(rays, func(a, b ray) int {
				return cmp.Or(cmp.Compare(half(a.Vec), half(b.Vec)), cmp.Compare(0, a.Cross(b.Vec)))
			})
			at := 0
			for r, leaves := range rays {
				if leaves.comes {
					continue
				}
				for s := 1; s < len(rays); s++ {
					if comes := &rays[(r+s)%len(rays)]; comes.comes && comes.to >= 0 {
						n := group[at]
						at++
						e.next[n], e.prev[n] = leaves.to, comes.to
						e.prev[leaves.to], e.next[comes.to] = n, n
						comes.to = -1
						break
					}
				}
			}
		}
		i = k
	}
}

// half returns in which half of the turn a direction lies: from the right upward, or from the left downward.
func half(v Vec) int {
	if v.Y > 0 || v.Y == 0 && v.X > 0 {
		return 0
	}
	return 1
}

// cycles returns the nodes of each ring.
func (e *ears) cycles() [][]int32 {
	seen := make([]bool, len(e.node))
	var out [][]int32
	for first := range int32(len(e.node)) {
		var c []int32
		for n := first; !seen[n]; n = e.next[n] {
			seen[n], c = true, append(c, n)
		}
		if len(c) > 0 {
			out = append(out, c)
		}
	}
	return out
}

// bridge joins a hole to the outer ring, from its leftmost node.
func (e *ears) bridge(m int32) {
	at := e.at(m)
	tried := make(map[int32]bool)
	v := int32(-1)
	for {
		best, near := int32(-1), int64(math.MaxInt64)
		for _, n := range e.loop {
			if q := e.at(n); before(q, at) {
				if d := q.Sub(at); d.Dot(d) < near && !tried[n] && e.looks(n, at) {
					best, near = n, d.Dot(d)
				}
			}
		}
		if best < 0 {
			break
		}
		if v = best; e.sees(best, at) {
			break
		}
		tried[best] = true
	}
	for i, n := m, true; n || i != m; i, n = e.next[i], false {
		e.loop = append(e.loop, i)
	}
	if v < 0 {
		return // no hole of a polygon lies so
	}
	v2, m2 := int32(len(e.node)), int32(len(e.node)+1)
	e.node = append(e.node, e.node[v], e.node[m])
	e.prev = append(e.prev, m2, e.prev[m])
	e.next = append(e.next, e.next[v], v2)
	e.prev[e.next[v]], e.next[e.prev[m]] = v2, m2
	e.next[v], e.prev[m] = m, v
	e.loop = append(e.loop, v2, m2)
}

// looks reports whether a way from node n to q begins inside.
func (e *ears) looks(n int32, q Pt) bool {
	a, v, b := e.at(e.prev[n]), e.at(n), e.at(e.next[n])
	if Orient(a, v, b) == CW {
		return Orient(a, v, q) == CCW || Orient(v, b, q) == CCW
	}
	return Orient(a, v, q) == CCW && Orient(v, b, q) == CCW
}

// sees reports whether nothing lies between node n and q.
func (e *ears) sees(n int32, q Pt) bool {
	v := e.at(n)
	box := BoxOf(v, q)
	for _, k := range e.loop {
		s, t := e.at(k), e.at(e.next[k])
		if !box.Touches(BoxOf(s, t)) {
			continue
		}
		side := Orient(v, q, s)
		if side == Collinear && s != v && s != q && box.Contains(s) {
			return false
		}
		if s == v || t == v || side*Orient(v, q, t) >= 0 {
			continue
		}
		if Orient(s, t, v)*Orient(s, t, q) < 0 {
			return false
		}
	}
	return true
}

// lattice sorts the nodes by place.
func (e *ears) lattice() {
	e.box = BoxOf(e.pts...)
	e.cells = max(1, int(math.Sqrt(float64(len(e.loop)))))
	e.cellW, e.cellH = e.box.W()/Nm(e.cells)+1, e.box.H()/Nm(e.cells)+1
	e.grid = make([][]int32, e.cells*e.cells)
	for _, n := range e.loop {
		x, y := e.cell(e.at(n))
		e.grid[y*e.cells+x] = append(e.grid[y*e.cells+x], n)
	}
}

func (e *ears) cell(p Pt) (x, y int) {
	return int((p.X - e.box.Min.X) / e.cellW), int((p.Y - e.box.Min.Y) / e.cellH)
}

// How much an ear may have within: nothing, something on its edges, anything. The first does for every polygon; the others end the
// search for what is none.
const (
	clean = iota
	touched
	forced
	hopeless
)

// cut cuts ears off a ring of so many nodes until nothing is left.
func (e *ears) cut(n int32, left int) {
	idle, how := 0, clean
	for left > 2 {
		a, c := e.prev[n], e.next[n]
		switch {
		case e.at(a) == e.at(n), e.at(a) == e.at(c): // two nodes at one point, or a bridge that was gone along both ways
			e.drop(n)
		case how == hopeless:
			e.drop(n)
		case e.ear(a, n, c, how):
			e.out = append(e.out, [3]int32{e.node[a], e.node[n], e.node[c]})
			e.drop(n)
		default:
			n = c
			if idle++; idle > left {
				idle, how = 0, how+1
			}
			continue
		}
		left--
		idle, how = 0, clean
		n = e.next[c]
	}
}

func (e *ears) drop(n int32) {
	e.next[e.prev[n]], e.prev[e.next[n]], e.gone[n] = e.next[n], e.prev[n], true
}

// ear reports whether the triangle can be cut off.
func (e *ears) ear(na, nb, nc int32, how int) bool {
	a, b, c := e.at(na), e.at(nb), e.at(nc)
	if Orient(a, b, c) != CCW {
		return false
	}
	if how == forced {
		return true
	}
	box := BoxOf(a, b, c)
	x0, y0 := e.cell(box.Min)
	x1, y1 := e.cell(box.Max)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for _, k := range e.grid[y*e.cells+x] {
				q := e.at(k)
				if e.gone[k] || q == a || q == b || q == c || !box.Contains(q) {
					continue
				}
				u, v, w := Orient(a, b, q), Orient(b, c, q), Orient(c, a, q)
				if u == CCW && v == CCW && w == CCW || how == clean && u != CW && v != CW && w != CW {
					return false
				}
			}
		}
	}
	return true
}
