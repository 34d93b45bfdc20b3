package stray

import (
	"fmt"
	"math"

	"lampblack/panel/geom"
)

// Eyes is a box of places where eyes may be, from the middle of the panel: to the right, up, and away from its face.
type Eyes struct{ Across, Up, Away [2]geom.Nm }

// UsualEyes returns those of someone who sits before the panel and leans to all sides: 200 mm to the left and to the right, from
// 100 mm below its middle to 300 mm above, 300 to 600 mm away. The figures are ours, no standard's.
func UsualEyes() Eyes {
	mm := geom.Millimetre
	return Eyes{Across: [2]geom.Nm{-200 * mm, 200 * mm}, Up: [2]geom.Nm{-100 * mm, 300 * mm}, Away: [2]geom.Nm{300 * mm, 600 * mm}}
}

// Eye is a place of an eye.
type Eye struct {
	At   geom.Pt
	Away geom.Nm // before the face
}

// Told says where the eye is, from the middle of the panel: "200 mm to the left, 100 mm above, 300 mm away".
func (e Eye) Told(middle geom.Pt) string {
	say := func(d geom.Nm, less, more string) string {
		switch mm := math.Round(d.MM()/10) * 10; {
		case mm < 0:
			return fmt.Sprintf("%g mm %s, ", -mm, less)
		case mm > 0:
			return fmt.Sprintf("%g mm %s, ", mm, more)
		}
		return ""
	}
	return say(e.At.X-middle.X, "to the left", "to the right") + say(e.At.Y-middle.Y, "below", "above") + fmt.Sprintf("%g mm away", math.Round(e.Away.MM()))
}

// spread is how far apart the lines of eyes beside each other meet the plane of the tips, at most, mm: a third of a usual LED.
const spread = 1.0

// most bounds the places along one side of the box.
const most = 40

// places returns places of eyes all over the box, its corners among them, the nearest first.
func (e Eyes) places(middle geom.Pt, tip geom.Nm) []Eye {
	var out []Eye
	for _, away := range span(e.Away, 3) {
		// Two eyes that are step apart look through one point of the face to tip/away of that on the tips' plane.
		step := spread * away.MM() / max(tip.MM(), 1)
		count := func(s [2]geom.Nm) int { return min(int(math.Ceil((s[1]-s[0]).MM()/step))+1, most) }
		for _, y := range span(e.Up, count(e.Up)) {
			for _, x := range span(e.Across, count(e.Across)) {
				out = append(out, Eye{middle.Add(geom.Vec{X: x, Y: y}), away})
			}
		}
	}
	return out
}

// span returns n values evenly from the first to the last, or the one where they are the same.
func span(s [2]geom.Nm, n int) []geom.Nm {
	if s[0] == s[1] {
		return []geom.Nm{s[0]}
	}
	out := make([]geom.Nm, max(n, 2))
	for i := range out {
		out[i] = s[0] + (s[1]-s[0])*geom.Nm(i)/geom.Nm(len(out)-1)
	}
	return out
}

// reach returns how far beside a point of the panel's face something at a depth may be seen through it, at most.
func (e Eyes) reach(panel geom.Box, depth geom.Nm) geom.Nm {
	side := func(s [2]geom.Nm, half geom.Nm) float64 { return max(-s[0], s[1]).MM() + half.MM() }
	d := math.Hypot(side(e.Across, panel.W()/2), side(e.Up, panel.H()/2))
	return geom.MM(math.Ceil(d * depth.MM() / e.Away[0].MM()))
}
