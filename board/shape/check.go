package shape

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// mm writes a length for people, in hundredths, rounded up when it says what is missing.
func mm(nm float64) string { return fmt.Sprintf("%.2f mm", math.Ceil(nm/1e4)/100) }

func at(f *diag.Finding, p geom.Pt) *diag.Finding { return f.At(p.X.MM(), p.Y.MM()) }

// checkCut reports LEDs on other pieces than the one that becomes the board, and whether there are any.
func checkCut(g geom.Region, main piece, p panel.Panel, l *diag.List) (cut bool) {
	for _, c := range pieces(g, p) {
		if c.index == main.index || len(c.leds) == 0 {
			continue
		}
		cut = true
		first := p.LEDs[c.leds[0]]
		f := at(l.Add(diag.Error, "shape-board-cut",
			"bodies and openings cut the board in two: %d LEDs are on one piece and %d on another", len(main.leds), len(c.leds)), first.At)
		f.Place.Handle = first.Handle
		f.Fix("leave a bridge of at least %v between them, or make two panels of it", necks()[0])
		if len(main.leds) > 0 {
			q := p.LEDs[main.leds[0]]
			f.Note(diag.Place{At: &diag.Point{X: q.At.X.MM(), Y: q.At.Y.MM()}, Handle: q.Handle}, "the larger group begins here")
		}
	}
	return cut
}

// checkMounts takes the mount holes that are on the board and tells the others, once. Those beside were given way to.
func checkMounts(b *board.Board, p panel.Panel, area geom.Region, beside []bool, l *diag.List) {
	var off []panel.Hole
	for i, m := range p.Mounts {
		inside, gap := area.Locate(m.At) == geom.Inside, area.DistTo(m.At)
		need := float64(m.D/2 + b.Rules.HoleToEdge)
		switch {
		case beside[i] && len(p.Boards) == 0, !inside && gap >= float64(m.D/2), !inside && len(p.Boards) == 0:
			off = append(off, m)
		case !inside || gap < need:
			if !inside {
				need = float64(m.D / 2)
			}
			f := at(l.Add(diag.Error, "shape-mount-edge", "a mount hole of %v is too near the board's edge: %s are missing", m.D, mm(need-gap)).
				About("rules.hole_to_edge"), m.At)
			f.Place.Handle = m.Handle
			move := "move it inward"
			hole := lamp{pads: []board.Pad{{Shape: board.Round, W: m.D, H: m.D}}}
			if v, ok := hole.way(area, m.At, float64(b.Rules.HoleToEdge), float64(b.Rules.HoleToEdge)+float64(m.D/2)-gap); inside && ok {
				move = "move it " + v.String()
			}
			f.Fix("%s, or give the board more room there", move).Together("%d mount holes are too near the board's edge")
		default:
			b.Holes = append(b.Holes, board.Hole{At: m.At, D: m.D, What: board.MountHole})
		}
	}
	if len(off) > 0 {
		what := "a mount hole has no room on the board: its screw holds"
		if len(off) > 1 {
			what = strconv.Itoa(len(off)) + " mount holes have no room on the board: their screws hold"
		}
		f := at(l.Add(diag.Note, "shape-mount-off", "%s the sheets only, and the board keeps clear of %s", what, pronoun(len(off))), off[0].At)
		f.Place.Handle = off[0].Handle
		f.Fix("nothing to do if that is meant; else move %s inward, or give the board more room there", pronoun(len(off)))
		for _, m := range off[1:min(len(off), mostRelated)] {
			f.Note(diag.Place{At: &diag.Point{X: m.At.X.MM(), Y: m.At.Y.MM()}, Handle: m.Handle}, "another is here")
		}
	}
	for i, m := range b.Holes {
		for _, o := range b.Holes[:i] {
			if gap := m.At.Dist(o.At) - float64(m.D+o.D)/2; gap < float64(b.Rules.BetweenHoles) {
				move := "move them apart"
				if v := m.At.Sub(o.At); v.Len() > 0 {
					need := (float64(b.Rules.BetweenHoles) - gap) / v.Len()
					move = "move this one " + moveOf(float64(v.X)*need, float64(v.Y)*need).String()
				}
				at(l.Add(diag.Error, "shape-mount-mount", "two mount holes are too near each other: %s are missing",
					mm(float64(b.Rules.BetweenHoles)-gap)).
					About("rules.between_holes"), m.At).Fix("%s, or delete the one drawn twice", move).Together("%d pairs of mount holes are too near each other")
			}
		}
	}
	if len(b.Holes) == 0 {
		l.Add(diag.Warning, "shape-no-mount", "the board has no mount hole").
			Of(p.Name).Fix("draw mount holes, or plan to hold the board by other means")
	}
}

// checkLEDs reports LEDs that cannot be soldered where they are. On a cut board those on other pieces have been told.
func (d deriver) checkLEDs(b *board.Board, area geom.Region, cut bool, l *diag.List) {
	p, moves := d.p, mostMoves
	for i, led := range p.LEDs {
		if area.Locate(led.At) != geom.Inside {
			why := whyOutside(*b, p, led)
			if cut && why == tooNarrow {
				continue
			}
			f := at(l.Add(diag.Error, "shape-led-outside", "an LED is outside the board: %s", why), led.At)
			f.Place.Handle = led.Handle
			f.Fix("move it, or make room for the board there").Together("%d LEDs are outside the board")
			if moves--; moves >= 0 {
				need := float64(b.Rules.CopperToEdge)
				if v, ok := d.lamps[i].way(area, led.At, need, area.DistTo(led.At)); ok {
					f.Fix("move it %v, or make room for the board there", v)
				}
			}
			continue
		}
		d.checkEdge(b, area, i, &moves, l)
		d.checkScrew(b, i, l)
	}
	d.tellScrews(b, l)
	checkNeighbours(p, d.lamps, d.near, l)
}

// mostRelated bounds the places that a finding about several things tells.
const mostRelated = 12

func pronoun(n int) string {
	if n == 1 {
		return "it"
	}
	return "them"
}

const tooNarrow = "the board is too narrow there to be of use"

// whyOutside says in words why the board does not reach the LED.
func whyOutside(b board.Board, p panel.Panel, led panel.Hole) string {
	switch {
	case locate(p.Outline, led.At) != geom.Inside:
		return "it is outside the panel"
	case len(p.Boards) > 0:
		return "it is not within the board's edge as drawn"
	}
	for i, c := range b.Keepout {
		if locate(c, led.At) != geom.Outside {
			return "it is in " + b.KeptOut(p, i)
		}
	}
	what, d := nearest(b, p, led.At)
	near := max(b.Rules.Margin, b.Rules.BodyClearance)
	if len(b.Keepout) > len(p.Bodies)+len(p.Openings)+len(b.Room) {
		near = max(near, b.Rules.ScrewClear) // screws pass beside the board
	}
	if d < float64(near) {
		return fmt.Sprintf("it is only %.2f mm from %s", d/1e6, what)
	}
	return tooNarrow
}

const outlineName = "the panel's outline"

// nearest returns what of the panel is nearest to q, and how near.
func nearest(b board.Board, p panel.Panel, q geom.Pt) (string, float64) {
	what, best := outlineName, p.Outline.Ring(geom.FlattenTolerance).DistTo(q)
	for i, c := range b.Keepout {
		if d := c.Ring(geom.FlattenTolerance).DistTo(q); d < best {
			what, best = b.KeptOut(p, i), d
		}
	}
	return what, best
}

func locate(c geom.Contour, q geom.Pt) geom.Where { return c.Ring(geom.FlattenTolerance).Locate(q) }

// checkEdge reports an LED whose pads are too near the board's edge however it is turned. Where that gives way for it, its pads
// may come as near as the floor.
func (d deriver) checkEdge(b *board.Board, area geom.Region, i int, moves *int, l *diag.List) {
	p, led, size, need := d.p, d.p.LEDs[i], d.lamps[i], float64(b.Rules.CopperToEdge)
	if area.DistTo(led.At) >= need+size.reach() {
		return
	}
	best := math.Inf(-1)
	for _, turn := range board.Turns() {
		best = max(best, size.room(area, led.At, turn))
	}
	if best >= need {
		return
	}
	floor := d.least.CopperToEdge
	if ring, ok := size.ring(); ok {
		floor = max(floor, b.Rules.HoleToEdge-ring) // holes do not give way
	}
	if left := roundedDown(best); len(d.edged) > 0 && d.edged[i] && left >= floor {
		b.Less = append(b.Less, board.Less{At: led.At, Limit: board.EdgeGap, Left: left})
		f := at(l.Add(diag.Warning, "shape-gave-way", "pads of an LED come as near as %v to the board's edge: %v is usual", left, b.Rules.CopperToEdge).
			About("rules.copper_to_edge"), led.At)
		f.Place.Handle = led.Handle
		move := "move the LED away from the edge"
		if v, ok := size.way(area, led.At, need, need-best); ok {
			move = "move the LED " + v.String()
		}
		f.Fix("ask your board house whether it keeps %v; or %s", left, move)
		return
	}
	what, _ := nearest(*b, p, led.At)
	if len(p.Boards) > 0 {
		what = "the board's edge"
	}
	f := at(l.Add(diag.Error, "shape-led-edge", "an LED is too near %s for its pads: %s are missing", what, mm(need-best)).About("rules.copper_to_edge"), led.At)
	f.Place.Handle = led.Handle
	f.Fix("move it away by that much").Together("%d LEDs are too near an edge for their pads")
	if *moves--; *moves >= 0 {
		if v, ok := size.way(area, led.At, need, need-best); ok {
			f.Fix("move it %v", v)
		}
	}
}

// roundedDown returns a length in whole hundredths of a millimetre, as people are told what is left.
func roundedDown(nm float64) geom.Nm {
	const step = 10 * geom.Micrometre
	return geom.Nm(math.Floor(nm/float64(step))) * step
}

// checkScrew reports an LED under the head of a mount screw. Where that gives way, the screw has the room that is left.
func (d deriver) checkScrew(b *board.Board, i int, l *diag.List) {
	led, size := d.p.LEDs[i], d.lamps[i]
	for _, m := range b.Holes {
		if m.What != board.MountHole {
			continue
		}
		// The body reaches farther than the pads do when the leads stand across the line to the screw.
		gap, need := led.At.Dist(m.At), float64(m.D/2+b.Rules.ScrewClear+size.body)
		if gap < need {
			if left := roundedDown(gap - float64(m.D/2+size.body)); len(d.least.ScrewClear) > 0 && left >= slices.Min(d.least.ScrewClear) {
				b.Less = append(b.Less, board.Less{At: m.At, Limit: board.ScrewRoom, Left: left})
				continue
			}
			f := at(l.Add(diag.Error, "shape-led-mount", "an LED is too near a mount hole, under the screw's head: %s are missing", mm(need-gap)).
				About("rules.screw_room"), led.At)
			f.Place.Handle = led.Handle
			move := "move the LED or the mount"
			if v := led.At.Sub(m.At); gap > 0 {
				move = "move the LED " + moveOf(float64(v.X)/gap*(need-gap), float64(v.Y)/gap*(need-gap)).String() + ", or the mount the other way"
			}
			f.Fix("%s", move).Together("%d LEDs are too near a mount hole, under the screw's head")
			// What is left round the hole, rounded down: a smaller head may do, and a hole's own clearance must.
			const step = 50 * geom.Micrometre
			if left := (b.Rules.ScrewClear - geom.Nm(math.Ceil(need-gap))) / step * step; left >= b.Rules.CopperToHole {
				f.Fix("%s; or, if the screw's head and washer reach no more than %v beyond the hole, say so in the project file: rules: {screw_room: %v}", move, left, left)
			}
		}
	}
}

// tellScrews tells the mount holes whose screws have less room, each once.
func (d deriver) tellScrews(b *board.Board, l *diag.List) {
	for _, m := range b.Holes {
		left := b.ScrewClear(m)
		if m.What != board.MountHole || left >= b.Rules.ScrewClear {
			continue
		}
		what := "room for a screw's head without a washer"
		if left < slices.Max(d.least.ScrewClear) {
			what = "no room for a screw's head: it presses on the board beside copper"
		}
		f := at(l.Add(diag.Warning, "shape-gave-way", "%v are kept free round this mount hole, %s, as an LED stands near it: %v is usual", left, what, b.Rules.ScrewClear).
			About("rules.screw_room"), m.At)
		f.Fix("use a screw with a small head and an insulating washer no wider than that; or move the LED or the mount")
		for _, h := range d.p.Mounts {
			if h.At == m.At {
				f.Place.Handle = h.Handle
			}
		}
		for i, h := range d.p.LEDs {
			if h.At.Dist(m.At) < float64(m.D/2+b.Rules.ScrewClear+d.lamps[i].body) {
				f.Note(diag.Place{At: &diag.Point{X: h.At.X.MM(), Y: h.At.Y.MM()}, Handle: h.Handle}, "the LED")
			}
		}
	}
}

// checkNeighbours reports pairs of LEDs that have no room beside each other however they are turned: courtyards are upright
// rectangles or octagons, so that the way along X, Y or a diagonal must be as long as the two halves at their narrowest. With near
// such a pair is a warning alone for as long as the circles round their bodies do not touch.
func checkNeighbours(p panel.Panel, sizes []lamp, near bool, l *diag.List) {
	const most = 50 // of a drawing with all LEDs drawn twice, the first ones will do
	found := 0
	order := make([]int, len(p.LEDs))
	widest := geom.Nm(0)
	for i := range order {
		order[i] = i
		widest = max(widest, sizes[i].half)
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.LEDs[a].At.X, p.LEDs[b].At.X), cmp.Compare(a, b))
	})
	for k, i := range order {
		a := p.LEDs[i]
		for _, j := range order[k+1:] {
			c := p.LEDs[j]
			d := c.At.Sub(a.At)
			if d.X > 2*widest {
				break
			}
			straight := sizes[i].half + sizes[j].half - max(d.X, d.Y, -d.Y)
			slanted := sizes[i].slant + sizes[j].slant - d.X - max(d.Y, -d.Y)
			if straight > 0 && slanted > 0 {
				if found++; found > most {
					return
				}
				if left := d.Len() - float64(sizes[i].body+sizes[j].body); near && left > 0 {
					f := at(l.Add(diag.Warning, "shape-gave-way", "two LEDs stand %.2f mm from flange to flange: %.2f mm is usual, to put them in and solder them", math.Floor(left/1e4)/100,
						(left+min(float64(straight), float64(slanted)/math.Sqrt2))/1e6), c.At)
					f.Place.Handle = c.Handle
					f.Fix("see that the flanges of your LEDs are no wider than %s; else move the LEDs apart", mm(float64(max(sizes[i].body, sizes[j].body))*2)).
						Note(diag.Place{At: &diag.Point{X: a.At.X.MM(), Y: a.At.Y.MM()}, Handle: a.Handle}, "the other LED")
					continue
				}
				f := at(l.Add(diag.Error, "shape-led-led", "two LEDs are too near each other, there is no room to put both in: %s are missing", mm(min(float64(straight), float64(slanted)/math.Sqrt2))), c.At)
				f.Place.Handle = c.Handle
				move := "move them apart"
				if d != (geom.Vec{}) {
					x, y := float64(0), float64(0)
					switch {
					case float64(slanted)/math.Sqrt2 < float64(straight): // each way a half of X+Y
						x, y = float64(slanted)/2, math.Copysign(float64(slanted)/2, float64(d.Y))
					case d.X >= max(d.Y, -d.Y):
						x = float64(straight)
					default:
						y = math.Copysign(float64(straight), float64(d.Y))
					}
					move = "move this one " + moveOf(x, y).String()
				}
				f.Fix("%s, or delete the one drawn twice", move).Together("%d pairs of LEDs are too near each other, there is no room to put both in").
					Note(diag.Place{At: &diag.Point{X: a.At.X.MM(), Y: a.At.Y.MM()}, Handle: a.Handle}, "the other LED")
			}
		}
	}
}
