package shape

import (
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Limits give way before a board is refused, each beside the LED or the mount that needs it: what the board keeps from bodies,
// openings and the panel's edge, in steps, what an LED's pads keep from the board's edge, and what a screw has. All else on the
// board keeps them. Each that gave way is told with its place and what is left.

// Derive returns the bare board of the panel for LEDs of the kinds that the wiring has: what room each needs beside
// edges, mounts and its neighbours is its footprint's. It keeps out of the panel's rooms as far as they do not give way
// (room.go); the board has those that it kept. Limits give way down to their floors where an LED would have no room otherwise:
// the board has those that it was made to (Board.Rules).
func Derive(p panel.Panel, w led.Wiring, r board.Rules, least board.Floors, m board.Laminate) (board.Board, diag.List) {
	d := deriver{p: p, r: r, m: m, lamps: lampsOf(p, w), near: least.Courtyards}
	out := d.roomy()
	if out.l.HasErrors() {
		out = d.yielding(out, least)
	}
	d.adviseBridges(&out)
	checkSize(out.b, p.Name, &out.l)
	return out.b, out.l.WithPanel(p.Name)
}

// levels is how many steps a distance gives way in.
const levels = 5

// level returns the distance at a level: at 0 as it should be, at the last its floor.
func level(from, to geom.Nm, n int) geom.Nm { return from - (from-to)*geom.Nm(n)/levels }

// yielding derives the board with ever less, until nothing speaks against it; else with what leaves the fewest errors.
//
// Screws give way at once. An LED without room has the board come nearer to what stands there, step by step; then its pads nearer to
// the edge; then both.
func (d deriver) yielding(out outcome, least board.Floors) outcome {
	best, by, errors := out, d, out.l.Count(diag.Error)
	d.least, d.conceded, d.edged = least, make([]int, len(d.p.LEDs)), make([]bool, len(d.p.LEDs))
	widens := len(d.p.Boards) == 0 && (least.BodyClearance < d.r.BodyClearance || least.Margin < d.r.Margin)
	met := map[int]bool{}
	now := out
	for first := true; ; first = false {
		raised := first && len(least.ScrewClear) > 0 && has(now.l, "shape-led-mount")
		for i, h := range d.p.LEDs {
			lacks := func(f diag.Finding) bool {
				return (f.Code == "shape-led-edge" || f.Code == "shape-led-outside") && tells(f, h)
			}
			if !slices.ContainsFunc(now.l, lacks) {
				continue
			}
			meets, known := met[i]
			if !known {
				meets = d.meets(i)
				met[i] = meets
			}
			switch {
			case widens && !meets && d.conceded[i] < levels:
				d.conceded[i]++
			case !d.edged[i] && least.CopperToEdge < d.r.CopperToEdge:
				d.edged[i], d.conceded[i] = true, 0
			default:
				continue
			}
			raised = true
		}
		if !raised {
			break
		}
		now = d.roomy()
		if n := now.l.Count(diag.Error); n < errors {
			best, errors = now, n
			by = d
			by.conceded = slices.Clone(d.conceded)
		}
		if errors == 0 {
			break
		}
	}
	by.tellConceded(&best)
	return best
}

// tellConceded tells at which LEDs the board comes nearer to something.
func (d deriver) tellConceded(out *outcome) {
	out.l = slices.Clip(out.l)
	for i, h := range d.p.LEDs {
		failed := func(f diag.Finding) bool { return f.Severity == diag.Error && tells(f, h) }
		if len(d.conceded) == 0 || d.conceded[i] == 0 || slices.ContainsFunc(out.l, failed) {
			continue
		}
		what, _ := nearest(out.b, d.p, h.At)
		now := d.conceding(d.conceded[i])
		left, usual := now.BodyClearance, d.r.BodyClearance
		switch what {
		case outlineName:
			left, usual = now.Margin, d.r.Margin
		case board.ScrewBeside:
			left, usual = now.ScrewClear, d.r.ScrewClear
		}
		f := at(out.l.Add(diag.Warning, "shape-gave-way", "the board comes as near as %v to %s, as an LED stands there: %v is usual", left, what, usual), h.At)
		f.About("rules.board_to_body", "rules.margin").Place.Handle = h.Handle
		f.Fix("see that the part has that much room beside the board; else move the LED away from it, by what is missing of %v", usual)
	}
}

// tells reports whether the finding is about the LED.
func tells(f diag.Finding, h panel.Hole) bool {
	at := f.Place.At
	return at != nil && at.X == h.At.X.MM() && at.Y == h.At.Y.MM()
}

// meets reports whether the flange of an LED would meet a body or an opening or stick out of the panel, whatever the board does.
func (d deriver) meets(i int) bool {
	if d.p.Outline.Ring(geom.FlattenTolerance).DistTo(d.p.LEDs[i].At) < float64(d.lamps[i].body) {
		return true
	}
	return slices.ContainsFunc(keepout(d.p, nil, nil), func(c geom.Contour) bool {
		r := c.Ring(geom.FlattenTolerance)
		return r.Locate(d.p.LEDs[i].At) != geom.Outside || r.DistTo(d.p.LEDs[i].At) < float64(d.lamps[i].body+play)
	})
}

// conceding returns the limits as they are beside an LED for which the board comes nearer to what stands there. A screw that passes
// beside the board has a head there.
func (d deriver) conceding(n int) board.Rules {
	r := d.r
	r.BodyClearance, r.Margin = level(r.BodyClearance, d.least.BodyClearance, n), level(r.Margin, d.least.Margin, n)
	if len(d.least.ScrewClear) > 0 {
		r.ScrewClear = level(r.ScrewClear, max(slices.Max(d.least.ScrewClear), r.BodyClearance), n)
	}
	return r
}

// widened returns the free area with what is conceded round single LEDs. What a router bit leaves in corners is board too: where
// that would come nearer than the floor nothing is conceded.
func (d deriver) widened(free geom.Region, rooms []panel.Room, screws []panel.Hole) geom.Region {
	if len(d.conceded) == 0 {
		return free
	}
	most := freeArea(d.p, d.conceding(levels), rooms, screws)
	for n := 1; n <= levels; n++ {
		var round []geom.Ring
		for i, h := range d.p.LEDs {
			if d.conceded[i] == n {
				reach := geom.Nm(d.lamps[i].reach()) + d.r.CopperToEdge + d.r.InnerRadius
				round = append(round, geom.Circle(h.At, 2*reach).Ring(geom.FlattenTolerance))
			}
		}
		if len(round) == 0 {
			continue
		}
		near := freeArea(d.p, d.conceding(n), rooms, screws)
		for _, ring := range round {
			more := free.Or(near.And(geom.NewRegion(ring))).Closed(d.r.InnerRadius)
			if over := more.Minus(free).Minus(most.Grown(hair)); over.Area() < crumb {
				free = more
			}
		}
	}
	return free
}

func has(l diag.List, codes ...string) bool {
	return slices.ContainsFunc(l, func(f diag.Finding) bool { return slices.Contains(codes, f.Code) })
}
