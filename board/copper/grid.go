package copper

import (
	"slices"

	"lampblack/panel/geom"
)

// grid is both layers in square cells. What counts is how much of each side between two cells is copper: current flows in
// proportion to it. A field that is uniform in a straight strip of copper, at any angle and of any width, then solves the
// discrete equations exactly, since what flows in and out of a cell that the strip's edge cuts adds up to the flow through
// that edge, which is none; so that thin and slanted tracks are as good as wide and upright ones.
//
// Source: the aperture form of the cut-cell method: H. Johansen and P. Colella, "A Cartesian Grid Embedded Boundary Method for
// Poisson's Equation on Irregular Domains", J. Comput. Phys. 147(1), 1998, doi:10.1006/jcph.1998.5965. We differ: no flow
// through the boundary needs no gradient there, and voltages are those of cell centres, also where these lie beyond the edge.
type grid struct {
	nx, ny int
	h      float64    // nm
	org    [2]float64 // lower left corner, nm
	right  [2][]float32
	up     [2][]float32 // by side: part of the side to the next cell that is copper, 0 to 1
}

func newGrid(s sheets, box geom.Box, cell geom.Nm) *grid {
	g := &grid{h: float64(cell)}
	// A margin, and an odd offset that keeps grid lines off the round coordinates that drawings have.
	g.org = [2]float64{float64(box.Min.X) - 0.6180*g.h, float64(box.Min.Y) - 0.7320*g.h}
	g.nx = int((float64(box.Max.X)-g.org[0])/g.h) + 2
	g.ny = int((float64(box.Max.Y)-g.org[1])/g.h) + 2
	for side := range s {
		g.right[side] = make([]float32, g.nx*g.ny)
		g.up[side] = make([]float32, g.nx*g.ny)
		for k, spans := range covered(s[side], g.org[0], g.h, g.nx, false) {
			g.spread(spans, g.org[1], g.ny, func(j int, part float64) { g.right[side][j*g.nx+k] = float32(part) })
		}
		for k, spans := range covered(s[side], g.org[1], g.h, g.ny, true) {
			g.spread(spans, g.org[0], g.nx, func(i int, part float64) { g.up[side][k*g.nx+i] = float32(part) })
		}
	}
	return g
}

// span is a stretch of a grid line.
type span struct{ from, to float64 }

// covered returns for each of the n grid lines at org + (k+1) h, of constant X or, swapped, of constant Y, the stretches that
// lie in copper, in order and apart.
func covered(pieces []outline, org, h float64, n int, swapped bool) [][]span {
	out := make([][]span, n)
	cuts := make([][]float64, n)
	for _, o := range pieces {
		lo, hi := n, -1
		for _, r := range o {
			for i, p := range r {
				q := r[(i+1)%len(r)]
				ax, ay, bx, by := float64(p.X), float64(p.Y), float64(q.X), float64(q.Y)
				if swapped {
					ax, ay, bx, by = ay, ax, by, bx
				}
				if ax > bx {
					ax, ay, bx, by = bx, by, ax, ay
				}
				// Half-open, so that a corner counts once.
				for k := max(0, int((ax-org)/h)-2); k < n; k++ {
					x := org + float64(float64(k+1)*h)
					if x < ax {
						continue
					}
					if x >= bx {
						break
					}
					t := (x - ax) / (bx - ax)
					cuts[k] = append(cuts[k], ay+float64(t*(by-ay)))
					lo, hi = min(lo, k), max(hi, k)
				}
			}
		}
		for k := lo; k <= hi; k++ {
			slices.Sort(cuts[k])
			for i := 0; i+1 < len(cuts[k]); i += 2 {
				out[k] = append(out[k], span{cuts[k][i], cuts[k][i+1]})
			}
			cuts[k] = cuts[k][:0]
		}
	}
	for k := range out {
		out[k] = merged(out[k])
	}
	return out
}

// merged returns the union of the spans.
func merged(s []span) []span {
	slices.SortFunc(s, func(a, b span) int {
		switch {
		case a.from < b.from:
			return -1
		case a.from > b.from:
			return 1
		}
		return 0
	})
	out := s[:0]
	for _, p := range s {
		if n := len(out); n > 0 && p.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, p.to)
			continue
		}
		out = append(out, p)
	}
	return out
}

// spread calls set with every cell along a line that the spans touch, and the part of it that they cover.
func (g *grid) spread(spans []span, org float64, n int, set func(i int, part float64)) {
	at, sum := -1, 0.0
	flush := func() {
		if at >= 0 && at < n && sum > 0 {
			set(at, min(1, sum))
		}
		sum = 0
	}
	for _, s := range spans {
		for i := max(0, int((s.from-org)/g.h)); i < n; i++ {
			lo, hi := org+float64(float64(i)*g.h), org+float64(float64(i+1)*g.h)
			if lo >= s.to {
				break
			}
			if i != at {
				flush()
				at = i
			}
			sum += max(0, min(hi, s.to)-max(lo, s.from)) / g.h
		}
	}
	flush()
}

// centre returns the middle of a cell.
func (g *grid) centre(i, j int) geom.Pt {
	return geom.Pt{X: geom.Nm(g.org[0] + float64((float64(i)+0.5)*g.h)), Y: geom.Nm(g.org[1] + float64((float64(j)+0.5)*g.h))}
}

// cellOf returns the cell that holds the point.
func (g *grid) cellOf(p geom.Pt) (i, j int) {
	i = int((float64(p.X) - g.org[0]) / g.h)
	j = int((float64(p.Y) - g.org[1]) / g.h)
	return min(max(i, 0), g.nx-1), min(max(j, 0), g.ny-1)
}
