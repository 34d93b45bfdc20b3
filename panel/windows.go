package panel

import (
	"slices"

	"lampblack/panel/geom"
)

// windowReach is how far from a window the LED may stand that is its own for want of one behind it: at the depths that panels have,
// one farther off gives it a few hundredths of what one behind it gives.
const windowReach = 20 * geom.Millimetre

// Windows returns which of the symbols are windows, in their order.
func (p Panel) Windows() []int {
	var out []int
	for i, s := range p.Symbols {
		if s.Window {
			out = append(out, i)
		}
	}
	return out
}

// Seen returns what is left of a lit area of the face where openings, and what sits in them, are cut: within the edge and beside them.
func (p Panel) Seen(g geom.Region) geom.Region {
	if len(g) == 0 {
		return nil
	}
	box := g.Box()
	if len(p.Outline) > 0 {
		g = g.And(geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)))
	}
	for _, c := range p.Cuts(FaceSheet) {
		if c.Box().Touches(box) {
			g = g.Minus(geom.NewRegion(c.Ring(geom.FlattenTolerance)))
		}
	}
	return g
}

// WindowLEDs returns the LEDs of each window, in the order of Windows: those behind it, which are all whose holes reach under it; where
// there are none, the one that is nearest to it, if that is near enough and no other window's.
func (p Panel) WindowLEDs() [][]int {
	windows := p.Windows()
	out := make([][]int, len(windows))
	areas := make([]geom.Region, len(windows))
	taken := make([]bool, len(p.LEDs))
	for k, i := range windows {
		areas[k] = p.Symbols[i].Area()
		box := areas[k].Box()
		for n, h := range p.LEDs {
			if box.Grown(h.D/2).Contains(h.At) && distance(areas[k], h.At) < float64(h.D)/2 {
				out[k], taken[n] = append(out[k], n), true
			}
		}
	}
	for k := range windows {
		if len(out[k]) > 0 || len(areas[k]) == 0 {
			continue
		}
		best, least := -1, float64(windowReach)
		for n, h := range p.LEDs {
			if d := distance(areas[k], h.At); d < least && !taken[n] {
				best, least = n, d
			}
		}
		if best >= 0 {
			out[k], taken[best] = []int{best}, true
		}
	}
	return out
}

// distance is 0 within the region.
func distance(g geom.Region, q geom.Pt) float64 {
	if g.Locate(q) != geom.Outside {
		return 0
	}
	return g.DistTo(q)
}

// Assigned returns the panel with those of its LEDs marked that are windows'.
func (p Panel) Assigned() Panel {
	p.LEDs = slices.Clone(p.LEDs)
	for n := range p.LEDs {
		p.LEDs[n].Window = false
	}
	for _, own := range p.WindowLEDs() {
		for _, n := range own {
			p.LEDs[n].Window = true
		}
	}
	return p
}
