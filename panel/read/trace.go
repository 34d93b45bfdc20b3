package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/dxf"
)

// trace walks the network: chains without branches become loops or open pieces, the rest is left to faces.
func (g *net) trace(keep bool, j *joined) {
	done := make([]bool, len(g.ps))
	seen := make([]bool, len(g.at))
	// Networks, by spreading from each piece over the nodes.
	for i := range g.ps {
		if done[i] || g.dead[i] {
			continue
		}
		var part []int32
		branched := false
		stack := []int32{int32(i)}
		done[i] = true
		for len(stack) > 0 {
			g.watch.Step()
			p := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			part = append(part, p)
			for side := range int32(2) {
				n := g.node[2*p+side]
				branched = branched || g.deg[n] > 2
				if seen[n] {
					continue
				}
				seen[n] = true
				for _, e := range g.ends[n] {
					if !done[e/2] {
						done[e/2] = true
						stack = append(stack, e/2)
					}
				}
			}
		}
		g.watch.Step()
		slices.Sort(part)
		switch {
		case !branched:
			g.chain(part, j)
		case keep:
			for _, p := range part {
				if g.node[2*p] == g.node[2*p+1] {
					j.addLoop(g.walkPath([]int32{2 * p}, true), g.ps[p].from, pensOf(g.ps, []int32{2 * p}))
				} else {
					j.open = append(j.open, g.ps[p])
				}
			}
		default:
			g.branched(part, j)
		}
	}
	j.ends = endsOf(j.open, 0)
}

// endsOf returns the ends of the open pieces from the given one on.
func endsOf(open []piece, from int) []loose {
	var out []loose
	for i := from; i < len(open); i++ {
		p := &open[i]
		out = append(out, loose{p.end(false), p.from, i}, loose{p.end(true), p.lastFrom(), i})
	}
	return out
}

// addLoop adds a closed curve; a single point, left of a piece that ends where it began, has no size.
func (j *joined) addLoop(p dxf.Path, from *dxf.Entity, pens []*dxf.Entity) {
	if len(p.Vertices) < 2 {
		j.none = append(j.none, from)
		return
	}
	l := newLoop(p, from)
	l.pens = pens
	j.loops = append(j.loops, l)
}

// pensOf returns all that pieces, each told by one of its ends, consist of, where their lines are drawn differently or not through.
func pensOf[End int | int32](ps []piece, way []End) []*dxf.Entity {
	first := ps[way[0]/2].from
	alike := true
	for _, e := range way {
		p := &ps[e/2]
		alike = alike && p.pens == nil && p.from.Pen == nil && p.from.Width == first.Width && p.from.Weight == first.Weight
	}
	if alike {
		return nil
	}
	var out []*dxf.Entity
	for _, e := range way {
		p := &ps[e/2]
		if p.pens != nil {
			out = append(out, p.pens...)
		} else {
			out = append(out, p.from)
		}
	}
	return out
}

// lastFrom is the entity at the piece's end. A piece keeps only its first; good enough when it is one entity.
func (p *piece) lastFrom() *dxf.Entity {
	if p.to != nil {
		return p.to
	}
	return p.from
}

// chain makes one loop or one open piece of a network in which every node has at most two ends.
func (g *net) chain(part []int32, j *joined) {
	start := 2 * part[0] // the end from which the walk leaves
	closed := true
	for _, p := range part {
		for side := range int32(2) {
			if closed && g.deg[g.node[2*p+side]] == 1 {
				start, closed = 2*p+side, false
			}
		}
	}
	way := make([]int32, 0, len(part))
	for e := start; ; {
		way = append(way, e)
		n := g.node[e^1]
		next := int32(-1)
		for _, o := range g.ends[n] {
			if o != e^1 {
				next = o
			}
		}
		if next < 0 || next == start || len(way) >= len(part) {
			break
		}
		e = next
	}
	path := g.walkPath(way, closed)
	if closed {
		j.addLoop(path, g.ps[part[0]].from, pensOf(g.ps, way))
		return
	}
	j.open = append(j.open, piece{path: path, from: g.ps[way[0]/2].from, to: g.ps[way[len(way)-1]/2].from, pens: pensOf(g.ps, way)})
}

// walkPath strings the pieces together, each left from the end given. A joint lies half way between its two ends.
func (g *net) walkPath(way []int32, closed bool) dxf.Path {
	if closed && len(way) == 1 {
		if p, ok := almostFull(g.ps[way[0]/2].path); ok {
			return p
		}
	}
	out := dxf.Path{Closed: closed}
	var before dxf.XY
	for i, e := range way {
		g.watch.Step()
		p := g.ps[e/2].path
		if e&1 == 1 {
			p = p.Reversed()
		}
		at := p.Vertices[0]
		if i > 0 && before != at.XY {
			at.XY = at.Add(before).Times(0.5)
		}
		out.Vertices = append(out.Vertices, at)
		n := len(p.Vertices)
		out.Vertices = append(out.Vertices, p.Vertices[1:n-1]...)
		before = p.Vertices[n-1].XY
	}
	if closed {
		if first := &out.Vertices[0]; before != first.XY {
			first.XY = first.Add(before).Times(0.5)
		}
	} else {
		out.Vertices = append(out.Vertices, dxf.Vertex{XY: before})
	}
	return out
}

// almostFull returns the full circle of a path that is one arc of more than three quarters of a turn. Between ends that
// are moved to one point its bulge, 200 where a hole's edge misses by a hundredth of a millimetre, would mean another arc
// or none.
func almostFull(p dxf.Path) (dxf.Path, bool) {
	if len(p.Vertices) != 2 || math.Abs(p.Vertices[0].Bulge) <= math.Tan(3*math.Pi/8) || p.Vertices[0].XY == p.Vertices[1].XY {
		return p, false
	}
	e := p.Edges()[0]
	half, c, m := math.Copysign(1, e.Bulge), e.Centre(), e.Mid()
	return dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: m, Bulge: half}, {XY: c.Add(c).Sub(m), Bulge: half}}}, true
}

// branched finds the faces of a network in which more than two ends meet somewhere: spurs and bridges are taken off
// as open pieces, what is left divides the plane.
func (g *net) branched(part []int32, j *joined) {
	for _, p := range part {
		for side := range int32(2) {
			if n := g.node[2*p+side]; g.deg[n] > 2 && len(j.branches) < 1000 {
				j.branches = append(j.branches, g.at[n])
			}
		}
	}
	before := len(j.open)
	off := func(p int32) {
		g.dead[p] = true
		g.deg[g.node[2*p]]--
		g.deg[g.node[2*p+1]]--
		s := g.ps[p]
		s.spur = true
		j.open = append(j.open, s)
	}
	prune := func() {
		stack := slices.Clone(part)
		for len(stack) > 0 {
			g.watch.Step()
			p := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if g.dead[p] || g.deg[g.node[2*p]] != 1 && g.deg[g.node[2*p+1]] != 1 {
				continue
			}
			off(p)
			for side := range int32(2) {
				n := g.node[2*p+side]
				if g.deg[n] != 1 {
					continue
				}
				for _, e := range g.ends[n] { // the one that is left
					if !g.dead[e/2] {
						stack = append(stack, e/2)
						break
					}
				}
			}
		}
	}
	prune()
	// A piece with the same face on both sides is a bridge between two loops.
	next, _ := g.turns(part)
	face := g.faceOf(part, next)
	for _, p := range part {
		if !g.dead[p] && face[2*p] == face[2*p+1] {
			off(p)
		}
	}
	next, live := g.turns(part)
	if len(live) == 0 { // nothing closed is left: all of them are open lines in their own right
		for i := range j.open {
			j.open[i].spur = j.open[i].spur && i < before
		}
	}
	done := map[int32]bool{}
	for _, e := range live {
		if done[e] {
			continue
		}
		var way []int32
		for at := e; !done[at]; at = next[at] {
			done[at] = true
			way = append(way, at)
		}
		path := g.walkPath(way, true)
		if path.SignedArea() > 0 {
			if l := newLoop(path, g.ps[e/2].from); !l.sliver() {
				l.face, l.pens = true, pensOf(g.ps, way)
				j.loops = append(j.loops, l)
			}
		} else if len(path.Vertices) > 1 {
			j.outers = append(j.outers, newLoop(path, g.ps[e/2].from))
		}
	}
}

// turns returns, for each end from which a living piece is left, the end from which the face on its left goes on:
// at the far node, the next way clockwise from the one that was come by; and those ends in order.
func (g *net) turns(part []int32) (next map[int32]int32, live []int32) {
	type way struct {
		end          int32
		angle, curve float64
	}
	round := map[int32][]way{}
	for _, p := range part {
		g.watch.Step()
		if g.dead[p] {
			continue
		}
		for side := range int32(2) {
			e := 2*p + side
			path := g.ps[p].path
			if side == 1 {
				path = path.Reversed()
			}
			first := path.Edges()[0]
			t := first.Tangent()
			curve := 0.0
			if first.Bulge != 0 {
				curve = math.Copysign(1/first.Radius(), first.Bulge)
			}
			round[g.node[e]] = append(round[g.node[e]], way{e, heading(t), curve})
			live = append(live, e)
		}
	}
	next = map[int32]int32{}
	for _, ws := range round { // each node by itself: the order of nodes does not matter
		slices.SortFunc(ws, func(a, b way) int {
			g.watch.Step()
			return cmp.Or(cmp.Compare(a.angle, b.angle), cmp.Compare(a.curve, b.curve), cmp.Compare(a.end, b.end))
		})
		for i, w := range ws {
			next[w.end^1] = ws[(i+len(ws)-1)%len(ws)].end
		}
	}
	return next, live
}

// faceOf numbers the faces.
func (g *net) faceOf(part []int32, next map[int32]int32) map[int32]int {
	face := map[int32]int{}
	n := 0
	for _, p := range part {
		for side := range int32(2) {
			e := 2*p + side
			if _, seen := face[e]; seen || g.dead[p] {
				continue
			}
			n++
			for at := e; face[at] == 0; at = next[at] {
				g.watch.Step()
				face[at] = n
			}
		}
	}
	return face
}

// heading returns the angle of a direction in steps of 1e-7 rad, so that ways that leave in one direction compare
// equal; -π counts as π.
func heading(t dxf.XY) float64 {
	a := math.Round(math.Atan2(t.Y, t.X) * 1e7)
	if a <= -math.Round(math.Pi*1e7) {
		a = -a
	}
	return a / 1e7
}
