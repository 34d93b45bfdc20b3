package light

import (
	"math"
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Grid is a field of values on a square grid: value (i, j) at Origin + (i, j)·Step.
type Grid struct {
	Origin geom.Pt
	Step   geom.Nm
	W, H   int
	V      []float64 // row by row from the bottom
}

// newGrid returns a grid of zeros that covers the box and about pad more on each side.
func newGrid(box geom.Box, step, pad geom.Nm) Grid {
	n := geom.Nm(math.Ceil(float64(pad) / float64(step)))
	g := Grid{
		Origin: geom.Pt{X: box.Min.X - n*step, Y: box.Min.Y - n*step},
		Step:   step,
		W:      int((box.W()+step-1)/step + 1 + 2*n),
		H:      int((box.H()+step-1)/step + 1 + 2*n),
	}
	g.V = make([]float64, g.W*g.H)
	return g
}

// blank returns a grid of zeros of the same place and size.
func (g Grid) blank() Grid {
	g.V = make([]float64, len(g.V))
	return g
}

// cubic returns the weights of Catmull and Rom's cubic at t between the second and third of four values.
func cubic(t float64) [4]float64 {
	t2 := float64(t * t)
	t3 := float64(t2 * t)
	return [4]float64{
		float64(-0.5*t) + t2 - float64(0.5*t3),
		1 - float64(2.5*t2) + float64(1.5*t3),
		float64(0.5*t) + float64(2*t2) - float64(1.5*t3),
		float64(-0.5*t2) + float64(0.5*t3),
	}
}

// taps returns the four cells round the coordinate x, in cells, of n, and their weights; beyond the border the border's.
func taps(x float64, n int) (at [4]int, w [4]float64) {
	x = min(max(x, 0), float64(n-1))
	i := min(int(x), max(n-2, 0))
	w = cubic(x - float64(i))
	for k := range at {
		at[k] = min(max(i+k-1, 0), n-1)
	}
	return at, w
}

// At returns the value at p, by a cubic through the nearest ones, never below zero; beyond the border that of the border.
func (g Grid) At(p geom.Pt) float64 {
	if g.W == 0 || g.H == 0 {
		return 0
	}
	ix, wx := taps(float64(p.X-g.Origin.X)/float64(g.Step), g.W)
	iy, wy := taps(float64(p.Y-g.Origin.Y)/float64(g.Step), g.H)
	sum := 0.0
	for k, j := range iy {
		row := g.V[j*g.W : (j+1)*g.W]
		r := float64(row[ix[0]]*wx[0]) + float64(row[ix[1]]*wx[1]) + float64(row[ix[2]]*wx[2]) + float64(row[ix[3]]*wx[3])
		sum += float64(r * wy[k])
	}
	return max(sum, 0)
}

// Resampled returns the grid's values on another grid of w × h values, as At gives them.
func (g Grid) Resampled(origin geom.Pt, step geom.Nm, w, h int) Grid {
	out := Grid{Origin: origin, Step: step, W: w, H: h, V: make([]float64, w*h)}
	if g.W == 0 || g.H == 0 {
		return out
	}
	type tap struct {
		at [4]int
		w  [4]float64
	}
	xs := make([]tap, w)
	for i := range xs {
		xs[i].at, xs[i].w = taps(float64(origin.X+geom.Nm(i)*step-g.Origin.X)/float64(g.Step), g.W)
	}
	work.Bands(h, func(from, to int) {
		var kept [4][]float64 // rows resampled along x, by row modulo 4
		of := [4]int{-1, -1, -1, -1}
		for j := from; j < to; j++ {
			ay, wy := taps(float64(origin.Y+geom.Nm(j)*step-g.Origin.Y)/float64(g.Step), g.H)
			var rows [4][]float64
			for k, y := range ay {
				slot := y % 4
				if of[slot] != y {
					if kept[slot] == nil {
						kept[slot] = make([]float64, w)
					}
					of[slot] = y
					src := g.V[y*g.W : (y+1)*g.W]
					for i, t := range xs {
						kept[slot][i] = float64(src[t.at[0]]*t.w[0]) + float64(src[t.at[1]]*t.w[1]) +
							float64(src[t.at[2]]*t.w[2]) + float64(src[t.at[3]]*t.w[3])
					}
				}
				rows[k] = kept[slot]
			}
			row := out.V[j*w : (j+1)*w]
			for i := range row {
				v := float64(rows[0][i]*wy[0]) + float64(rows[1][i]*wy[1]) + float64(rows[2][i]*wy[2]) + float64(rows[3][i]*wy[3])
				row[i] = max(v, 0)
			}
		}
	})
	return out
}

// Max returns the greatest value.
func (g Grid) Max() float64 {
	m := 0.0
	for _, v := range g.V {
		m = max(m, v)
	}
	return m
}

// plus returns the sum of grids of one place and size.
func (g Grid) plus(others ...Grid) Grid {
	g.V = slices.Clone(g.V)
	for _, o := range others {
		for i, v := range o.V {
			g.V[i] += v
		}
	}
	return g
}
