package check

import (
	"cmp"
	"fmt"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// model is the board as the prover sees it: pieces of copper without any belief in their net labels, holes, and edges.
type model struct {
	watch *work.Watch
	b     board.Board
	w     led.Wiring
	nodes []node
	side  [2]layer
	holes []hole
	edge  edge
	keep  *index // keep-out polygons, flattened

	names  []string         // of nets, by netNo
	byName map[string]netNo // w's nets first
	touch  disjoint.Sets    // nodes that share a point, on either side
	firm   disjoint.Sets    // nodes that overlap enough to conduct for certain
	soft   []contact        // every pair that shares a point, per side
}

// netNo numbers the nets of the model: the wiring's nets by name, then names that only the board knows, then one of its
// own for each pad without a net. -1 is unknown: copper that no pad touches.
type netNo int

const unknown netNo = -1

// kind is what a piece of copper is.
type kind uint8

const (
	aPad kind = iota
	aTrack
	aVia
	anArea
)

// node is a piece of copper, on one side or joined through a plated hole on both.
type node struct {
	kind  kind
	part  int // of a pad; -1: a spot
	index int // pad in its part, or spot, track, via, area
	label netNo
	net   netNo // of pads: what the wiring says, or the board where the wiring does not know the pin
	at    geom.Pt
}

// layer is the copper of one side.
type layer struct {
	nodes []int // of each shape
	*index
}

// hole is a drilled hole.
type hole struct {
	at   geom.Pt
	d    geom.Nm
	node int // -1 when unplated
	i    int // index into Board.Holes when unplated
}

// edge is the border of the board's material.
type edge struct {
	*index
	material *geom.Locator
	box      geom.Box
}

// contact is two nodes that share a point on a side.
type contact struct {
	a, b int
	on   geom.Side
	at   geom.Pt
	firm bool
}

// fineFlat flattens arcs of the board's edge: a tenth of geom.FlattenTolerance, so that the error does not count.
const fineFlat = geom.FlattenTolerance / 10

func newModel(watch *work.Watch, b board.Board, w led.Wiring) *model {
	m := &model{watch: watch, b: b, w: w, byName: map[string]netNo{}}
	for i, n := range w.Nets {
		if i > 0 {
			m.netNamed(n.Name)
		}
	}
	pins := pinNets(w)
	var shapes [2][]shape
	put := func(on geom.Side, n int, s shape) {
		m.side[on].nodes = append(m.side[on].nodes, n)
		shapes[on] = append(shapes[on], s)
	}
	b.Pads(func(i, j int) bool {
		p := b.Parts[i].Pads[j]
		n := node{kind: aPad, part: i, index: j, label: m.label(p.Net), at: p.At}
		n.net = n.label
		if name, ok := pins[pin{b.Parts[i].Ref, p.Pin}]; ok {
			n.net = m.netNamed(name)
		}
		if n.net == unknown {
			n.net = m.netNamed(fmt.Sprintf("pad %s.%s", b.Parts[i].Ref, p.Pin))
		}
		for _, s := range geom.BothSides() {
			if p.OnSide(s) {
				put(s, len(m.nodes), padShape(p, 0))
			}
		}
		if p.Drill > 0 {
			m.holes = append(m.holes, hole{p.At, p.Drill, len(m.nodes), -1})
		}
		m.nodes = append(m.nodes, n)
		return true
	})
	points := pointNets(w)
	for i, s := range b.Spots {
		n := node{kind: aPad, part: -1, index: i, label: m.label(s.Net), at: s.At}
		n.net = n.label
		if name, ok := points[s.Ref]; ok && s.Use == board.TestPoint {
			n.net = m.netNamed(name)
		}
		if n.net == unknown {
			n.net = m.netNamed(fmt.Sprintf("%s %d", s.Name(), i+1))
		}
		put(s.On, len(m.nodes), padShape(s.Pad(), 0))
		m.nodes = append(m.nodes, n)
	}
	for i, t := range b.Tracks {
		put(t.On, len(m.nodes), stroke(t.Path, t.Width))
		m.nodes = append(m.nodes, node{kind: aTrack, index: i, label: m.label(t.Net), net: unknown, at: t.Path[len(t.Path)/2]})
	}
	for i, v := range b.Vias {
		for _, s := range geom.BothSides() {
			put(s, len(m.nodes), disc(v.At, v.D))
		}
		m.holes = append(m.holes, hole{v.At, v.Drill, len(m.nodes), -1})
		m.nodes = append(m.nodes, node{kind: aVia, index: i, label: m.label(v.Net), net: unknown, at: v.At})
	}
	for i, a := range b.Areas {
		put(a.On, len(m.nodes), solid(a.Fill))
		m.nodes = append(m.nodes, node{kind: anArea, index: i, label: m.label(a.Net), net: unknown, at: a.Fill.Outer[0]})
	}
	for i, h := range b.Holes {
		m.holes = append(m.holes, hole{h.At, h.D, -1, i})
	}
	for _, s := range geom.BothSides() {
		watch.Look()
		m.side[s].index = newIndex(shapes[s])
		m.side[s].watch = watch
	}
	m.edge = newEdge(b)
	m.edge.watch = watch
	var keep []shape
	for _, c := range b.Keepout {
		keep = append(keep, solid(geom.Polygon{Outer: c.Ring(fineFlat)}))
	}
	m.keep = newIndex(keep)
	m.join()
	return m
}

func newEdge(b board.Board) edge {
	p := geom.Polygon{Outer: b.Outline.Ring(fineFlat)}
	for _, c := range b.Cutouts {
		p.Holes = append(p.Holes, c.Ring(fineFlat))
	}
	var lines []shape
	for _, r := range p.Rings() {
		s := shape{segs: r.Segments(), box: r.Box()}
		lines = append(lines, s)
	}
	return edge{newIndex(lines), geom.NewLocator(p), p.Outer.Box()}
}

// netNamed returns the number of the net with this name.
func (m *model) netNamed(name string) netNo {
	n, ok := m.byName[name]
	if !ok {
		n = netNo(len(m.names))
		m.names = append(m.names, name)
		m.byName[name] = n
	}
	return n
}

func (m *model) label(id led.NetID) netNo {
	if id == led.NoNet {
		return unknown
	}
	return m.netNamed(m.b.Nets[id].Name)
}

func (m *model) netName(n netNo) string {
	if n == unknown {
		return "no net"
	}
	return "net " + m.names[n]
}

// nameOf tells a builder which piece of copper n is.
func (m *model) nameOf(n int) string {
	d := m.nodes[n]
	switch d.kind {
	case aPad:
		return "pad " + m.padName(n)
	case aTrack:
		t := m.b.Tracks[d.index]
		return fmt.Sprintf("the %v track of %v", m.labelName(d.label), t.On)
	case aVia:
		return fmt.Sprintf("the %v via", m.labelName(d.label))
	}
	return fmt.Sprintf("the %v area on the %v", m.labelName(d.label), m.b.Areas[d.index].On)
}

// labelOf returns the net that copper n is marked with, empty for none.
func (m *model) labelOf(n int) string {
	if l := m.nodes[n].label; l != unknown {
		return m.names[l]
	}
	return ""
}

// refOf returns the part that a pad belongs to, empty for other copper and for none (below 0).
func (m *model) refOf(n int) string {
	if n < 0 || m.nodes[n].kind != aPad || m.nodes[n].part < 0 {
		return ""
	}
	return m.b.Parts[m.nodes[n].part].Ref
}

// padOf returns the pad that a node is.
func (m *model) padOf(n node) board.Pad {
	if n.part < 0 {
		return m.b.Spots[n.index].Pad()
	}
	return m.b.Parts[n.part].Pads[n.index]
}

func (m *model) labelName(n netNo) string {
	if n == unknown {
		return "unnamed"
	}
	return m.names[n]
}

// padName returns "D7.A", "R3.1" or "TP3".
func (m *model) padName(n int) string {
	d := m.nodes[n]
	if d.part < 0 {
		return m.b.Spots[d.index].Name()
	}
	p := m.padOf(d)
	return m.b.Parts[d.part].Ref + "." + cmp.Or(p.Function, p.Pin)
}
