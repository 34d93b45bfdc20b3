package read

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"lampblack/panel/disjoint"
	"lampblack/panel/dxf"
)

// maxSplits bounds the ends that are looked at for T-junctions: a drawing with more of them is not a panel with a
// few sloppy corners.
const maxSplits = 5000

// split divides pieces where a loose end lies on them, within snap, so that T-junctions become nodes; and, in networks
// that have loose ends or branch, where any end does, so that pieces that overlap each other on one line or arc come out
// in equal parts, of which the duplicates are dropped. With cross, pieces that end loosely are divided where they cross
// each other too, if that closes something. A loose end that runs along another piece, no farther from it than the gaps that
// are closed by themselves or tol, mm, lies on it too. ok is false when there is nothing to divide.
func (g *net) split(cross bool, tol float64) (out []piece, ok bool) {
	nodes, free := g.suspects()
	if len(nodes) == 0 {
		return nil, false
	}
	var tree rtree.RTreeG[int]
	var edges []placed
	for i := range g.ps {
		if g.dead[i] {
			continue
		}
		g.watch.Step()
		for k, e := range g.ps[i].path.Edges() {
			b := e.Box()
			tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, len(edges))
			edges = append(edges, placed{i, k, e})
		}
	}
	cuts := map[int][]cut{}
	for _, n := range nodes {
		g.watch.Look()
		p := g.at[n]
		var hits []int
		reach, dir := snap, dxf.XY{}
		if free[n] && tol > snap {
			e := g.ends[n][0]
			reach, dir = min(tol, astray, g.ps[e/2].path.Perimeter()/longFor), g.leaving(e)
		}
		tree.Search([2]float64{p.X - reach, p.Y - reach}, [2]float64{p.X + reach, p.Y + reach}, func(_, _ [2]float64, i int) bool {
			hits = append(hits, i)
			return len(hits) < 1000
		})
		slices.Sort(hits)
		for _, i := range hits {
			e := edges[i]
			if g.node[2*e.piece] == n || g.node[2*e.piece+1] == n {
				continue
			}
			if t, on := along(e.Edge, p); on {
				cuts[e.piece] = append(cuts[e.piece], cut{e.index, t, p})
			} else if t, on := beside(e.Edge, p, dir, min(reach, e.Len()/longFor)); on && reach > snap {
				cuts[e.piece] = append(cuts[e.piece], cut{e.index, t, p})
			}
		}
	}
	if cross && len(cuts) == 0 {
		g.crossings(&tree, edges, free, cuts)
	}
	if len(cuts) == 0 {
		return nil, false
	}
	for i := range g.ps {
		switch c := cuts[i]; {
		case g.dead[i]:
		case len(c) == 0:
			out = append(out, g.ps[i])
		default:
			out = append(out, g.ps[i].divided(c)...)
		}
	}
	return out, true
}

// leaving returns the direction in which a piece is left from one of its ends.
func (g *net) leaving(end int32) dxf.XY {
	p := g.ps[end/2].path
	if end&1 == 1 {
		es := p.Edges()
		return es[len(es)-1].Reversed().Tangent()
	}
	return p.Edges()[0].Tangent()
}

// placed is an edge of a piece.
type placed struct {
	piece, index int
	dxf.Edge
}

// suspects returns the nodes that may lie on a piece: loose ends and, unless they are too many, all nodes of networks
// that have loose ends or branch; and which nodes are loose ends.
func (g *net) suspects() (nodes []int32, free []bool) {
	sets := disjoint.New(len(g.at))
	for i := range g.ps {
		g.watch.Step()
		if !g.dead[i] {
			sets.Join(int(g.node[2*i]), int(g.node[2*i+1]))
		}
	}
	free = make([]bool, len(g.at))
	odd := make([]bool, len(g.at)) // by the least of their network
	loose := 0
	for n, d := range g.deg {
		if free[n] = d == 1; d == 1 {
			loose++
		}
		if d == 1 || d > 2 {
			odd[sets.Least(n)] = true
		}
	}
	for n, d := range g.deg {
		if d > 0 && odd[sets.Least(n)] {
			nodes = append(nodes, int32(n))
		}
	}
	if len(nodes) > maxSplits {
		if nodes = nodes[:0]; loose <= maxSplits {
			for n := range free {
				if free[n] {
					nodes = append(nodes, int32(n))
				}
			}
		}
	}
	return nodes, free
}

// crossings cuts pieces with a loose end where they cross each other, in networks in which that closes a loop: sides
// that were drawn too long.
func (g *net) crossings(tree *rtree.RTreeG[int], edges []placed, free []bool, cuts map[int][]cut) {
	sets := disjoint.New(len(g.ps))
	closes := make([]bool, len(g.ps)) // by the least of their network
	union := func(a, b int) (same bool) {
		a, b = sets.Least(a), sets.Least(b)
		closes[min(a, b)] = closes[a] || closes[b]
		return !sets.Join(a, b)
	}
	for _, es := range g.ends {
		for _, e := range es {
			union(int(es[0]/2), int(e/2))
		}
	}
	dangles := func(i int) bool { return free[g.node[2*i]] || free[g.node[2*i+1]] }
	type meeting struct {
		a, b int // edges
		at   dxf.XY
	}
	var all []meeting
	for i, e := range edges {
		if !dangles(e.piece) {
			continue
		}
		g.watch.Look()
		b := e.Box()
		var hits []int
		tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, k int) bool {
			if k > i {
				hits = append(hits, k)
			}
			return len(hits) < 1000
		})
		slices.Sort(hits)
		for _, k := range hits {
			if f := edges[k]; f.piece != e.piece && dangles(f.piece) && len(all) < 4*maxSplits {
				for _, p := range meetings(e.Edge, f.Edge) {
					all = append(all, meeting{i, k, p})
				}
			}
		}
	}
	for _, m := range all {
		if union(edges[m.a].piece, edges[m.b].piece) {
			closes[sets.Least(edges[m.a].piece)] = true
		}
	}
	for _, m := range all {
		if !closes[sets.Least(edges[m.a].piece)] {
			continue
		}
		for _, i := range [2]int{m.a, m.b} {
			if t, on := along(edges[i].Edge, m.at); on {
				cuts[edges[i].piece] = append(cuts[edges[i].piece], cut{edges[i].index, t, m.at})
			}
		}
	}
}

// meetings returns the points that two edges share within their lengths.
func meetings(e, f dxf.Edge) []dxf.XY {
	var pts []dxf.XY
	switch {
	case e.Bulge == 0 && f.Bulge == 0:
		u, v, w := e.To.Sub(e.From), f.To.Sub(f.From), f.From.Sub(e.From)
		if k := u.Cross(v); math.Abs(k) > 1e-9*u.Len()*v.Len() {
			pts = append(pts, e.From.Add(u.Times(w.Cross(v)/k)))
		}
	case e.Bulge == 0:
		u, c, r := e.To.Sub(e.From), f.Centre(), f.Radius()
		l := u.Len()
		if l == 0 {
			return nil
		}
		u = u.Times(1 / l)
		foot := e.From.Add(u.Times(u.Dot(c.Sub(e.From))))
		if h := float64(r*r) - foot.Sub(c).Dot(foot.Sub(c)); h >= 0 {
			pts = append(pts, foot.Sub(u.Times(math.Sqrt(h))), foot.Add(u.Times(math.Sqrt(h))))
		}
	case f.Bulge == 0:
		return meetings(f, e)
	default:
		c, d, r, s := e.Centre(), f.Centre(), e.Radius(), f.Radius()
		v := d.Sub(c)
		l := v.Len()
		if l == 0 || l > r+s || l < math.Abs(r-s) {
			return nil
		}
		a := (float64(l*l) + float64(r*r) - float64(s*s)) / (2 * l)
		h := math.Sqrt(max(0, float64(r*r)-float64(a*a)))
		v = v.Times(1 / l)
		m, n := c.Add(v.Times(a)), dxf.XY{X: -v.Y, Y: v.X}.Times(h)
		pts = append(pts, m.Add(n), m.Sub(n))
	}
	var out []dxf.XY
	for _, p := range pts {
		_, a := along(e, p)
		_, b := along(f, p)
		if a && b {
			out = append(out, p)
		}
	}
	return out
}

// cut is a place on a piece: the edge, how far along it from 0 to 1, and the point.
type cut struct {
	edge int
	t    float64
	at   dxf.XY
}

// along reports whether p lies on the edge within snap and away from the piece's ends, and how far along.
func along(e dxf.Edge, p dxf.XY) (t float64, on bool) {
	if e.From.Dist(p) <= snap && e.To.Dist(p) <= snap {
		return 0, false
	}
	if e.Bulge == 0 {
		d := e.To.Sub(e.From)
		t = d.Dot(p.Sub(e.From)) / d.Dot(d)
		return min(1, max(0, t)), segmentDistance(e.From, e.To, p) <= snap
	}
	c := e.Centre()
	if math.Abs(p.Dist(c)-e.Radius()) > snap {
		return 0, false
	}
	u, v := e.From.Sub(c), p.Sub(c)
	a := math.Atan2(u.Cross(v), u.Dot(v))
	sweep := e.Sweep()
	if sweep < 0 {
		a, sweep = -a, -sweep
	}
	if a < -snap/e.Radius() {
		a += 2 * math.Pi
	}
	t = a / sweep
	return min(1, max(0, t)), t <= 1+snap/e.Len()
}

// divided returns the piece in parts.
func (p piece) divided(cs []cut) []piece {
	slices.SortStableFunc(cs, func(a, b cut) int {
		switch {
		case a.edge != b.edge:
			return a.edge - b.edge
		case a.t < b.t:
			return -1
		case a.t > b.t:
			return 1
		}
		return 0
	})
	var out []piece
	edges := p.path.Edges()
	part := dxf.Path{}
	end := func(at dxf.XY) {
		if len(part.Vertices) > 0 {
			part.Vertices = append(part.Vertices, dxf.Vertex{XY: at})
			// What is shorter than snap has both ends in one node and is nothing.
			if b := (dxf.Path{Vertices: part.Vertices}).Box(); b.W()+b.H() >= snap {
				out = append(out, piece{path: part, from: p.from, to: p.to, pens: p.pens})
			}
		}
		part = dxf.Path{}
	}
	for i, e := range edges {
		angle, from := math.Atan(e.Bulge), 0.0
		at := e.From
		for _, c := range cs {
			if c.edge != i {
				continue
			}
			// Of an arc's included angle the part from..t: bulges are tangents of a quarter of it.
			part.Vertices = append(part.Vertices, dxf.Vertex{XY: at, Bulge: math.Tan(angle * (c.t - from))})
			end(c.at)
			at, from = c.at, c.t
		}
		part.Vertices = append(part.Vertices, dxf.Vertex{XY: at, Bulge: math.Tan(angle * (1 - from))})
	}
	end(edges[len(edges)-1].To)
	return out
}
