// Package check proves a board from its geometry alone.
//
// In go a Board and the Wiring it was made for; out come findings, and a list without errors is the proof that the board
// is the circuit, whole and within Board.Rules. Lengths are geom.Nm in the panel frame. The names that tracks, vias and
// areas carry are not believed: copper that shares a point on a side is joined, plated holes join the sides, and which
// net it is follows from the pads it reaches. Pads, tracks, vias and holes are exact (discs run along segments, compared
// in whole nanometres); areas are the polygons they are; only arcs of the board's edge are flattened, to 0.2 µm.
//
// Limits hold to within a micrometre (slack); shorts, opens and holes off the board exactly.
//
// Whether the board can be built in is another question, which Mountable answers.
//
// Sound judges a board without its circuit: what copper, holes, masks and parts tell of themselves.
//
// Audit never sees the stages that place, route or fill, so that one mistake cannot pass both. It refuses boards that
// cannot be measured with check-malformed.
//
// BUG(lampblack): areas are taken to carry any current, however narrow they are (Rules.Neck is kept), and so are joints.
package check

// How it goes: newModel (model.go) makes nodes of the board's copper, one index for each side, and joins them (joins.go)
// twice: by touch, which is what a short needs, and firmly, which is what a connection needs. A cluster of touching nodes
// has the nets of its pads; more than one is a short, none an island. The audits that follow are independent of each
// other and only read the model. Shapes and exact gaps are in shape.go, the search in index.go, narrow places of areas in
// border.go.

import (
	"context"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// Audit judges b against the circuit it was made for. When ctx is done it returns at once, and what it returns means nothing.
func Audit(ctx context.Context, b board.Board, w led.Wiring) diag.List {
	if l := malformed(b, w); l.HasErrors() {
		return l.Sorted().Capped(most)
	}
	var l diag.List
	work.Until(ctx, func(watch *work.Watch) {
		m := newModel(watch, b, w)
		clusters := m.clusters()
		net := m.trueNets(clusters)
		watch.Look()
		l = append(l, m.auditNetlist()...)
		l = append(l, m.auditSpots()...)
		watch.Look()
		l = append(l, m.auditStrings()...)
		watch.Look()
		l = append(l, m.auditCurrents()...)
		l = append(l, m.sound(clusters, net)...)
	})
	return l.Sorted().Capped(most)
}

// Sound judges a board whose circuit nobody knows, as Audit does but for what only the circuit can tell: the nets are those
// that its pads carry. It measures it too, as Measure does. When ctx is done it returns at once, and what it returns means nothing.
func Sound(ctx context.Context, b board.Board) (l diag.List, f Figures) {
	if l := malformed(b, led.Wiring{}); l.HasErrors() {
		return l.Sorted().Capped(most), f
	}
	work.Until(ctx, func(watch *work.Watch) {
		m := newModel(watch, b, led.Wiring{})
		clusters := m.clusters()
		net := m.trueNets(clusters)
		l = m.sound(clusters, net)
		watch.Look()
		f = m.measured(net)
	})
	return l.Sorted().Capped(most), f
}

// sound is the audits that need no circuit.
func (m *model) sound(clusters []*cluster, net []netNo) diag.List {
	var l diag.List
	for _, audit := range []func() diag.List{
		m.auditShape,
		func() diag.List { return m.auditJoins(clusters) },
		func() diag.List { return m.auditClearance(net) },
		m.auditEdge,
		m.auditHoles,
		m.auditTracks,
		m.auditVias,
		m.auditAreas,
		func() diag.List { return m.auditMask(net) },
		m.auditParts,
		m.auditKeepout,
	} {
		m.watch.Look()
		l = append(l, audit()...)
	}
	return l
}

// most is how many findings of one code are told one by one.
const most = 300
