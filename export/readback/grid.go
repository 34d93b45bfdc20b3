package readback

import (
	"slices"

	"lampblack/panel/geom"
)

// Same is how far one place may lie from itself in two files that were rounded apart, each to 0.001 mm or 0.0001 inch.
const Same = 5 * geom.Micrometre

// Grid finds things by their place. The zero Grid is not ready for Put.
type Grid map[geom.Pt][]spot

// spot is a thing and where it is.
type spot struct {
	at geom.Pt
	i  int
}

// cell is the side of the squares that things are kept by: twice Same, so that a place has neighbours in nine of them at most.
const cell = 2 * Same

func cellOf(v geom.Nm) geom.Nm {
	if v < 0 {
		v -= cell - 1
	}
	return v / cell
}

// Put keeps thing i at p.
func (g Grid) Put(p geom.Pt, i int) {
	c := geom.Pt{X: cellOf(p.X), Y: cellOf(p.Y)}
	g[c] = append(g[c], spot{p, i})
}

// Near calls f with the things that were put within a distance of p, in no order that means anything, until it returns true,
// and reports whether it did.
func (g Grid) Near(p geom.Pt, within geom.Nm, f func(i int) bool) bool {
	for x := cellOf(p.X - within); x <= cellOf(p.X+within); x++ {
		for y := cellOf(p.Y - within); y <= cellOf(p.Y+within); y++ {
			if slices.ContainsFunc(g[geom.Pt{X: x, Y: y}], func(s spot) bool { return s.at.Dist(p) <= float64(within) && f(s.i) }) {
				return true
			}
		}
	}
	return false
}

// At is Near, of the things at the very place.
func (g Grid) At(p geom.Pt, f func(i int) bool) bool { return g.Near(p, Same, f) }

// Has reports whether anything lies at p.
func (g Grid) Has(p geom.Pt) bool { return g.At(p, func(int) bool { return true }) }
