package lettering

import (
	"math"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// way is a run of straight pieces, which stand for curves within geom.FlattenTolerance.
type way struct {
	pts    []geom.Pt // no two beside each other are one
	closed bool      // the last is the first
}

// ways returns the runs of a line over which dashes go on: all of it, or of one whose dashes begin anew at corners each edge.
func ways(s panel.Symbol) []way {
	edges := s.Shape.Edges()
	if !s.Closed {
		edges = edges[:len(edges)-1]
	}
	var out []way
	for i, e := range edges {
		if i == 0 || s.Dashes != nil && !s.Runs {
			out = append(out, way{pts: []geom.Pt{e.From}})
		}
		r := &out[len(out)-1]
		for _, p := range append(e.Flatten(geom.FlattenTolerance), e.To) {
			if p != r.pts[len(r.pts)-1] {
				r.pts = append(r.pts, p)
			}
		}
	}
	if len(out) == 1 && s.Closed && len(out[0].pts) > 2 {
		out[0].closed = true
	}
	return out
}

// tool is what draws a line: as wide as the line, and round, or flat at its ends and sharp at corners.
type tool struct {
	wide geom.Nm
	flat bool
}

// drawn returns what the tool covers along the way, in pieces.
func (t tool) drawn(r way, dashes []geom.Nm) []geom.Ring {
	from := make([]float64, len(r.pts)) // where along the way each point lies, nm
	for i := 1; i < len(r.pts); i++ {
		from[i] = from[i-1] + r.pts[i].Dist(r.pts[i-1])
	}
	long := from[len(from)-1]
	marks := dashed(dashes, long, r.closed)
	if marks == nil {
		return t.through(r)
	}
	var out []geom.Ring
	for _, m := range marks {
		a, b := m.from, m.to
		if !t.flat { // round ends lie within the dash, but for those of the line
			half := float64(t.wide) / 2
			if a > 0 {
				a += half
			}
			if b < long {
				b -= half
			}
			if a > b {
				mid := min(max((m.from+m.to)/2, 0), long)
				a, b = mid, mid
			}
		}
		cut := stretch(r.pts, from, a, b)
		if m.from == m.to || len(cut) < 2 {
			out = append(out, t.dot(cut[0]))
			continue
		}
		out = append(out, t.through(way{pts: cut})...)
	}
	return out
}

// mark is a dash of a line, from where to where along it, nm; a dot is from and to one place.
type mark struct{ from, to float64 }

// mostMarks bounds the dashes of a line: beyond, they are finer than anything that is engraved.
const mostMarks = 10_000

// dashed returns the marks of a line, nil where it is drawn through.
//
// Lines are fitted as the format's documents have it of the one kind of fitting there is (LTYPE group 72 is always 65, the letter A):
// the pattern stands as often as it goes into the line, so that at least half of its first dash is at either end; what is left
// makes both longer. A line that is too short for it once is drawn through. A pattern that begins with a dot has none at the ends to
// make longer: what is left is blank there. A closed line has no ends: the pattern is stretched or drawn together so that it goes
// round a whole number of times, the first dash about where the line begins (ours; the documents ask for a reasonable display).
func dashed(dashes []geom.Nm, long float64, closed bool) []mark {
	period := 0.0
	for _, d := range dashes {
		period += math.Abs(float64(d))
	}
	if period <= 0 || long > mostMarks*period {
		return nil
	}
	n := math.Floor(long/period + 1e-9)
	if n < 1 {
		return nil
	}
	k, over := 1.0, max(0, long-n*period)
	if closed {
		n = math.Round(long / period)
		k, over = long/(n*period), 0
	}
	first := float64(dashes[0]) * k
	var out []mark
	for i := range int(n) {
		at := over/2 - first/2 + float64(i)*period*k
		for j, d := range dashes {
			if d >= 0 && (i > 0 || j > 0) {
				out = append(out, mark{at, at + float64(d)*k})
			}
			at += math.Abs(float64(d)) * k
		}
	}
	switch {
	case first == 0 && closed:
		out = append(out, mark{0, 0})
	case first == 0:
		out = append(out, mark{over / 2, over / 2}, mark{long - over/2, long - over/2})
	default:
		out = append(out, mark{0, over/2 + first/2}, mark{long - over/2 - first/2, long})
	}
	return out
}

// stretch returns the way from a to b, of which from tells where its points lie.
func stretch(pts []geom.Pt, from []float64, a, b float64) []geom.Pt {
	at := func(x float64) geom.Pt {
		i := 1
		for i < len(pts)-1 && from[i] < x {
			i++
		}
		f := 0.0
		if d := from[i] - from[i-1]; d > 0 {
			f = min(max((x-from[i-1])/d, 0), 1)
		}
		p, q := pts[i-1], pts[i]
		return geom.Pt{X: p.X + geom.Nm(math.Round(f*float64(q.X-p.X))), Y: p.Y + geom.Nm(math.Round(f*float64(q.Y-p.Y)))}
	}
	out := []geom.Pt{at(a)}
	add := func(p geom.Pt) {
		if p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	for i, x := range from {
		if x > a && x < b {
			add(pts[i])
		}
	}
	add(at(b))
	return out
}

// dot returns what the tool covers where it stands.
func (t tool) dot(at geom.Pt) geom.Ring {
	return geom.Circle(at, t.wide).Ring(geom.FlattenTolerance)
}

// sharpest is how far beyond its line the corner of a flat line reaches at most, in half widths; a sharper one is cut off, as in CAD
// (common practice: 4, at 29°).
const sharpest = 4

// through returns what the tool covers along all of the way, in pieces.
func (t tool) through(r way) []geom.Ring {
	var out []geom.Ring
	if len(r.pts) == 1 {
		return []geom.Ring{t.dot(r.pts[0])}
	}
	for i := 1; i < len(r.pts); i++ {
		a, b := r.pts[i-1], r.pts[i]
		if !t.flat {
			out = append(out, geom.Stadium(geom.Segment{A: a, B: b}, t.wide/2).Ring(geom.FlattenTolerance))
			continue
		}
		u := t.right(a, b)
		out = append(out, geom.Ring{a.Add(u), b.Add(u), b.Add(u.Neg()), a.Add(u.Neg())})
		switch {
		case i+1 < len(r.pts):
			out = append(out, t.corner(a, b, r.pts[i+1])...)
		case r.closed:
			out = append(out, t.corner(a, b, r.pts[1])...)
		}
	}
	return out
}

// right returns the vector of half the line's width to the right of a→b.
func (t tool) right(a, b geom.Pt) geom.Vec {
	v := b.Sub(a)
	k := float64(t.wide) / 2 / v.Len()
	return geom.Vec{X: geom.Nm(math.Round(float64(v.Y) * k)), Y: geom.Nm(math.Round(-float64(v.X) * k))}
}

// corner returns what lies between the flat ends of two pieces that meet in b: up to where their outer edges do.
func (t tool) corner(a, b, c geom.Pt) []geom.Ring {
	turn := geom.Orient(a, b, c)
	if turn == geom.Collinear {
		return nil
	}
	u, v := t.right(a, b), t.right(b, c)
	if turn == geom.CW { // it is open on the left
		u, v = u.Neg(), v.Neg()
	}
	// The corner lies on the sum of the two, where each projects on it as the half width: at (u+v)/(1+cos), of the turn's angle.
	half := float64(t.wide) / 2
	cos := (float64(u.X)*float64(v.X) + float64(u.Y)*float64(v.Y)) / (half * half)
	if 2/(1+cos) > sharpest*sharpest || !(1+cos > 0) {
		return []geom.Ring{{b, b.Add(u), b.Add(v)}}
	}
	tip := geom.Vec{X: geom.Nm(math.Round(float64(u.X+v.X) / (1 + cos))), Y: geom.Nm(math.Round(float64(u.Y+v.Y) / (1 + cos)))}
	return []geom.Ring{{b, b.Add(u), b.Add(tip), b.Add(v)}}
}
