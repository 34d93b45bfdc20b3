package geom

import "math"

// Grown returns the points no farther than d from g: its Minkowski sum with a disc (round corners).
func (g Region) Grown(d Nm) Region { return Knife{}.Grown(g, d) }

// Grown returns g grown by d, as Region.Grown.
func (k Knife) Grown(g Region, d Nm) Region {
	if d <= 0 || len(g) == 0 {
		return g
	}
	return k.offset(g, d)
}

// Shrunk returns the points of g farther than d from its border.
func (g Region) Shrunk(d Nm) Region { return Knife{}.Shrunk(g, d) }

// Shrunk returns g shrunk by d, as Region.Shrunk.
func (k Knife) Shrunk(g Region, d Nm) Region {
	if d <= 0 || len(g) == 0 {
		return g
	}
	return k.offset(g, -d)
}

// offset moves the border outward by d, inward when d is negative.
//
// Method: the convolution of the border with a disc of radius |d| winds round a point a positive number of times just when
// the point belongs to the result (R. Wein, "Exact and Efficient Construction of Planar Minkowski Sums Using the
// Convolution Method", ESA 2006, doi:10.1007/11841036_73). Where the border turns away from the side it moves to, the two
// moved edges are joined through the corner itself instead of by the disc's far arc, which changes no positive winding.
func (k Knife) offset(g Region, d Nm) Region {
	var curves []Ring
	for _, r := range g.Rings() {
		k.look()
		curves = append(curves, convolved(r, d))
	}
	k.look()
	return k.regionOf(k.overlay(curves, nil, func(w, _ int32) bool { return w > 0 }))
}

// mitre is by how much a corner may stand out from its round when one point replaces a short arc.
const mitre = 300 // nm

// convolved returns the ring's edges moved by d to their right, joined by arcs round d at corners that open that way and
// through the corner at others.
func convolved(r Ring, d Nm) Ring {
	n := len(r)
	out := make(Ring, 0, 3*n)
	open := CCW
	if d < 0 {
		open = CW
	}
	for i := range r {
		a, b, c := r[i], r[(i+1)%n], r[(i+2)%n]
		u, v := rightOf(a, b, d), rightOf(b, c, d)
		turn := Orient(a, b, c)
		spike := turn == Collinear && b.Sub(a).Dot(c.Sub(b)) < 0
		switch {
		case turn == Collinear && !spike:
			out = append(out, b.Add(u))
		case turn == open || spike:
			out = append(out, corner(b, u, v, d)...)
		default:
			out = append(out, b.Add(u), b, b.Add(v))
		}
	}
	return out
}

// corner returns the points from b+u to b+v round b: one where the mitre is short enough, else a flattened arc.
func corner(b Pt, u, v Vec, d Nm) []Pt {
	r := math.Abs(float64(d))
	sweep := math.Atan2(float64(u.Cross(v)), float64(u.Dot(v)))
	if sweep == 0 || u == v.Neg() {
		sweep = math.Pi
	}
	if stretch := 1/math.Cos(sweep/2) - 1; math.Abs(sweep) < math.Pi/2 && float64(r*stretch) <= mitre {
		k := (1 + stretch) / (2 * math.Cos(sweep/2))
		w := u.Plus(v)
		return []Pt{b.Add(Vec{Nm(math.Round(float64(w.X) * k)), Nm(math.Round(float64(w.Y) * k))})}
	}
	arc := Arc{From: b.Add(u), To: b.Add(v), Bulge: math.Tan(sweep / 4)}
	return append(arc.Flatten(FlattenTolerance), arc.To)
}

// rightOf returns the vector of length d to the right of a→b, to the left when d is negative.
func rightOf(a, b Pt, d Nm) Vec {
	v := b.Sub(a)
	k := float64(d) / v.Len()
	return Vec{Nm(math.Round(float64(v.Y) * k)), Nm(math.Round(-float64(v.X) * k))}
}

// Stadium returns the outline of all points no farther than r from the segment.
func Stadium(s Segment, r Nm) Contour {
	if s.A == s.B {
		return Circle(s.A, 2*r)
	}
	u := rightOf(s.A, s.B, r)
	return Contour{{s.A.Add(u), 0}, {s.B.Add(u), 1}, {s.B.Add(u.Neg()), 0}, {s.A.Add(u.Neg()), 1}}
}
