package read

import (
	"cmp"
	"math"

	"lampblack/panel/dxf"
	"lampblack/panel/role"
)

// loop is a closed curve of the drawing, counter-clockwise, with the entity that it starts with.
type loop struct {
	path  dxf.Path
	from  *dxf.Entity
	pens  []*dxf.Entity // as a piece's
	area  float64       // mm²
	box   dxf.Box
	round bool
	c     dxf.XY  // of a round one: centre
	d     float64 // and diameter, mm
	edge  *border // once it was asked for
	face  bool    // it is what lines that branch divide, not a line of its own

	// Where it lies and what it is part of, once outlines are known.
	places role.Places
	within dxf.Box // of the closed line that it lies in
	letter bool    // it is part of a word
	height float64 // of that word, mm
	ground *ground // why it has its role; nil: its layer or its size says so

	pose  pose   // what brought it here from its place in the drawing, since it lies on another sheet of its panel
	layer string // what it is judged by in place of its layer; empty: that
}

// newLoop returns the loop of a closed path.
func newLoop(p dxf.Path, from *dxf.Entity) loop {
	p.Closed = true
	if c, d, ok := p.Circle(); ok {
		if p.Vertices[0].Bulge < 0 {
			p = p.Reversed()
		}
		r := dxf.XY{X: d / 2, Y: d / 2}
		return loop{path: p, from: from, area: math.Pi * r.X * r.X, box: dxf.Box{Min: c.Sub(r), Max: c.Add(r)}, c: c, d: d, round: d > 0}
	}
	a := p.SignedArea()
	if a < 0 {
		p = p.Reversed()
	}
	l := loop{path: p, from: from, area: math.Abs(a), box: p.Box()}
	l.c, l.d, l.round = circular(p)
	return l
}

// Chords of a circle reach at most 30° here: twelve of them. Coarser polygons, as a hexagon, are meant as such.
const maxChord = 31 * math.Pi / 180

// circular reports whether the closed path is a full circle, however it was drawn: one CIRCLE, two or more arcs,
// bulges, splines, or at least twelve chords; and fits centre and diameter to the points on the curve. Corners of
// chords lie on the true circle, so that 3 mm stay 3 mm however coarse the chords are.
func circular(p dxf.Path) (c dxf.XY, d float64, ok bool) {
	if c, d, ok := p.Circle(); ok {
		return c, d, d > 0
	}
	n := len(p.Vertices)
	if n < 2 {
		return c, 0, false
	}
	edges := p.Edges()
	pts := make([]dxf.XY, 0, 2*n)
	for _, e := range edges {
		pts = append(pts, e.From)
		if e.Bulge != 0 {
			pts = append(pts, e.Mid())
		}
	}
	c, r, ok := fitCircle(pts)
	if !ok {
		return c, 0, false
	}
	// A hundredth of a millimetre is what plotting precision and four cubic splines for a circle (2.7e-4 of the
	// radius) leave; an oval that a drill can't make differs by more.
	tol := 0.01 + 0.001*r
	turn := 0.0
	for _, e := range edges {
		u, v := e.From.Sub(c), e.To.Sub(c)
		step := math.Atan2(u.Cross(v), u.Dot(v))
		if e.Bulge == 0 {
			if math.Abs(step) > maxChord {
				return c, 0, false
			}
		} else {
			if math.Abs(e.Mid().Dist(c)-r) > tol {
				return c, 0, false
			}
			if s := e.Sweep(); math.Abs(s) > math.Pi/2 {
				step = s
			}
		}
		if math.Abs(u.Len()-r) > tol || step < -1e-3 {
			return c, 0, false
		}
		turn += step
	}
	if math.Abs(turn-2*math.Pi) > 0.05 {
		return c, 0, false
	}
	return c, 2 * r, true
}

// fitCircle returns the circle with the least sum of squares of |p-c|²-r², which is linear.
//
// Source: I. Kåsa, "A circle fitting procedure and its error analysis", IEEE Trans. Instrumentation and Measurement
// IM-25(1), 1976, doi:10.1109/TIM.1976.6312298.
func fitCircle(pts []dxf.XY) (c dxf.XY, r float64, ok bool) {
	n := float64(len(pts))
	if n < 3 {
		return c, 0, false
	}
	var m dxf.XY
	for _, p := range pts {
		m = m.Add(p.Sub(pts[0]))
	}
	m = pts[0].Add(m.Times(1 / n))
	var sxx, sxy, syy, sxz, syz, sz float64
	for _, p := range pts {
		q := p.Sub(m)
		z := q.Dot(q)
		sxx += float64(q.X * q.X)
		sxy += float64(q.X * q.Y)
		syy += float64(q.Y * q.Y)
		sxz += float64(q.X * z)
		syz += float64(q.Y * z)
		sz += z
	}
	det := float64(sxx*syy) - float64(sxy*sxy)
	if !(det > 1e-12*sz*sz) {
		return c, 0, false
	}
	o := dxf.XY{X: (float64(sxz*syy) - float64(syz*sxy)) / (2 * det), Y: (float64(syz*sxx) - float64(sxz*sxy)) / (2 * det)}
	return m.Add(o), math.Sqrt(sz/n + o.Dot(o)), true
}

// flatTolerance is how far, in mm, a flattened loop may lie from its curve in containment tests.
const flatTolerance = 0.005

// flat returns the loop as a polygon.
func (l *loop) flat() []dxf.XY { return l.flattened().pts }

// flattened returns the loop's edge, flattened, and keeps it.
func (l *loop) flattened() *border {
	if l.edge == nil {
		var pts []dxf.XY
		n := len(l.path.Vertices)
		for i, v := range l.path.Vertices {
			pts = appendFlat(pts, dxf.Edge{From: v.XY, To: l.path.Vertices[(i+1)%n].XY, Bulge: v.Bulge})
		}
		l.edge = newBorder(pts)
	}
	return l.edge
}

// appendFlat appends points along the edge, its end left out.
func appendFlat(out []dxf.XY, e dxf.Edge) []dxf.XY {
	out = append(out, e.From)
	if e.Bulge == 0 || e.From == e.To {
		return out
	}
	r, sweep, c := e.Radius(), e.Sweep(), e.Centre()
	n := int(math.Ceil(math.Abs(sweep) / (2 * math.Acos(max(0, 1-flatTolerance/r)))))
	n = min(max(n, int(math.Ceil(math.Abs(sweep)/(math.Pi/4)))), 2048)
	u := e.From.Sub(c)
	for i := 1; i < n; i++ {
		s, k := math.Sincos(sweep * float64(i) / float64(n))
		out = append(out, c.Add(dxf.XY{X: float64(u.X*k) - float64(u.Y*s), Y: float64(u.X*s) + float64(u.Y*k)}))
	}
	return out
}

// holds reports whether the point lies inside, by the even-odd rule.
func (l *loop) holds(p dxf.XY) bool { return l.box.Contains(p) && l.flattened().holds(p) }

// near reports whether the point lies within d of the edge.
func (l *loop) near(p dxf.XY, d float64) bool {
	return l.distance(p, math.Nextafter(d, math.Inf(1))) <= d
}

// distance returns the distance from the point to the loop's edge, mm, or most if that is less.
func (l *loop) distance(p dxf.XY, most float64) float64 { return l.flattened().distance(p, most) }

// middle returns the centre of a round loop, else the centroid of its flattened form.
func (l *loop) middle() dxf.XY {
	if l.round {
		return l.c
	}
	r := l.flat()
	var sx, sy, sa float64
	for i := range r {
		a, b := r[i].Sub(r[0]), r[(i+1)%len(r)].Sub(r[0])
		k := a.Cross(b)
		sa += k
		sx += float64((a.X + b.X) * k)
		sy += float64((a.Y + b.Y) * k)
	}
	if sa == 0 {
		return l.centre()
	}
	return r[0].Add(dxf.XY{X: sx / (3 * sa), Y: sy / (3 * sa)})
}

// centre is the middle of the loop's box.
func (l *loop) centre() dxf.XY { return l.box.Centre() }

// standing says how one loop lies to another.
type standing uint8

const (
	apart standing = iota
	crossing
	within
)

// standingIn says how l lies to outer: by the corners of its flattened form and, since a loop may reach through another
// with no corner in it, by edges that cross. What lies within twice flatTolerance of outer's edge counts as on it.
func (l *loop) standingIn(outer *loop) standing {
	if !overlap(l.box, outer.box) {
		return apart
	}
	const least = 2 * flatTolerance
	if l.round {
		if outer.round {
			switch d := l.c.Dist(outer.c); {
			case d+l.d/2 <= outer.d/2+least:
				return within
			case d >= (l.d+outer.d)/2, d+outer.d/2 <= l.d/2:
				return apart
			}
			return crossing
		}
		// A circle whose edge stays clear of the other lies where its middle lies: most holes of most panels.
		if clear := l.d/2 + 2*least; outer.distance(l.c, clear) == clear {
			if outer.holds(l.c) {
				return within
			}
			return apart
		}
	}
	in, out := false, false // clear of the edge
	for _, p := range l.flat() {
		if outer.holds(p) {
			in = in || !outer.near(p, least)
		} else {
			out = out || !outer.near(p, least)
		}
		if in && out {
			return crossing
		}
	}
	switch {
	case l.cuts(outer):
		return crossing
	case !out:
		return within
	}
	return apart
}

// in reports whether l lies within outer. Most that overlap do not: their boxes tell.
func (l *loop) in(outer *loop) bool {
	const play = 4 * flatTolerance // twice what standingIn forgives
	return boxIn(l.box, outer.box, play) && l.standingIn(outer) == within
}

// cuts reports whether an edge of l runs across one of o, each with its ends farther than twice flatTolerance from the
// other's line.
func (l *loop) cuts(o *loop) bool {
	a, b := l.flattened(), o.flattened()
	return a.meets(o.box, func(p, q dxf.XY) bool {
		return b.meets(dxf.EmptyBox().With(p).With(q), func(r, s dxf.XY) bool { return divided(p, q, r, s) && divided(r, s, p, q) })
	})
}

// divided reports whether r and s lie on different sides of the line through p and q, both clear of it.
func divided(p, q, r, s dxf.XY) bool {
	d := q.Sub(p)
	least := 2 * flatTolerance * math.Sqrt(d.Dot(d))
	u, v := d.Cross(r.Sub(p)), d.Cross(s.Sub(p))
	return u > least && v < -least || u < -least && v > least
}

// compare orders two lengths in mm, or areas in mm², by their millionths: what is drawn alike must not be put in order by
// the last bits of its coordinates.
func compare(a, b float64) int { return cmp.Compare(math.Round(a*1e6), math.Round(b*1e6)) }

func compareXY(a, b dxf.XY) int { return cmp.Or(compare(a.X, b.X), compare(a.Y, b.Y)) }
