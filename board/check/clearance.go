package check

import (
	"math"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// slack is by how much a length may miss its limit before that is a finding: what is left of rounding to whole nanometres
// and of flattening on the other side of a limit that was kept. No board house measures that finely. Shorts, opens and
// holes off the board know no slack.
const slack = geom.Micrometre

// below reports whether a length found misses its limit.
func below(found float64, limit geom.Nm) bool { return found < float64(limit-slack) }

// mm rounds a length in nanometres to the micrometre for a text.
func mm(nm float64) float64 { return math.Round(nm/1000) / 1000 }

// auditClearance reports copper of two nets that is nearer than Rules.Clearance. Copper that touches is a short and
// told as one.
func (m *model) auditClearance(net []netNo) diag.List {
	var l diag.List
	m.gaps(net, m.b.Rules.Clearance, func(a, b int, on geom.Side, at meeting) {
		if at.gap <= 0 || !below(at.gap, m.b.Rules.Clearance) {
			return
		}
		l.Add(diag.Error, "check-copper-gap", "%s and %s are %.3f mm apart on the %v side, %.3f mm needed",
			m.nameOf(a), m.nameOf(b), mm(at.gap), on, m.b.Rules.Clearance.MM()).
			OfNet(m.labelOf(a)).About("rules.copper_gap").
			At(at.at.X.MM(), at.at.Y.MM()).Fix("move them apart")
	})
	return l
}

// gaps calls f with every two nodes of different nets that lie nearer than limit on a side.
func (m *model) gaps(net []netNo, limit geom.Nm, f func(a, b int, on geom.Side, at meeting)) {
	for _, on := range geom.BothSides() {
		l := m.side[on]
		for i, s := range l.shapes {
			a := l.nodes[i]
			l.near(s, limit, func(j int) bool { return j > i && net[l.nodes[j]] != net[a] },
				func(j int, at meeting) { f(a, l.nodes[j], on, at) })
		}
	}
}

// auditEdge reports copper off the board or too near to its edge or a cutout.
func (m *model) auditEdge() diag.List {
	var l diag.List
	for _, on := range geom.BothSides() {
		c := m.side[on]
		for i, s := range c.shapes {
			if len(s.segs) == 0 {
				continue
			}
			if off := m.edge.offBoard(s); off != nil {
				l.Add(diag.Error, "check-copper-off-board", "%s lies outside the board", m.nameOf(c.nodes[i])).
					OfPart(m.refOf(c.nodes[i])).OfNet(m.labelOf(c.nodes[i])).
					At(off.X.MM(), off.Y.MM()).Fix("move it onto the board")
				continue
			}
			worst, limit := meeting{gap: math.Inf(1)}, m.edgeLimit(c.nodes[i])
			m.edge.near(s, limit, all, func(_ int, at meeting) {
				if at.gap < worst.gap {
					worst = at
				}
			})
			if below(worst.gap, limit) {
				l.Add(diag.Error, "check-copper-to-edge", "%s is %.3f mm from the board's edge, %.3f mm needed", m.nameOf(c.nodes[i]),
					mm(max(worst.gap, 0)), limit.MM()).
					OfPart(m.refOf(c.nodes[i])).OfNet(m.labelOf(c.nodes[i])).About("rules.copper_to_edge").
					At(worst.at.X.MM(), worst.at.Y.MM()).Fix("move it inward")
			}
		}
	}
	return l
}

// edgeLimit returns how far copper n stays from the board's edge.
func (m *model) edgeLimit(n int) geom.Nm {
	if d := m.nodes[n]; d.kind == aPad && d.part >= 0 {
		return m.b.EdgeClear(m.b.Parts[d.part])
	}
	return m.b.Rules.CopperToEdge
}

func all(int) bool { return true }

// offBoard returns an end of a spine that lies outside the material, nil when there is none.
func (e edge) offBoard(s shape) *geom.Pt {
	for _, seg := range s.segs {
		for _, p := range [2]geom.Pt{seg.A, seg.B} {
			if e.material.Locate(p) == geom.Outside {
				return &p
			}
		}
	}
	return nil
}

// auditHoles checks every drilled hole: its size and ring, its way to the edge, to other holes, and to copper.
func (m *model) auditHoles() diag.List {
	var l diag.List
	r := m.b.Rules
	shapes := make([]shape, len(m.holes))
	for i, h := range m.holes {
		shapes[i] = disc(h.at, h.d)
	}
	index := newIndex(shapes)
	for i, h := range m.holes {
		name, x, y := m.holeName(h), h.at.X.MM(), h.at.Y.MM()
		if h.d < r.Drill {
			l.Add(diag.Error, "check-smallest-hole", "%s is %v wide, the smallest drill is %v", name, h.d, r.Drill).
				OfPart(m.refOf(h.node)).About("rules.smallest_hole").At(x, y).Fix("drill it wider")
		}
		if ring, ok := m.ring(h); ok && below(ring, r.AnnularRing) {
			l.Add(diag.Error, "check-annular-ring", "%s has a copper ring of %.3f mm, %.3f mm needed", name, mm(ring), r.AnnularRing.MM()).
				OfPart(m.refOf(h.node)).About("rules.annular_ring").
				At(x, y).Fix("make the pad larger or the hole smaller")
		}
		if m.edge.offBoard(shapes[i]) != nil {
			l.Add(diag.Error, "check-hole-off-board", "%s lies outside the board", name).
				OfPart(m.refOf(h.node)).At(x, y).Fix("move it onto the board")
		} else {
			m.edge.near(shapes[i], r.HoleToEdge, all, func(_ int, at meeting) {
				if below(at.gap, r.HoleToEdge) {
					l.Add(diag.Error, "check-hole-to-edge", "%s is %.3f mm from the board's edge, %.3f mm needed", name,
						mm(max(at.gap, 0)), r.HoleToEdge.MM()).
						OfPart(m.refOf(h.node)).About("rules.hole_to_edge").At(at.at.X.MM(), at.at.Y.MM()).Fix("move it inward")
				}
			})
		}
		index.near(shapes[i], r.BetweenHoles, func(j int) bool { return j > i }, func(j int, at meeting) {
			if below(at.gap, r.BetweenHoles) {
				l.Add(diag.Error, "check-between-holes", "%s and %s are %.3f mm apart, %.3f mm needed", name, m.holeName(m.holes[j]),
					mm(at.gap), r.BetweenHoles.MM()).
					OfPart(m.refOf(h.node)).About("rules.between_holes").At(at.at.X.MM(), at.at.Y.MM()).Fix("move them apart")
			}
		})
		if h.node < 0 {
			m.auditBareHole(&l, h, shapes[i])
		}
	}
	return l
}

// auditBareHole checks that copper keeps away from an unplated hole, and from the screw's head round a mount hole.
func (m *model) auditBareHole(l *diag.List, h hole, s shape) {
	limit, code, advice := m.b.Rules.CopperToHole, "check-copper-to-hole", "move the copper away"
	if b := m.b.Holes[h.i]; b.What == board.MountHole && m.b.ScrewClear(b) > limit {
		limit, code, advice = m.b.ScrewClear(b), "check-screw-room", "keep the room for the screw's head and washer free"
	}
	for _, on := range geom.BothSides() {
		c := m.side[on]
		c.near(s, limit, all, func(j int, at meeting) {
			if below(at.gap, limit) {
				l.Add(diag.Error, code, "%s is %.3f mm from %s on the %v side, %.3f mm needed", m.nameOf(c.nodes[j]), mm(max(at.gap, 0)),
					m.holeName(h), on, limit.MM()).At(at.at.X.MM(), at.at.Y.MM()).Fix("%s", advice)
			}
		})
	}
}

// ring returns the narrowest copper round a plated hole, in nanometres; negative when the hole breaks out.
func (m *model) ring(h hole) (float64, bool) {
	if h.node < 0 {
		return 0, false
	}
	n := m.nodes[h.node]
	if n.kind == aVia {
		return float64(m.b.Vias[n.index].D-h.d) / 2, true
	}
	p := m.padOf(n)
	return float64(min(p.W, p.H)-h.d) / 2, true
}

func (m *model) holeName(h hole) string {
	switch {
	case h.node >= 0 && m.nodes[h.node].kind == aVia:
		return "the hole of " + m.nameOf(h.node)
	case h.node >= 0:
		return "the hole of pad " + m.padName(h.node)
	case m.b.Holes[h.i].What == board.MountHole:
		return "the mount hole"
	}
	return "the unplated hole"
}
