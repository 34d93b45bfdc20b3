package geom

import (
	"math"
	"slices"
)

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

// Turned returns the ring turned about a point, counter-clockwise by degrees, a multiple of 45.
func (r Ring) Turned(about Pt, degrees int) Ring {
	out := make(Ring, len(r))
	for i := range r {
		out[i] = about.Add(r[i].Sub(about).Turned(degrees))
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
	return out.filleted(tol)
}

// filleted returns the contour in which an arc between two straight edges that it nearly touches becomes the fillet that
// touches them exactly, its radius in hundredths of a millimetre: flattening blurs both by micrometres.
func (c Contour) filleted(tol Nm) Contour {
	n := len(c)
	out := slices.Clone(c)
	for i := range c {
		before, after := (i+n-1)%n, (i+1)%n
		if n < 4 || c[i].Bulge == 0 || c[before].Bulge != 0 || c[after].Bulge != 0 {
			continue
		}
		arc := Arc{c[i].Pt, c[after].Pt, c[i].Bulge}
		f, ok := fillet(out[before].Pt, arc, c[(i+2)%n].Pt, tol)
		if ok {
			out[i], out[after].Pt = Vertex{f.From, f.Bulge}, f.To
		}
	}
	return out
}

// fillet returns the arc that touches the lines from→arc.From and arc.To→to, when it stays within 2 tol of arc and its
// radius.
func fillet(from Pt, arc Arc, to Pt, tol Nm) (Arc, bool) {
	u, v := arc.From.Sub(from), to.Sub(arc.To)
	turn := math.Atan2(float64(u.Cross(v)), float64(u.Dot(v)))
	if den := u.Cross(v); den == 0 || (turn > 0) != (arc.Bulge > 0) || math.Abs(turn) > 3 || math.Abs(turn) < 0.01 {
		return Arc{}, false
	}
	// The corner where the lines meet, as fractions of u from arc.From.
	k := float64(arc.To.Sub(arc.From).Cross(v)) / float64(u.Cross(v))
	px, py := float64(arc.From.X)+float64(k*float64(u.X)), float64(arc.From.Y)+float64(k*float64(u.Y))
	cx, cy := arc.Centre()
	half := math.Abs(turn) / 2
	// The middle of a fillet of radius r is r(1/cos(half) - 1) from the corner, that of arc its centre's distance less its radius.
	r := (math.Hypot(px-cx, py-cy) - arc.Radius()) / (1/math.Cos(half) - 1)
	r = math.Round(r/1e4) * 1e4
	reach := r * math.Tan(half)
	along := func(w Vec, l float64) Pt {
		return Pt{Nm(math.Round(px + float64(float64(w.X)/w.Len()*l))), Nm(math.Round(py + float64(float64(w.Y)/w.Len()*l)))}
	}
	f := Arc{along(u, -reach), along(v, reach), math.Tan(turn / 4)}
	// Where the arc ends blurs by as much as it takes to leave the line by the tolerance.
	blur := 4 * math.Sqrt(2*r*float64(tol))
	fx, fy := f.Centre()
	switch {
	case math.Abs(r-arc.Radius()) > arc.Radius()/20,
		math.Hypot(fx-cx, fy-cy) > blur, f.From.Dist(arc.From) > blur, f.To.Dist(arc.To) > blur,
		f.From.Sub(from).Dot(u) <= 0, to.Sub(f.To).Dot(v) <= 0,
		math.Abs(math.Hypot(px-fx, py-fy)-f.Radius()-math.Hypot(px-cx, py-cy)+arc.Radius()) > 2*float64(tol):
		return Arc{}, false
	}
	return f, true
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
