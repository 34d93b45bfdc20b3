package route

import (
	"math"

	"lampblack/panel/geom"
)

// aim gives a lower bound of the way to the nearest goal of a search: to the box of the goals when that is small, else
// by a coarse map of distances.
type aim struct {
	x0, y0, x1, y1 int32 // the box
	pitch          int32 // µm
	far            *coarse
}

// boxMost is how wide and high together, in nodes, a box of goals may be: a pad.
const boxMost = 32

func (s *searcher) aimAt(q *query) {
	nx, n := int32(s.g.nx), int32(s.g.n)
	a := aim{x0: math.MaxInt32, y0: math.MaxInt32, x1: -1, y1: -1, pitch: int32(s.g.pitch / geom.Micrometre)}
	for _, e := range q.goals {
		i := e.node % n
		x, y := i%nx, i/nx
		a.x0, a.x1 = min(a.x0, x), max(a.x1, x)
		a.y0, a.y1 = min(a.y0, y), max(a.y1, y)
	}
	if (a.x1-a.x0)+(a.y1-a.y0) > boxMost {
		s.far.begin(q)
		a.far = &s.far
	}
	s.aim = a
}

// bound returns the lower bound, in µm, at the node in column x and row y.
func (a *aim) bound(x, y int32) int32 {
	if a.far != nil {
		return a.far.bound(x, y)
	}
	way := octile(max(a.x0-x, x-a.x1, 0), max(a.y0-y, y-a.y1, 0))
	return int32(int64(way) * int64(a.pitch) / 1000) // a board of a few metres would overflow
}

// octile returns the length of the shortest way of straight and diagonal steps, in thousandths of a step, rounded
// down.
func octile(dx, dy int32) int32 { return 1000*max(dx, dy) + 414*min(dx, dy) }

// coarse is a map of distances to the goals over squares of coarseStep nodes. Only the window that a search is in is
// filled, and it grows with the search: most goals of a large net are far from most searches. Beyond the window
// anything may be, so a square is never farther from a goal than from the window's rim.
type coarse struct {
	nx, ny  int32
	fine    int32 // nodes in a row
	n       int32
	unit    int32 // µm across a square
	slack   int32 // µm by which a square's distance may exceed that of a node in it
	d       []int32
	squares []int32 // those with goals
	x0, y0  int32   // the window, both ends in it
	x1, y1  int32
}

const coarseStep = 4

func newCoarse(g *grid) coarse {
	p := int32(g.pitch / geom.Micrometre)
	c := coarse{nx: int32(g.nx/coarseStep) + 1, ny: int32(g.ny/coarseStep) + 1, fine: int32(g.nx), n: int32(g.n), unit: coarseStep * p}
	// Two nodes differ from their squares' corners by up to coarseStep-1 steps in X and in Y.
	c.slack = octile(coarseStep-1, coarseStep-1)*p/1000 + 1
	c.d = make([]int32, int(c.nx)*int(c.ny))
	return c
}

// square returns the square that a node is in.
func (c *coarse) square(node int32) (x, y int32) {
	i := node % c.n
	return i % c.fine / coarseStep, i / c.fine / coarseStep
}

// begin chooses the first window: round the starts, twice as far as the nearest goal.
func (c *coarse) begin(q *query) {
	c.x0, c.y0, c.x1, c.y1 = c.nx, c.ny, -1, -1
	for _, e := range q.starts {
		x, y := c.square(e.node)
		c.x0, c.x1 = min(c.x0, x), max(c.x1, x)
		c.y0, c.y1 = min(c.y0, y), max(c.y1, y)
	}
	c.squares = c.squares[:0]
	near, last := int32(math.MaxInt32/4), int32(-1)
	for _, e := range q.goals {
		x, y := c.square(e.node)
		near = min(near, max(c.x0-x, x-c.x1, c.y0-y, y-c.y1, 0))
		if i := y*c.nx + x; i != last {
			c.squares = append(c.squares, i)
			last = i
		}
	}
	c.grow(2*near + 8)
}

// grow widens the window by so many squares and fills it.
func (c *coarse) grow(by int32) {
	c.x0, c.x1 = max(c.x0-by, 0), min(c.x1+by, c.nx-1)
	c.y0, c.y1 = max(c.y0-by, 0), min(c.y1+by, c.ny-1)
	c.fill()
}

// fill computes the map in two passes.
//
// Source: G. Borgefors, "Distance Transformations in Digital Images", CVGIP 34(3), 1986,
// doi:10.1016/S0734-189X(86)80047-0, with the octile weights 1 and 1.414, for which the two passes are exact.
func (c *coarse) fill() {
	for y := c.y0; y <= c.y1; y++ {
		row := c.d[y*c.nx+c.x0 : y*c.nx+c.x1+1]
		first := int32(farAway)
		if y == c.y0 && y > 0 || y == c.y1 && y < c.ny-1 {
			first = c.unit
		}
		for i := range row {
			row[i] = first
		}
		if c.x0 > 0 {
			row[0] = c.unit
		}
		if c.x1 < c.nx-1 {
			row[len(row)-1] = c.unit
		}
	}
	for _, i := range c.squares {
		if x, y := i%c.nx, i/c.nx; x >= c.x0 && x <= c.x1 && y >= c.y0 && y <= c.y1 {
			c.d[i] = 0
		}
	}
	for y := c.y0; y <= c.y1; y++ {
		c.sweep(y, y-1, y > c.y0, 1)
	}
	for y := c.y1; y >= c.y0; y-- {
		c.sweep(y, y+1, y < c.y1, -1)
	}
}

// sweep lowers the squares of row y by what their neighbours in the row before it and behind them in the row allow,
// going right (step 1) or left (-1).
func (c *coarse) sweep(y, before int32, has bool, step int32) {
	a, b := c.unit, c.unit*1414/1000
	first, last := c.x0, c.x1
	if step < 0 {
		first, last = last, first
	}
	row, other := c.d[y*c.nx:(y+1)*c.nx], c.d[:0]
	if has {
		other = c.d[before*c.nx : (before+1)*c.nx]
	}
	behind := int32(farAway)
	for x := first; x != last+step; x += step {
		v := min(row[x], behind+a)
		if has {
			v = min(v, other[x]+a)
			if x > c.x0 {
				v = min(v, other[x-1]+b)
			}
			if x < c.x1 {
				v = min(v, other[x+1]+b)
			}
		}
		row[x], behind = v, v
	}
}

func (c *coarse) bound(x, y int32) int32 {
	x, y = x/coarseStep, y/coarseStep
	for x < c.x0 || x > c.x1 || y < c.y0 || y > c.y1 {
		c.grow(max(c.x1-c.x0, c.y1-c.y0)/2 + 1)
	}
	return max(0, c.d[y*c.nx+x]-c.slack)
}
