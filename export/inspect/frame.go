package inspect

import (
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// frame takes out of an array what belongs to none of its boards: fiducials with their openings, and the holes that perforate
// tabs, which lie on the boards' edges on purpose. What is left is judged like a board. Perforation is judged here: it keeps
// away from copper as any unplated hole does, and lies at a slot. So is the score line's way from copper.
func (p *inspector) frame() {
	a := p.pack.Artwork
	a.Layers, a.Drills = slices.Clone(a.Layers), slices.Clone(a.Drills)
	p.fiducials = places{}
	for i := range a.Layers {
		l := &a.Layers[i]
		if !l.Function.Copper() {
			continue
		}
		l.Objects = slices.DeleteFunc(slices.Clone(l.Objects), func(o export.Object) bool {
			mark := o.Op == export.Flash && strings.HasPrefix(l.Apertures[o.Aperture].Function, "FiducialPad")
			if mark {
				p.fiducials.put(o.To, len(p.marks))
				p.marks = append(p.marks, o.To)
			}
			return mark
		})
	}
	var torn []geom.Pt
	for i := range a.Drills {
		d := &a.Drills[i]
		d.Hits = slices.DeleteFunc(slices.Clone(d.Hits), func(h export.Hit) bool {
			tab := !d.Plated && d.Tools[h.Tool].Function == "MechanicalDrill,Breakout"
			if tab {
				torn = append(torn, h.At)
			}
			return tab
		})
	}
	p.pack.Artwork = a
	p.gather()
	if a.Array {
		p.perforation(torn)
		p.score()
	}
}

// perforation checks that the holes of tabs lie at the boards' edges: within a millimetre of a slot.
func (p *inspector) perforation(torn []geom.Pt) {
	var rings []geom.Ring
	for _, c := range p.pack.Artwork.Edges() {
		rings = append(rings, c.Ring(20*geom.Micrometre))
	}
	const reach = 4 * geom.Millimetre // half a tab with its rounded ends, and over
	for _, h := range torn {
		if !slices.ContainsFunc(rings, func(r geom.Ring) bool { return r.Box().Grown(reach).Contains(h) && r.DistTo(h) < float64(reach) }) {
			p.fail("inspect-stray-perforation", "a hole that perforates a tab lies away from every slot").At(h.X.MM(), h.Y.MM()).
				Fix("drill and profile do not belong together: write the pack anew")
			return
		}
	}
	if p.own && len(torn) == 0 && len(rings) > 1 {
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
			if o.Op == export.Region {
				continue
			}
			w := l.Apertures[o.Aperture].W / 2
			for _, s := range v.Objects {
				line := geom.Segment{A: s.From, B: s.To}
				from := o.From
				if o.Op == export.Flash {
					from = o.To
				}
				if gap := line.Dist(geom.Segment{A: from, B: o.To}) - float64(w); gap < float64(clear-geom.Micrometre) {
					p.found.Add(diag.Error, "inspect-copper-at-score", "copper lies %.3f mm from a line that is scored, %v needed", max(gap, 0)/1e6, clear).
						At(o.To.X.MM(), o.To.Y.MM()).Fix("move the line or the copper")
					return
				}
			}
		}
	}
}
