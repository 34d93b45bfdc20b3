package inspect

import (
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
		open, openings := readback.Grid{}, []export.Object{}
		for _, o := range l.Objects {
			if o.Op != export.Flash || o.Clear {
				continue // cannot be judged one by one; told by raise
			}
			open.Put(o.To, len(openings))
			openings = append(openings, o)
			p.opening(l, o, side)
		}
		freed := 0
		var shut *hole
		for i, h := range p.holes {
			if h.plated {
				continue
			}
			if open.At(h.at, func(k int) bool { return l.Apertures[openings[k].Aperture].W >= h.d }) {
				freed++
			} else if shut == nil {
				shut = &p.holes[i]
			}
		}
		if shut != nil && (p.own || freed > 0) {
			p.doubt("inspect-mask-over-hole", "the soldermask of the %v side is not open over the unplated hole of %v", side, shut.d).
				At(shut.at.X.MM(), shut.at.Y.MM()).Fix("mask and drill files are of different boards or runs, or the hole is too large: write the pack anew")
		}
		if p.own {
			p.uncovered(side, open, openings)
		}
	}
	switch {
	case have[0] && have[1]:
		p.did("soldermask")
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

// opening judges what is under one opening.
func (p *inspector) opening(l export.Layer, o export.Object, side geom.Side) {
	under := p.landAt.At(o.To, func(i int) bool { return p.lands[i].on == side })
	if under || p.fiducials.Has(o.To) {
		return
	}
	if h, ok := p.holeOf(o.To); ok {
		if a := l.Apertures[o.Aperture]; a.W < h.d {
			p.doubt("inspect-mask-over-hole", "the soldermask of the %v side opens %v over a hole of %v", side, a.W, h.d).
				At(o.To.X.MM(), o.To.Y.MM()).Fix("make the opening larger, or the hole smaller")
		}
		return
	}
	p.doubt("inspect-opening-over-nothing", "the soldermask of the %v side is open where there is neither a pad nor a hole", side).
		At(o.To.X.MM(), o.To.Y.MM()).Together("soldermask is open over neither pad nor hole in %d places").
		Fix("a hole or a pad is missing there, or the layers are of different boards or not aligned")
}

// uncovered checks that no pad of a pin is left covered, for the case that no board could be raised.
func (p *inspector) uncovered(side geom.Side, open readback.Grid, openings []export.Object) {
	if p.raised {
		return
	}
	for _, d := range p.pads {
		if d.on == side && !open.Has(d.To) {
			p.fail("inspect-mask-covers-pad", "the soldermask of the %v side covers pad %s-%s", side, d.Ref, d.Pin).OfPart(d.Ref).
				At(d.To.X.MM(), d.To.Y.MM()).Together("soldermask covers %d pads").Fix("open it")
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
			if !good {
				p.fail("inspect-paste-stray", "paste on the %v side is printed where no pad of a surface part takes it", side).
					At(o.To.X.MM(), o.To.Y.MM()).Together("paste is printed where no pad of a surface part takes it in %d places").
					Fix("paste and copper are of different boards or runs, or not aligned: write the pack anew")
			}
		}
		var bare []pad
		wants := 0
		for _, d := range p.pads {
			if d.on != side || p.both(d) {
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
