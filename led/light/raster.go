package light

import "math"

// cover gathers how much of each cell of a w × h window polygons cover: cell (i, j) is the unit square from (i, j).
//
// Method: signed areas are added where an edge passes and summed up along the rows, which is exact for polygons (R. Levien,
// "Inside the fastest font renderer in the world", 2016). Counter-clockwise polygons count up. The window's rows begin at
// low; what a row gets does not depend on which rows the window has.
type cover struct {
	w, h, low int
	a         []float64 // rows of w+2
}

func newCover(w, h int) *cover { return &cover{w, h, 0, make([]float64, (w+2)*h)} }

func (c *cover) reset(w, h, low int) {
	c.w, c.h, c.low = w, h, low
	if n := (w + 2) * h; n <= cap(c.a) {
		c.a = c.a[:n]
		clear(c.a)
	} else {
		c.a = make([]float64, n)
	}
}

// edge adds a polygon's edge from (x0, y0) to (x1, y1).
func (c *cover) edge(x0, y0, x1, y1 float64) {
	if y0 == y1 {
		return
	}
	// What lies beside the window counts as if it stood at its border.
	for _, x := range [2]float64{0, float64(c.w)} {
		if min(x0, x1) < x && max(x0, x1) > x {
			y := y0 + float64((y1-y0)*((x-x0)/(x1-x0)))
			c.edge(x0, y0, x, y)
			c.edge(x, y, x1, y1)
			return
		}
	}
	dir := -1.0 // an edge that runs up has the inside of a counter-clockwise polygon on its left
	if y0 > y1 {
		dir, x0, y0, x1, y1 = 1, x1, y1, x0, y0
	}
	low, high := float64(c.low), float64(c.low+c.h)
	if y1 <= low || y0 >= high {
		return
	}
	slope := (x1 - x0) / (y1 - y0)
	right := float64(c.w)
	for j := int(math.Floor(max(y0, low))); j < c.low+c.h && float64(j) < y1; j++ {
		from, to := max(float64(j), y0), min(float64(j+1), y1)
		x, next := x0+float64(slope*(from-y0)), x0+float64(slope*(to-y0))
		k := (j - c.low) * (c.w + 2)
		c.span(c.a[k:k+c.w+2], min(max(x, 0), right), min(max(next, 0), right), (to-from)*dir)
	}
}

// span adds the part of an edge within one row: height d, from x to next.
func (c *cover) span(row []float64, x, next, d float64) {
	a, b := min(x, next), max(x, next)
	i := int(a)
	last := int(math.Ceil(b))
	if last <= i+1 {
		m := float64(0.5*(x+next)) - float64(i)
		row[i] += d - float64(d*m)
		row[i+1] += float64(d * m)
		return
	}
	s := 1 / (b - a)
	af := a - float64(i)
	first := 0.5 * s * (1 - af) * (1 - af)
	bf := b - float64(last) + 1
	end := 0.5 * s * bf * bf
	row[i] += float64(d * first)
	if last == i+2 {
		row[i+1] += float64(d * (1 - first - end))
	} else {
		second := s * (1.5 - af)
		row[i+1] += float64(d * (second - first))
		for k := i + 2; k < last-1; k++ {
			row[k] += float64(d * s)
		}
		row[last-1] += float64(d * (1 - second - float64(float64(last-i-3)*s) - end))
	}
	row[last] += float64(d * end)
}

// row calls f with the coverage of every cell of a row, from the left, between 0 and 1.
func (c *cover) row(j int, f func(i int, share float64)) {
	sum := 0.0
	j -= c.low
	for i, v := range c.a[j*(c.w+2) : j*(c.w+2)+c.w] {
		sum += v
		f(i, min(max(sum, 0), 1))
	}
}
