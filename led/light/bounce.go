package light

import (
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// bounced returns the light that comes to the diffuser after going to and fro between it and what faces it, on a coarse grid that
// covers that of the direct light; inside tells which share of a cell is panel (nil: all).
//
// The diffuser sends the share first of the LEDs' own light, and rd of what comes from all sides, back evenly to all
// directions, to a plane h mm behind it; that sends rb of it on, and so forth: a plane gets the other's light through lambert's
// kernel. What leaves beside the panel, into openings
// and bodies, is lost. The series falls by rd·rb < 1 a turn at least and is followed to a ten thousandth. The light is
// smooth, as the kernel is h wide, so that cells of about h/3 carry it (the kernel's spectrum (kh)·K1(kh) is 1e-7 there).
func bounced(watch *work.Watch, direct Grid, inside func(Grid) []float64, first, rd, rb, h float64) Grid {
	if first <= 0 || rb <= 0 || direct.Max() == 0 {
		return direct.blank()
	}
	n := max(1, int(min(max(h/3, 1), 4)/direct.Step.MM()))
	c := Grid{
		Origin: direct.Origin.Add(geom.Vec{X: direct.Step * geom.Nm(n-1) / 2, Y: direct.Step * geom.Nm(n-1) / 2}),
		Step:   direct.Step * geom.Nm(n), W: (direct.W + n - 1) / n, H: (direct.H + n - 1) / n,
	}
	c.V = make([]float64, c.W*c.H)
	for j := range direct.H {
		watch.Look()
		for i, v := range direct.V[j*direct.W : (j+1)*direct.W] {
			c.V[j/n*c.W+i/n] += v / float64(n*n)
		}
	}
	mask := make([]float64, len(c.V))
	for i := range mask {
		mask[i] = 1
	}
	if inside != nil {
		mask = inside(c)
	}
	step := c.Step.MM()
	// Room so that the kernel of one edge does not come round to the other with more than a few per mille.
	room := min(int(8*h/step)+1, max(c.W, c.H))
	w, hh := fast(c.W+room), fast(c.H+room)
	kernel := make([]float64, w*hh)
	for j := range hh {
		watch.Look()
		for i := range w {
			x, y := float64(min(i, w-i))*step, float64(min(j, hh-j))*step
			kernel[j*w+i] = lambert(h, float64(x*x)+float64(y*y)) * step * step
		}
	}
	k := transformed(watch, kernel, w, hh, w, hh)
	across := func(v []float64, share float64) []float64 {
		s := transformed(watch, v, c.W, c.H, w, hh)
		s.by(k)
		out := s.field(c.W, c.H)
		for i := range out {
			out[i] = max(0, out[i]*share*mask[i])
		}
		return out
	}
	now := make([]float64, len(c.V))
	for i, v := range c.V {
		now[i] = v * mask[i]
	}
	brightest := c.Max()
	sum := c.blank()
	share := first
	for range 64 {
		watch.Look()
		now = across(across(now, share), rb)
		share = rd
		most := 0.0
		for i, v := range now {
			sum.V[i] += v
			most = max(most, v)
		}
		if most < 1e-4*brightest {
			break
		}
	}
	return sum
}

// inside returns which share of each cell of a grid is panel: within the outline, and neither opening nor body in the gap.
func inside(watch *work.Watch, p panel.Panel) func(Grid) []float64 {
	var holes []geom.Ring
	for _, b := range p.InGap() {
		holes = append(holes, b.CounterClockwise().Reversed().Ring(wallTolerance))
	}
	for _, o := range p.Openings {
		holes = append(holes, o.CounterClockwise().Reversed().Ring(wallTolerance))
	}
	return within(watch, append([]geom.Ring{p.Outline.CounterClockwise().Ring(wallTolerance)}, holes...))
}

// ringsOf returns contours as rings, as fine as walls are.
func ringsOf(cs []geom.Contour) []geom.Ring {
	out := make([]geom.Ring, len(cs))
	for i, c := range cs {
		out[i] = c.CounterClockwise().Ring(wallTolerance)
	}
	return out
}

// within returns which share of each cell lies in counter-clockwise rings and not in clockwise ones.
func within(watch *work.Watch, rings []geom.Ring) func(Grid) []float64 {
	return func(g Grid) []float64 {
		out := make([]float64, len(g.V))
		c := newCover(g.W, g.H)
		ring := func(r geom.Ring) {
			for i, a := range r {
				watch.Step()
				b := r[(i+1)%len(r)]
				x := func(p geom.Pt) float64 { return float64(p.X-g.Origin.X)/float64(g.Step) + 0.5 }
				y := func(p geom.Pt) float64 { return float64(p.Y-g.Origin.Y)/float64(g.Step) + 0.5 }
				c.edge(x(a), y(a), x(b), y(b))
			}
		}
		for _, r := range rings {
			ring(r)
		}
		for j := range g.H {
			watch.Look()
			c.row(j, func(i int, share float64) { out[j*g.W+i] = share })
		}
		return out
	}
}
