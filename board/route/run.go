package route

import (
	"cmp"
	"slices"

	"lampblack/led"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// node is an end of runs: a pad's centre, a via, or a junction of three runs or more.
type node struct {
	at    geom.Pt
	net   led.NetID
	pin   int     // -1 unless a pad
	size  float64 // greatest width of the pad, nm
	via   bool
	runs  []*run
	faces []*piece // of a via, in the world
}

// run is a track between two nodes, on one side, of one width. Its path begins at a and ends at b.
type run struct {
	net    led.NetID
	a, b   *node
	on     geom.Side
	width  geom.Nm
	full   geom.Nm // the width it should have where there is room
	trunk  bool
	supply bool
	path   geom.Polyline
	pieces []*piece
	cache  map[geom.Segment]int64
}

// layout is all copper in exact geometry.
type layout struct {
	watch *work.Watch
	w     *world
	pins  []pin
	nodes []*node
	runs  []*run
}

// layOut turns the legs on the lattice into runs between exact points.
func (r *router) layOut() *layout {
	lay := &layout{watch: r.watch, w: newWorld(r.b, r.pins), pins: r.pins}
	g := r.g
	for _, n := range r.nets {
		r.watch.Look()
		byPin := map[int]*node{}
		byVia := map[int32]*node{}   // position → via
		byJoint := map[int32]*node{} // lattice node → junction
		mk := func(x node) *node {
			x.net = n.id
			p := &x
			lay.nodes = append(lay.nodes, p)
			return p
		}
		for i := range n.legs {
			for j := 1; j < len(n.legs[i].nodes); j++ {
				u := n.legs[i].nodes[j]
				if pos := u % int32(g.n); abs32(u-n.legs[i].nodes[j-1]) >= int32(g.n) && byVia[pos] == nil {
					byVia[pos] = mk(node{at: g.at(u), pin: -1, via: true})
				}
			}
		}
		nodeFor := func(u int32, pin int) *node {
			if pin >= 0 {
				if byPin[pin] == nil {
					p := &r.pins[pin]
					byPin[pin] = mk(node{at: p.At, pin: pin, size: float64(max(p.W, p.H))})
				}
				return byPin[pin]
			}
			if v := byVia[u%int32(g.n)]; v != nil {
				return v
			}
			if byJoint[u] == nil {
				byJoint[u] = mk(node{at: g.at(u), pin: -1})
			}
			return byJoint[u]
		}
		for i := range n.legs {
			l := &n.legs[i]
			full := n.ladder[0]
			if l.trunk {
				full = n.trunk[0]
			}
			start := 0
			for j := 1; j <= len(l.nodes); j++ {
				if j < len(l.nodes) && abs32(l.nodes[j]-l.nodes[j-1]) < int32(g.n) {
					continue
				}
				pa, pb := -1, -1
				if start == 0 {
					pa = l.a
				}
				if j == len(l.nodes) {
					pb = l.b
				}
				x := &run{
					net: n.id, a: nodeFor(l.nodes[start], pa), b: nodeFor(l.nodes[j-1], pb),
					on: g.side(l.nodes[start]), width: l.width, full: full, trunk: l.trunk, supply: n.supply,
				}
				x.path = r.trail(l.nodes[start:j], x.a, x.b)
				if x.a != x.b && len(x.path) > 1 {
					lay.runs = append(lay.runs, x)
				}
				start = j
			}
		}
	}
	for _, x := range lay.runs {
		x.a.runs = append(x.a.runs, x)
		x.b.runs = append(x.b.runs, x)
		lay.place(x)
	}
	for _, v := range lay.nodes {
		lay.placeVia(v)
	}
	return lay
}

// trail returns the exact path of lattice nodes between two ends, without the nodes in the ends' own pads.
func (r *router) trail(nodes []int32, a, b *node) geom.Polyline {
	in := func(e *node, u int32) bool { return e.pin >= 0 && r.pins[e.pin].shape.contains(r.g.at(u)) }
	for len(nodes) > 0 && in(a, nodes[0]) {
		nodes = nodes[1:]
	}
	for len(nodes) > 0 && in(b, nodes[len(nodes)-1]) {
		nodes = nodes[:len(nodes)-1]
	}
	path := geom.Polyline{a.at}
	for _, u := range nodes {
		path = append(path, r.g.at(u))
	}
	path = append(path, b.at)
	return simplified(path)
}

// simplified drops repeated points and points in the middle of a straight piece.
func simplified(p geom.Polyline) geom.Polyline {
	out := make(geom.Polyline, 0, len(p))
	for _, q := range p {
		if len(out) > 0 && out[len(out)-1] == q {
			continue
		}
		for len(out) > 1 {
			a, b := out[len(out)-2], out[len(out)-1]
			if geom.Orient(a, b, q) != geom.Collinear || b.Sub(a).Dot(q.Sub(b)) < 0 {
				break
			}
			out = out[:len(out)-1]
		}
		out = append(out, q)
	}
	return out
}

// place puts a run's copper into the world, lift takes it out.
func (lay *layout) place(x *run) {
	for _, s := range x.path.Segments() {
		p := &piece{seg: s, half: (x.width + 1) / 2, on: x.on, net: x.net, run: x}
		x.pieces = append(x.pieces, p)
		lay.w.insert(p)
	}
}

func (lay *layout) lift(x *run) {
	for _, p := range x.pieces {
		lay.w.remove(p)
	}
	x.pieces = x.pieces[:0]
}

func (lay *layout) placeVia(v *node) {
	if !v.via {
		return
	}
	for _, side := range geom.BothSides() {
		p := &piece{seg: geom.Segment{A: v.at, B: v.at}, half: (lay.w.rules.ViaPad + 1) / 2, on: side, net: v.net, node: v}
		v.faces = append(v.faces, p)
		lay.w.insert(p)
	}
}

func (lay *layout) liftVia(v *node) {
	for _, p := range v.faces {
		lay.w.remove(p)
	}
	v.faces = v.faces[:0]
}

// reshape gives a run a new path.
func (lay *layout) reshape(x *run, path geom.Polyline) {
	lay.lift(x)
	x.path = path
	lay.place(x)
}

// from returns the run's path starting at the node.
func (x *run) from(e *node) geom.Polyline {
	if x.a == e {
		return x.path
	}
	out := slices.Clone(x.path)
	slices.Reverse(out)
	return out
}

func (x *run) other(e *node) *node {
	if x.a == e {
		return x.b
	}
	return x.a
}

// fuse joins the two runs of each junction that has no third one, when they are of one kind and side, and drops vias
// that no longer change sides.
func (lay *layout) fuse() {
	for _, v := range lay.nodes {
		if v.pin >= 0 || len(v.runs) != 2 || v.runs[0] == v.runs[1] {
			continue
		}
		lay.watch.Look()
		x, y := v.runs[0], v.runs[1]
		if x.on != y.on || x.width != y.width || x.trunk != y.trunk {
			continue
		}
		p, q := x.from(x.other(v)), y.from(v)
		lay.lift(x)
		lay.lift(y)
		lay.liftVia(v)
		v.via = false
		a, b := x.other(v), y.other(v)
		x.a, x.b = a, b
		x.path = simplified(append(slices.Clone(p), q[1:]...))
		b.runs[slices.Index(b.runs, y)] = x
		v.runs = nil
		lay.runs = slices.DeleteFunc(lay.runs, func(z *run) bool { return z == y })
		lay.place(x)
	}
	lay.nodes = slices.DeleteFunc(lay.nodes, func(v *node) bool { return v.pin < 0 && len(v.runs) == 0 })
}

// sorted puts runs in a total order for output.
func (lay *layout) sorted() []*run {
	out := slices.Clone(lay.runs)
	pt := func(a, b geom.Pt) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }
	slices.SortStableFunc(out, func(x, y *run) int {
		return cmp.Or(cmp.Compare(x.net, y.net), cmp.Compare(x.on, y.on), slices.CompareFunc(x.path, y.path, pt))
	})
	return out
}
