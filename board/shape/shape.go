// Package shape finds the edge of the lighting board behind a panel.
//
// Derive takes a panel and the rules and returns a bare board in the panel frame: outline and cutouts as lines and true
// arcs, the keepout of bodies and openings, and the mount holes. The board is what the user drew as its edge, or else
// the panel's outline less the margin, less every body and opening with its clearance, without slivers; of several
// pieces the one that carries the LEDs. Method: booleans on flattened rings (geom.Region), arcs recovered at the
// end, within FlattenTolerance of the true edge.
//
// What cannot be built is refused with an error: LEDs off the board or too near its edge, a mount or each other, bodies
// that cut the board in two with LEDs on both pieces, a mount hole that breaks a drawn edge. Room for parts that are only
// guessed gives way before that. Findings are in panel millimetres.
package shape

import (
	"slices"

	"lampblack/board"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// deriver is what a board is derived from.
type deriver struct {
	p     panel.Panel
	r     board.Rules
	m     board.Laminate
	lamps []lamp

	conceded []int        // by LED: the level that the board comes nearer to bodies, openings and the panel's edge round it; nil: none do
	edged    []bool       // by LED: its pads may come nearer to the board's edge; nil: none may
	least    board.Floors // of what gives way; without screws' room none does
	near     bool         // courtyards of LEDs may overlap where their flanges do not touch
}

// outcome is a board that was derived with some rooms.
type outcome struct {
	b    board.Board
	l    diag.List
	neck geom.Nm // the narrowest width that was kept for LEDs; 0 for a drawn edge, or without a board
}

// standard is what a board needs to be no worse than another one, as far as that shows before it is derived to its end. The zero
// value asks nothing.
type standard struct {
	holes int     // mount holes, at least
	neck  geom.Nm // with this width kept, all LEDs are on the board; 0: they need not be
}

// standardOf returns what a board needs to be no worse than the outcome.
func (d deriver) standardOf(o outcome) standard {
	s := standard{holes: len(o.b.Holes)}
	if !o.l.HasErrors() && len(d.p.LEDs) > 0 {
		s.neck = o.neck // an LED that is lost would be an error
	}
	return s
}

// with derives the board that keeps out of the rooms.
func (d deriver) with(rooms []panel.Room) outcome {
	out, _ := d.meeting(rooms, standard{})
	return out
}

// meeting derives the board that keeps out of the rooms, and gives up as soon as it is sure not to meet the standard: ok is then
// false. A mount that has no room on it holds the sheets only: its screw then passes beside the board, which may cost another
// mount its room.
func (d deriver) meeting(rooms []panel.Room, need standard) (out outcome, ok bool) {
	p := d.p
	var screws []panel.Hole
	beside := make([]bool, len(p.Mounts))
	for {
		out = outcome{b: board.Board{Name: p.Name, Rules: d.r, Laminate: d.m, Keepout: keepout(p, rooms, screws), Room: rooms}}
		b, l := &out.b, &out.l
		cut := false
		if len(p.Boards) > 0 {
			drawn(b, p, l)
		} else {
			free := d.widened(freeArea(p, b.Rules, rooms, screws), rooms, screws)
			if b.Rules.InnerRadius <= min(b.Rules.Margin, b.Rules.BodyClearance) && d.holdable(free, beside) < need.holes {
				return out, false
			}
			best, o, meets := d.necked(&out, free, need)
			if !meets || d.holdable(best, beside) < need.holes {
				return out, false
			}
			if len(best) == 0 {
				return out, true
			}
			best = d.withoutNeedles(best, o, l)
			piece := mainPiece(best, p)
			cut = checkCut(best, piece, p, l)
			setEdge(b, best[piece.index])
		}
		area := b.Material()
		if more := d.unheld(area, beside); len(more) > 0 && len(p.Boards) == 0 {
			screws = append(screws, more...)
			continue
		}
		checkMounts(b, p, area, beside, l)
		d.checkLEDs(b, area, cut, l)
		return out, true
	}
}

// holdable returns how many mounts, but for those beside, a board can have room for that is a part of the area: what follows parts
// pieces and takes from them, and one piece becomes the board. Curves of its edge may give back a little.
func (d deriver) holdable(area geom.Region, beside []bool) int {
	most := 0
	for _, p := range area {
		n := 0
		for i, m := range d.p.Mounts {
			if !beside[i] && p.Locate(m.At) == geom.Inside && (geom.Region{p}).DistTo(m.At) >= float64(m.D/2+d.r.HoleToEdge-play) {
				n++
			}
		}
		most = max(most, n)
	}
	return most
}

// unheld marks and returns the mounts that have no room on the board but whose screws would meet it.
func (d deriver) unheld(area geom.Region, beside []bool) []panel.Hole {
	var out []panel.Hole
	for i, m := range d.p.Mounts {
		if beside[i] {
			continue
		}
		gap := area.DistTo(m.At)
		if area.Locate(m.At) == geom.Inside && gap < float64(m.D/2+d.r.HoleToEdge) ||
			area.Locate(m.At) != geom.Inside && gap < float64(m.D/2+d.r.BodyClearance)-float64(hair) {
			beside[i] = true
			out = append(out, m)
		}
	}
	return out
}

// keepout returns the bodies, the openings, the rooms and the screws, in that order.
func keepout(p panel.Panel, rooms []panel.Room, screws []panel.Hole) []geom.Contour {
	var out []geom.Contour
	for _, c := range p.Bodies {
		out = append(out, c.CounterClockwise())
	}
	for _, o := range p.Openings {
		out = append(out, o.CounterClockwise())
	}
	for _, q := range rooms {
		out = append(out, q.CounterClockwise())
	}
	for _, h := range screws {
		out = append(out, geom.Circle(h.At, h.D))
	}
	return out
}

// necks are the narrowest widths of board that are tried, in order: below about 4 mm a board of 1.6 mm breaks when it
// is handled (common practice, from memory), so that less is kept only where LEDs would be lost without it.
func necks() []geom.Nm { return []geom.Nm{geom.MM(4), geom.MM(3), geom.MM(2.4)} }

// necked returns what is left of where the board may be with the widest neck that loses no LED, and sets the neck; nothing when no
// board is left, which it tells; and how the region was opened, unless it was closed since. It meets no standard when that wants all LEDs at a width where some are lost.
func (d deriver) necked(out *outcome, free geom.Region, need standard) (best geom.Region, by opened, meets bool) {
	p, b := d.p, &out.b
	most := -1
	all := 0
	for _, c := range pieces(free, p) {
		all += len(c.leds)
	}
	for _, w := range necks() {
		g, o := trimming(free, w/2)
		if fill := b.Rules.InnerRadius; fill > min(b.Rules.Margin, b.Rules.BodyClearance) {
			g, o = g.Closed(fill), opened{}
		}
		n := ledsOn(mainPiece(g, p), p)
		if w == need.neck && n < len(p.LEDs) {
			return nil, opened{}, false
		}
		if n > most {
			best, by, most, out.neck = g, o, n, w
		}
		if most == all {
			break
		}
	}
	if len(best) == 0 {
		out.neck = 0
		out.l.Add(diag.Error, "shape-no-room", "nothing is left of the panel for a board: margin %v and %v round bodies and openings take it all",
			b.Rules.Margin, b.Rules.BodyClearance).
			Of(p.Name).Fix("make the panel larger, or bodies and openings smaller, or draw the board's edge on the layer for it")
		return nil, opened{}, true
	}
	if first := necks()[0]; out.neck != first {
		out.l.Add(diag.Warning, "shape-narrow-neck", "the board is narrower than %v in places, because LEDs would be cut off otherwise", first).
			Of(p.Name).Fix("handle the board with care, or move openings and bodies apart")
	}
	return best, by, true
}

// freeArea returns where a board may be.
func freeArea(p panel.Panel, r board.Rules, rooms []panel.Room, screws []panel.Hole) geom.Region {
	area := geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)).Shrunk(r.Margin)
	if p.Within != (geom.Box{}) {
		area = area.And(geom.NewRegion(geom.Rect(p.Within).Ring(geom.FlattenTolerance)))
	}
	var round, rest []geom.Ring
	for _, h := range screws {
		round = append(round, geom.Circle(h.At, h.D+2*max(r.ScrewClear, r.BodyClearance)).Ring(geom.FlattenTolerance))
	}
	for _, c := range keepout(p, rooms, nil) {
		if at, d, ok := c.Circular(); ok {
			round = append(round, geom.Circle(at, d+2*r.BodyClearance).Ring(geom.FlattenTolerance))
		} else {
			rest = append(rest, c.Ring(geom.FlattenTolerance))
		}
	}
	if len(round)+len(rest) == 0 {
		return area
	}
	blocked := geom.UnionOf(rest...).Grown(r.BodyClearance)
	return area.Minus(geom.UnionOf(append(round, outers(blocked)...)...))
}

// outers returns the outer rings: a hole in what blocks the board is an island nobody could mount anything on.
func outers(g geom.Region) []geom.Ring {
	out := make([]geom.Ring, len(g))
	for i, p := range g {
		out[i] = p.Outer
	}
	return out
}

// trimmed returns g without its parts narrower than 2d. Sharp outer corners stay as they are: of what opening takes
// away, the bits that reach no farther than d from the rest are corners and are given back (a corner of angle θ
// reaches d/sin(θ/2) - d, so that corners sharper than 60° are blunted).
func trimmed(g geom.Region, d geom.Nm) geom.Region {
	g, _ = trimming(g, d)
	return g
}

// opened is what opening a region leaves of it and the corners that were given back: its parts outside the core.
type opened struct{ core, corners geom.Region }

// trimming is trimmed, with the core and the corners.
func trimming(g geom.Region, d geom.Nm) (geom.Region, opened) {
	o := opened{core: g.Opened(d)}
	if len(o.core) == 0 {
		return nil, opened{}
	}
	var slivers geom.Region
	for _, p := range g.Minus(o.core) {
		if p.Area() > crumb && reachesBeyond(p.Outer, o.core, d) {
			slivers = append(slivers, p)
		} else {
			o.corners = append(o.corners, p)
		}
	}
	if len(slivers) == 0 {
		return g, o
	}
	// The cut overlaps by a hair, so that no whisker stays along it.
	g = g.Minus(slivers.Grown(hair))
	var out geom.Region
	for _, p := range g {
		if p.Area() > 1 {
			out = append(out, p)
		}
	}
	return out, o
}

// pointed reports whether a region that was opened by more may have a part narrower than 2d that sticks out: trimming it by d is
// in vain where not. Opening by d leaves at least the core, so that only corners farther than d from it can hold such a part; round
// these alone the region is opened.
func (o opened) pointed(g geom.Region, d geom.Nm) bool {
	near := d - d/8 // other points of the same lines are looked at than trimming looks at
	var boxes []geom.Box
	var windows []geom.Ring
	for _, p := range o.corners {
		if reachesBeyond(p.Outer, o.core, near) {
			b := p.Outer.Box()
			boxes = append(boxes, b)
			windows = append(windows, geom.Rect(b.Grown(3*d)).Ring(geom.FlattenTolerance)) // what is opened at a place hangs on 2d round it
		}
	}
	if len(boxes) == 0 {
		return false
	}
	here := g.And(geom.UnionOf(windows...))
	core := here.Opened(d)
	return slices.ContainsFunc(here.Minus(core), func(p geom.Polygon) bool {
		b := p.Outer.Box()
		return slices.ContainsFunc(boxes, b.Touches) && reachesBeyond(p.Outer, core, near)
	})
}

// needles are the widths below which what sticks out of a board is cut off. What trimmed takes for a corner, by the reach of a
// whole neck, may be a strip beside an opening that ends just before the board's edge; under a bit of 2 mm, which it is no wider
// than, such a strip of 1.6 mm laminate shivers, frays and breaks off (common practice: no web narrower than the laminate is
// thick).
func needles() [2]geom.Nm { return [2]geom.Nm{geom.MM(2), geom.MM(1)} }

// withoutNeedles returns the region without strips that are narrower than a needle and stick out farther than half of that,
// and tells of those that can be seen. The region was opened by half a neck.
func (d deriver) withoutNeedles(g geom.Region, o opened, l *diag.List) geom.Region {
	for _, w := range needles() {
		if len(o.core) > 0 && !o.pointed(g, w/2) {
			continue
		}
		cut := trimmed(g, w/2)
		for _, q := range g.Minus(cut) {
			at := q.Outer.Box().Centre()
			if b := q.Outer.Box(); q.Area() >= 0.5 && len(cut) > 0 {
				l.Add(diag.Note, "shape-needle", "a strip of the board less than %v wide and %v long would stick out here, thin enough to break: it is cut off", w, max(b.W(), b.H())).
					Of(d.p.Name).At(at.X.MM(), at.Y.MM()).Together("%d strips of the board would stick out, thin enough to break: they are cut off").
					Fix("nothing; to have a straight edge there, move the opening or the body beside it, or draw the board's edge on layer board")
			}
		}
		if len(cut) > 0 {
			g = cut
		}
	}
	return g
}

// hair is the overlap of cuts.
const hair = 5 * geom.Micrometre

// crumb is an area, in mm², below which a piece is what flattening left of an arc, not a corner or a sliver.
const crumb = 0.01

// reachesBeyond reports whether a point of the ring, looked at every half millimetre, is farther than d from g, in which none of the
// ring lies.
func reachesBeyond(r geom.Ring, g geom.Region, d geom.Nm) bool {
	const step = geom.Millimetre / 2
	box := r.Box().Grown(d)
	var near []geom.Segment // of g's border: what else there is is farther away
	for _, q := range g.Rings() {
		for _, s := range q.Segments() {
			if s.Box().Touches(box) {
				near = append(near, s)
			}
		}
	}
	beyond := func(q geom.Pt) bool {
		return !slices.ContainsFunc(near, func(s geom.Segment) bool { return s.DistTo(q) <= float64(d) })
	}
	for _, s := range r.Segments() {
		n := 1 + int(s.Len()/float64(step))
		for k := range n {
			v := s.B.Sub(s.A)
			if beyond(s.A.Add(geom.Vec{X: v.X * geom.Nm(k) / geom.Nm(n), Y: v.Y * geom.Nm(k) / geom.Nm(n)})) {
				return true
			}
		}
	}
	return false
}

// piece is one polygon of a region and the LEDs on it.
type piece struct {
	index int // -1 without any
	leds  []int
}

// pieces returns the LEDs by polygon.
func pieces(g geom.Region, p panel.Panel) []piece {
	out := make([]piece, len(g))
	for i, poly := range g {
		out[i].index = i
		box := poly.Outer.Box()
		for k, led := range p.LEDs {
			if box.Contains(led.At) && poly.Locate(led.At) == geom.Inside {
				out[i].leds = append(out[i].leds, k)
			}
		}
	}
	return out
}

// mainPiece returns the polygon with the most LEDs, of equals the largest.
func mainPiece(g geom.Region, p panel.Panel) piece {
	best := piece{index: -1}
	for _, c := range pieces(g, p) {
		if best.index < 0 || len(c.leds) > len(best.leds) ||
			len(c.leds) == len(best.leds) && g[c.index].Area() > g[best.index].Area() {
			best = c
		}
	}
	return best
}

func ledsOn(c piece, p panel.Panel) int {
	if c.index < 0 {
		return -1
	}
	return len(c.leds)
}

// leastHole is the area, mm², from where on a hole in the board is milled: less is a bit's width across and no opening. touch
// is the area of an overlap that is meant: less is what flattening curves makes.
const leastHole, touch = 0.5, 0.01

// setEdge takes the polygon for the board's outline and cutouts.
func setEdge(b *board.Board, p geom.Polygon) {
	b.Outline = contourOf(p.Outer).CounterClockwise()
	for _, h := range p.Holes {
		if h.Area() > leastHole {
			b.Cutouts = append(b.Cutouts, contourOf(h).CounterClockwise().Reversed())
		}
	}
}

// drawn takes the edge that the user drew.
func drawn(b *board.Board, p panel.Panel, l *diag.List) {
	b.Outline = p.Boards[0][0].CounterClockwise()
	for _, c := range p.Boards[0][1:] {
		b.Cutouts = append(b.Cutouts, c.CounterClockwise().Reversed())
	}
	area := b.Material()
	over := area.Minus(geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)))
	if at, mm2 := largest(over); mm2 > touch {
		l.Add(diag.Warning, "shape-board-outside", "the board's edge as drawn sticks out of the panel by %.1f mm²", over.Area()).
			At(at.X.MM(), at.Y.MM()).Fix("draw the board's edge inside the outline")
	}
	for _, c := range b.Keepout {
		hit := area.And(geom.NewRegion(c.Ring(geom.FlattenTolerance)))
		if at, mm2 := largest(hit); mm2 > touch {
			l.Add(diag.Error, "shape-board-on-body", "the board as drawn covers a body or an opening by %.1f mm²", hit.Area()).
				At(at.X.MM(), at.Y.MM()).Fix("draw the board's edge round it, or a hole in the board there")
		}
	}
	if at, ok := sharpInside(*b); ok {
		l.Add(diag.Note, "shape-sharp-corner", "the board's edge has an inside corner that is sharper than the router bit: it comes out with a radius of about %v", b.Rules.InnerRadius).
			At(at.X.MM(), at.Y.MM()).Fix("nothing to do unless something must fit into that corner")
	}
}

// largest returns the middle of the largest polygon's box and its area.
func largest(g geom.Region) (geom.Pt, float64) {
	if len(g) == 0 {
		return geom.Pt{}, 0
	}
	p := slices.MaxFunc(g, func(a, b geom.Polygon) int {
		switch x, y := a.Area(), b.Area(); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	return p.Outer.Box().Centre(), p.Area()
}
