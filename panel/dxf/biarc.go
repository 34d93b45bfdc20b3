package dxf

import "math"

// curve evaluates a smooth curve: the point and a tangent (not normalised) at t.
type curve func(t float64) (p, d XY)

// biarcs appends vertices that follow the curve from t0 to t1 with tangent arcs no farther than tol from it; the
// vertex at t1 is left out. Each piece is a biarc: two arcs that meet with one tangent and take over the curve's
// tangents at both ends. A piece that misses the curve is halved.
//
// Source: K. M. Bolton, "Biarc curves", Computer-Aided Design 7(2), 1975, doi:10.1016/0010-4485(75)90086-X: the
// family of biarcs through two points and tangents. We take the member with equal tangent lengths.
func biarcs(out []Vertex, c curve, t0, t1, tol float64, depth int) []Vertex {
	p0, d0 := c(t0)
	p1, d1 := c(t1)
	return biarcPiece(out, c, t0, t1, p0, d0, p1, d1, tol, depth)
}

// maxHalvings bounds the pieces of one span to 4096: an arc of 1 m radius needs some 100 for 2 µm.
const maxHalvings = 12

// maxCurve bounds the pieces of one curve; beyond, what is left of each span becomes a chord. A real one has hundreds.
const maxCurve = 200_000

func biarcPiece(out []Vertex, c curve, t0, t1 float64, p0, d0, p1, d1 XY, tol float64, depth int) []Vertex {
	tm := t0 + (t1-t0)/2
	if len(out) > maxCurve {
		return append(out, Vertex{p0, 0})
	}
	a, b, ok := biarc(p0, d0, p1, d1)
	if ok && fits(c, t0, t1, a, b, tol) {
		if a.Bulge == 0 && b.Bulge == 0 {
			return append(out, Vertex{p0, 0})
		}
		return append(out, Vertex{a.From, a.Bulge}, Vertex{b.From, b.Bulge})
	}
	if depth >= maxHalvings || p0 == p1 && depth > 2 || tm <= t0 || tm >= t1 {
		return append(out, Vertex{p0, 0})
	}
	pm, dm := c(tm)
	out = biarcPiece(out, c, t0, tm, p0, d0, pm, dm, tol, depth+1)
	return biarcPiece(out, c, tm, t1, pm, dm, p1, d1, tol, depth+1)
}

// biarc returns the two arcs from p0 with direction d0 to p1 with direction d1.
func biarc(p0, d0, p1, d1 XY) (a, b Edge, ok bool) {
	l0, l1 := d0.Len(), d1.Len()
	v := p1.Sub(p0)
	if l0 == 0 || l1 == 0 || v.Len() == 0 || !finite(l0, l1, v.X, v.Y) {
		return a, b, false
	}
	d0, d1 = d0.Times(1/l0), d1.Times(1/l1)
	// Turning by more than a right angle is left to smaller pieces.
	if d0.Dot(d1) < 0 || v.Dot(d0) <= 0 || v.Dot(d1) <= 0 {
		return a, b, false
	}
	t := d0.Add(d1)
	vt, vv, k := v.Dot(t), v.Dot(v), 2*(1-d0.Dot(d1))
	var d float64
	if k < 1e-12 {
		d = vv / (2 * vt)
	} else {
		d = (-vt + math.Sqrt(float64(vt*vt)+float64(k*vv))) / k
	}
	m := p0.Add(p1).Add(d0.Sub(d1).Times(d)).Times(0.5)
	a, b = Edge{From: p0, To: m}, Edge{From: m, To: p1}
	a.Bulge = halfTurn(d0, m.Sub(p0))
	b.Bulge = halfTurn(p1.Sub(m), d1)
	// A sagitta (|b|·c/2) below a tenth of the resolution of geom.Nm is a straight line.
	if math.Abs(a.Bulge)*m.Dist(p0) < 2e-7 && math.Abs(b.Bulge)*m.Dist(p1) < 2e-7 {
		a.Bulge, b.Bulge = 0, 0
	}
	return a, b, finite(d, a.Bulge, b.Bulge)
}

// halfTurn returns tan(α/2) for the angle α from u to v: the bulge of an arc whose tangent makes α with its chord,
// since its included angle is 2α.
func halfTurn(u, v XY) float64 { return math.Tan(math.Atan2(u.Cross(v), u.Dot(v)) / 2) }

// fits measures the curve against the two arcs at seven inner points.
func fits(c curve, t0, t1 float64, a, b Edge, tol float64) bool {
	for i := 1; i < 8; i++ {
		p, _ := c(t0 + (t1-t0)*float64(i)/8)
		if min(a.offset(p), b.offset(p)) > tol {
			return false
		}
	}
	return true
}

// offset returns the distance of p from the edge's circle or line.
func (e Edge) offset(p XY) float64 {
	if e.Bulge == 0 {
		d := e.To.Sub(e.From)
		if l := d.Len(); l > 0 {
			return math.Abs(d.Cross(p.Sub(e.From))) / l
		}
		return p.Dist(e.From)
	}
	return math.Abs(p.Dist(e.Centre()) - e.Radius())
}
