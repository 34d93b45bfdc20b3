package inspect

import (
	"slices"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// frame takes out of an array what belongs to none of its boards: fiducials with their openings, and the holes that perforate
// tabs, which lie on the boards' edges on purpose. What is left is judged like a board. Perforation is judged here: it keeps
// away from copper as any unplated hole does, and lies at a slot. So is the score line's way from copper.
func (p *inspector) frame() {
	a := p.pack.Artwork
	a.Layers, a.Drills = slices.Clone(a.Layers), slices.Clone(a.Drills)
	p.fiducials = readback.Grid{}
	for i := range a.Layers {
		l := &a.Layers[i]
		if !l.Function.Copper() || p.own && !a.Array {
			continue // fiducials of one board of ours are judged as its copper
		}
		l.Objects = slices.DeleteFunc(slices.Clone(l.Objects), func(o export.Object) bool {
			a := l.Apertures[o.Aperture]
			taken := o.Op == export.Flash && a.Fiducial()
			if taken {
				p.fiducials.Put(o.To, len(p.marks))
				p.marks = append(p.marks, mark{o.To, l.Function.Side(), a.W, a.Function == "FiducialPad,Global"})
			}
			return taken
		})
	}
	p.torn, p.tornAt = nil, readback.Grid{}
	for i := range a.Drills {
		d := &a.Drills[i]
		d.Hits = slices.DeleteFunc(slices.Clone(d.Hits), func(h export.Hit) bool {
			tab := !d.Plated && d.Tools[h.Tool].Function == "MechanicalDrill,Breakout"
			if tab {
				p.tornAt.Put(h.At, len(p.torn))
				p.torn = append(p.torn, hole{h.At, d.Tools[h.Tool].D, false, d.Tools[h.Tool].Function})
			}
			return tab
		})
	}
	p.pack.Artwork = a
	p.gather()
	if a.Array {
		p.marked()
		p.perforation()
		p.score()
		p.broken()
	}
}

// marked checks an array's fiducials: three or more on a side, which is what a machine needs to see
// shift, turn and stretch, as many on the one as on the other, and the soldermask open over each. Others may leave them out.
func (p *inspector) marked() {
	var n [2]int
	for _, q := range p.marks {
		side := q.on
		if !p.own || !q.board {
			n[side]++
		}
		l, ok := p.pack.Artwork.Layer(export.SoldermaskTop + export.Function(side))
		if ok && !slices.ContainsFunc(l.Objects, func(o export.Object) bool {
			return o.Op != export.Flash || o.To.Dist(q.at) <= float64(readback.Same) && l.Apertures[o.Aperture].W > q.d
		}) {
			p.fail("inspect-fiducial-covered", "the soldermask of the %v side covers a fiducial", side).At(q.at.X.MM(), q.at.Y.MM()).
				Together("soldermask covers %d fiducials").Fix("open it over the fiducial, and round it")
		}
	}
	if p.own && (n[0] != n[1] || n[0] < 3) {
		p.fail("inspect-fiducials", "the array has %d fiducials on the top and %d on the bottom, three or more on each are needed", n[geom.Top], n[geom.Bottom]).
			Fix("write the pack anew")
	}
}

// groove is half the width of a scored groove at the surface, its wandering included (common practice; export/gang has the same).
const groove = 200 * geom.Micrometre

// broken checks the way from what is drilled to break, and from what is scored, to silkscreen, and from the former to copper:
// ink there flakes or hides the line, and torn copper short-circuits.
func (p *inspector) broken() {
	v, _ := p.pack.Artwork.Layer(export.Vcut)
	for _, l := range p.pack.Artwork.Layers {
		ink := l.Function.Silkscreen()
		if !ink && !l.Function.Copper() {
			continue
		}
		p.w.Look()
		clear := p.rules.CopperToHole
		if ink {
			clear = p.rules.LegendClear
		}
		if !p.own {
			clear = 0 // others may have their reasons; over the hole there is none
		}
		for _, o := range l.Objects {
			if o.Clear {
				continue
			}
			q, off := geom.Pt{}, false
			far := reached(l, o)
			for _, h := range p.torn {
				if far.box.Grown(clear+h.d/2).Contains(h.at) && far.gap(h.at)-float64(h.d/2) < float64(clear-geom.Micrometre) {
					q, off = h.at, true
					break
				}
			}
			what := "a hole that perforates a tab"
			if !off && ink {
				for _, s := range v.Objects {
					if line := (geom.Segment{A: s.From, B: s.To}); far.gapTo(line)-float64(groove) < float64(clear-geom.Micrometre) {
						q, off, what = far.box.Centre(), true, "a line that is scored"
						break
					}
				}
			}
			switch {
			case !off:
			case ink:
				p.fail("inspect-ink-broken", "silkscreen on the %v side lies over %s, or too near to it", l.Function.Side(), what).At(q.X.MM(), q.Y.MM()).
					Together("silkscreen lies over what is broken in %d places").Fix("keep it off, or move the tab")
			default:
				p.fail("inspect-copper-broken", "copper on the %v side comes too near to %s", l.Function.Side(), what).At(q.X.MM(), q.Y.MM()).
					Together("copper comes too near to what is broken in %d places").Fix("move the tab or the copper")
			}
		}
	}
}

// shape is what an object paints, as far as ways to it are asked.
type shape struct {
	box  geom.Box
	line geom.Segment // its middle line, of what has no area
	half float64      // the half of its width
	area geom.Ring    // of a region or a rectangle
}

// reached returns an object's shape; a flash that is no rectangle is taken for the line along its longer side.
func reached(l export.Layer, o export.Object) shape {
	if o.Op == export.Region {
		r := o.Contour.Ring(geom.FlattenTolerance)
		return shape{box: r.Box(), area: r}
	}
	a := l.Apertures[o.Aperture]
	w, h := a.W/2, height(a)/2
	if o.Op == export.Draw {
		s := geom.Segment{A: o.From, B: o.To}
		return shape{box: geom.BoxOf(o.From, o.To).Grown(w), line: s, half: float64(w)}
	}
	if a.Shape == export.Rectangle {
		r := rectangle(o.To, a)
		return shape{box: r.Box(), area: r}
	}
	over := geom.Vec{X: max(0, w-h), Y: max(0, h-w)}
	s := geom.Segment{A: o.To.Add(over.Neg()), B: o.To.Add(over)}
	return shape{box: geom.BoxOf(s.A, s.B).Grown(min(w, h)), line: s, half: float64(min(w, h))}
}

// rectangle returns what a Rectangle covers, flashed at a point.
func rectangle(at geom.Pt, a export.Aperture) geom.Ring {
	return board.Pad{At: at, Shape: board.Square, W: a.W, H: a.H, Slant: a.Slant}.Contour(0).Ring(geom.FlattenTolerance)
}

// gap returns the way to a point, at most 0 inside.
func (s shape) gap(q geom.Pt) float64 {
	if s.area == nil {
		return s.line.DistTo(q) - s.half
	}
	if s.area.Locate(q) != geom.Outside {
		return 0
	}
	return s.area.DistTo(q)
}

// gapTo returns the way to a line.
func (s shape) gapTo(line geom.Segment) float64 {
	if s.area == nil {
		return s.line.Dist(line) - s.half
	}
	least := s.gap(line.A)
	for _, e := range s.area.Segments() {
		least = min(least, e.Dist(line))
	}
	return least
}

// perforation checks that the holes of tabs lie at the boards' edges: within a millimetre of a slot.
func (p *inspector) perforation() {
	var rings []geom.Ring
	_, slots := export.Parted(p.pack.Artwork.Edges())
	for _, c := range slots {
		rings = append(rings, c.Ring(20*geom.Micrometre))
	}
	const reach = 4 * geom.Millimetre // half a tab with its rounded ends, and over
	for _, h := range p.torn {
		if !slices.ContainsFunc(rings, func(r geom.Ring) bool { return r.Box().Grown(reach).Contains(h.at) && r.DistTo(h.at) < float64(reach) }) {
			p.fail("inspect-stray-perforation", "a hole that perforates a tab lies away from every slot").At(h.at.X.MM(), h.at.Y.MM()).
				Fix("drill and profile do not belong together: write the pack anew")
			return
		}
	}
	if p.own && len(p.torn) == 0 && len(rings) > 0 {
		if _, scored := p.pack.Artwork.Layer(export.Vcut); !scored {
			p.fail("inspect-no-perforation", "the boards hang on tabs that no holes perforate").Fix("add the unplated drill file with them")
		}
	}
}

// score checks the way from the lines that are scored to copper: 0.40 mm (limits.txt, copper_to_edge).
func (p *inspector) score() {
	const clear = 400 * geom.Micrometre
	v, ok := p.pack.Artwork.Layer(export.Vcut)
	if !ok {
		return
	}
	for _, l := range p.pack.Artwork.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if o.Clear || o.Op == export.Region {
				continue
			}
			far := reached(l, o)
			for _, s := range v.Objects {
				if gap := far.gapTo(geom.Segment{A: s.From, B: s.To}); gap < float64(clear-geom.Micrometre) {
					q := far.box.Centre()
					p.fail("inspect-copper-at-score", "copper lies %.3f mm from a line that is scored, %v needed", max(gap, 0)/1e6, clear).
						At(q.X.MM(), q.Y.MM()).Fix("move the line or the copper")
					return
				}
			}
		}
	}
}
