package dxf

import "math"

// ellipse is the curve c + u·cos t + v·sin t for t from t0 to t1 (t0 < t1 ≤ t0 + 2π). Circles, arcs, ellipses and
// all their images under affine maps have this form.
type ellipse struct {
	c, u, v XY
	t0, t1  float64
}

func (e ellipse) full() bool { return e.t1-e.t0 >= 2*math.Pi-1e-9 }

func (e ellipse) mapped(m affine) ellipse {
	return ellipse{m.point(e.c), m.vector(e.u), m.vector(e.v), e.t0, e.t1}
}

func (e ellipse) at(t float64) (p, d XY) {
	s, c := sincos(t)
	return e.c.Add(e.u.Times(c)).Add(e.v.Times(s)), e.v.Times(c).Sub(e.u.Times(s))
}

// path returns the curve in exact arcs when it is round to a hundredth of the tolerance, else in biarcs within tol.
func (e ellipse) path(tol float64) Path {
	lu, lv := e.u.Len(), e.v.Len()
	big := max(lu, lv)
	round := math.Abs(lu-lv) <= tol/100 && math.Abs(e.u.Dot(e.v)) <= tol/100*big
	var out Path
	switch {
	case round && e.full():
		// Two semicircles from the left end, as geom.Circle does.
		b := math.Copysign(1, e.u.Cross(e.v))
		out = Path{[]Vertex{{XY{X: e.c.X - lu, Y: e.c.Y}, b}, {XY{X: e.c.X + lu, Y: e.c.Y}, b}}, true}
	case round:
		n := 1
		if e.t1-e.t0 > math.Pi+1e-9 {
			n = 2
		}
		step := (e.t1 - e.t0) / float64(n)
		b := math.Copysign(math.Tan(step/4), e.u.Cross(e.v))
		for i := range n {
			p, _ := e.at(e.t0 + step*float64(i))
			out.Vertices = append(out.Vertices, Vertex{p, b})
		}
		p, _ := e.at(e.t1)
		out.Vertices = append(out.Vertices, Vertex{p, 0})
	default:
		// Quarters first: a biarc turns by less than a right angle.
		n := max(1, int(math.Ceil((e.t1-e.t0)/(math.Pi/2)-1e-9)))
		for i := range n {
			a, b := e.t0+(e.t1-e.t0)*float64(i)/float64(n), e.t0+(e.t1-e.t0)*float64(i+1)/float64(n)
			out.Vertices = biarcs(out.Vertices, e.at, a, b, tol, 0)
		}
		if out.Closed = e.full(); !out.Closed {
			p, _ := e.at(e.t1)
			out.Vertices = append(out.Vertices, Vertex{p, 0})
		}
	}
	return out
}

// ellipseOf returns the edge, which must be an arc, as an ellipse.
func ellipseOf(e Edge) ellipse {
	c := e.Centre()
	r := e.From.Sub(c)
	// Seen from the start: u points to From, v a quarter turn on in the arc's own direction.
	v := XY{X: -r.Y, Y: r.X}
	if e.Bulge < 0 {
		v = XY{X: r.Y, Y: -r.X}
	}
	return ellipse{c, r, v, 0, math.Abs(e.Sweep())}
}

// mappedPath returns the path under m. Arcs stay arcs when m keeps circles round, else they become biarcs.
func mappedPath(p Path, m affine, tol float64) Path {
	out := Path{Closed: p.Closed}
	if m.conformal() || p.straight() {
		sign := 1.0
		if m.det() < 0 {
			sign = -1
		}
		out.Vertices = make([]Vertex, len(p.Vertices))
		for i, v := range p.Vertices {
			out.Vertices[i] = Vertex{m.point(v.XY), sign * v.Bulge}
		}
		return out
	}
	for _, e := range p.Edges() {
		if e.Bulge == 0 || e.From == e.To {
			out.Vertices = append(out.Vertices, Vertex{m.point(e.From), 0})
			continue
		}
		q := ellipseOf(e).mapped(m).path(tol)
		out.Vertices = append(out.Vertices, q.Vertices[:len(q.Vertices)-1]...)
	}
	if n := len(p.Vertices); !p.Closed && n > 0 {
		out.Vertices = append(out.Vertices, Vertex{m.point(p.Vertices[n-1].XY), 0})
	}
	return out
}

func (p Path) straight() bool {
	for _, v := range p.Vertices {
		if v.Bulge != 0 {
			return false
		}
	}
	return true
}
