package stray

import (
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// layer is what is open at a depth.
type layer struct {
	depth geom.Nm
	open  []geom.Ring
}

// layers returns the holes that a line of sight goes through, from the face's hole on.
func (v viewing) layers(g Gap, hole geom.Contour, around geom.Box) []layer {
	ring := []geom.Ring{hole.Ring(tolerance)}
	out := []layer{{0, ring}, {v.s.Face, ring}}
	for s := panel.DiffuserSheet; s < panel.Sheets; s++ {
		from, to := v.s.Span(s)
		if to <= from || from >= v.tip || s == panel.LEDSheet {
			continue
		}
		var open []geom.Ring
		for _, c := range v.p.Cuts(s) {
			if c.Box().Touches(around) {
				open = append(open, c.Ring(tolerance))
			}
		}
		if g.Kind == Mount {
			open = append(open, ring...)
		}
		if len(open) == 0 {
			return nil
		}
		out = append(out, layer{from, open}, layer{min(to, v.tip), open})
	}
	return out
}

// may reports whether nothing but solids and the union of all layers can hide a disc on the plane of the tips: in each layer the line
// to it meets a hole, or comes so near to one as the disc is wide.
func (v viewing) may(e Eye, layers []layer, at geom.Pt, d geom.Nm) bool {
	for _, l := range layers {
		// Where the disc is on its way to the eye, and how large.
		k := float64(l.depth+e.Away) / float64(v.tip+e.Away)
		q := e.At.Add(geom.Vec{X: geom.Nm(float64(at.X-e.At.X) * k), Y: geom.Nm(float64(at.Y-e.At.Y) * k)})
		near := geom.Nm(float64(d/2)*k) + tolerance
		if !slices.ContainsFunc(l.open, func(r geom.Ring) bool {
			return r.Box().Touches(geom.BoxOf(q).Grown(near)) && (r.Locate(q) != geom.Outside || r.DistTo(q) < float64(near))
		}) {
			return false
		}
	}
	return true
}

// solid is what stops light between two depths.
type solid struct {
	ring     geom.Ring
	from, to geom.Nm
}

// solids returns what stands in the way of light through a gap: what sits there, and walls in the gap between the sheets.
func (v viewing) solids(g Gap, around geom.Box) []solid {
	var out []solid
	if c, ok := v.p.ControlAt(g.Of); ok && g.Kind == Seated {
		for _, q := range seat.Pieces(v.p, c) {
			if to := min(q.To, v.tip); q.From < to {
				out = append(out, solid{q.Shape.Ring(tolerance), q.From, to})
			}
		}
	}
	_, back := v.s.Span(panel.DiffuserSheet)
	front, _ := v.s.Span(panel.LEDSheet)
	for _, c := range v.p.InGap() {
		if to := min(front, v.tip); back < to && c.Box().Touches(around) {
			out = append(out, solid{c.Ring(tolerance), back, to})
		}
	}
	return out
}

// thinned leaves out layers in between, through whose holes goes every straight line that goes through those before and behind:
// convex ones that all are the same.
func thinned(all []layer) []layer {
	if len(all) < 3 || len(all[0].open) != 1 || !convex(all[0].open[0]) {
		return all
	}
	for _, l := range all[1:] {
		if len(l.open) != 1 || !slices.Equal(l.open[0], all[0].open[0]) {
			return all
		}
	}
	return []layer{all[0], all[len(all)-1]}
}

// closed reports whether something that lies on the face covers the hole.
func closed(hole geom.Ring, solids []solid) bool {
	for _, s := range solids {
		if s.from <= 0 && s.to >= 0 && len(geom.NewRegion(hole).Minus(geom.NewRegion(s.ring))) == 0 {
			return true
		}
	}
	return false
}

// view is what an eye sees of the plane of the tips: a convex figure, or any.
type view struct {
	convex geom.Ring // counter-clockwise
	any    geom.Region
	box    geom.Box
}

func (g view) boxed() view {
	if g.box = g.any.Box(); len(g.convex) > 0 {
		g.box = g.convex.Box()
	}
	return g
}

// view returns what the eye sees of the plane of the tips.
func (v viewing) view(e Eye, layers []layer, solids []solid) view {
	if one, ok := v.clipped(e, layers); ok && len(solids) == 0 {
		return one
	}
	var seen geom.Region
	for i, l := range layers {
		open := make(geom.Region, 0, len(l.open)) // rings that may overlap, which And allows
		for _, r := range l.open {
			r = thrown(e, v.tip, r, l.depth).Oriented(geom.CCW)
			if i == 0 || r.Box().Touches(seen.Box()) {
				open = append(open, geom.Polygon{Outer: r})
			}
		}
		if i == 0 {
			seen = open
		} else {
			seen = seen.And(open)
		}
		if len(seen) == 0 {
			return view{}.boxed()
		}
	}
	box := seen.Box()
	for _, s := range solids {
		if dark := shadow(e, v.tip, s.ring, s.from, s.to); dark.Box().Touches(box) {
			seen = seen.Minus(dark)
		}
	}
	return view{any: seen}.boxed()
}

// clipped is view where each layer has one hole, and that a convex one: the short way.
func (v viewing) clipped(e Eye, layers []layer) (view, bool) {
	var seen geom.Ring
	for i, l := range layers {
		if len(l.open) != 1 || !convex(l.open[0]) {
			return view{}, false
		}
		r := thrown(e, v.tip, l.open[0], l.depth).Oriented(geom.CCW)
		if i == 0 {
			seen = r
		} else {
			seen = cut(seen, r)
		}
	}
	return view{convex: seen}.boxed(), true
}

// touches reports whether a disc has something in the view.
func (g view) touches(at geom.Pt, d geom.Nm) bool {
	if !g.box.Touches(geom.BoxOf(at).Grown(d / 2)) {
		return false
	}
	if len(g.convex) > 0 {
		return g.convex.Locate(at) != geom.Outside || g.convex.DistTo(at) < float64(d/2)
	}
	return g.any.Locate(at) != geom.Outside || g.any.DistTo(at) < float64(d/2)
}

// share returns how much of an LED's disc is in the view and in hole, unless that is nil, and not hidden.
func (g view) share(h panel.Hole, hole geom.Ring, hidden geom.Region) float64 {
	disc := geom.Circle(h.At, h.D).Ring(tolerance)
	whole := disc.Area()
	if hole != nil {
		disc = cut(disc, hole)
	}
	if len(disc) < 3 {
		return 0
	}
	if len(g.convex) > 0 {
		disc = cut(disc, g.convex)
		if len(hidden) == 0 || len(disc) < 3 {
			return min(disc.Area()/whole, 1)
		}
		return min(geom.NewRegion(disc).Minus(hidden).Area()/whole, 1)
	}
	return min(g.any.And(geom.NewRegion(disc)).Minus(hidden).Area()/whole, 1)
}

// convex reports whether a ring turns one way alone.
func convex(r geom.Ring) bool {
	to := geom.CCW
	if r.SignedArea2() < 0 {
		to = geom.CW
	}
	for i := range r {
		if t := geom.Orient(r[i], r[(i+1)%len(r)], r[(i+2)%len(r)]); t != to && t != geom.Collinear {
			return false
		}
	}
	return len(r) > 2
}

// cut returns what two convex rings that run counter-clockwise have in common; nil for nothing. Corners come out in whole nanometres.
//
// Source: I. E. Sutherland, G. W. Hodgman, "Reentrant Polygon Clipping", Communications of the ACM 17(1), 1974,
// doi:10.1145/360767.360802.
func cut(r, by geom.Ring) geom.Ring {
	for i, a := range by {
		edge := by[(i+1)%len(by)].Sub(a)
		var kept geom.Ring
		for k, q := range r {
			next := r[(k+1)%len(r)]
			in, then := edge.Cross(q.Sub(a)), edge.Cross(next.Sub(a))
			if in >= 0 {
				kept = append(kept, q)
			}
			if in > 0 && then < 0 || in < 0 && then > 0 {
				t := float64(in) / (float64(in) - float64(then))
				step := next.Sub(q)
				kept = append(kept, q.Add(geom.Vec{X: geom.Nm(math.Round(float64(step.X) * t)), Y: geom.Nm(math.Round(float64(step.Y) * t))}))
			}
		}
		if r = kept; len(r) < 3 {
			return nil
		}
	}
	return r
}

// thrown returns a ring at a depth as the eye sees it on the plane of the tips.
func thrown(e Eye, tip geom.Nm, r geom.Ring, depth geom.Nm) geom.Ring {
	k := float64(tip+e.Away) / float64(depth+e.Away)
	out := make(geom.Ring, len(r))
	for i, q := range r {
		out[i] = geom.Pt{
			X: e.At.X + geom.Nm(math.Round(float64(float64(q.X-e.At.X)*k))),
			Y: e.At.Y + geom.Nm(math.Round(float64(float64(q.Y-e.At.Y)*k))),
		}
	}
	return out
}

// nearest is how near to the eye a solid may begin: what is nearer is cut off.
const nearest = 50 * geom.Millimetre

// shadow returns what of the plane of the tips is hidden behind a solid: all that its outline covers on its way from one depth to the
// other.
func shadow(e Eye, tip geom.Nm, r geom.Ring, from, to geom.Nm) geom.Region {
	from = max(from, nearest-e.Away)
	a, b := thrown(e, tip, r, from), thrown(e, tip, r, to)
	rings := []geom.Ring{a, b}
	for i := range r {
		k := (i + 1) % len(r)
		if side := (geom.Ring{a[i], a[k], b[k], b[i]}); side.SignedArea2() != 0 {
			rings = append(rings, side)
		}
	}
	return geom.UnionOf(rings...)
}
