package picture

import (
	"math"

	"lampblack/led/light"
	"lampblack/panel/geom"
)

// contour returns the closed lines round all that is at least level, counter-clockwise, and clockwise round what is less
// within; beyond the grid's border it is dark.
//
// Method: marching squares (W. E. Lorensen and H. E. Cline, "Marching cubes", Computer Graphics 21(4), 1987,
// doi:10.1145/37402.37422, in the plane), saddles by the mean of their corners, places by lines between the values.
func contour(g light.Grid, level float64) []geom.Ring {
	w, h := g.W+2, g.H+2
	at := func(i, j int) float64 {
		if i < 1 || j < 1 || i > g.W || j > g.H {
			return 0
		}
		return g.V[(j-1)*g.W+i-1]
	}
	// Edge 2k runs right from corner k, 2k+1 up from it. A line enters a cell by one edge and leaves by another.
	next := make([]int32, 2*w*h)
	for i := range next {
		next[i] = -1
	}
	for j := range h - 1 {
		for i := range w - 1 {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			bits := 0
			for k, v := range [4]float64{a, b, c, d} {
				if v >= level {
					bits |= 1 << k
				}
			}
			k := int32(j*w + i)
			low, right, top, left := 2*k, 2*(k+1)+1, 2*(k+int32(w)), 2*k+1
			link := func(from, to int32) { next[from] = to }
			switch bits { // what is bright lies to the left of the way
			case 1:
				link(low, left)
			case 2:
				link(right, low)
			case 3:
				link(right, left)
			case 4:
				link(top, right)
			case 6:
				link(top, low)
			case 7:
				link(top, left)
			case 8:
				link(left, top)
			case 9:
				link(low, top)
			case 11:
				link(right, top)
			case 12:
				link(left, right)
			case 13:
				link(low, right)
			case 14:
				link(left, low)
			case 5, 10:
				bright := (a+b+c+d)/4 >= level
				switch {
				case bits == 5 && bright:
					link(low, right)
					link(top, left)
				case bits == 5:
					link(low, left)
					link(top, right)
				case bright:
					link(left, low)
					link(right, top)
				default:
					link(right, low)
					link(left, top)
				}
			}
		}
	}
	place := func(e int32) geom.Pt {
		k := int(e / 2)
		i, j := k%w, k/w
		x, y := float64(i-1), float64(j-1)
		v0 := at(i, j)
		if e%2 == 0 {
			x += crossing(v0, at(i+1, j), level)
		} else {
			y += crossing(v0, at(i, j+1), level)
		}
		return geom.Pt{
			X: g.Origin.X + geom.Nm(math.Round(x*float64(g.Step))),
			Y: g.Origin.Y + geom.Nm(math.Round(y*float64(g.Step))),
		}
	}
	var out []geom.Ring
	for e := range next {
		var r geom.Ring
		for k := int32(e); next[k] >= 0; {
			r = append(r, place(k))
			k, next[k] = next[k], -1
		}
		if len(r) >= 3 {
			out = append(out, r)
		}
	}
	return out
}

// crossing returns where between two values the level lies.
func crossing(a, b, level float64) float64 {
	if a == b {
		return 0.5
	}
	return min(max((level-a)/(b-a), 0), 1)
}
