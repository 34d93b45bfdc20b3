package lettering

import (
	"math"

	"lampblack/panel/geom"
)

// point is one of a letter, in font units, Y up.
type point struct{ x, y float64 }

// segment is a part of an outline: a move to its one point, a line to it, or a curve of two or three to its last.
type segment struct {
	move bool
	n    int
	p    [3]point
}

func (s segment) end() point { return s.p[s.n-1] }

// glyph is one letter, in font units: an outline, or lines. Nobody changes what it refers to.
type glyph struct {
	advance  float64
	outline  []segment
	lines    [][]point
	crossing bool // contours of its outline cross or cover each other
	lacking  bool
}

// extent returns the lowest and the highest place of the letter, curves by their control points' hull narrowed to the curve.
func (g glyph) extent() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, ring := range g.flat(extentSteps) {
		for _, p := range ring {
			low, high = min(low, p.y), max(high, p.y)
		}
	}
	if low > high {
		return 0, 0
	}
	return low, high
}

// extentSteps is into how many pieces curves go for measures: they are right to a thousandth of the curve.
func extentSteps(float64) int { return 16 }

// stem returns the width of the letter's first stroke at the height y.
func (g glyph) stem(y float64) float64 {
	var at []float64
	for _, ring := range g.flat(extentSteps) {
		for i, a := range ring {
			if b := ring[(i+1)%len(ring)]; (a.y <= y) != (b.y <= y) {
				at = append(at, a.x+(y-a.y)/(b.y-a.y)*(b.x-a.x))
			}
		}
	}
	if len(at) < 2 {
		return 0
	}
	first, second := math.Inf(1), math.Inf(1)
	for _, x := range at {
		if x < first {
			first, second = x, first
		} else {
			second = min(second, x)
		}
	}
	return second - first
}

// flat returns the outline as closed polygons. steps tells into how many pieces a curve goes whose single chord misses it by so many
// font units.
func (g glyph) flat(steps func(miss float64) int) [][]point {
	var out [][]point
	var ring []point
	var at point
	finish := func() {
		if len(ring) > 0 {
			out = append(out, ring)
		}
		ring = nil
	}
	for _, s := range g.outline {
		end := s.end()
		switch {
		case s.move:
			finish()
			ring = append(ring, end)
		case s.n == 1:
			ring = append(ring, end)
		case s.n == 2:
			// n equal steps of a parabola miss it by |p0-2p1+p2|/(4n²) at most.
			c := s.p[0]
			n := steps(math.Hypot(at.x-2*c.x+end.x, at.y-2*c.y+end.y) / 4)
			for i := 1; i <= n; i++ {
				t := float64(i) / float64(n)
				u := 1 - t
				ring = append(ring, point{float64(u*u*at.x) + float64(2*u*t*c.x) + float64(t*t*end.x), float64(u*u*at.y) + float64(2*u*t*c.y) + float64(t*t*end.y)})
			}
		default:
			// The second derivative of a cubic is 6 times the larger of its two second differences at most; n steps miss it by
			// an eighth of that over n².
			c, d := s.p[0], s.p[1]
			bend := max(math.Hypot(at.x-2*c.x+d.x, at.y-2*c.y+d.y), math.Hypot(c.x-2*d.x+end.x, c.y-2*d.y+end.y))
			n := steps(0.75 * bend)
			for i := 1; i <= n; i++ {
				t := float64(i) / float64(n)
				u := 1 - t
				a, b, e, f := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
				ring = append(ring, point{float64(a*at.x) + float64(b*c.x) + float64(e*d.x) + float64(f*end.x),
					float64(a*at.y) + float64(b*c.y) + float64(e*d.y) + float64(f*end.y)})
			}
		}
		at = end
	}
	finish()
	return out
}

// region returns the letter's area where place puts it; lines are drawn with a round tool of width stroke.
func (g glyph) region(place placing, stroke geom.Nm) geom.Region {
	if g.lines != nil {
		return g.drawn(place, stroke)
	}
	size := max(math.Abs(place.sx), place.sy)
	var rings []geom.Ring
	for _, flat := range g.flat(func(miss float64) int { return steps(miss * size) }) {
		ring := make(geom.Ring, 0, len(flat))
		for _, q := range flat {
			if p := place.at(q.x, q.y); len(ring) == 0 || ring[len(ring)-1] != p {
				ring = append(ring, p)
			}
		}
		rings = append(rings, ring)
	}
	if g.crossing {
		return geom.WoundBy(rings...)
	}
	return nest(rings)
}

// drawn returns what a round tool leaves that draws the letter's lines.
func (g glyph) drawn(place placing, stroke geom.Nm) geom.Region {
	if stroke <= 0 {
		return nil
	}
	var strips []geom.Ring
	for _, line := range g.lines {
		for i := range line {
			j := min(i+1, len(line)-1)
			if i == j && len(line) > 1 {
				continue
			}
			a, b := place.at(line[i].x, line[i].y), place.at(line[j].x, line[j].y)
			if a == b {
				strips = append(strips, geom.Circle(a, stroke).Ring(geom.FlattenTolerance))
				continue
			}
			strips = append(strips, geom.Stadium(geom.Segment{A: a, B: b}, stroke/2).Ring(geom.FlattenTolerance))
		}
	}
	return geom.UnionOf(strips...)
}

// crosses reports whether contours of the outline cross or cover each other, so that they must be settled before they can be nested.
func (g glyph) crosses() bool {
	_, top := g.extent()
	low, _ := g.extent()
	size := max(top-low, 1)
	place := placing{sx: 4e6 / size, sy: 4e6 / size, cos: 1}
	g.crossing = false
	plain := g.region(place, 0)
	g.crossing = true
	settled := g.region(place, 0)
	a, b := plain.Area(), settled.Area()
	return math.Abs(a-b) > 1e-3*max(a, b)
}

// steps returns into how many equal steps a curve must go whose single chord misses it by sag nanometres.
func steps(sag float64) int {
	return int(min(max(1, math.Ceil(math.Sqrt(sag/float64(geom.FlattenTolerance)))), 1024))
}

// nest sorts the rings of one letter into outer rings and holes. Fonts run outer contours one way and holes the other
// (their fill rule is non-zero winding), so that where no contour crosses another the way of the largest ring tells which
// are which; the test compares every letter of the plain face with geom's own settling.
func nest(rings []geom.Ring) geom.Region {
	largest, at := int64(0), -1
	areas := make([]int64, len(rings))
	for i, r := range rings {
		for len(r) > 1 && r[0] == r[len(r)-1] {
			r = r[:len(r)-1]
		}
		rings[i] = r
		if len(r) < 3 {
			continue
		}
		areas[i] = r.SignedArea2()
		if a := max(areas[i], -areas[i]); a > largest {
			largest, at = a, i
		}
	}
	if at < 0 {
		return nil
	}
	var out geom.Region
	for i, r := range rings {
		if areas[i] != 0 && (areas[i] > 0) == (areas[at] > 0) {
			out = append(out, geom.Polygon{Outer: r.Oriented(geom.CCW)})
		}
	}
	for i, r := range rings {
		if areas[i] == 0 || (areas[i] > 0) == (areas[at] > 0) {
			continue
		}
		home := -1
		for j := range out {
			if out[j].Outer.Locate(r[0]) == geom.Inside &&
				(home < 0 || out[j].Outer.SignedArea2() < out[home].Outer.SignedArea2()) {
				home = j
			}
		}
		if home >= 0 {
			out[home].Holes = append(out[home].Holes, r.Oriented(geom.CW))
		}
	}
	return out
}
