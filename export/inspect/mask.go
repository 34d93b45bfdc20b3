package inspect

import (
	"fmt"

	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// masks compares the soldermask with what lies under its openings. That every pad is open, in its shape, is judged with the
// board; here every opening must have a reason, a pad, a hole or a fiducial, and every unplated hole be open.
func (p *inspector) masks() {
	var have [2]bool
	for _, side := range geom.BothSides() {
		l, ok := p.pack.Artwork.Layer(export.SoldermaskTop + export.Function(side))
		if !ok {
			continue
		}
		have[side] = true
		open, openings, large := readback.Grid{}, []opening{}, 0
		for _, o := range l.Objects {
			at, a, ok := readback.LandOf(l, o)
			if !ok {
				large++
				continue
			}
			open.Put(at, len(openings))
			openings = append(openings, opening{at, a})
			p.opening(at, a, side)
		}
		if large > 0 && !p.own { // of ours it was told by raise
			p.cannot(fmt.Sprintf("soldermask of the %v side that is painted in another way than pad by pad", side), "it cannot be told which opening is whose")
		}
		freed := 0
		var shut *hole
		for i, h := range p.holes {
			if h.plated {
				continue
			}
			if open.At(h.at, func(k int) bool { return openings[k].a.W >= h.d }) {
				freed++
			} else if shut == nil {
				shut = &p.holes[i]
			}
		}
		if shut != nil && (p.own || freed > 0) {
			p.doubt("inspect-mask-over-hole", "the soldermask of the %v side is not open over the unplated hole of %v", side, shut.d).
				At(shut.at.X.MM(), shut.at.Y.MM()).Fix("mask and drill files are of different boards or runs, or the hole is too large: write the pack anew")
		}
		if large == 0 || p.own {
			p.uncovered(side, open, openings)
		}
	}
	switch {
	case have[0] && have[1] && p.raised:
		p.did("soldermask")
	case have[0] && have[1]:
		p.did("soldermask at pads and holes")
		if !p.own {
			p.cannot("whether the soldermask bares copper of other nets", "the pack could not be raised to a board")
		}
	case have[0] != have[1]:
		missing := geom.Top
		if have[geom.Top] {
			missing = geom.Bottom
		}
		p.fail("inspect-mask-missing", "there is soldermask for one side only: the layer %v is missing", export.SoldermaskTop+export.Function(missing)).
			Fix("add it")
	case p.own:
		p.fail("inspect-mask-missing", "the pack has no soldermask").Fix("add both layers")
	}
}

// opening is one of the soldermask.
type opening struct {
	at geom.Pt
	a  export.Aperture
}

// opening judges what is under one opening.
func (p *inspector) opening(q geom.Pt, a export.Aperture, side geom.Side) {
	if p.under(q, side) >= 0 || p.fiducials.Has(q) {
		return
	}
	if h, ok := p.holeOf(q); ok {
		if a.W < h.d {
			p.doubt("inspect-mask-over-hole", "the soldermask of the %v side opens %v over a hole of %v", side, a.W, h.d).
				At(q.X.MM(), q.Y.MM()).Fix("make the opening larger, or the hole smaller")
		}
		return
	}
	p.doubt("inspect-opening-over-nothing", "the soldermask of the %v side is open where there is neither a pad nor a hole", side).
		At(q.X.MM(), q.Y.MM()).Together("soldermask is open over neither pad nor hole in %d places").
		Fix("a hole or a pad is missing there, or the layers are of different boards or not aligned")
}

// uncovered checks that no pad of a pin is left covered, or mostly so, for the case that no board could be raised. Where copper
// names no pins the netlist does.
func (p *inspector) uncovered(side geom.Side, open readback.Grid, openings []opening) {
	if p.raised {
		return
	}
	covered := func(q geom.Pt, ref, pin string) {
		best := 0.0
		open.At(q, func(k int) bool { best = max(best, area(openings[k].a)); return false })
		switch i := p.under(q, side); {
		case best == 0:
			p.fail("inspect-mask-covers-pad", "the soldermask of the %v side covers pad %s-%s", side, ref, pin).OfPart(ref).
				At(q.X.MM(), q.Y.MM()).Together("soldermask covers %d pads").Fix("open it")
		case i >= 0 && 2*best < area(p.lands[i].a):
			p.fail("inspect-mask-covers-pad", "the soldermask of the %v side leaves less than half of pad %s-%s open", side, ref, pin).OfPart(ref).
				At(q.X.MM(), q.Y.MM()).Together("soldermask covers %d pads").Fix("open it over the whole pad")
		}
	}
	for _, d := range p.pads {
		if d.on == side {
			covered(d.To, d.Ref, d.Pin)
		}
	}
	if len(p.pads) > 0 {
		return
	}
	for _, t := range p.pack.Netlist.Points {
		if t.Op != 367 && t.On(side) && t.Ref != "" && t.Ref != "VIA" && p.under(t.At, side) >= 0 {
			covered(t.At, t.Ref, t.Pin)
		}
	}
}

// paste compares the paste with the pads of surface parts: on each of them, on nothing else, and no larger than the pad.
func (p *inspector) paste() {
	surface := false
	for _, side := range geom.BothSides() {
		l, ok := p.pack.Artwork.Layer(export.PasteTop + export.Function(side))
		dots := readback.Grid{}
		var all []export.Object
		for _, o := range l.Objects {
			if o.Op != export.Flash || o.Clear {
				p.found.Add(diag.Warning, "inspect-not-judged", "paste on the %v side that is not flashed could not be judged", side).
					At(o.To.X.MM(), o.To.Y.MM()).Together("%d things could not be judged").Fix("look at it yourself")
				continue
			}
			dots.Put(o.To, len(all))
			all = append(all, o)
			a := l.Apertures[o.Aperture]
			good := p.landAt.At(o.To, func(i int) bool {
				d := p.lands[i]
				_, drilled := p.holeOf(d.at)
				return d.on == side && !drilled && a.Slant == d.a.Slant && a.W <= d.a.W+readback.Same && (a.H <= d.a.H+readback.Same || a.Shape == export.Circle)
			})
			// Paste is often divided into several dots over one large pad.
			if !good && !p.own {
				good = p.within(o.To, a, side)
			}
			// A stencil's opening is the pad's or some less; of less than a third of it nobody has solder enough.
			if i := p.under(o.To, side); good && i >= 0 && 3*area(a) < area(p.lands[i].a) && p.own {
				p.fail("inspect-paste-little", "paste on the %v side covers less than a third of its pad", side).
					At(o.To.X.MM(), o.To.Y.MM()).Together("paste covers less than a third of %d pads").Fix("print it as large as the pad")
			}
			if !good {
				p.fail("inspect-paste-stray", "paste on the %v side is printed where no pad of a surface part takes it", side).
					At(o.To.X.MM(), o.To.Y.MM()).Together("paste is printed where no pad of a surface part takes it in %d places").
					Fix("paste and copper are of different boards or runs, or not aligned: write the pack anew")
			}
		}
		var bare []pad
		wants := 0
		for _, d := range p.pads {
			if d.on != side || p.both(d) || d.TestPoint() {
				continue
			}
			wants++
			if !dots.Has(d.To) && !p.holed(d) {
				bare = append(bare, d)
			}
		}
		surface = surface || wants > 0
		switch {
		case len(bare) == 0:
		case !ok && !p.own:
			p.found.Add(diag.Warning, "inspect-no-paste", "the pack has no solder paste for the %d pads of surface parts on the %v side", wants, side).
				Fix("ask for it if a stencil is wanted; by hand it is not needed")
		default:
			for _, d := range bare {
				p.doubt("inspect-paste-missing", "pad %s-%s of a surface part gets no solder paste", d.Ref, d.Pin).OfPart(d.Ref).
					At(d.To.X.MM(), d.To.Y.MM()).Together("%d pads of surface parts get no solder paste").Fix("print paste there")
			}
		}
	}
	if surface {
		p.did("solder paste")
	}
}

// under returns the land at a place; -1 for none.
func (p *inspector) under(q geom.Pt, side geom.Side) int {
	k := -1
	p.landAt.At(q, func(i int) bool {
		if p.lands[i].on == side {
			k = i
		}
		return k >= 0
	})
	return k
}

// area is that of the box round an aperture, in square millimetres.
func area(a export.Aperture) float64 { return a.W.MM() * height(a).MM() }

// within reports whether a dot of paste lies in a land on that side.
func (p *inspector) within(q geom.Pt, a export.Aperture, side geom.Side) bool {
	for _, d := range p.lands {
		if d.on == side && 2*max(q.X-d.at.X, d.at.X-q.X)+a.W <= d.a.W+readback.Same && 2*max(q.Y-d.at.Y, d.at.Y-q.Y)+height(a) <= height(d.a)+readback.Same {
			return true
		}
	}
	return false
}

// both reports whether a pad's pin has copper on the other side too.
func (p *inspector) both(d pad) bool {
	return p.padAt.At(d.To, func(i int) bool {
		e := p.pads[i]
		return e.on != d.on && e.Ref == d.Ref && e.Pin == d.Pin
	})
}

func (p *inspector) holed(d pad) bool { _, ok := p.holeOf(d.To); return ok }
