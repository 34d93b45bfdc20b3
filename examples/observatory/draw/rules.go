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
			if d := a.dist(b); d < ledToLED {
				tell("LEDs at %.1f,%.1f and %.1f,%.1f are %.2f mm apart", a.X, a.Y, b.X, b.Y, d)
			}
		}
		if d := toContour(a, p.outline); d < ledToEdge {
			tell("LED at %.1f,%.1f is %.2f mm from the outline", a.X, a.Y, d)
		}
		if !inside(a, p.outline) {
			tell("LED at %.1f,%.1f is outside", a.X, a.Y)
		}
		for _, s := range p.solids {
			if d := toContour(a, s); d < ledToSolid || inside(a, s) {
				tell("LED at %.1f,%.1f is %.2f mm from an opening or body", a.X, a.Y, d)
			}
		}
		for _, m := range p.mounts {
			if d := a.dist(m); d < ledToMount {
				tell("LED at %.1f,%.1f is %.2f mm from a mount", a.X, a.Y, d)
			}
		}
	}
	for _, m := range p.mounts {
		if d := toContour(m, p.outline); d < mountEdge {
			tell("mount at %.1f,%.1f is %.2f mm from the outline", m.X, m.Y, d)
		}
		for _, s := range p.solids {
			if d := toContour(m, s); d < mountEdge {
				tell("mount at %.1f,%.1f is %.2f mm from an opening or body", m.X, m.Y, d)
			}
		}
	}
	return out
}

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
		c := pt{(a.X+b.X)/2 - (b.Y-a.Y)*k, (a.Y+b.Y)/2 + (b.X-a.X)*k}
		from, sweep := math.Atan2(a.Y-c.Y, a.X-c.X), 4*math.Atan(a.bulge)
		deg, turn := from*180/math.Pi, sweep*180/math.Pi
		n := math.Ceil(math.Abs(turn))
		for j := 1.0; j < n; j++ {
			// Whole degrees, where they lie on the way, hit the extremes.
			at := math.Round(deg + turn*j/n)
			if (at-deg)*turn <= 0 || math.Abs(at-deg) >= math.Abs(turn) {
				continue
			}
			out = append(out, polar(c, a.pt.dist(c), at))
		}
	}
	return out
}

func toContour(p pt, v []vertex) float64 {
	q, best := flat(v), math.Inf(1)
	for i, a := range q {
		b := q[(i+1)%len(q)]
		d := b.sub(a)
		t := 0.0
		if l := d.dot(d); l > 0 {
			t = min(1, max(0, p.sub(a).dot(d)/l))
		}
		best = min(best, p.dist(a.add(d.times(t))))
	}
	return best
}

func inside(p pt, v []vertex) bool {
	q, in := flat(v), false
	for i, a := range q {
		b := q[(i+1)%len(q)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}
