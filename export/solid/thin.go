package solid

import "lampblack/panel/geom"

// thinned returns a line without the points that it can do without, by at most tol off: D. H. Douglas and T. K. Peucker, "Algorithms for
// the Reduction of the Number of Points Required to Represent a Digitized Line or its Caricature", Cartographica 10, 1973,
// doi:10.3138/FM57-6770-U75U-7727.
func thinned(path []geom.Pt, tol geom.Nm) []geom.Pt {
	if len(path) < 3 {
		return path
	}
	keep := make([]bool, len(path))
	keep[0], keep[len(path)-1] = true, true
	type stretch struct{ from, to int }
	for todo := []stretch{{0, len(path) - 1}}; len(todo) > 0; {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		line := geom.Segment{A: path[s.from], B: path[s.to]}
		far, at := float64(tol), -1
		for i := s.from + 1; i < s.to; i++ {
			if d := line.DistTo(path[i]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			todo = append(todo, stretch{s.from, at}, stretch{at, s.to})
		}
	}
	var out []geom.Pt
	for i, q := range path {
		if keep[i] {
			out = append(out, q)
		}
	}
	return out
}

// thinnedRing is the same of a ring, from its first point to that farthest from it and back; one that becomes a line stays as it is.
func thinnedRing(r geom.Ring, tol geom.Nm) geom.Ring {
	far, at := 0.0, 0
	for i, q := range r {
		if d := q.Dist(r[0]); d > far {
			far, at = d, i
		}
	}
	if at == 0 {
		return r
	}
	there := thinned(r[:at+1], tol)
	back := thinned(append(append(geom.Ring{}, r[at:]...), r[0]), tol)
	out := append(append(geom.Ring{}, there...), back[1:len(back)-1]...)
	if len(out) < 3 {
		return r
	}
	return out
}

// thinnedRegion is the same of all rings of a region. What it leaves out is so little that rings which were apart stay so: copper and
// its holes keep ten times as far from each other.
func thinnedRegion(g geom.Region, tol geom.Nm) geom.Region {
	out := make(geom.Region, len(g))
	for i, p := range g {
		out[i].Outer = thinnedRing(p.Outer, tol)
		for _, h := range p.Holes {
			out[i].Holes = append(out[i].Holes, thinnedRing(h, tol))
		}
	}
	return out
}
