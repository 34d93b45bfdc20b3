package geom

import "math"

// Locator tells fast where many points lie in a polygon: its edges are kept by horizontal bands.
type Locator struct {
	lo    Nm
	step  Nm
	bands [][]Segment
}

// NewLocator sorts the edges of p.
func NewLocator(p Polygon) *Locator {
	n, b := len(p.Outer), p.Outer.Box()
	for _, h := range p.Holes {
		n += len(h)
	}
	count := max(1, min(n/2, int(math.Sqrt(float64(n))*4)))
	l := &Locator{lo: b.Min.Y, step: (b.H() + Nm(count)) / Nm(count), bands: make([][]Segment, count)}
	if b.Empty() || l.step <= 0 {
		l.step = 1
	}
	for _, r := range p.Rings() {
		for _, s := range r.Segments() {
			from := l.band(min(s.A.Y, s.B.Y))
			for i := from; i <= l.band(max(s.A.Y, s.B.Y)); i++ {
				l.bands[i] = append(l.bands[i], s)
			}
		}
	}
	return l
}

func (l *Locator) band(y Nm) int {
	return min(max(int((y-l.lo)/l.step), 0), len(l.bands)-1)
}

// Locate says where p lies by the even-odd rule. Exact; the same steps as Ring.Locate.
func (l *Locator) Locate(p Pt) Where {
	in := false
	for _, s := range l.bands[l.band(p.Y)] {
		a, b := s.A, s.B
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
		if p.Y < b.Y && o == CCW {
			in = !in
		}
	}
	if in {
		return Inside
	}
	return Outside
}
