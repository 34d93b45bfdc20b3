package inspect

import (
	"slices"

	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// points compares the netlist's records with holes and lands: each hole that it tells is drilled, with that width and
// plating, each hole that is drilled is told, and lands have the size that it tells. Nets, parts and pins were compared when the
// pack was opened.
func (p *inspector) points() {
	n := p.pack.Netlist
	if !p.pack.HasNetlist {
		if p.own {
			p.fail("inspect-no-netlist", "the pack has no netlist: the board house cannot test the bare board").Fix("write the pack anew")
		} else {
			p.cannot("whether the copper is what was designed", "the pack has no netlist (IPC-D-356A)")
		}
		return
	}
	// A record tells a width to 0.001 mm or 0.0001 inch.
	const tol = 4 * geom.Micrometre
	const advice = "netlist and drill files are of different boards or runs: write the pack anew"
	told := readback.Grid{}
	unplated := false
	for i, t := range n.Points {
		told.Put(t.At, i)
		if t.Hole == 0 {
			continue
		}
		unplated = unplated || !t.Plated
		name := t.Ref
		if t.Pin != "" {
			name += "-" + t.Pin
		}
		if name == "" {
			name = "a hole"
		}
		h, ok := p.holeOf(t.At)
		if !ok {
			h, ok = p.tornOf(t.At)
		}
		switch {
		case !ok:
			p.fail("inspect-netlist-hole", "the netlist tells of a hole of %v for %s that no file drills", t.Hole, name).At(t.At.X.MM(), t.At.Y.MM()).
				In(p.kind("netlist"), t.Line).Together("the netlist tells of %d holes that no file drills").Fix(advice)
		case h.plated != t.Plated:
			p.fail("inspect-netlist-plating", "%s is plated by one of netlist and drill file, not by the other", name).At(t.At.X.MM(), t.At.Y.MM()).
				In(p.kind("netlist"), t.Line).Together("%d holes are plated by one of netlist and drill file, not by the other").Fix(advice)
		case far(h.d, t.Hole, tol):
			p.fail("inspect-netlist-drill", "the hole of %s is %v wide by the netlist and %v by the drill file", name, t.Hole, h.d).At(t.At.X.MM(), t.At.Y.MM()).
				In(p.kind("netlist"), t.Line).Together("%d holes are of another width by the netlist").Fix(advice)
		}
	}
	for _, h := range slices.Concat(p.holes, p.torn) {
		if !h.plated && !unplated {
			continue // it tells of plated holes alone
		}
		if !told.Has(h.at) {
			p.fail("inspect-netlist-no-hole", "a hole of %v is drilled that the netlist does not know", h.d).At(h.at.X.MM(), h.at.Y.MM()).
				Together("%d holes are drilled that the netlist does not know").Fix(advice)
		}
	}
	if p.own {
		p.sizes(tol)
	}
	p.did("netlist against copper and holes")
}

// sizes compares the lands' sizes.
func (p *inspector) sizes(tol geom.Nm) {
	for _, t := range p.pack.Netlist.Points {
		if t.Op == 367 || t.W == 0 {
			continue
		}
		p.landAt.At(t.At, func(i int) bool {
			d := p.lands[i]
			if !t.On(d.on) {
				return false
			}
			if d.a.Slant != (t.Turn%90 == 45) {
				p.fail("inspect-netlist-land", "the land of %s-%s is turned by %d degrees by the netlist and otherwise on copper", t.Ref, t.Pin, t.Turn).OfPart(t.Ref).
					At(t.At.X.MM(), t.At.Y.MM()).Together("%d lands are turned otherwise by the netlist").Fix("netlist and copper are of different boards or runs: write the pack anew")
			}
			if far(d.a.W, t.W, tol) || d.a.Shape != export.Circle && far(d.a.H, t.H, tol) {
				p.fail("inspect-netlist-land", "the land of %s-%s is %v wide by the netlist and %v on copper", t.Ref, t.Pin, t.W, d.a.W).OfPart(t.Ref).
					At(t.At.X.MM(), t.At.Y.MM()).Together("%d lands are of another size by the netlist").Fix("netlist and copper are of different boards or runs: write the pack anew")
			}
			return false
		})
	}
}

// kind returns the name of the first file of a kind.
func (p *inspector) kind(k string) string {
	for _, e := range p.pack.Files {
		if e.Kind == k {
			return e.Name
		}
	}
	return ""
}

// edges compares the curves of the profile with those of the netlist: the same number, each with its like, the box to within
// a tenth of a millimetre and the area to within that along its length. Netlists of others tell the outline alone.
func (p *inspector) edges() {
	const near = 100 * geom.Micrometre
	var profile, told []geom.Ring
	for _, c := range p.pack.Artwork.Edges() {
		profile = append(profile, c.Ring(geom.FlattenTolerance))
	}
	for _, e := range p.pack.Netlist.Edges {
		if len(e) > 3 && e[0] == e[len(e)-1] {
			told = append(told, geom.Ring(e[:len(e)-1]))
		}
	}
	if len(told) == 0 || !p.own && len(told) < len(profile) {
		return
	}
	alike := func(a, b geom.Ring) bool {
		x, y := a.Box(), b.Box()
		d := a.Area() - b.Area()
		return x.Grown(near).Union(y) == x.Grown(near) && y.Grown(near).Union(x) == y.Grown(near) && max(d, -d) <= a.Perimeter()*near.MM()
	}
	taken := make([]bool, len(told))
	const advice = "netlist and profile are of different boards or runs: write the pack anew"
next:
	for _, r := range profile {
		for k, e := range told {
			if !taken[k] && alike(r, e) {
				taken[k] = true
				continue next
			}
		}
		c := r.Box()
		p.fail("inspect-edge-not-told", "the profile has a curve of %.2f x %.2f mm that the netlist does not have", c.W().MM(), c.H().MM()).
			At(c.Centre().X.MM(), c.Centre().Y.MM()).Fix(advice)
	}
	for k, e := range told {
		if !taken[k] {
			c := e.Box()
			p.fail("inspect-edge-gone", "the netlist has an edge of %.2f x %.2f mm that the profile does not have", c.W().MM(), c.H().MM()).
				At(c.Centre().X.MM(), c.Centre().Y.MM()).Fix(advice)
		}
	}
	p.did("edge and cut-outs")
}
