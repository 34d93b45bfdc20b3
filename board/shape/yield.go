package shape

import (
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Limits give way before a board is refused. What the board keeps from bodies, openings and the panel's edge gives way round
// single LEDs alone, in steps, as far as each needs; what screws and copper at the edge are given is the whole board's. Each
// that gave way is told with its place and what is left.

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
	checkSize(out.b, p.Name, &out.l)
	return out.b, out.l.WithPanel(p.Name)
}

// levels is how many steps a distance gives way in.
const levels = 5

// level returns the distance at a level: at 0 as it should be, at the last its floor.
func level(from, to geom.Nm, n int) geom.Nm { return from - (from-to)*geom.Nm(n)/levels }

// yielding derives the board with ever less, until nothing speaks against it; else with what leaves the fewest errors.
func (d deriver) yielding(out outcome, least board.Floors) outcome {
	best, errors := out, out.l.Count(diag.Error)
	screws := []geom.Nm{d.r.ScrewClear}
	if has(out.l, "shape-led-mount") {
		screws = append(screws, least.ScrewClear...)
	}
	edges := []geom.Nm{d.r.CopperToEdge}
	if least.CopperToEdge < d.r.CopperToEdge && has(out.l, noRoom()...) {
		edges = append(edges, least.CopperToEdge)
	}
	for _, edge := range edges {
		for _, screw := range screws {
			less := d
			less.r.CopperToEdge, less.r.ScrewClear = edge, screw
			o := out
			if edge < d.r.CopperToEdge || screw < d.r.ScrewClear {
				o = less.roomy()
			}
			o = less.conceding(o, least)
			if n := o.l.Count(diag.Error); n < errors {
				d.tellLess(less.r, out.l, &o)
				best, errors = o, n
			}
			if errors == 0 {
				return best
			}
		}
	}
	return best
}

// conceding derives the board that came out so anew, nearer to what stands round those LEDs that have no room otherwise.
func (d deriver) conceding(out outcome, least board.Floors) outcome {
	if len(d.p.Boards) > 0 || least.BodyClearance >= d.r.BodyClearance && least.Margin >= d.r.Margin {
		return out
	}
	d.least, d.conceded = least, make([]int, len(d.p.LEDs))
	for range levels {
		raised := false
		for i, h := range d.p.LEDs {
			lacks := func(f diag.Finding) bool {
				return (f.Code == "shape-led-edge" || f.Code == "shape-led-outside") && tells(f, h)
			}
			if d.conceded[i] < levels && slices.ContainsFunc(out.l, lacks) && !d.meets(i) {
				d.conceded[i]++
				raised = true
			}
		}
		if !raised {
			break
		}
		now := d.roomy()
		if now.l.Count(diag.Error) > out.l.Count(diag.Error) {
			break
		}
		out = now
	}
	out.l = slices.Clip(out.l)
	for i, h := range d.p.LEDs {
		failed := func(f diag.Finding) bool { return f.Severity == diag.Error && tells(f, h) }
		if d.conceded[i] == 0 || slices.ContainsFunc(out.l, failed) {
			continue
		}
		what, _ := nearest(out.b, d.p, h.At)
		left, usual := level(d.r.BodyClearance, least.BodyClearance, d.conceded[i]), d.r.BodyClearance
		if what == outlineName {
			left, usual = level(d.r.Margin, least.Margin, d.conceded[i]), d.r.Margin
		}
		f := at(out.l.Add(diag.Warning, "shape-gave-way", "the board comes as near as %v to %s, as an LED stands there: %v is usual", left, what, usual), h.At)
		f.About("rules.board_to_body", "rules.margin").Place.Handle = h.Handle
		f.Fix("see that the part has that much room beside the board; else move the LED away from it, by what is missing of %v", usual)
	}
	return out
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

// widened returns the free area with what is conceded round single LEDs. What a router bit leaves in corners is board too: where
// that would come nearer than the floor nothing is conceded.
func (d deriver) widened(free geom.Region, rooms []panel.Room, screws []panel.Hole) geom.Region {
	if len(d.conceded) == 0 {
		return free
	}
	floor := d.r
	floor.BodyClearance, floor.Margin = d.least.BodyClearance, d.least.Margin
	most := freeArea(d.p, floor, rooms, screws)
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
		r := d.r
		r.BodyClearance, r.Margin = level(d.r.BodyClearance, d.least.BodyClearance, n), level(d.r.Margin, d.least.Margin, n)
		near := freeArea(d.p, r, rooms, screws)
		for _, ring := range round {
			more := free.Or(near.And(geom.NewRegion(ring))).Closed(d.r.InnerRadius)
			if over := more.Minus(free).Minus(most.Grown(hair)); over.Area() < crumb {
				free = more
			}
		}
	}
	return free
}

// tellLess tells limits of the whole board that gave way, at the LEDs for which they did.
func (d deriver) tellLess(now board.Rules, before diag.List, out *outcome) {
	tell := func(codes []string, f func(l *diag.List) *diag.Finding, keys string, advice string, args ...any) {
		for _, e := range before {
			if !slices.Contains(codes, e.Code) || e.Place.At == nil {
				continue
			}
			one := f(&out.l).About(keys).Fix(advice, args...)
			one.Place = e.Place
		}
	}
	if now.ScrewClear < d.r.ScrewClear {
		what := "room for a screw's head without a washer"
		if now.ScrewClear <= now.CopperToHole {
			what = "no room for a screw's head: it presses on the board beside copper"
		}
		tell([]string{"shape-led-mount"}, func(l *diag.List) *diag.Finding {
			return l.Add(diag.Warning, "shape-gave-way", "%v are kept free round mount holes, %s, as an LED stands near one: %v is usual", now.ScrewClear, what, d.r.ScrewClear)
		}, "rules.screw_room", "use a screw with a small head and an insulating washer no wider than that; or move the LED or the mount")
	}
	if now.CopperToEdge < d.r.CopperToEdge {
		tell(noRoom(), func(l *diag.List) *diag.Finding {
			return l.Add(diag.Warning, "shape-gave-way", "copper comes as near as %v to the board's edge, as an LED stands there: %v is usual", now.CopperToEdge, d.r.CopperToEdge)
		}, "rules.copper_to_edge", "ask your board house whether it keeps %v; or move the LED away from the edge", now.CopperToEdge)
	}
}

func has(l diag.List, codes ...string) bool {
	return slices.ContainsFunc(l, func(f diag.Finding) bool { return slices.Contains(codes, f.Code) })
}

// noRoom are the codes of LEDs that a nearer edge may give room.
func noRoom() []string { return []string{"shape-led-edge", "shape-led-outside"} }
