package geom

import "math"

// Segment is the straight line from A to B, ends included.
type Segment struct{ A, B Pt }

// Box returns the bounding box.
func (s Segment) Box() Box { return BoxOf(s.A, s.B) }

// Len returns the length, in nanometres.
func (s Segment) Len() float64 { return s.A.Dist(s.B) }

// DistTo returns the distance from the segment to p, in nanometres.
func (s Segment) DistTo(p Pt) float64 {
	d, w := s.B.Sub(s.A), p.Sub(s.A)
	dot, l2 := d.Dot(w), d.Dot(d)
	switch {
	case l2 == 0 || dot <= 0:
		return s.A.Dist(p)
	case dot >= l2:
		return s.B.Dist(p)
	}
	return math.Abs(float64(d.Cross(w))) / math.Sqrt(float64(l2))
}

// Nearest returns the point of the segment that is nearest to p, rounded to whole nanometres.
func (s Segment) Nearest(p Pt) Pt {
	d, w := s.B.Sub(s.A), p.Sub(s.A)
	dot, l2 := d.Dot(w), d.Dot(d)
	switch {
	case l2 == 0 || dot <= 0:
		return s.A
	case dot >= l2:
		return s.B
	}
	k := float64(dot) / float64(l2)
	return s.A.Add(Vec{X: Nm(math.Round(float64(d.X) * k)), Y: Nm(math.Round(float64(d.Y) * k))})
}

// Crosses reports whether the segments share a point. Exact.
func (s Segment) Crosses(t Segment) bool {
	if !s.Box().Touches(t.Box()) {
		return false
	}
	a, b := Orient(s.A, s.B, t.A), Orient(s.A, s.B, t.B)
	c, d := Orient(t.A, t.B, s.A), Orient(t.A, t.B, s.B)
	return a*b <= 0 && c*d <= 0
}

// Dist returns the distance between the segments, in nanometres; 0 when they share a point.
func (s Segment) Dist(t Segment) float64 {
	if s.Crosses(t) {
		return 0
	}
	return min(s.DistTo(t.A), s.DistTo(t.B), t.DistTo(s.A), t.DistTo(s.B))
}

// Polyline is an open run of straight lines through its points.
type Polyline []Pt

// Len returns the length, in nanometres.
func (l Polyline) Len() float64 {
	sum := 0.0
	for i := 1; i < len(l); i++ {
		sum += l[i-1].Dist(l[i])
	}
	return sum
}

// Box returns the bounding box.
func (l Polyline) Box() Box { return BoxOf(l...) }

// Segments returns the straight pieces in order. A single point yields one piece of no length.
func (l Polyline) Segments() []Segment {
	if len(l) == 1 {
		return []Segment{{l[0], l[0]}}
	}
	out := make([]Segment, 0, max(0, len(l)-1))
	for i := 1; i < len(l); i++ {
		out = append(out, Segment{l[i-1], l[i]})
	}
	return out
}
