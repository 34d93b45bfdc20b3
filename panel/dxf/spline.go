package dxf

import "math"

// spline is a B-spline, rational when it has weights (DXF Reference, SPLINE).
type spline struct {
	degree  int
	knots   []float64 // len(control) + degree + 1
	control []XY
	weights []float64 // none, or one for each control point
}

// check returns what is wrong with the spline, empty when it can be evaluated.
func (s spline) check() string {
	switch {
	case s.degree < 1 || s.degree > MaxDegree:
		return "its degree makes no sense"
	case len(s.control) < s.degree+1:
		return "it has too few control points"
	case len(s.knots) != len(s.control)+s.degree+1:
		return "its knots don't match its control points"
	case len(s.weights) != 0 && len(s.weights) != len(s.control):
		return "its weights don't match its control points"
	}
	for i, k := range s.knots {
		if !finite(k) || i > 0 && k < s.knots[i-1] {
			return "its knots don't rise"
		}
	}
	for _, w := range s.weights {
		if !finite(w) || w <= 0 {
			return "it has a weight that isn't positive"
		}
	}
	if s.knots[s.degree] >= s.knots[len(s.control)] {
		return "its knots span nothing"
	}
	return ""
}

// homogeneous is a control point times its weight, and the weight.
type homogeneous struct{ x, y, w float64 }

// span returns the polynomial piece k (knots[k] < knots[k+1]) as a curve, by de Boor's algorithm on homogeneous
// control points; the tangent is the difference of the last two points of the scheme.
//
// Source: C. de Boor, "On calculating with B-splines", J. Approximation Theory 6(1), 1972,
// doi:10.1016/0021-9045(72)90080-9; rational form L. Piegl and W. Tiller, "The NURBS Book", 2nd ed. 1997, section 4.1.
func (s spline) span(k int) curve {
	p := s.degree
	return func(t float64) (XY, XY) {
		var buf [MaxDegree + 1]homogeneous
		d := buf[:p+1]
		for j := range d {
			i := j + k - p
			w := 1.0
			if s.weights != nil {
				w = s.weights[i]
			}
			d[j] = homogeneous{s.control[i].X * w, s.control[i].Y * w, w}
		}
		var tangent XY
		for r := 1; r <= p; r++ {
			if r == p {
				tangent = projected(d[p-1], d[p])
			}
			for j := p; j >= r; j-- {
				lo, hi := s.knots[j+k-p], s.knots[j+1+k-r]
				a := 0.0
				if hi > lo {
					a = (t - lo) / (hi - lo)
				}
				d[j] = homogeneous{
					float64((1-a)*d[j-1].x) + float64(a*d[j].x),
					float64((1-a)*d[j-1].y) + float64(a*d[j].y),
					float64((1-a)*d[j-1].w) + float64(a*d[j].w),
				}
			}
		}
		q := d[p]
		return XY{X: q.x / q.w, Y: q.y / q.w}, tangent
	}
}

// projected returns a tangent of the rational curve from the last two points of the scheme: the curve is tangent to
// the line through their projections.
func projected(a, b homogeneous) XY { return XY{X: b.x/b.w - a.x/a.w, Y: b.y/b.w - a.y/a.w} }

// path returns the spline as biarcs within tol.
func (s spline) path(tol float64) Path {
	var out Path
	last := XY{}
	for k := s.degree; k < len(s.control); k++ {
		t0, t1 := s.knots[k], s.knots[k+1]
		if t1 <= t0 {
			continue
		}
		c := s.span(k)
		if s.degree == 1 {
			p, _ := c(t0)
			out.Vertices = append(out.Vertices, Vertex{p, 0})
		} else {
			out.Vertices = biarcs(out.Vertices, sure(c, t0, t1), t0, t1, tol, 0)
		}
		last, _ = c(t1)
	}
	out.Vertices = append(out.Vertices, Vertex{last, 0})
	if n := len(out.Vertices); n > 2 && out.Vertices[0].Dist(last) <= tol {
		out.Vertices, out.Closed = out.Vertices[:n-1], true
	}
	return out
}

// sure returns the curve with a tangent even where control points coincide: there it comes from a point nearby.
func sure(c curve, t0, t1 float64) curve {
	h := (t1 - t0) * 1e-4
	return func(t float64) (XY, XY) {
		p, d := c(t)
		if d.Len() > 1e-12*(1+math.Abs(p.X)+math.Abs(p.Y)) {
			return p, d
		}
		if t+h <= t1 {
			q, _ := c(t + h)
			return p, q.Sub(p)
		}
		q, _ := c(t - h)
		return p, p.Sub(q)
	}
}

// through returns the cubic spline through the points, for files that give only fit points: parameters by chord
// length, the given tangents at the ends or, without them, no curvature there; closed curves meet smoothly.
//
// Source: C. de Boor, "A Practical Guide to Splines", 1978, chapter IV (cubic spline interpolation by slopes).
func through(pts []XY, start, end *XY, closed bool) []cubic {
	var p []XY
	for _, q := range pts {
		if len(p) == 0 || q.Dist(p[len(p)-1]) > 0 {
			p = append(p, q)
		}
	}
	if closed && len(p) > 2 && p[0].Dist(p[len(p)-1]) > 0 {
		p = append(p, p[0])
	}
	n := len(p) - 1
	if n < 1 {
		return nil
	}
	h := make([]float64, n)
	for i := range h {
		h[i] = p[i].Dist(p[i+1])
	}
	// Slopes m solve a tridiagonal system; a closed curve takes the slope at its joint from the neighbours.
	m := make([]XY, n+1)
	lo, di, up := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	slope := func(i int) XY { return p[i+1].Sub(p[i]).Times(1 / h[i]) }
	unit := func(d XY) XY { return d.Times(1 / d.Len()) }
	if closed && n > 2 && start == nil && end == nil {
		a, b := slope(n-1), slope(0)
		t := a.Times(h[0]).Add(b.Times(h[n-1])).Times(1 / (h[0] + h[n-1]))
		if t.Len() > 0 {
			start, end = &t, &t
		}
	}
	di[0], m[0], up[0] = 2, slope(0).Times(3), 1
	if start != nil && start.Len() > 0 {
		di[0], up[0], m[0] = 1, 0, unit(*start)
	}
	di[n], m[n], lo[n] = 2, slope(n-1).Times(3), 1
	if end != nil && end.Len() > 0 {
		di[n], lo[n], m[n] = 1, 0, unit(*end)
	}
	for i := 1; i < n; i++ {
		lo[i], di[i], up[i] = h[i], 2*(h[i-1]+h[i]), h[i-1]
		m[i] = slope(i - 1).Times(3 * h[i]).Add(slope(i).Times(3 * h[i-1]))
	}
	for i := 1; i <= n; i++ {
		w := lo[i] / di[i-1]
		di[i] -= float64(w * up[i-1])
		m[i] = m[i].Sub(m[i-1].Times(w))
	}
	m[n] = m[n].Times(1 / di[n])
	for i := n - 1; i >= 0; i-- {
		m[i] = m[i].Sub(m[i+1].Times(up[i])).Times(1 / di[i])
	}
	out := make([]cubic, n)
	for i := range out {
		k := h[i] / 3
		out[i] = cubic{p[i], p[i].Add(m[i].Times(k)), p[i+1].Sub(m[i+1].Times(k)), p[i+1]}
	}
	return out
}

// cubic is a Bézier curve of degree 3.
type cubic [4]XY

// splineOf joins cubics end to end into a B-spline with triple knots.
func splineOf(cs []cubic) spline {
	s := spline{degree: 3, knots: []float64{0, 0, 0, 0}}
	for i, c := range cs {
		s.control = append(s.control, c[:3]...)
		t := float64(i + 1)
		s.knots = append(s.knots, t, t, t)
	}
	s.control = append(s.control, cs[len(cs)-1][3])
	s.knots = append(s.knots, float64(len(cs)))
	return s
}
