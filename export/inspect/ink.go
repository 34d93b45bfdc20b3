package inspect

import (
	"slices"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/export"
	"lampblack/panel/geom"
)

// ink compares the silkscreen with the parts: what it prints of a footprint must be what tells its two ways round apart, on
// the right side. Lines that look alike after half a turn say nothing; of the others at least a part must be there, since
// lines are cut clear of pads, and more of it than of the same lines turned round.
func (p *inspector) ink() {
	if !p.own || !p.raised {
		return
	}
	judged, turned := 0, 0
	var unseen []component
	for _, c := range p.fitted {
		if c.Component == nil || !c.main {
			continue
		}
		fp, ok := footprint.Lookup(c.Footprint)
		if _, printed := p.pack.Artwork.Layer(export.SilkscreenTop + export.Function(c.on)); !ok || !printed {
			continue
		}
		if !p.inkNear(c) {
			p.fail("inspect-ink-absent", "nothing is printed within %v of %s, not even its name", inkReach, c.ref).OfPart(c.ref).At(c.at.X.MM(), c.at.Y.MM()).
				Together("nothing is printed near %d parts, not even their names").Fix("silkscreen and copper are of different boards or runs, or not aligned: write the pack anew")
		}
		turn := int(c.Rotation) // a part that is turned by no multiple of 45 degrees is told before
		if turn%45 != 0 {
			continue
		}
		right, wrong := dots(fp, c, turn), dots(fp, c, turn+180)
		own, other := p.printable(apart(right, wrong), c), p.printable(apart(wrong, right), c)
		if len(own) == 0 {
			continue
		}
		judged++
		box := geom.EmptyBox()
		for _, q := range append(right, wrong...) {
			box = box.With(q)
		}
		var near []board.Stroke
		for _, s := range p.board.Legend {
			if s.On == c.on && s.Path.Box().Grown(s.Width).Touches(box) {
				near = append(near, s)
			}
		}
		a, b := inked(own, near), inked(other, near)
		switch {
		case b > 0.8 && a < leastInk:
			turned++
			p.fail("inspect-ink-turned", "the silkscreen shows %s the other way round than its pads", c.ref).OfPart(c.ref).
				At(c.at.X.MM(), c.at.Y.MM()).Fix("silkscreen and copper are of different boards or runs: write the pack anew")
		case a < leastInk:
			unseen = append(unseen, c)
		}
	}
	// Between parts that stand close there may be no room for the one or the other mark.
	if len(unseen) > 0 && 2*(len(unseen)+turned) > judged {
		for _, c := range unseen {
			p.fail("inspect-ink-missing", "the silkscreen does not show which way round %s goes", c.ref).OfPart(c.ref).
				At(c.at.X.MM(), c.at.Y.MM()).Together("the silkscreen does not show of %d parts which way round they go").
				Fix("silkscreen and copper are of different boards or runs, or not aligned: write the pack anew")
		}
	}
	if judged > 0 {
		p.did("polarity marks")
	}
}

// inkReach is how far from its pins a part has ink: where nothing else is as near, there was room for its name.
const inkReach = 4 * geom.Millimetre

// inkNear reports whether anything is printed near a part, on its side.
func (p *inspector) inkNear(c component) bool {
	box := geom.EmptyBox()
	for _, pin := range c.pins {
		box = box.With(pin.To)
	}
	box = box.Grown(inkReach)
	return slices.ContainsFunc(p.board.Legend, func(s board.Stroke) bool { return s.On == c.on && s.Path.Box().Touches(box) }) ||
		slices.ContainsFunc(p.board.Ink, func(k board.Ink) bool { return k.On == c.on && k.Fill.Outer.Box().Touches(box) })
}

// leastInk is the share of a footprint's telling lines that must be printed.
const leastInk = 0.3

// dots returns points along a footprint's lines, 0.1 mm apart.
func dots(fp footprint.Footprint, c component, turn int) []geom.Pt {
	var out []geom.Pt
	for _, m := range fp.Place(c.ref, board.LED, c.at, turn, c.on, 0).Marks {
		for _, s := range m.Path.Segments() {
			n := int(s.Len()/float64(geom.Millimetre/10)) + 1
			for k := 0; k <= n; k++ {
				d := s.B.Sub(s.A)
				out = append(out, s.A.Add(geom.Vec{X: d.X * geom.Nm(k) / geom.Nm(n), Y: d.Y * geom.Nm(k) / geom.Nm(n)}))
			}
		}
	}
	return out
}

// printable returns the points that are clear of the part's own pads, where no ink may be.
func (p *inspector) printable(pts []geom.Pt, c component) []geom.Pt {
	const clear = 250 * geom.Micrometre // footprints draw their marks 0.28 mm away
	return slices.DeleteFunc(pts, func(q geom.Pt) bool {
		return slices.ContainsFunc(c.pins, func(pin export.Object) bool {
			return p.padAt.Near(pin.To, placed, func(i int) bool {
				d := p.pads[i]
				if d.Slant {
					r := rectangle(d.To, d.Aperture)
					return r.Locate(q) != geom.Outside || r.DistTo(q) <= float64(clear)
				}
				across := geom.Vec{X: d.W / 2, Y: height(d.Aperture) / 2}
				return geom.BoxOf(d.To.Add(across.Neg()), d.To.Add(across)).Grown(clear).Contains(q)
			})
		})
	})
}

// apart returns the points of a that are 0.2 mm or more from all of b.
func apart(a, b []geom.Pt) []geom.Pt {
	const clear = geom.Millimetre / 5
	var out []geom.Pt
next:
	for _, p := range a {
		for _, q := range b {
			if p.Dist(q) < float64(clear) {
				continue next
			}
		}
		out = append(out, p)
	}
	return out
}

// inked returns the share of the points that lie on strokes.
func inked(pts []geom.Pt, strokes []board.Stroke) float64 {
	n := 0
next:
	for _, q := range pts {
		for _, s := range strokes {
			reach := float64(s.Width/2 + 20*geom.Micrometre)
			if len(s.Path) == 1 && s.Path[0].Dist(q) <= reach {
				n++
				continue next
			}
			for _, seg := range s.Path.Segments() {
				if seg.DistTo(q) <= reach {
					n++
					continue next
				}
			}
		}
	}
	return float64(n) / float64(max(1, len(pts)))
}

// height returns how far a flash reaches along Y.
func height(a export.Aperture) geom.Nm {
	if a.Shape == export.Circle {
		return a.W
	}
	return a.H
}
