package stray

import (
	"fmt"
	"math"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
	"lampblack/panel/work"
)

// Edge is the brightest place of the diffuser's cut edges that an eye sees.
type Edge struct {
	Gap   Gap     // Rim or Seated, and the place
	Times float64 // its luminance over the lettering's mean, within a factor of 1.5
}

// along is how far apart places along an edge are looked at.
const along = geom.Millimetre

// Glowing returns the brightest place of the diffuser's cut edges that an eye sees; Times is 0 where none is seen. lit is the
// luminance, cd/m², of the diffuser's front at a point, mean the lettering's.
//
// Model. Opal is a slab that scatters: what leaves its cut edge is as bright, on average over the thickness, as its front is one
// thickness inward. Photons followed through slabs that pass 16 to 59 % leave 1.4 to 0.7 times that (tested). Behind clear engraving,
// and with a diffuser that passes light unscattered, it does not hold. An edge looks away from the sheet: of the rim, eyes beside the
// panel see it; in an opening, eyes that see past the face's hole and what sits there. Openings of which the project does not tell what
// sits there, and mounts, are left out.
//
// The edge of a clear face stays dark, as far as cut clean: light from the diffuser runs within 42 degrees of the sheet's normal there
// (sin = 1/1.49), so meets the edge at 48 degrees or more, and is reflected as a whole. What light LEDs send along a clear LED
// sheet is left out.
func Glowing(w *work.Watch, p panel.Panel, s Stack, eyes Eyes, lit func(geom.Pt) float64, mean float64) (out Edge) {
	box := p.Outline.Box()
	front, back := s.Span(panel.DiffuserSheet)
	if box.Empty() || back <= front || mean <= 0 {
		return out
	}
	places := eyes.corners(box.Centre())
	outline := p.Outline.CounterClockwise().Ring(tolerance)
	var cuts []geom.Ring
	for _, c := range p.Cuts(panel.DiffuserSheet) {
		cuts = append(cuts, c.Ring(tolerance))
	}
	solid := func(q geom.Pt) bool {
		if outline.Locate(q) != geom.Inside {
			return false
		}
		for _, c := range cuts {
			if c.Box().Touches(geom.BoxOf(q)) && c.Locate(q) != geom.Outside {
				return false
			}
		}
		return true
	}
	// walk looks along a ring that has the diffuser on its left.
	walk := func(g Gap, r geom.Ring, seen func(e Eye, q geom.Pt) bool) {
		for _, side := range r.Segments() {
			d := side.B.Sub(side.A)
			if d.Len() == 0 {
				continue
			}
			in := geom.Vec{X: geom.Nm(math.Round(-float64(d.Y) / d.Len() * float64(back-front))), Y: geom.Nm(math.Round(float64(d.X) / d.Len() * float64(back-front)))}
			n := int(math.Ceil(d.Len() / float64(along)))
			for k := range n {
				w.Step()
				t := (float64(k) + 0.5) / float64(n)
				q := side.A.Add(geom.Vec{X: geom.Nm(math.Round(float64(d.X) * t)), Y: geom.Nm(math.Round(float64(d.Y) * t))})
				at := q.Add(in)
				times := lit(at) / mean
				if times <= out.Times || !solid(at) {
					continue
				}
				for _, e := range places {
					if e.At.Sub(q).Dot(in) < 0 && seen(e, q) {
						g.At = q
						out = Edge{g, times}
						break
					}
				}
			}
		}
	}
	walk(Gap{Kind: Rim}, outline, func(Eye, geom.Pt) bool { return true })
	for _, c := range p.Controls {
		g := Gap{Seated, c.Opening, p.Openings[c.Opening].Box().Centre()}
		hole := cutOf(p, c, panel.FaceSheet)
		pieces := seat.Pieces(p, c)
		for _, r := range cutOf(p, c, panel.DiffuserSheet) {
			w.Look()
			walk(g, r.Oriented(geom.CW), func(e Eye, q geom.Pt) bool { return passes(e, q, (front+back)/2, s.Face, hole, pieces) })
		}
	}
	return out
}

// cutOf returns what a sheet is cut for a control.
func cutOf(p panel.Panel, c panel.Control, of panel.Sheet) []geom.Ring {
	if len(c.Cuts[of]) == 0 {
		return []geom.Ring{p.Openings[c.Opening].Ring(tolerance)}
	}
	var out []geom.Ring
	for _, k := range c.Cuts[of] {
		out = append(out, k.Ring(tolerance))
	}
	return out
}

// passes reports whether a straight line goes from an eye to a place at a depth, through the face's holes and past what sits there.
func passes(e Eye, q geom.Pt, depth, face geom.Nm, holes []geom.Ring, pieces []seat.Piece) bool {
	at := func(z geom.Nm) geom.Pt {
		k := float64(z+e.Away) / float64(depth+e.Away)
		return e.At.Add(geom.Vec{X: geom.Nm(math.Round(float64(q.X-e.At.X) * k)), Y: geom.Nm(math.Round(float64(q.Y-e.At.Y) * k))})
	}
	within := func(r geom.Ring, z geom.Nm) bool { return r.Locate(at(z)) != geom.Outside }
	for _, z := range []geom.Nm{0, face} {
		open := false
		for _, r := range holes {
			open = open || within(r, z)
		}
		if !open {
			return false
		}
	}
	const layers = 8
	for _, piece := range pieces {
		from, to := max(piece.From, nearest-e.Away), min(piece.To, depth)
		if from > to {
			continue
		}
		r := piece.Shape.Ring(tolerance)
		for k := range geom.Nm(layers + 1) {
			if within(r, from+(to-from)*k/layers) {
				return false
			}
		}
	}
	return true
}

// corners returns places of eyes: corners and middles of the box.
func (e Eyes) corners(middle geom.Pt) []Eye {
	var out []Eye
	for _, away := range span(e.Away, 2) {
		for _, y := range span(e.Up, 3) {
			for _, x := range span(e.Across, 3) {
				out = append(out, Eye{middle.Add(geom.Vec{X: x, Y: y}), away})
			}
		}
	}
	return out
}

// Told is from which part of the lettering's mean on an edge is told: what is dimmer passes for part of the sheet's frame (ours; no
// standard's).
const Told = 0.25

// JudgeEdges tells, once for all panels, where the diffuser's edge glows. It is a note: the console may cover it.
func JudgeEdges(panels []panel.Panel, edges []Edge) diag.List {
	var l diag.List
	worst := -1
	var names []string
	for i, e := range edges {
		if e.Times < Told {
			continue
		}
		names = append(names, panels[i].Name)
		if worst < 0 || e.Times > edges[worst].Times {
			worst = i
		}
	}
	if worst < 0 {
		return l
	}
	e, where := edges[worst], "at the panel's rim, unless the console covers that"
	if e.Gap.Kind == Seated {
		c, _ := panels[worst].ControlAt(e.Gap.Of)
		where = "beside the " + c.Kind.Name
	}
	of := ""
	if len(names) > 1 {
		of = " of " + diag.Listed(names)
		where += ", on " + panels[worst].Name
	}
	l.Add(diag.Note, "stray-edge-glows", "the cut edge of the diffuser%s glows where eyes see it, at most about %s times as bright as the lettering: %s", of, fmt.Sprintf("%.2g", e.Times), where).
		About("stack.edges").Of(panels[worst].Name).At(e.Gap.At.X.MM(), e.Gap.At.Y.MM()).
		Fix("paint it black, or cover it with black tape or a frame, and say so: stack: {edges: painted}")
	return l
}
