// Package frame makes the walls that keep light where it belongs: a sheet as thick as the gap between LED sheet and diffuser, which
// fills that gap round openings, along the rim, round mounts and between groups of LEDs.
//
// A panel.Panel goes in and a geom.Region comes out, in the panel frame: where the sheet is. What passes the gap, the LEDs and the screws
// are cut out of it; what is thinner than least is left out, since it breaks.
package frame

import (
	"math"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// Usual is the width of walls when nobody says it. Walls narrower than half of what sheets are thick break when they are cut (common
// practice), and gaps are 5 to 10 mm.
const Usual = 4 * geom.Millimetre

const (
	tolerance = geom.FlattenTolerance // so that arcs come out as arcs
	flange    = geom.Millimetre       // by which the hole for an LED is wider than the LED sheet's
	least     = geom.Millimetre       // of what is left of a wall
	speck     = 25                    // mm²: a smaller piece holds nothing
)

// Of returns the frame of a panel, with walls of that width. group is the group of each of the panel's LEDs; nil where there are none.
func Of(p panel.Panel, wall geom.Nm, group []int) geom.Region {
	whole := geom.NewRegion(p.Outline.Ring(tolerance))
	var open, round []geom.Ring
	for _, cuts := range [][]geom.Contour{p.Cuts(panel.DiffuserSheet), p.Cuts(panel.LEDSheet), p.InGap()} {
		for _, c := range cuts {
			open = append(open, c.Ring(tolerance))
		}
	}
	clear := geom.UnionOf(open...)
	walls := whole.Minus(whole.Shrunk(wall)).Or(clear.Grown(wall))
	for _, m := range p.Mounts {
		round = append(round, geom.Circle(m.At, m.D+2*wall).Ring(tolerance))
	}
	for _, s := range between(p, group) {
		round = append(round, geom.Stadium(s, wall/2).Ring(tolerance))
	}
	walls = walls.Or(geom.UnionOf(round...)).And(whole)
	var holes []geom.Ring
	for _, m := range p.Mounts {
		holes = append(holes, geom.Circle(m.At, m.D).Ring(tolerance))
	}
	for _, h := range p.LEDs {
		holes = append(holes, geom.Circle(h.At, h.D+flange).Ring(tolerance))
	}
	var out geom.Region
	for _, piece := range walls.Minus(clear.Or(geom.UnionOf(holes...))).Opened(least / 2) {
		if one := (geom.Region{piece}); one.Area() >= speck {
			out = append(out, piece)
		}
	}
	return out
}

// between returns the middle lines of the walls between groups: all that is as far from an LED of one as from one of another, and no
// nearer to a third. Groups that stand behind the same words, their LEDs side by side, have none between them.
//
// They are edges of the LEDs' Voronoi cells: of each pair the bisector, less all that is nearer to another LED.
func between(p panel.Panel, group []int) (out []geom.Segment) {
	if len(group) != len(p.LEDs) {
		return nil
	}
	mixed := interleaved(p, group)
	box := p.Outline.Box()
	far := math.Hypot(box.W().MM(), box.H().MM())
	for i, a := range p.LEDs {
		for j := i + 1; j < len(p.LEDs); j++ {
			b := p.LEDs[j]
			if group[i] == group[j] || a.At == b.At || mixed[[2]int{min(group[i], group[j]), max(group[i], group[j])}] {
				continue
			}
			// The bisector is m + t·d; of it what is nearer to a than to c has t·(d·n) < r, n from a to c.
			mx, my := (a.At.X.MM()+b.At.X.MM())/2, (a.At.Y.MM()+b.At.Y.MM())/2
			l := a.At.Dist(b.At) / 1e6
			dx, dy := -(b.At.Y-a.At.Y).MM()/l, (b.At.X-a.At.X).MM()/l
			from, to := -far, far
			for k, c := range p.LEDs {
				if k == i || k == j || c.At == a.At {
					continue
				}
				nx, ny := c.At.X.MM()-a.At.X.MM(), c.At.Y.MM()-a.At.Y.MM()
				hx, hy := (c.At.X.MM()+a.At.X.MM())/2-mx, (c.At.Y.MM()+a.At.Y.MM())/2-my
				s, r := float64(dx*nx)+float64(dy*ny), float64(hx*nx)+float64(hy*ny)
				switch {
				case s > 0:
					to = min(to, r/s)
				case s < 0:
					from = max(from, r/s)
				case r <= 0:
					to = from
				}
			}
			if to-from > least.MM() {
				out = append(out, geom.Segment{A: geom.PtMM(mx+float64(from*dx), my+float64(from*dy)), B: geom.PtMM(mx+float64(to*dx), my+float64(to*dy))})
			}
		}
	}
	return out
}

// interleaved returns the pairs of groups of which a third of the LEDs of one, or more, have an LED of the other as their nearest.
func interleaved(p panel.Panel, group []int) map[[2]int]bool {
	all, beside := map[int]int{}, map[[2]int]int{}
	for i, a := range p.LEDs {
		near, d := -1, math.Inf(1)
		for j, b := range p.LEDs {
			if e := a.At.Dist(b.At); j != i && e < d {
				near, d = j, e
			}
		}
		all[group[i]]++
		if near >= 0 && group[near] != group[i] {
			beside[[2]int{group[i], group[near]}]++
		}
	}
	out := map[[2]int]bool{} // looked up only
	for pair, n := range beside {
		if 3*n >= all[pair[0]] {
			out[[2]int{min(pair[0], pair[1]), max(pair[0], pair[1])}] = true
		}
	}
	return out
}
