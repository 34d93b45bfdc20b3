package geom

import "math"

// Ring is a closed polygon of straight edges; the last point joins the first, which is not repeated.
type Ring []Pt

// SignedArea2 returns twice the signed area in nm², exact as long as the area stays below 4.6 m².
func (r Ring) SignedArea2() int64 {
	var sum int64
	for i := range r {
		sum += r[i].Sub(r[0]).Cross(r[(i+1)%len(r)].Sub(r[0]))
	}
	return sum
}

// Area returns the area in mm².
func (r Ring) Area() float64 { return math.Abs(float64(r.SignedArea2())) / 2e12 }

// Perimeter returns the length in mm.
func (r Ring) Perimeter() float64 {
	sum := 0.0
	for _, s := range r.Segments() {
		sum += s.Len()
	}
	return sum / 1e6
}

// Box returns the bounding box.
func (r Ring) Box() Box { return BoxOf(r...) }

// Segments returns the edges in order.
func (r Ring) Segments() []Segment {
	out := make([]Segment, len(r))
	for i := range r {
		out[i] = Segment{r[i], r[(i+1)%len(r)]}
	}
	return out
}

// Reversed returns the ring run backwards.
func (r Ring) Reversed() Ring {
	out := make(Ring, len(r))
	for i := range r {
		out[len(r)-1-i] = r[i]
	}
	return out
}

// Oriented returns the ring run in the given direction, CCW or CW.
func (r Ring) Oriented(t Turn) Ring {
	if (r.SignedArea2() < 0) == (t == CCW) {
		return r.Reversed()
	}
	return r
}

// Moved returns the ring moved by v.
func (r Ring) Moved(v Vec) Ring {
	out := make(Ring, len(r))
	for i := range r {
		out[i] = r[i].Add(v)
	}
	return out
}

// Where is the outcome of a containment test.
type Where int8

const (
	Outside Where = iota
	OnEdge
	Inside
)

// Locate says where p lies by the even-odd rule. Exact.
func (r Ring) Locate(p Pt) Where {
	in := false
	for i := range r {
		a, b := r[i], r[(i+1)%len(r)]
		if a.Y > b.Y {
			a, b = b, a
		}
		if p.Y < a.Y || p.Y > b.Y {
			continue
		}
		o := Orient(a, b, p)
		if o == Collinear && p.X >= min(a.X, b.X) && p.X <= max(a.X, b.X) {
			return OnEdge
		}
		// Half-open in Y, so that a vertex counts once.
		if p.Y < b.Y && o == CCW {
			in = !in
		}
	}
	if in {
		return Inside
	}
	return Outside
}

// DistTo returns the distance from the ring's edges to p, in nanometres.
func (r Ring) DistTo(p Pt) float64 {
	best := math.Inf(1)
	for i := range r {
		best = min(best, Segment{r[i], r[(i+1)%len(r)]}.DistTo(p))
	}
	return best
}

// Contour returns the ring as a contour in which runs of short chords become the arcs they were flattened from: a
// run is an arc when at least five neighbouring points lie within tol of one circle and no chord between them
// leaves it by more than three times tol. Corners stay exact.
func (r Ring) Contour(tol Nm) Contour {
	n := len(r)
	if n < 3 {
		return Straight(r...)
	}
	start := r.longest()
	at := func(i int) Pt { return r[(start+i)%n] }
	var out Contour
	for i := 0; i < n; {
		best, bulge := 1, 0.0
		for j := 4; i+j <= n; j++ {
			b, ok := arcThrough(at, i, j, tol)
			if !ok {
				break
			}
			best, bulge = j, b
		}
		out = append(out, Vertex{at(i), bulge})
		i += best
	}
	return out
}

// longest returns the index of the vertex at which the longest edge begins, the first of equals: no arc of short
// chords runs through both its ends.
func (r Ring) longest() int {
	best, at := -1.0, 0
	for i, s := range r.Segments() {
		if l := s.Len(); l > best {
			best, at = l, i
		}
	}
	return at
}

// arcThrough fits the circle through the first, middle and last of the points i..i+j and returns the arc's bulge
// when all of them, and the middles of their chords, fit it. Arcs of more than 350° are left to be two.
func arcThrough(at func(int) Pt, i, j int, tol Nm) (bulge float64, ok bool) {
	a, m, b := at(i), at(i+j/2), at(i+j)
	ax, ay := float64(m.X-a.X), float64(m.Y-a.Y)
	bx, by := float64(b.X-a.X), float64(b.Y-a.Y)
	d := 2 * (float64(ax*by) - float64(ay*bx))
	if d == 0 || a == b {
		return 0, false
	}
	a2, b2 := float64(ax*ax)+float64(ay*ay), float64(bx*bx)+float64(by*by)
	cx, cy := (float64(by*a2)-float64(ay*b2))/d, (float64(ax*b2)-float64(bx*a2))/d
	radius := math.Hypot(cx, cy)
	if radius > float64(Millimetre)*1000 {
		return 0, false
	}
	sweep := 0.0
	for k := range j {
		p, q := at(i+k), at(i+k+1)
		px, py := float64(p.X-a.X)-cx, float64(p.Y-a.Y)-cy
		qx, qy := float64(q.X-a.X)-cx, float64(q.Y-a.Y)-cy
		if math.Abs(math.Hypot(qx, qy)-radius) > float64(tol) {
			return 0, false
		}
		if radius-math.Hypot((px+qx)/2, (py+qy)/2) > 3*float64(tol) {
			return 0, false
		}
		step := math.Atan2(float64(px*qy)-float64(py*qx), float64(px*qx)+float64(py*qy))
		if step == 0 || sweep != 0 && (step > 0) != (sweep > 0) {
			return 0, false
		}
		sweep += step
	}
	if math.Abs(sweep) > 350*math.Pi/180 {
		return 0, false
	}
	return math.Tan(sweep / 4), true
}
