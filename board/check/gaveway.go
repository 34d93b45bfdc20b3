package check

import (
	"context"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// GaveWay finds, by geometry alone, where a board has less than its limits and no less than their floors: mount holes whose screw
// has less room than Rules.ScrewClear, and LEDs whose pads come nearer to the board's edge than Rules.CopperToEdge. Of a board that
// is read from files nobody tells (see board.Less). Each place is told as a warning with what is left there, rounded down to a
// hundredth of a millimetre. What is below its floor is not returned, so that an audit of the board tells it as an error; nor is a
// limit without a floor of its own.
//
// When ctx is done it returns at once, and what it returns means nothing.
func GaveWay(ctx context.Context, b board.Board, least board.Floors) (less []board.Less, l diag.List) {
	if malformed(b, led.Wiring{}).HasErrors() {
		return nil, nil
	}
	work.Until(ctx, func(watch *work.Watch) {
		m := newModel(watch, b, led.Wiring{})
		less, l = m.screwsLess(least)
		more, told := m.edgesLess(least)
		less, l = append(less, more...), append(l, told...)
	})
	return less, l.Sorted().Capped(most)
}

// left returns what is left of a limit where a gap was found, in whole hundredths of a millimetre; false where nothing gave way, or
// more than may.
func left(gap float64, limit, floor geom.Nm) (geom.Nm, bool) {
	const step = 10 * geom.Micrometre
	if floor >= limit || !below(gap, limit) {
		return 0, false
	}
	v := geom.Nm(math.Floor((gap+float64(slack))/float64(step))) * step
	return v, v >= floor
}

// screwsLess finds the screws with less room: to copper on either side and to parts' bodies.
func (m *model) screwsLess(least board.Floors) (less []board.Less, l diag.List) {
	if len(least.ScrewClear) == 0 {
		return nil, nil
	}
	limit, floor, head := m.b.Rules.ScrewClear, slices.Min(least.ScrewClear), slices.Max(least.ScrewClear)
	for _, h := range m.b.Holes {
		if h.What != board.MountHole {
			continue
		}
		m.watch.Step()
		s, gap := disc(h.At, h.D), math.Inf(1)
		for _, on := range geom.BothSides() {
			m.side[on].near(s, limit, all, func(_ int, at meeting) { gap = min(gap, at.gap) })
		}
		for _, p := range m.b.Parts {
			if body := ringShape(p.Body); len(body.segs) > 0 {
				to, _ := body.gapTo(s)
				gap = min(gap, to)
			}
		}
		room, ok := left(gap, limit, floor)
		if !ok {
			continue
		}
		less = append(less, board.Less{At: h.At, Limit: board.ScrewRoom, Left: room})
		what := "room for a screw's head without a washer"
		if room < head {
			what = "no room for a screw's head: it presses on the board beside copper"
		}
		l.Add(diag.Warning, "check-gave-way", "%v are free round this mount hole, %s: %v is usual", room, what, limit).
			About("rules.screw_room").At(h.At.X.MM(), h.At.Y.MM()).Together("%d places have less than is usual").
			Fix("use a screw with a small head and an insulating washer no wider than that")
	}
	return less, l
}

// edgesLess finds the LEDs with pads nearer to the edge.
func (m *model) edgesLess(least board.Floors) (less []board.Less, l diag.List) {
	limit := m.b.Rules.CopperToEdge
	for i, p := range m.b.Parts {
		if p.Kind != board.LED {
			continue
		}
		gap := math.Inf(1)
		for _, on := range geom.BothSides() {
			c := m.side[on]
			for k, s := range c.shapes {
				if d := m.nodes[c.nodes[k]]; d.kind == aPad && d.part == i && len(s.segs) > 0 && m.edge.offBoard(s) == nil {
					m.edge.near(s, limit, all, func(_ int, at meeting) { gap = min(gap, at.gap) })
				}
			}
		}
		if room, ok := left(gap, limit, least.CopperToEdge); ok {
			less = append(less, board.Less{At: p.At, Limit: board.EdgeGap, Left: room})
			l.Add(diag.Warning, "check-gave-way", "pads of %s come as near as %v to the board's edge: %v is usual", p.Ref, room, limit).
				OfPart(p.Ref).About("rules.copper_to_edge").At(p.At.X.MM(), p.At.Y.MM()).Together("%d places have less than is usual").
				Fix("ask your board house whether it keeps %v", room)
		}
	}
	return less, l
}
