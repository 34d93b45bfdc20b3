package check

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/panel/diag"
	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
)

// firmJoint is how far two pieces of copper must overlap before the prover counts on their conducting. Copper that
// merely touches counts as a short between nets but not as a connection: whatever etching does, the verdict holds.
const firmJoint = 10 * geom.Micrometre

// join finds which nodes share a point, and which are joined for certain.
func (m *model) join() {
	m.touch, m.firm = disjoint.New(len(m.nodes)), disjoint.New(len(m.nodes))
	for _, on := range geom.BothSides() {
		l := m.side[on]
		for i, s := range l.shapes {
			a := l.nodes[i]
			l.near(s, 0, func(j int) bool { return j > i }, func(j int, at meeting) {
				if at.gap > 0 {
					return
				}
				b := l.nodes[j]
				c := contact{a: a, b: b, on: on, at: at.at, firm: m.firmly(l, i, j, at.gap)}
				m.soft = append(m.soft, c)
				m.touch.Join(a, b)
				if c.firm {
					m.firm.Join(a, b)
				}
			})
		}
	}
}

// firmly reports whether two shapes that share a point overlap by firmJoint. A pad is shrunk by that much and tried
// again; a track's or via's width tells it from the gap; two areas must hold a corner of each other inside.
func (m *model) firmly(l layer, i, j int, gap float64) bool {
	for _, k := range [2][2]int{{i, j}, {j, i}} {
		n := m.nodes[l.nodes[k[0]]]
		if n.kind == aPad {
			core := padShape(m.padOf(n), -firmJoint)
			if len(core.segs) == 0 {
				return false
			}
			return l.meets(core, k[1])
		}
	}
	if l.shapes[i].width > 0 || l.shapes[j].width > 0 {
		return gap <= -float64(firmJoint)
	}
	return l.shapes[i].overlaps(l.shapes[j])
}

// overlaps reports whether a corner of one polygon lies inside the other.
func (s shape) overlaps(t shape) bool {
	for _, p := range [2][2]shape{{s, t}, {t, s}} {
		for _, e := range p[0].segs {
			if p[1].box.Contains(e.A) && p[1].poly.Locate(e.A) == geom.Inside {
				return true
			}
		}
	}
	return false
}

// cluster is copper that shares points: one electrical node of the real board.
type cluster struct {
	nodes []int
	nets  []netNo // of its pads, sorted, each once
}

// clusters returns the clusters by their root in m.touch, nil for what is not a root.
func (m *model) clusters() []*cluster {
	out := make([]*cluster, len(m.nodes))
	for i, n := range m.nodes {
		r := m.touch.Least(i)
		if out[r] == nil {
			out[r] = &cluster{}
		}
		c := out[r]
		c.nodes = append(c.nodes, i)
		if n.kind == aPad && !slices.Contains(c.nets, n.net) {
			c.nets = append(c.nets, n.net)
			slices.Sort(c.nets)
		}
	}
	return out
}

// trueNets returns the net of every node: that of the pads its copper reaches. Where copper reaches pads of two nets
// (a short, reported as such) the label stands; where it reaches none, a number of its own beyond all nets.
func (m *model) trueNets(cl []*cluster) []netNo {
	out := make([]netNo, len(m.nodes))
	for r, c := range cl {
		if c == nil {
			continue
		}
		for _, i := range c.nodes {
			switch {
			case len(c.nets) == 1:
				out[i] = c.nets[0]
			case len(c.nets) == 0:
				out[i] = netNo(len(m.names) + r)
			case m.nodes[i].kind == aPad:
				out[i] = m.nodes[i].net
			default:
				out[i] = m.nodes[i].label
			}
		}
	}
	return out
}

// auditJoins reports shorts, opens, copper that belongs to nothing, and labels that lie.
func (m *model) auditJoins(cl []*cluster) diag.List {
	var l diag.List
	for _, c := range cl {
		switch {
		case c == nil:
		case len(c.nets) > 1:
			m.reportShort(&l, c)
		case len(c.nets) == 0:
			m.reportIsland(&l, c)
		default:
			m.reportLabels(&l, c)
		}
	}
	m.reportOpens(&l)
	return l
}

// reportShort tells where copper of two nets meets: at contacts between differing labels, or, when the labels do not
// show it, on the way from a pad of one net to a pad of the other.
func (m *model) reportShort(l *diag.List, c *cluster) {
	root := m.touch.Least(c.nodes[0])
	net := func(i int) netNo {
		if m.nodes[i].kind == aPad {
			return m.nodes[i].net
		}
		return m.nodes[i].label
	}
	type pair struct{ a, b netNo }
	var seen []pair
	for _, t := range m.soft {
		a, b := net(t.a), net(t.b)
		if m.touch.Least(t.a) != root || a == b || a == unknown || b == unknown {
			continue
		}
		if p := (pair{min(a, b), max(a, b)}); slices.Contains(seen, p) {
			continue
		} else {
			seen = append(seen, p)
		}
		l.Add(diag.Error, "check-short", "%s and %s are joined: %s touches %s on the %v side",
			m.netName(a), m.netName(b), m.nameOf(t.a), m.nameOf(t.b), t.on).
			At(t.at.X.MM(), t.at.Y.MM()).Fix("move them apart by at least %v", m.b.Rules.Clearance)
	}
	if len(seen) > 0 {
		return
	}
	way := m.way(c, c.nets[0], c.nets[1])
	mid := way[len(way)/2]
	at := m.nodes[mid].at
	l.Add(diag.Error, "check-short", "%s and %s are joined: copper leads from %s through %s to %s", m.netName(c.nets[0]),
		m.netName(c.nets[1]), m.nameOf(way[0]), m.nameOf(mid), m.nameOf(way[len(way)-1])).
		At(at.X.MM(), at.Y.MM()).Fix("take that copper away")
}

// way returns a shortest chain of touching nodes from a pad of net a to one of net b.
func (m *model) way(c *cluster, a, b netNo) []int {
	next := map[int][]int{}
	for _, t := range m.soft {
		next[t.a] = append(next[t.a], t.b)
		next[t.b] = append(next[t.b], t.a)
	}
	from := map[int]int{}
	var queue []int
	for _, i := range c.nodes {
		if m.nodes[i].kind == aPad && m.nodes[i].net == a {
			queue = append(queue, i)
			from[i] = -1
		}
	}
	for k := 0; k < len(queue); k++ {
		i := queue[k]
		if m.nodes[i].kind == aPad && m.nodes[i].net == b {
			var way []int
			for ; i >= 0; i = from[i] {
				way = append(way, i)
			}
			slices.Reverse(way)
			return way
		}
		for _, j := range next[i] {
			if _, ok := from[j]; !ok {
				from[j] = i
				queue = append(queue, j)
			}
		}
	}
	panic("check: cluster is not connected")
}

func (m *model) reportIsland(l *diag.List, c *cluster) {
	at := m.nodes[c.nodes[0]].at
	what := m.nameOf(c.nodes[0])
	if n := len(c.nodes) - 1; n > 0 {
		what += fmt.Sprintf(" and %d more pieces", n)
	}
	l.Add(diag.Error, "check-island", "copper joined to no pad: %s", what).
		OfNet(m.labelOf(c.nodes[0])).
		At(at.X.MM(), at.Y.MM()).Fix("take it away or join it to a pad")
}

// reportLabels tells of tracks, vias and areas that carry another net's name than the pads they reach: the copper is
// right, but the netlist and attributes written from the names would not be.
func (m *model) reportLabels(l *diag.List, c *cluster) {
	for _, i := range c.nodes {
		if n := m.nodes[i]; n.kind != aPad && n.label != c.nets[0] {
			l.Add(diag.Error, "check-wrong-net", "%s lies on copper of %s", m.nameOf(i), m.netName(c.nets[0])).
				OfNet(m.labelOf(i)).
				At(n.at.X.MM(), n.at.Y.MM()).Fix("give it the name of the net whose pads it reaches")
		}
	}
}

// pieces returns, for every net, the groups of its pads that firm copper joins.
func (m *model) pieces() [][][]int {
	out := make([][][]int, len(m.names))
	place := map[[2]int]int{}
	for i, n := range m.nodes {
		if n.kind != aPad {
			continue
		}
		key := [2]int{int(n.net), m.firm.Least(i)}
		g, ok := place[key]
		if !ok {
			g = len(out[n.net])
			place[key] = g
			out[n.net] = append(out[n.net], nil)
		}
		out[n.net][g] = append(out[n.net][g], i)
	}
	return out
}

func (m *model) reportOpens(l *diag.List) {
	for net, groups := range m.pieces() {
		for g := 1; g < len(groups); g++ {
			a, b := m.nearestPads(groups[g], slices.Concat(groups[:g]...))
			at := m.nodes[a].at
			touching := ""
			if m.touch.Joined(a, b) {
				touching = " (copper touches on the way but hardly overlaps)"
			}
			l.Add(diag.Error, "check-open", "%s is not joined: no copper leads from %s to %s, %.2f mm away%s", m.netName(netNo(net)),
				m.list(groups[g]), m.nameOf(b), at.Dist(m.nodes[b].at)/1e6, touching).
				OfPart(m.refOf(a)).OfNet(m.names[net]).
				At(at.X.MM(), at.Y.MM()).Fix("join them with a track")
		}
	}
}

func (m *model) nearestPads(as, bs []int) (a, b int) {
	a, b = as[0], bs[0]
	for _, i := range as {
		for _, j := range bs {
			if m.nodes[i].at.Dist(m.nodes[j].at) < m.nodes[a].at.Dist(m.nodes[b].at) {
				a, b = i, j
			}
		}
	}
	return a, b
}

// list names up to three pads.
func (m *model) list(pads []int) string {
	var names []string
	for k, i := range pads {
		if k == 3 {
			names = append(names, fmt.Sprintf("%d more", len(pads)-3))
			break
		}
		names = append(names, m.padName(i))
	}
	return strings.Join(names, ", ")
}
