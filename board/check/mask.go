package check

import (
	"math"
	"slices"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// openings is the soldermask openings of one side.
type openings struct {
	nodes []int // the pad of each
	*index
}

func (m *model) openings(on geom.Side) openings {
	var o openings
	var shapes []shape
	for i, n := range m.nodes {
		if n.kind != aPad {
			continue
		}
		if p := m.padOf(n); p.OnSide(on) {
			o.nodes = append(o.nodes, i)
			shapes = append(shapes, padShape(p, p.Mask))
		}
	}
	o.index = newIndex(shapes)
	return o
}

// auditMask checks that soldermask frees every pad, frees no other net's copper, and leaves a web between openings; and
// that silkscreen stays off the openings.
func (m *model) auditMask(net []netNo) diag.List {
	var l diag.List
	r := m.b.Rules
	for i, n := range m.nodes {
		if n.kind != aPad {
			continue
		}
		p := m.padOf(n)
		x, y := p.At.X.MM(), p.At.Y.MM()
		switch {
		case p.Mask < 0:
			l.Add(diag.Error, "check-mask-covers-pad", "soldermask covers pad %s or a part of it", m.padName(i)).
				OfPart(m.refOf(i)).OfNet(m.labelOf(i)).
				At(x, y).Fix("open the mask at least as far as the pad's copper")
		case below(float64(p.Mask), r.MaskMargin):
			l.Add(diag.Warning, "check-mask-beyond-pad", "the mask opening of pad %s is %v larger than its copper, %v is usual", m.padName(i), p.Mask, r.MaskMargin).
				OfPart(m.refOf(i)).About("rules.mask_beyond_pad").
				At(x, y).Fix("make the opening larger")
		}
	}
	for _, on := range geom.BothSides() {
		o, c := m.openings(on), m.side[on]
		for i, s := range o.shapes {
			pad := o.nodes[i]
			c.near(s, 0, func(j int) bool { return net[c.nodes[j]] != net[pad] }, func(j int, at meeting) {
				if at.gap <= 0 {
					l.Add(diag.Error, "check-mask-exposes", "the mask opening of pad %s on the %v side also bares %s", m.padName(pad), on,
						m.nameOf(c.nodes[j])).
						OfPart(m.refOf(pad)).OfNet(m.labelOf(c.nodes[j])).At(at.at.X.MM(), at.at.Y.MM()).Fix("move the copper away or make the opening smaller")
				}
			})
			o.near(s, r.MaskWeb, func(j int) bool { return j > i && net[o.nodes[j]] != net[pad] }, func(j int, at meeting) {
				if below(at.gap, r.MaskWeb) {
					l.Add(diag.Error, "check-mask-between-pads", "only %.3f mm of soldermask stands between pads %s and %s on the %v side, %.3f mm needed",
						mm(max(at.gap, 0)), m.padName(pad), m.padName(o.nodes[j]), on, r.MaskWeb.MM()).
						OfPart(m.refOf(pad)).About("rules.mask_between_pads").
						At(at.at.X.MM(), at.at.Y.MM()).Fix("move the pads apart or make their openings smaller")
				}
			})
		}
		m.auditLegend(&l, on, o)
	}
	return l
}

// auditLegend checks the silkscreen of one side: ink on a pad or beside the board is an error, ink too near or too thin
// a warning, because board houses clip the one and widen the other.
func (m *model) auditLegend(l *diag.List, on geom.Side, o openings) {
	r := m.b.Rules
	m.auditLegendWidth(l, on)
	m.auditPrint(l, on)
	holes := make([]shape, len(m.holes))
	for i, h := range m.holes {
		holes[i] = disc(h.at, h.d)
	}
	drilled := newIndex(holes)
	for _, s := range m.ink(on) {
		near := func(gap float64, at geom.Pt, what, code string) {
			switch {
			case gap <= 0:
				l.Add(diag.Error, code, "silkscreen on the %v side runs over %s", on, what).
					At(at.X.MM(), at.Y.MM()).Fix("move it away")
			case below(gap, r.LegendClear):
				l.Add(diag.Warning, "check-legend-gap", "silkscreen on the %v side is %.3f mm from %s, %.3f mm needed", on, mm(gap), what,
					r.LegendClear.MM()).
					About("rules.legend_gap").At(at.X.MM(), at.Y.MM()).Fix("move it away").
					Together("silkscreen is too near a pad or hole in %d places")
			}
		}
		o.near(s, r.LegendClear, all, func(j int, at meeting) {
			near(at.gap, at.at, "the opening of pad "+m.padName(o.nodes[j]), "check-legend-on-pad")
		})
		drilled.near(s, r.LegendClear, func(j int) bool { return m.holes[j].node < 0 || m.nodes[m.holes[j].node].kind == aVia },
			func(j int, at meeting) {
				if m.holes[j].node >= 0 && at.gap <= 0 { // mask covers vias: ink there is only ugly
					l.Add(diag.Warning, "check-legend-on-via", "silkscreen on the %v side runs over %s", on, m.holeName(m.holes[j])).
						At(at.at.X.MM(), at.at.Y.MM()).Fix("move it away")
					return
				}
				near(at.gap, at.at, m.holeName(m.holes[j]), "check-legend-on-hole")
			})
		if off := m.edge.offBoard(s); off != nil {
			near(0, *off, "the board's edge", "check-legend-off-board")
			continue
		}
		worst := meeting{gap: math.Inf(1)}
		m.edge.near(s, r.LegendClear, all, func(_ int, at meeting) {
			if at.gap < worst.gap {
				worst = at
			}
		})
		near(worst.gap, worst.at, "the board's edge", "check-legend-off-board")
	}
}

// ink returns the shapes of all silkscreen of a side: the board's and the parts'.
func (m *model) ink(on geom.Side) []shape {
	var out []shape
	for _, k := range m.strokes(on) {
		out = append(out, stroke(k.Path, k.Width))
	}
	for _, k := range m.b.Ink {
		if k.On == on {
			out = append(out, solid(k.Fill))
		}
	}
	return out
}

// strokes returns the lines of a side's silkscreen.
func (m *model) strokes(on geom.Side) []board.Stroke {
	var out []board.Stroke
	add := func(ks []board.Stroke) {
		for _, k := range ks {
			if k.On == on {
				out = append(out, k)
			}
		}
	}
	add(m.b.Legend)
	for _, p := range m.b.Parts {
		add(p.Marks)
	}
	return out
}

// auditPrint checks that no silkscreen area runs over the lines of its side: marks of polarity and names could not be told from it.
func (m *model) auditPrint(l *diag.List, on geom.Side) {
	var lines []shape
	for _, k := range m.strokes(on) {
		lines = append(lines, stroke(k.Path, k.Width))
	}
	x := newIndex(lines)
	for _, k := range m.b.Ink {
		if k.On != on {
			continue
		}
		worst := meeting{gap: math.Inf(1)}
		x.near(solid(k.Fill), 0, all, func(_ int, at meeting) {
			if at.gap < worst.gap {
				worst = at
			}
		})
		if worst.gap <= 0 {
			l.Add(diag.Error, "check-print-on-legend", "a printed area on the %v side runs over lines of the silkscreen, which may be marks or names", on).
				At(worst.at.X.MM(), worst.at.Y.MM()).Together("printed areas run over lines of the silkscreen in %d places").Fix("cut it clear of them")
		}
	}
}

// unpainted reports whether there is a place of the area at a point, or as far from it as reach, that is not painted.
func unpainted(area geom.Polygon, painted geom.Region, at geom.Pt, reach geom.Nm) bool {
	near := []geom.Pt{at}
	for _, d := range [][2]geom.Nm{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}} {
		near = append(near, at.Add(geom.Vec{X: d[0] * reach, Y: d[1] * reach}))
	}
	whole := geom.Region{area}
	return slices.ContainsFunc(near, func(p geom.Pt) bool { return whole.Locate(p) == geom.Inside && painted.Locate(p) == geom.Outside })
}

// auditLegendWidth checks that no line of a side's silkscreen, and no place of its areas, is too narrow to print.
func (m *model) auditLegendWidth(l *diag.List, on geom.Side) {
	least := m.b.Rules.LegendWidth
	for _, k := range m.strokes(on) {
		if k.Width < least {
			l.Add(diag.Warning, "check-legend-width", "a silkscreen line on the %v side is %v wide, %v needed", on, k.Width, least).
				About("rules.legend_width").
				Together("%d silkscreen lines are too narrow to print").At(k.Path[0].X.MM(), k.Path[0].Y.MM()).Fix("draw it wider")
		}
	}
	for _, k := range m.b.Ink {
		if k.On != on {
			continue
		}
		necks, _ := newBorder(k.Fill).narrow(m.watch, least, 0)
		necks = merged(necks, func(geom.Pt) bool { return false })
		// Two wide things that just touch are no thin one: what a round pen of that width can paint is wide enough. It reaches a
		// little into the mouth of a passage, which is where a neck is found, so that one looks round that too.
		var painted geom.Region
		if len(necks) > 0 {
			painted = geom.Region{k.Fill}.Opened(least/2 - slack)
		}
		for _, p := range necks {
			if below(p.gap, least) && unpainted(k.Fill, painted, p.at, least) {
				l.Add(diag.Warning, "check-legend-width", "a silkscreen area on the %v side is %.3f mm wide here, %v needed", on, mm(p.gap), least).
					About("rules.legend_width").
					Together("%d silkscreen lines are too narrow to print").At(p.at.X.MM(), p.at.Y.MM()).Fix("draw it wider")
			}
		}
	}
}
