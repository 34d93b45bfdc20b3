package dxf

import "math"

// affine maps (x, y) to (a·x + c·y + e, b·x + d·y + f).
type affine struct{ a, b, c, d, e, f float64 }

var identity = affine{a: 1, d: 1}

func translate(p XY) affine     { return affine{1, 0, 0, 1, p.X, p.Y} }
func scale(x, y float64) affine { return affine{a: x, d: y} }
func rotate(rad float64) affine { s, c := sincos(rad); return affine{a: c, b: s, c: -s, d: c} }
func (m affine) det() float64   { return float64(m.a*m.d) - float64(m.b*m.c) }
func (m affine) point(p XY) XY  { v := m.vector(p); return XY{X: v.X + m.e, Y: v.Y + m.f} }
func (m affine) vector(p XY) XY {
	return XY{X: float64(m.a*p.X) + float64(m.c*p.Y), Y: float64(m.b*p.X) + float64(m.d*p.Y)}
}
func (m affine) finite() bool    { return finite(m.a, m.b, m.c, m.d, m.e, m.f) }
func (m affine) conformal() bool { return m.similar(1e-9) }

// then returns the map that applies m first and n after it.
func (m affine) then(n affine) affine {
	x, y, o := n.vector(XY{X: m.a, Y: m.b}), n.vector(XY{X: m.c, Y: m.d}), n.point(XY{X: m.e, Y: m.f})
	return affine{x.X, x.Y, y.X, y.Y, o.X, o.Y}
}

// similar reports whether circles stay circles, to a relative error of tol.
func (m affine) similar(tol float64) bool {
	u, v := XY{X: m.a, Y: m.b}, XY{X: m.c, Y: m.d}
	lu, lv := u.Len(), v.Len()
	big := max(lu, lv)
	return math.Abs(lu-lv) <= tol*big && math.Abs(u.Dot(v)) <= tol*big*big
}

// sincos is exact at whole quarter turns, where blocks are mostly turned, and computed elsewhere.
func sincos(rad float64) (s, c float64) {
	q := rad / (math.Pi / 2)
	if n := math.Round(q); math.Abs(q-n) < 1e-12 && math.Abs(n) < 1e6 {
		switch ((int(n) % 4) + 4) % 4 {
		case 0:
			return 0, 1
		case 1:
			return 1, 0
		case 2:
			return 0, -1
		}
		return -1, 0
	}
	return math.Sin(rad), math.Cos(rad)
}

func finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// vec3 is a direction in space, for extrusions.
type vec3 struct{ x, y, z float64 }

// plane says how an entity's own coordinates (OCS) lie in the drawing plane.
type plane uint8

const (
	upright  plane = iota // extrusion (0,0,1)
	mirrored              // extrusion (0,0,-1): x is negated
	tilted                // not parallel to the drawing plane
)

// plane applies the arbitrary axis algorithm of the DXF Reference to normals parallel to Z: for both signs
// |Ax|, |Ay| < 1/64, so Ax = Y × N: (1,0,0) for +Z and (-1,0,0) for -Z, and Ay = N × Ax = (0,1,0) for both.
func (n vec3) plane() plane {
	l := math.Sqrt(float64(n.x*n.x) + float64(n.y*n.y) + float64(n.z*n.z))
	if l == 0 || math.IsNaN(l) || math.IsInf(l, 0) {
		return upright // no direction at all: the default
	}
	// 1e-6 rad of tilt move a point 1 m away by 1 µm at most.
	if math.Hypot(n.x, n.y) > 1e-6*l {
		return tilted
	}
	if n.z < 0 {
		return mirrored
	}
	return upright
}
