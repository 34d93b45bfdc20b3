package shape

import (
	"math"

	"lampblack/board"
	"lampblack/panel/geom"
)

// arcTolerance is how far a point may lie from an arc that is recovered from it: flattening and one rounding.
const arcTolerance = 3 * geom.Micrometre

// contourOf returns the ring with its arcs recovered.
func contourOf(r geom.Ring) geom.Contour {
	r = swept(r)
	if c, d, ok := circle(r); ok {
		return geom.Circle(c, d)
	}
	return r.Contour(arcTolerance)
}

// circle reports whether all points lie on one circle. Its diameter is that of the points, which lie on the curve.
func circle(r geom.Ring) (geom.Pt, geom.Nm, bool) {
	if len(r) < 12 {
		return geom.Pt{}, 0, false
	}
	var x, y float64
	for _, p := range r {
		x, y = x+float64(p.X-r[0].X), y+float64(p.Y-r[0].Y)
	}
	n := float64(len(r))
	// The mean of evenly spread points is the centre; uneven ones fail the test below, which is safe.
	c := r[0].Add(geom.Vec{X: geom.Nm(math.Round(x / n)), Y: geom.Nm(math.Round(y / n))})
	lo, hi := math.Inf(1), 0.0
	for _, p := range r {
		d := p.Dist(c)
		lo, hi = min(lo, d), max(hi, d)
	}
	if hi-lo > float64(2*arcTolerance) {
		return geom.Pt{}, 0, false
	}
	return c, geom.Nm(math.Round(lo + hi)), true
}

// swept drops points that booleans leave behind: those next to another, where leaving them out moves the edge by
// less than a hair. The ends of long edges stay, so that none of those is tilted.
func swept(r geom.Ring) geom.Ring {
	const (
		near = 20 * geom.Micrometre
		long = geom.Millimetre / 2
	)
	out := make(geom.Ring, 0, len(r))
	for i, p := range r {
		next := r[(i+1)%len(r)]
		prev := r[(i+len(r)-1)%len(r)]
		if len(out) > 0 {
			prev = out[len(out)-1]
		}
		ahead, behind := p.Dist(next), p.Dist(prev)
		if min(ahead, behind) < float64(near) && max(ahead, behind) < float64(long) && (geom.Segment{A: prev, B: next}).DistTo(p) < float64(hair) {
			continue
		}
		out = append(out, p)
	}
	if len(out) < 3 {
		return r
	}
	return out
}

// sharpInside returns the first inside corner that a router bit cannot reach.
func sharpInside(b board.Board) (geom.Pt, bool) {
	for _, c := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
		edges := c.Edges()
		for i, e := range edges {
			if !e.Straight() && e.Bulge < 0 && e.Radius() < float64(b.Rules.InnerRadius)*0.98 {
				return e.From, true
			}
			// A straight corner to the right is one into the board: the board lies on the left of its edges.
			next := edges[(i+1)%len(edges)]
			if e.Straight() && next.Straight() && geom.Orient(e.From, e.To, next.To) == geom.CW {
				return e.To, true
			}
		}
	}
	return geom.Pt{}, false
}
