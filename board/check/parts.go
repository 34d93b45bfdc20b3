package check

import (
	"math"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// auditParts checks that parts have room: courtyards apart on each side, leads clear of parts on the far side, bodies on
// the board, off the keep-outs, and off the screws.
func (m *model) auditParts() diag.List {
	var l diag.List
	yards := make([]shape, len(m.b.Parts))
	for i, p := range m.b.Parts {
		yards[i] = ringShape(p.Courtyard)
	}
	x := newIndex(yards)
	for i, p := range m.b.Parts {
		at := p.At
		x.near(yards[i], 0, func(j int) bool { return j > i && m.b.Parts[j].On == p.On }, func(j int, _ meeting) {
			q := m.b.Parts[j]
			if over := common(p.Courtyard, q.Courtyard); over != nil {
				if p.Kind == board.LED && q.Kind == board.LED && common(p.Body, q.Body) == nil {
					l.Add(diag.Note, "check-courtyard", "%s and %s stand nearer to each other than their courtyards, but do not touch", p.Ref, q.Ref).
						OfPart(p.Ref).Together("%d pairs of LEDs stand nearer to each other than their courtyards, but do not touch").
						At(over.X.MM(), over.Y.MM()).Fix("see that both can be put in and soldered")
					return
				}
				l.Add(diag.Error, "check-courtyard", "%s and %s have no room beside each other on the %v side", p.Ref, q.Ref, p.On).
					OfPart(p.Ref).
					At(over.X.MM(), over.Y.MM()).Fix("move them apart")
			}
		})
		m.auditBody(&l, p)
		auditPads(&l, p, yards[i])
		for _, pad := range p.Pads {
			if !pad.Through {
				continue
			}
			s := padShape(pad, 0)
			x.near(s, 0, func(j int) bool { return j != i && m.b.Parts[j].On != p.On }, func(j int, k meeting) {
				if k.gap < 0 || yards[j].poly.Locate(pad.At) == geom.Inside {
					l.Add(diag.Error, "check-lead-under-part", "the lead of %s.%s comes out under %s", p.Ref, pad.Pin, m.b.Parts[j].Ref).
						OfPart(p.Ref).
						At(pad.At.X.MM(), pad.At.Y.MM()).Fix("move one of them")
				}
			})
		}
		body := ringShape(p.Body) // its pads are copper, and checked as such
		for _, h := range m.b.Holes {
			if h.What != board.MountHole || len(body.segs) == 0 {
				continue
			}
			if gap, _ := body.gapTo(disc(h.At, h.D)); below(gap, m.b.ScrewClear(h)) {
				l.Add(diag.Error, "check-part-at-screw", "%s is %.3f mm from a mount hole, the screw's head needs %.3f mm", p.Ref,
					mm(max(gap, 0)), m.b.ScrewClear(h).MM()).
					OfPart(p.Ref).About("rules.screw_room").At(at.X.MM(), at.Y.MM()).Fix("move the part away")
			}
		}
	}
	for _, s := range m.b.Spots {
		x.near(disc(s.At, s.D), 0, func(j int) bool { return m.b.Parts[j].On == s.On }, func(j int, k meeting) {
			if k.gap <= 0 || yards[j].poly.Locate(s.At) == geom.Inside {
				l.Add(diag.Error, "check-spot-covered", "%s lies under %s, where neither a tip nor a camera comes", s.Name(), m.b.Parts[j].Ref).
					OfPart(m.b.Parts[j].Ref).At(s.At.X.MM(), s.At.Y.MM()).Fix("move one of them")
			}
		})
	}
	return l
}

// auditPads checks that a part's pads are where the part is: within its courtyard, and those of an LED or resistor evenly
// about its middle. Which footprint a part has is not known here, but both hold for every one of them.
func auditPads(l *diag.List, p board.Part, yard shape) {
	for _, d := range p.Pads {
		if len(yard.segs) > 0 && yard.poly.Locate(d.At) == geom.Outside {
			l.Add(diag.Error, "check-pad-place", "pad %s of %s lies outside the part", d.Pin, p.Ref).
				OfPart(p.Ref).
				At(d.At.X.MM(), d.At.Y.MM()).Fix("move the pad back")
		}
	}
	if p.Kind == board.Connector || len(p.Pads) != 2 {
		return
	}
	a, b := p.Pads[0].At, p.Pads[1].At
	if mid := (geom.Pt{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}); mid.Dist(p.At) > float64(slack) {
		l.Add(diag.Error, "check-pad-place", "the pads of %s do not sit evenly about its middle: %.3f mm off", p.Ref, mm(mid.Dist(p.At))).
			OfPart(p.Ref).
			At(mid.X.MM(), mid.Y.MM()).Fix("move the pads back")
	}
}

func ringShape(r geom.Ring) shape {
	if len(r) < 3 {
		return shape{box: geom.EmptyBox()}
	}
	return solid(geom.Polygon{Outer: r})
}

// speck is an overlap too small to matter, in mm²: what rounding leaves along a common border.
const speck = 1e-6

// common returns a point of the overlap of two rings, nil when they share no more than a border.
func common(a, b geom.Ring) *geom.Pt {
	over := geom.NewRegion(a).And(geom.NewRegion(b))
	if over.Area() <= speck {
		return nil
	}
	c := over.Box().Centre()
	return &c
}

// auditBody checks where a part's body is. Its middle must be on the board. A body that reaches over the edge is a
// warning, and for a connector nothing at all, since its wires leave there; one that reaches into a body or opening of
// the panel is an error.
func (m *model) auditBody(l *diag.List, p board.Part) {
	x, y := p.At.X.MM(), p.At.Y.MM()
	body := ringShape(p.Body)
	switch {
	case m.edge.material.Locate(p.At) == geom.Outside:
		l.Add(diag.Error, "check-part-off-board", "%s lies outside the board", p.Ref).
			OfPart(p.Ref).At(x, y).Fix("move it onto the board")
	case p.Kind != board.Connector && len(body.segs) > 0:
		over := m.edge.offBoard(body) != nil
		m.edge.near(body, 0, all, func(_ int, at meeting) { over = over || at.gap <= 0 && m.crossesEdge(p.Body) })
		if over {
			l.Add(diag.Warning, "check-part-overhang", "%s reaches over the board's edge", p.Ref).
				OfPart(p.Ref).At(x, y).Together("%d parts reach over the board's edge").Fix("move it inward, unless it is meant to")
		}
	}
	m.keep.near(body, 0, all, func(k int, at meeting) {
		if over := common(p.Body, m.keepRing(k)); over != nil {
			l.Add(diag.Error, "check-part-in-keepout", "%s reaches into a body or opening of the panel", p.Ref).
				OfPart(p.Ref).
				At(over.X.MM(), over.Y.MM()).Fix("move it away")
		}
	})
}

// crossesEdge reports whether a ring runs over the board's edge by more than a speck.
func (m *model) crossesEdge(r geom.Ring) bool {
	return geom.NewRegion(r).Minus(m.b.Material()).Area() > speck
}

func (m *model) keepRing(k int) geom.Ring { return m.b.Keepout[k].Ring(geom.FlattenTolerance) }

// auditKeepout checks that no board and no copper is where the panel has a body or an opening.
func (m *model) auditKeepout() diag.List {
	var l diag.List
	if len(m.b.Keepout) == 0 {
		return l
	}
	material := m.b.Material()
	for k, c := range m.b.Keepout {
		at := c.Box().Centre()
		// The board may come as near as the shape stage's rounding lets it.
		if over := material.And(geom.NewRegion(m.keepRing(k)).Shrunk(slack)); over.Area() > speck {
			at = over.Box().Centre()
			l.Add(diag.Error, "check-board-in-keepout", "the board reaches into a body or opening of the panel by %.2f mm²", over.Area()).
				At(at.X.MM(), at.Y.MM()).Fix("cut the board back")
		}
	}
	for _, on := range geom.BothSides() {
		c := m.side[on]
		for i, s := range c.shapes {
			m.keep.near(s, 0, all, func(_ int, at meeting) {
				if at.gap <= 0 {
					l.Add(diag.Error, "check-copper-in-keepout", "%s reaches into a body or opening of the panel", m.nameOf(c.nodes[i])).
						OfNet(m.labelOf(c.nodes[i])).
						At(at.at.X.MM(), at.at.Y.MM()).Fix("move it away")
				}
			})
		}
	}
	return l
}

// auditShape checks the board's own edge: closed curves that do not cross, cutouts inside, mount holes' room.
func (m *model) auditShape() diag.List {
	var l diag.List
	for i, s := range m.edge.shapes {
		what := "the board's outline"
		if i > 0 {
			what = "a cutout"
			if p := s.segs[0].A; geom.NewLocator(geom.Polygon{Outer: m.b.Outline.Ring(fineFlat)}).Locate(p) != geom.Inside {
				l.Add(diag.Error, "check-cutout-outside", "a cutout lies outside the board").At(p.X.MM(), p.Y.MM()).Fix("move or remove it")
			}
		}
		if at, bad := selfCrossing(s.segs); bad {
			l.Add(diag.Error, "check-outline-crosses", "%s crosses itself", what).At(at.X.MM(), at.Y.MM()).Fix("draw it anew")
		}
		m.edge.near(s, 0, func(j int) bool { return j > i }, func(_ int, at meeting) {
			if at.gap <= 0 {
				l.Add(diag.Error, "check-outline-crosses", "%s meets another edge of the board", what).
					At(at.at.X.MM(), at.at.Y.MM()).Fix("join them to one edge or move them apart")
			}
		})
	}
	return l
}

// selfCrossing finds two edges of a ring that share a point and are not neighbours.
func selfCrossing(segs []geom.Segment) (geom.Pt, bool) {
	pieces := make([]shape, len(segs))
	for i, s := range segs {
		pieces[i] = shape{segs: []geom.Segment{s}, box: s.Box()}
	}
	x := newIndex(pieces)
	n := len(segs)
	at, bad := geom.Pt{}, false
	for i := range pieces {
		x.near(pieces[i], 0, func(j int) bool { return j > i+1 && (j+1)%n != i }, func(_ int, k meeting) {
			if k.gap <= 0 && !bad {
				at, bad = k.at, true
			}
		})
	}
	return at, bad
}

// finite reports whether v is a number that can be measured with.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
