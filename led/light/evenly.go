package light

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// Rows are an even field of LEDs for a panel that has no lettering to be lit: where they may be, and how far apart.
type Rows struct {
	Ample, Tight geom.Region // as in shape.Seats: Ample is preferred
	Spacing      geom.Nm     // from LED to LED, at least
}

// sites are places of the room: a grid of siteStep, coarser where there would be more than mostSites of them and finer on narrow
// strips, and one for each piece of the room that lies between its points.
func (r Rows) sites() []geom.Pt {
	var out []geom.Pt
	for _, g := range []geom.Region{r.Ample, r.Tight} {
		for _, p := range g {
			narrow := geom.Nm(p.Area() / perimeter(p) * 1e6) // half the width of a strip
			step := max(siteStep, geom.Nm(math.Sqrt(g.Area()/mostSites)*1e6))
			pts, _ := samples(geom.Region{p}, max(min(step, narrow), siteStep/10))
			for _, q := range pts {
				if p.Locate(q) == geom.Inside {
					out = append(out, q)
				}
			}
			if q, ok := inner(p); ok {
				out = append(out, q)
			}
		}
	}
	return out
}

func perimeter(p geom.Polygon) float64 {
	sum := 0.0
	for _, r := range p.Rings() {
		sum += r.Perimeter()
	}
	return sum
}

// inner returns a point well inside the polygon: the middle of its widest cut through the middle of its box.
func inner(p geom.Polygon) (geom.Pt, bool) {
	box := p.Outer.Box()
	y := (box.Min.Y + box.Max.Y) / 2
	cross := crossings(nil, p.Rings(), y)
	best, wide := geom.Pt{}, 0.0
	for i := 0; i+1 < len(cross); i += 2 {
		if w := cross[i+1] - cross[i]; w > wide {
			best, wide = geom.Pt{X: geom.Nm(math.Round((cross[i] + cross[i+1]) / 2)), Y: y}, w
		}
	}
	return best, wide > 0 && p.Locate(best) == geom.Inside
}

// At returns places about pitch apart, all over the room: the nodes of a square grid in the middle of the room's box, each
// moved to the nearest place where one may be, at most half the pitch away; then, as long as some place is farther than three
// quarters of it from all of them, that one (T. F. Gonzalez, "Clustering to minimize the maximum intercluster distance", Theoretical
// Computer Science 38, 1985, 293-306, doi:10.1016/0304-3975(85)90224-5: no spread of as many leaves a place half as far from
// its nearest). A narrow room so gets a row. No more than most.
func (r Rows) At(pitch geom.Nm, most int) []geom.Pt { return r.from(r.sites(), pitch, most) }

func (r Rows) from(sites []geom.Pt, pitch geom.Nm, most int) []geom.Pt {
	if len(sites) == 0 || most <= 0 {
		return nil
	}
	box := r.Ample.Box().Union(r.Tight.Box())
	cells := func(v geom.Nm) geom.Nm { return max(1, (v+pitch/2)/pitch) }
	cols, rows := cells(box.W()), cells(box.H())
	apart := max(float64(r.Spacing), 0.6*float64(pitch))
	near := make([]float64, len(sites)) // to the nearest LED
	for i := range near {
		near[i] = math.Inf(1)
	}
	var out []geom.Pt
	add := func(q geom.Pt) {
		out = append(out, q)
		for i, s := range sites {
			near[i] = min(near[i], s.Dist(q))
		}
	}
	clear := func(q geom.Pt) bool {
		return !slices.ContainsFunc(out, func(o geom.Pt) bool { return o.Dist(q) < apart })
	}
	for j := range rows {
		for i := range cols {
			node := geom.Pt{X: middle(box.Min.X, box.Max.X, i, cols), Y: middle(box.Max.Y, box.Min.Y, j, rows)}
			if len(out) >= most {
				return out
			}
			if r.Ample.Locate(node) == geom.Inside && clear(node) {
				add(node)
				continue
			}
			best, d := -1, float64(pitch)/2
			for k, s := range sites {
				if near[k] >= apart {
					if e := s.Dist(node); e < d {
						best, d = k, e
					}
				}
			}
			if best >= 0 {
				add(sites[best])
			}
		}
	}
	for len(out) < most {
		best := 0
		for k := range sites {
			if near[k] > near[best] {
				best = k
			}
		}
		if near[best] < float64(max(pitch*3/4, r.Spacing)) {
			break
		}
		add(sites[best])
	}
	return out
}

// middle returns the middle of piece i of a line in n equal pieces.
func middle(from, to geom.Nm, i, n geom.Nm) geom.Nm { return from + (to-from)*(2*i+1)/(2*n) }

// shrink is by how much the pitch is lessened from one try to the next.
const shrink = 0.96

// Of returns n places, the widest apart that tries of ever smaller pitches give; fewer where there is no room for so many.
func (r Rows) Of(n int) []geom.Pt {
	sites := r.sites()
	if len(sites) == 0 {
		return nil
	}
	box := geom.BoxOf(sites...)
	var at []geom.Pt
	for pitch := float64(max(box.W(), box.H(), r.Spacing)) * 1.5; ; pitch *= shrink {
		at = r.from(sites, geom.Nm(pitch), n+n/4+1)
		if len(at) >= n || pitch < float64(r.Spacing) {
			break
		}
	}
	for len(at) > n { // those that stand closest to others are the first that can be spared
		worst, d := 0, math.Inf(1)
		for i, a := range at {
			for j, b := range at {
				if e := a.Dist(b); i != j && e < d {
					worst, d = i, e
				}
			}
		}
		at = slices.Delete(at, worst, worst+1)
	}
	return at
}
