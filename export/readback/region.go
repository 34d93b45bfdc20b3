package readback

import (
	"github.com/tidwall/rtree"

	"lampblack/export"
	"lampblack/panel/geom"
)

// regionState is an open region statement (4.10).
type regionState struct {
	line     int
	from     geom.Pt // where the current contour began
	contour  geom.Contour
	started  bool // a D02 was seen
	contours int
}

func (r *reader) openRegion() {
	if r.region != nil {
		r.fail("readback-in-region", "a region (G36) starts inside a region").Fix("end the first one with G37*")
		r.endContour()
	}
	r.region = &regionState{line: r.line}
}

func (r *reader) closeRegion() {
	if r.region == nil {
		r.fail("readback-in-region", "G37 ends a region that was not started").Fix("start regions with G36*")
		return
	}
	r.endContour()
	if r.region.contours == 0 {
		r.warn("readback-empty-region", "a region has no contour").Fix("leave it out")
	}
	r.region = nil
	r.placed = true
}

// endContour closes the current contour of a region and paints it. The contours of one region are painted one after
// the other: their union (4.10.4).
func (r *reader) endContour() {
	c := r.region.contour
	r.region.contour = nil
	if len(c) == 0 {
		return
	}
	r.region.contours++
	if r.point != r.region.from {
		r.fail("readback-open-contour", "a region's contour is not closed: it starts at (%.6g, %.6g) and ends at (%.6g, %.6g)",
			r.region.from.X.MM(), r.region.from.Y.MM(), r.point.X.MM(), r.point.Y.MM()).
			At(r.point.X.MM(), r.point.Y.MM()).Fix("end the contour where it started")
		c = append(c, geom.Vertex{Pt: r.point})
	}
	if at, bad := tangled(c); bad {
		r.fail("readback-region-crosses", "a region's contour crosses or touches itself").At(at.X.MM(), at.Y.MM()).
			Fix("write simple contours, and holes as clear regions or cut-ins")
	}
	o := export.Object{Op: export.Region, Clear: r.pol, Contour: c}
	if f := r.apertureAttr[".AperFunction"]; len(f) > 0 {
		o.Function = joined(f)
	}
	r.attach(&o)
	r.emit(o)
}

// tangled finds a place where a contour meets itself, other than by a cut-in (4.10.3): two straight edges, horizontal or
// vertical, that lie on each other from end to end, and touch the contour at their ends.
func tangled(c geom.Contour) (geom.Pt, bool) {
	if len(c) == 2 && c[0].Bulge != 0 && c[1].Bulge != 0 && (c[0].Bulge > 0) == (c[1].Bulge > 0) {
		return geom.Pt{}, false // two arcs one way round: a disc or a lens
	}
	ring := c.Ring(geom.FlattenTolerance)
	n := len(ring)
	if n < 3 {
		return c[0].Pt, true
	}
	segs := ring.Segments()
	var pairs [][2]int
	visit := func(i, j int) bool {
		if j <= i+1 || i == 0 && j == n-1 {
			return true
		}
		if segs[i].Crosses(segs[j]) {
			pairs = append(pairs, [2]int{i, j})
		}
		return len(pairs) < 1000
	}
	if n <= 40 {
		for i := range segs {
			for j := i + 2; j < n; j++ {
				visit(i, j)
			}
		}
	} else {
		var tree rtree.RTreeGN[int64, int]
		for i, s := range segs {
			b := s.Box()
			lo, hi := [2]int64{int64(b.Min.X), int64(b.Min.Y)}, [2]int64{int64(b.Max.X), int64(b.Max.Y)}
			tree.Search(lo, hi, func(_, _ [2]int64, j int) bool { return visit(j, i) })
			tree.Insert(lo, hi, i)
		}
	}
	if len(pairs) == 0 {
		return geom.Pt{}, false
	}
	ends := map[geom.Pt]bool{} // of cut-ins
	cutIn := func(s, t geom.Segment) bool {
		return s.A == t.B && s.B == t.A && (s.A.X == s.B.X || s.A.Y == s.B.Y)
	}
	for _, p := range pairs {
		if s, t := segs[p[0]], segs[p[1]]; cutIn(s, t) {
			ends[s.A], ends[s.B] = true, true
		}
	}
	for _, p := range pairs {
		s, t := segs[p[0]], segs[p[1]]
		if cutIn(s, t) {
			continue
		}
		meet, ok := sharedEnd(s, t)
		if !ok || !ends[meet] {
			return crossingNear(s, t), true
		}
	}
	return geom.Pt{}, false
}

// sharedEnd returns the one end that two segments have in common, if that is all they share.
func sharedEnd(s, t geom.Segment) (geom.Pt, bool) {
	for _, p := range [2]geom.Pt{s.A, s.B} {
		if p != t.A && p != t.B {
			continue
		}
		so, to := s.A, t.A
		if so == p {
			so = s.B
		}
		if to == p {
			to = t.B
		}
		if geom.Orient(p, so, to) == geom.Collinear && so.Sub(p).Dot(to.Sub(p)) > 0 {
			return p, false
		}
		return p, true
	}
	return geom.Pt{}, false
}

// crossingNear returns a point close to where two crossing segments meet.
func crossingNear(s, t geom.Segment) geom.Pt {
	for _, p := range [2]geom.Pt{t.A, t.B} {
		if s.DistTo(p) < 1 {
			return p
		}
	}
	d, e := s.B.Sub(s.A), t.B.Sub(t.A)
	den := float64(d.Cross(e))
	if den == 0 {
		return s.A
	}
	k := float64(t.A.Sub(s.A).Cross(e)) / den
	return s.A.Add(geom.Vec{X: geom.Nm(float64(d.X) * k), Y: geom.Nm(float64(d.Y) * k)})
}
