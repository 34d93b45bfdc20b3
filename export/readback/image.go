package readback

import (
	"cmp"
	"slices"

	"lampblack/export"
	"lampblack/panel/geom"
)

// fine is the flattening tolerance of drawn arcs: an arc written in two halves has other chords than one written whole, and
// must not seem another.
const fine = geom.Micrometre / 4

// Image returns the area that a layer's objects leave dark, curves flattened to geom.FlattenTolerance
// or better.
func Image(l export.Layer) geom.Region {
	var sum geom.Region
	for i := 0; i < len(l.Objects); {
		j := i
		var rings []geom.Ring
		var rest []geom.Region
		for ; j < len(l.Objects) && l.Objects[j].Clear == l.Objects[i].Clear; j++ {
			r, g := painted(l, l.Objects[j])
			rings = append(rings, r...)
			if len(g) > 0 {
				rest = append(rest, g)
			}
		}
		if l.Objects[i].Clear {
			sum = geom.Knife{}.Without(sum, rings...)
		} else {
			sum = geom.Knife{}.With(sum, rings...)
		}
		for _, g := range rest {
			if l.Objects[i].Clear {
				sum = sum.Minus(g)
			} else {
				sum = sum.Or(g)
			}
		}
		i = j
	}
	return sum
}

// painted returns what an object paints: simple rings, or a region where it has holes or may cross itself.
func painted(l export.Layer, o export.Object) ([]geom.Ring, geom.Region) {
	if o.Op == export.Region {
		r := o.Contour.Ring(geom.FlattenTolerance)
		if _, bad := tangled(o.Contour); bad || hasCutIn(r) {
			return nil, geom.NewRegion(r)
		}
		return []geom.Ring{r}, nil
	}
	a := l.Apertures[o.Aperture]
	if o.Op == export.Flash {
		var rings []geom.Ring
		for _, c := range contoursOf(a) {
			rings = append(rings, c.Moved(o.To.Sub(geom.Pt{})).Ring(geom.FlattenTolerance))
		}
		if len(rings) < 2 {
			return rings, nil
		}
		return nil, geom.NewRegion(rings...)
	}
	pts := geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}.Flatten(fine)
	pts = append(pts, o.To)
	var rings []geom.Ring
	for i := 1; i < len(pts); i++ {
		switch {
		case a.Shape == export.Circle && a.W > 0:
			rings = append(rings, geom.Stadium(geom.Segment{A: pts[i-1], B: pts[i]}, a.W/2).Ring(geom.FlattenTolerance))
		case a.Shape != export.Circle:
			var all []geom.Pt
			for _, c := range contoursOf(a) {
				for _, p := range c.Ring(geom.FlattenTolerance) {
					all = append(all, pts[i-1].Add(p.Sub(geom.Pt{})), pts[i].Add(p.Sub(geom.Pt{})))
				}
			}
			if h := hull(all); len(h) > 2 {
				rings = append(rings, h)
			}
		}
	}
	return rings, nil
}

// hasCutIn reports whether a ring runs over one of its edges twice.
func hasCutIn(r geom.Ring) bool {
	seen := map[geom.Segment]bool{}
	for _, s := range r.Segments() {
		if seen[geom.Segment{A: s.B, B: s.A}] {
			return true
		}
		seen[s] = true
	}
	return false
}

// hull returns the convex hull, counter-clockwise.
//
// Source: A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions", Information Processing Letters
// 9(5), 1979, doi:10.1016/0020-0190(79)90072-3.
func hull(pts []geom.Pt) geom.Ring {
	slices.SortFunc(pts, func(a, b geom.Pt) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	pts = slices.Compact(pts)
	if len(pts) < 3 {
		return nil
	}
	half := func(ps []geom.Pt) geom.Ring {
		var h geom.Ring
		for _, p := range ps {
			for len(h) >= 2 && geom.Orient(h[len(h)-2], h[len(h)-1], p) != geom.CCW {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		return h[:len(h)-1]
	}
	lower := half(pts)
	slices.Reverse(pts)
	return append(lower, half(pts)...)
}
