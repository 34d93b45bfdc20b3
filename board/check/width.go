package check

import (
	"math"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// auditTracks checks the width of tracks, and that each end of a track lies in other copper.
func (m *model) auditTracks() diag.List {
	var l diag.List
	for i, n := range m.nodes {
		if n.kind != aTrack {
			continue
		}
		t := m.b.Tracks[n.index]
		if t.Width < m.b.Rules.Track {
			l.Add(diag.Error, "check-thin-track", "%s is %v wide, %v needed", m.nameOf(i), t.Width, m.b.Rules.Track).
				OfNet(m.labelOf(i)).About("rules.thinnest_track").
				At(n.at.X.MM(), n.at.Y.MM()).Fix("make it wider")
		}
		for _, end := range [2]geom.Pt{t.Path[0], t.Path[len(t.Path)-1]} {
			m.auditEnd(&l, i, end)
		}
	}
	return l
}

// auditEnd judges one end of a track. Its middle should lie in other copper. Where only its round cap reaches some, the
// joint is as wide as the chord that a straight border cuts off the cap: 2·√(2rp − p²) at depth p.
func (m *model) auditEnd(l *diag.List, node int, end geom.Pt) {
	t := m.b.Tracks[m.nodes[node].index]
	c := m.side[t.On]
	other := func(j int) bool { return c.nodes[j] != node }
	if c.covering(end, other) >= 0 {
		return
	}
	depth := 0.0
	c.near(disc(end, t.Width), 0, other, func(_ int, at meeting) { depth = max(depth, -at.gap) })
	if depth == 0 {
		l.Add(diag.Warning, "check-dangling-end", "%s ends in nothing", m.nameOf(node)).
			OfNet(m.labelOf(node)).
			At(end.X.MM(), end.Y.MM()).Together("%d tracks end in nothing").Fix("take the loose piece away")
		return
	}
	r := float64(t.Width) / 2
	neck := 2 * r
	if depth < r {
		neck = 2 * math.Sqrt(max(0, float64(2*r*depth)-float64(depth*depth)))
	}
	if below(neck, m.b.Rules.Track) {
		l.Add(diag.Error, "check-thin-joint", "%s only brushes the copper at its end: the joint is about %.3f mm wide, %.3f mm needed",
			m.nameOf(node), mm(neck), m.b.Rules.Track.MM()).
			OfNet(m.labelOf(node)).About("rules.thinnest_track").At(end.X.MM(), end.Y.MM()).Fix("carry the track on into the copper")
	}
}

// auditVias tells of vias that join nothing on one of their sides.
func (m *model) auditVias() diag.List {
	var l diag.List
	busy := make([][2]bool, len(m.nodes))
	for _, c := range m.soft {
		busy[c.a][c.on], busy[c.b][c.on] = true, true
	}
	for i, n := range m.nodes {
		if n.kind == aVia && (!busy[i][0] || !busy[i][1]) {
			l.Add(diag.Warning, "check-idle-via", "%s joins copper on one side only", m.nameOf(i)).
				OfNet(m.labelOf(i)).
				At(n.at.X.MM(), n.at.Y.MM()).Together("%d vias join copper on one side only").Fix("take it away")
		}
	}
	return l
}

// sliver is the gap within one net's copper below which etching leaves a hair of copper or traps acid: half of the
// clearance between nets (common practice; from memory).
func (m *model) sliver() geom.Nm { return m.b.Rules.Clearance / 2 }

// auditAreas looks at each area for places narrower than Rules.Neck and gaps narrower than sliver.
//
// Two places p and q of the border are the two sides of a neck when the way between them runs through the copper, of a
// gap when it runs outside, and when the border from p to q is longer than thrice that way: nearer along the border they
// are merely the flanks of a corner (3 means a corner sharper than 39°, or a tooth longer than wide). Other copper of the
// net over the place fills it.
func (m *model) auditAreas() diag.List {
	var l diag.List
	for i, n := range m.nodes {
		if n.kind != anArea {
			continue
		}
		a := m.b.Areas[n.index]
		c := m.side[a.On]
		b := newBorder(a.Fill)
		filled := func(p geom.Pt) bool {
			return c.covering(p, func(j int) bool { return c.nodes[j] != i && m.touch.Least(c.nodes[j]) == m.touch.Least(i) }) >= 0
		}
		necks, gaps := b.narrow(m.watch, m.b.Rules.Neck, m.sliver())
		for _, p := range merged(necks, filled) {
			if below(p.gap, m.b.Rules.Neck) {
				l.Add(diag.Error, "check-thin-area", "%s is only %.3f mm wide here, %.3f mm needed", m.nameOf(i), mm(p.gap), m.b.Rules.Neck.MM()).
					OfNet(m.labelOf(i)).About("rules.thinnest_area").
					At(p.at.X.MM(), p.at.Y.MM()).Fix("widen the area or cut the narrow part away")
			}
		}
		for _, p := range merged(gaps, filled) {
			l.Add(diag.Warning, "check-sliver", "a gap of %.3f mm in %s is too narrow to etch clean", mm(p.gap), m.nameOf(i)).
				OfNet(m.labelOf(i)).About("rules.copper_gap").
				At(p.at.X.MM(), p.at.Y.MM()).Together("%d gaps within a net's copper are too narrow to etch clean").Fix("close the gap or widen it to %.3f mm", m.sliver().MM())
		}
	}
	return l
}

// merged drops places that other copper fills, and keeps the narrowest of those within half a millimetre.
func merged(ps []meeting, filled func(geom.Pt) bool) []meeting {
	var out []meeting
next:
	for _, p := range ps {
		if filled(p.at) {
			continue
		}
		for k := range out {
			if out[k].at.Dist(p.at) < float64(geom.Millimetre)/2 {
				if p.gap < out[k].gap {
					out[k] = p
				}
				continue next
			}
		}
		out = append(out, p)
	}
	return out
}
