package main

import (
	"fmt"
	"math"
)

// The builder's own spacing, in millimetres, LED centres to edges. They leave room for the leads' pads (2.54 mm apart
// in any direction), the clearance round bodies and the copper's distance to the board's edge.
const (
	ledToLED   = 5.5
	ledToEdge  = 5.0
	ledToSolid = 5.0 // openings and bodies
	ledToMount = 8.0
	mountEdge  = 6.0
)

// faults tells which rules the drawing breaks.
func (p *plan) faults() []string {
	var out []string
	tell := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for i, a := range p.leds {
		for _, b := range p.leds[:i] {
			if d := dist(a, b); d < ledToLED {
				tell("LEDs at %.1f,%.1f and %.1f,%.1f are %.2f mm apart", a.x, a.y, b.x, b.y, d)
			}
		}
		if d := toContour(a, p.outline); d < ledToEdge {
			tell("LED at %.1f,%.1f is %.2f mm from the outline", a.x, a.y, d)
		}
		if !inside(a, p.outline) {
			tell("LED at %.1f,%.1f is outside", a.x, a.y)
		}
		for _, s := range p.solids {
			if d := toContour(a, s); d < ledToSolid || inside(a, s) {
				tell("LED at %.1f,%.1f is %.2f mm from an opening or body", a.x, a.y, d)
			}
		}
		for _, m := range p.mounts {
			if d := dist(a, m); d < ledToMount {
				tell("LED at %.1f,%.1f is %.2f mm from a mount", a.x, a.y, d)
			}
		}
	}
	for _, m := range p.mounts {
		if d := toContour(m, p.outline); d < mountEdge {
			tell("mount at %.1f,%.1f is %.2f mm from the outline", m.x, m.y, d)
		}
		for _, s := range p.solids {
			if d := toContour(m, s); d < mountEdge {
				tell("mount at %.1f,%.1f is %.2f mm from an opening or body", m.x, m.y, d)
			}
		}
	}
	return out
}

func dist(a, b pt) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// flat returns points along a closed polyline, arcs cut into chords at about every degree and at their extremes.
func flat(v []vertex) []pt {
	var out []pt
	for i, a := range v {
		out = append(out, a.pt)
		if a.bulge == 0 {
			continue
		}
		b := v[(i+1)%len(v)]
		k := (1 - a.bulge*a.bulge) / (4 * a.bulge)
		c := pt{(a.x+b.x)/2 - (b.y-a.y)*k, (a.y+b.y)/2 + (b.x-a.x)*k}
		from, sweep := math.Atan2(a.y-c.y, a.x-c.x), 4*math.Atan(a.bulge)
		deg, turn := from*180/math.Pi, sweep*180/math.Pi
		n := math.Ceil(math.Abs(turn))
		for j := 1.0; j < n; j++ {
			// Whole degrees, where they lie on the way, hit the extremes.
			at := math.Round(deg + turn*j/n)
			if (at-deg)*turn <= 0 || math.Abs(at-deg) >= math.Abs(turn) {
				continue
			}
			out = append(out, polar(c, dist(a.pt, c), at))
		}
	}
	return out
}

func toContour(p pt, v []vertex) float64 {
	q, best := flat(v), math.Inf(1)
	for i, a := range q {
		b := q[(i+1)%len(q)]
		d := pt{b.x - a.x, b.y - a.y}
		t := 0.0
		if l := dot(d, d); l > 0 {
			t = min(1, max(0, dot(pt{p.x - a.x, p.y - a.y}, d)/l))
		}
		best = min(best, dist(p, along(a, d, t)))
	}
	return best
}

func inside(p pt, v []vertex) bool {
	q, in := flat(v), false
	for i, a := range q {
		b := q[(i+1)%len(q)]
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
			in = !in
		}
	}
	return in
}
