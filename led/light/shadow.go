package light

import (
	"math"
	"sync"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// wall is a straight piece of what light does not pass, mm.
type wall struct{ ax, ay, bx, by float64 }

// wallTolerance is how far a flattened curve may lie from the true one: less than a tenth of what the diffuser blurs.
const wallTolerance = 50 * geom.Micrometre

// walls returns the edges of bodies and frames that stand in the gap and of openings and, where it comes between two places of the panel, the panel's own edge.
func walls(p panel.Panel) []wall {
	var out []wall
	add := func(c geom.Contour) { out = append(out, edgesOf(geom.Region{{Outer: c.Ring(wallTolerance)}})...) }
	if !convex(p.Outline.CounterClockwise().Ring(wallTolerance)) {
		add(p.Outline)
	}
	for _, c := range p.InGap() {
		add(c)
	}
	for _, o := range p.Openings {
		add(o.Contour)
	}
	return append(out, edgesOf(p.Frame)...)
}

// edgesOf returns the edges of a region.
func edgesOf(g geom.Region) []wall {
	var out []wall
	for _, r := range g.Rings() {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			out = append(out, wall{a.X.MM(), a.Y.MM(), b.X.MM(), b.Y.MM()})
		}
	}
	return out
}

// convex reports whether a counter-clockwise ring nowhere turns right.
func convex(r geom.Ring) bool {
	for i := range r {
		if geom.Orient(r[i], r[(i+1)%len(r)], r[(i+2)%len(r)]) == geom.CW {
			return false
		}
	}
	return true
}

// rays is how many directions an LED's surroundings are looked at in. At 40 mm they are 0.12 mm apart.
const rays = 2048

// compass is the unit vectors of the rays.
var compass = sync.OnceValue(func() *[rays][2]float64 {
	var out [rays][2]float64
	for i := range out {
		c, s := turn(i, rays)
		out[i] = [2]float64{c, s}
	}
	return &out
})

// seen is what an LED lights: everything up to a distance in each direction, mm. Walls reach from the LED sheet to the
// diffuser, so that all behind the first one is dark and the lit area is a star round the LED.
type seen []float64

// sight returns what is seen from (x, y) up to reach; nil when nothing is in the way.
func sight(ws []wall, x, y, reach float64) seen {
	var out seen
	dirs := compass()
	for _, w := range ws {
		ax, ay, bx, by := w.ax-x, w.ay-y, w.bx-x, w.by-y
		if min(ax, bx) > reach || max(ax, bx) < -reach || min(ay, by) > reach || max(ay, by) < -reach {
			continue
		}
		// n·p = c is the wall's line, with the LED at the origin; c is twice the area of the triangle to it.
		dx, dy := bx-ax, by-ay
		c := float64(ax*dy) - float64(ay*dx)
		l2 := float64(dx*dx) + float64(dy*dy)
		if l2 == 0 || float64(c*c) >= float64(reach*reach*l2) {
			continue
		}
		if out == nil {
			out = make(seen, rays)
			for i := range out {
				out[i] = reach
			}
		}
		from, to := settled(math.Atan2(ay, ax)), settled(math.Atan2(by, bx))
		if c < 0 { // seen clockwise
			from, to, dx, dy, c = to, from, -dx, -dy, -c
		}
		if to < from {
			to += 2 * math.Pi
		}
		if c == 0 || to-from > math.Pi {
			continue // edge on
		}
		const per = rays / (2 * math.Pi)
		for k := int(math.Ceil(from * per)); float64(k) <= to*per; k++ {
			i := k & (rays - 1)
			den := float64(dirs[i][0]*dy) - float64(dirs[i][1]*dx)
			if den <= 0 {
				continue
			}
			out[i] = min(out[i], c/den)
		}
	}
	return out
}

// lights reports whether a point at (dx, dy) from the LED is lit.
func (s seen) lights(dx, dy float64) bool {
	if s == nil {
		return true
	}
	const per = rays / (2 * math.Pi)
	i := int(math.Round(settled(math.Atan2(dy, dx))*per)+rays) % rays
	return float64(dx*dx)+float64(dy*dy) <= float64(s[i]*s[i])
}

// star returns the corners of the lit area relative to the LED.
func (s seen) star() [][2]float64 {
	out := make([][2]float64, rays)
	dirs := compass()
	for i, r := range s {
		out[i] = [2]float64{r * dirs[i][0], r * dirs[i][1]}
	}
	return out
}
