package panel

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"lampblack/panel/dxf"
)

// maxSplits bounds the ends that are looked at for T-junctions: a drawing with more of them is not a panel with a
// few sloppy corners.
const maxSplits = 5000

// split divides pieces where a loose end lies on them, within snap, so that T-junctions become nodes. ok is false
// when there is nothing to divide.
func (g *net) split() (out []piece, ok bool) {
	var free []int32
	for n, d := range g.deg {
		if d == 1 {
			free = append(free, int32(n))
		}
	}
	if len(free) == 0 || len(free) > maxSplits {
		return nil, false
	}
	type edge struct {
		piece, index int
		dxf.Edge
	}
	var tree rtree.RTreeG[int]
	var edges []edge
	for i := range g.ps {
		if g.dead[i] {
			continue
		}
		for k, e := range g.ps[i].path.Edges() {
			b := e.Box()
			tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, len(edges))
			edges = append(edges, edge{i, k, e})
		}
	}
	cuts := map[int][]cut{}
	for _, n := range free {
		p := g.at[n]
		own := int(g.ends[n][0] / 2)
		var hits []int
		tree.Search([2]float64{p.X - snap, p.Y - snap}, [2]float64{p.X + snap, p.Y + snap}, func(_, _ [2]float64, i int) bool {
			hits = append(hits, i)
			return len(hits) < 1000
		})
		slices.Sort(hits)
		for _, i := range hits {
			e := edges[i]
			if e.piece == own {
				continue
			}
			if t, on := along(e.Edge, p); on {
				cuts[e.piece] = append(cuts[e.piece], cut{e.index, t, p})
				break
			}
		}
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
			if (dxf.Path{Vertices: part.Vertices}).Perimeter() > 0 {
				out = append(out, piece{path: part, from: p.from, to: p.to})
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
