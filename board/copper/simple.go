package copper

import (
	"cmp"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// simple returns the resistance of the tracks alone along the way of least resistance between two pads, as one would work it
// out with a ruler: length over width, in squares, bends and areas left out; a change of side costs the hole's wall.
func simple(b board.Board, net led.NetID, ends [2]board.Pad, opt Options) (part.Ohm, bool) {
	g := lattice{index: map[knot]int{}}
	square := float64(part.SheetOhms(b.Laminate.Copper))
	// Where tracks end on others the others are cut.
	var joints [2][]geom.Pt
	add := func(p geom.Pt, on [2]bool) {
		for side := range on {
			if on[side] {
				joints[side] = append(joints[side], p)
			}
		}
	}
	for _, t := range b.Tracks {
		if t.Net == net && len(t.Path) > 0 {
			var on [2]bool
			on[t.On] = true
			add(t.Path[0], on)
			add(t.Path[len(t.Path)-1], on)
		}
	}
	hole := func(p geom.Pt, drill geom.Nm) {
		add(p, [2]bool{true, true})
		g.edge(knot{p, geom.Top}, knot{p, geom.Bottom}, barrel(drill, b.Laminate.Thickness, opt))
	}
	b.Pads(func(i, j int) bool {
		p := b.Parts[i].Pads[j]
		switch {
		case p.Net != net:
		case p.Through && (p.At == ends[0].At || p.At == ends[1].At):
			add(p.At, [2]bool{true, true})
			g.edge(knot{p.At, geom.Top}, knot{p.At, geom.Bottom}, 0) // the pin and its solder
		case p.Through:
			hole(p.At, p.Drill)
		}
		return true
	})
	for _, v := range b.Vias {
		if v.Net == net {
			hole(v.At, v.Drill)
		}
	}
	for _, t := range b.Tracks {
		if t.Net != net || t.Width <= 0 {
			continue
		}
		for _, s := range t.Path.Segments() {
			stops := []geom.Pt{s.A, s.B}
			for _, p := range joints[t.On] {
				if s.Box().Contains(p) && s.Dist(geom.Segment{A: p, B: p}) < 1000 {
					stops = append(stops, p)
				}
			}
			slices.SortFunc(stops, func(p, q geom.Pt) int {
				return cmp.Or(cmp.Compare(s.A.Dist(p), s.A.Dist(q)), cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
			})
			for i := 1; i < len(stops); i++ {
				g.edge(knot{stops[i-1], t.On}, knot{stops[i], t.On}, square*stops[i-1].Dist(stops[i])/float64(t.Width))
			}
		}
	}
	side := func(p board.Pad) geom.Side {
		if p.Through {
			return geom.Top
		}
		return p.On
	}
	r, ok := g.least(knot{ends[0].At, side(ends[0])}, knot{ends[1].At, side(ends[1])})
	return part.Ohm(r), ok
}

// knot is a point on a side.
type knot struct {
	at geom.Pt
	on geom.Side
}

// lattice is a graph of resistors.
type lattice struct {
	index map[knot]int // looked up only
	next  [][]arm
}

type arm struct {
	to   int
	ohms float64
}

func (g *lattice) node(k knot) int {
	i, ok := g.index[k]
	if !ok {
		i = len(g.next)
		g.index[k] = i
		g.next = append(g.next, nil)
	}
	return i
}

func (g *lattice) edge(a, b knot, ohms float64) {
	if a == b {
		return
	}
	i, j := g.node(a), g.node(b)
	g.next[i] = append(g.next[i], arm{j, ohms})
	g.next[j] = append(g.next[j], arm{i, ohms})
}

// least returns the resistance of the best way (Dijkstra, without a heap: nets have some hundred joints).
func (g *lattice) least(from, to knot) (float64, bool) {
	a, okA := g.index[from]
	z, okZ := g.index[to]
	if !okA || !okZ {
		return 0, false
	}
	cost := make([]float64, len(g.next))
	for i := range cost {
		cost[i] = math.Inf(1)
	}
	cost[a] = 0
	done := make([]bool, len(g.next))
	for {
		best := -1
		for i := range cost {
			if !done[i] && !math.IsInf(cost[i], 1) && (best < 0 || cost[i] < cost[best]) {
				best = i
			}
		}
		if best < 0 {
			return 0, false
		}
		if best == z {
			return cost[z], true
		}
		done[best] = true
		for _, e := range g.next[best] {
			cost[e.to] = min(cost[e.to], cost[best]+e.ohms)
		}
	}
}
