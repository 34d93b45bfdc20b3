package sheet

import (
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// arcTolerance is how far the corners of a flattened curve may lie from the arc that is written for them: the
// flattening itself and the rounding of an offset.
const arcTolerance = geom.FlattenTolerance + geom.Micrometre

// job is the cuts of one sheet as the beam runs, in working order.
type job struct {
	open         []geom.Contour // lines from their first vertex to their last, before all others
	inner, outer []geom.Contour
	swallowed    []geom.Contour // holes narrower than the cut, as drawn
	merged       bool           // some shapes overlap and are cut as one
}

// cuts returns the job that cuts the groups of holes out of the panel.
func cuts(w *work.Watch, p panel.Panel, opt Options, groups ...[]geom.Contour) job {
	var holes []geom.Contour
	for _, g := range groups {
		for _, c := range g {
			if c.Area() > 0 {
				holes = append(holes, c.CounterClockwise())
			}
		}
	}
	var j job
	edges := []geom.Contour{p.Outline.CounterClockwise()}
	if len(p.Outline) == 0 || p.Outline.Area() == 0 {
		return j
	}
	if overlapping(w, edges[0], holes) {
		j.merged = true
		edges, holes = merge(w, edges[0], holes)
	}
	for _, c := range edges {
		j.outer = append(j.outer, moved(c, opt.Kerf/2)...)
	}
	for _, c := range holes {
		w.Look()
		run := moved(c, -opt.Kerf/2)
		if len(run) == 0 {
			j.swallowed = append(j.swallowed, c)
		}
		j.inner = append(j.inner, run...)
	}
	start := p.Outline.Box().Min
	j.inner = inOrder(w, j.inner, start)
	j.outer = inOrder(w, j.outer, start)
	return j
}

// overlapping reports whether any two of the shapes touch, or a hole lies in another or outside the edge.
func overlapping(w *work.Watch, edge geom.Contour, holes []geom.Contour) bool {
	rings := make([]geom.Ring, len(holes))
	boxes := make([]geom.Box, len(holes))
	outer := edge.Ring(geom.FlattenTolerance)
	for i, h := range holes {
		w.Look()
		rings[i] = h.Ring(geom.FlattenTolerance)
		boxes[i] = rings[i].Box()
		if len(rings[i]) == 0 || outer.Locate(rings[i][0]) != geom.Inside || meet(outer, rings[i], boxes[i]) {
			return true
		}
	}
	for i := range rings {
		w.Look()
		for j := range i {
			if boxes[i].Touches(boxes[j]) && (meet(rings[i], rings[j], boxes[j]) ||
				rings[i].Locate(rings[j][0]) != geom.Outside || rings[j].Locate(rings[i][0]) != geom.Outside) {
				return true
			}
		}
	}
	return false
}

// meet reports whether the edges of a and b share a point; box is b's.
func meet(a, b geom.Ring, box geom.Box) bool {
	segs := b.Segments()
	for _, s := range a.Segments() {
		if !s.Box().Touches(box) {
			continue
		}
		for _, t := range segs {
			if s.Crosses(t) {
				return true
			}
		}
	}
	return false
}

// merge returns the edges and holes of what is left of the panel when all holes are cut.
func merge(w *work.Watch, edge geom.Contour, holes []geom.Contour) (edges, left []geom.Contour) {
	rings := make([]geom.Ring, len(holes))
	for i, h := range holes {
		rings[i] = h.Ring(geom.FlattenTolerance)
	}
	g := geom.Knife{Look: w.Look}.Without(geom.NewRegion(edge.Ring(geom.FlattenTolerance)), rings...)
	for _, p := range g {
		edges = append(edges, p.Outer.Contour(arcTolerance))
		for _, h := range p.Holes {
			left = append(left, h.Reversed().Contour(arcTolerance))
		}
	}
	return edges, left
}

// moved returns a counter-clockwise contour moved outward by d, or inward where d is negative; nothing may be left of
// it, or several pieces.
func moved(c geom.Contour, d geom.Nm) []geom.Contour {
	if d == 0 {
		return []geom.Contour{c}
	}
	if at, dia, ok := c.Circular(); ok {
		if dia+2*d <= 0 {
			return nil
		}
		return []geom.Contour{geom.Circle(at, dia+2*d)}
	}
	g := geom.NewRegion(c.Ring(geom.FlattenTolerance))
	if d > 0 {
		g = g.Grown(d)
	} else {
		g = g.Shrunk(-d)
	}
	var out []geom.Contour
	for _, p := range g {
		out = append(out, p.Outer.Contour(arcTolerance))
	}
	return out
}

// inOrder returns the contours so that each is the one nearest to the start of the one before it; a closed cut ends
// where it starts. Among equals the first stays first.
func inOrder(w *work.Watch, cs []geom.Contour, at geom.Pt) []geom.Contour {
	left := append([]geom.Contour(nil), cs...)
	out := make([]geom.Contour, 0, len(cs))
	for len(left) > 0 {
		w.Look()
		best := 0
		for i := range left {
			if left[i][0].Dist(at) < left[best][0].Dist(at) {
				best = i
			}
		}
		at = left[best][0].Pt
		out = append(out, left[best])
		left = append(left[:best], left[best+1:]...)
	}
	return out
}
