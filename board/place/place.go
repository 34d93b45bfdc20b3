// Package place puts the parts on a board.
//
// Place takes a bare board (board/shape) and a wiring and returns the board with parts whose pads carry nets; the
// outline stays as it is. LEDs stand at their holes on the top and are turned by dynamic programming along each string
// (turns.go). Connectors lie on the bottom at the edge that is nearest the neighbour board (connect.go), resistors on the
// bottom near the head of their string, by search on a grid with rip-up (resist.go). Everything keeps clear of edges,
// screw heads, leads and each other; what finds no room is an error that says which part and where. Lengths are
// geom.Nm in the panel frame; time grows about linearly with the number of parts.
package place

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Place puts all parts of the wiring on the board.
//
// The bound in Figures.LowerHops: a hop from LED to LED joins a cathode to an anode, each half a pitch from its LED's
// centre, so that it cannot be shorter than the distance of the centres less both halves. The order of the LEDs is the
// wiring's. When ctx is done it returns at once, and what it returns means nothing.
func Place(ctx context.Context, b board.Board, p panel.Panel, w led.Wiring, opt Options) (board.Board, Figures, diag.List) {
	var l diag.List
	var f Figures
	b.Nets = w.Nets
	b.Parts = nil
	work.Until(ctx, func(watch *work.Watch) {
		j := newJob(watch, b, p, w, opt)
		if !j.known() {
			f, l = j.figures, j.found
			return
		}
		leds, connectors := j.leds(), j.connectors()
		if j.amiss > 0 {
			// Leads of LEDs may be what is in the way of a connector that must stand where it is told: then LEDs turn.
			other := newJob(watch, b, p, w, opt)
			other.reserves = true
			if turned, beside := other.leds(), other.connectors(); other.amiss < j.amiss {
				j, leds, connectors = other, turned, beside
			}
		}
		resistors := j.resistors(leds)
		b.Holes = append(append([]board.Hole{}, b.Holes...), j.holes...)
		b.Parts = append(append(leds, resistors...), connectors...)
		f, l = j.figures, j.found
	})
	return b, f, l.WithPanel(p.Name)
}

// job is one call of Place.
type job struct {
	board   board.Board
	panel   panel.Panel
	wiring  led.Wiring
	opt     Options
	site    *site
	found   diag.List
	figures Figures
	holes   []board.Hole // of connectors
	lamps   []lamp
	plus    geom.Pt // where the supply comes in
	shapes  map[string]footprint.Footprint

	reserves bool // LEDs turn their leads out of the way of connectors that must stand where they are told
	moves    int  // how often one was looked for
	amiss    int  // by how much connectors are not as they are told: a smaller one there counts less than none
}

func newJob(w *work.Watch, b board.Board, p panel.Panel, wiring led.Wiring, opt Options) *job {
	return &job{board: b, panel: p, wiring: wiring, opt: opt, site: newSite(w, b), shapes: map[string]footprint.Footprint{}}
}

// shape returns the footprint of a package; resistors may be named by their size alone.
func (j *job) shape(pkg string) (footprint.Footprint, bool) {
	if f, ok := j.shapes[pkg]; ok {
		return f, true
	}
	f, ok := footprint.Lookup(pkg)
	if !ok {
		f, ok = footprint.Lookup("r-" + pkg)
	}
	if ok {
		j.shapes[pkg] = f
	}
	return f, ok
}

// known reports whether all packages have footprints.
func (j *job) known() bool {
	told := map[string]bool{}
	check := func(ref, pkg string) {
		if _, ok := j.shape(pkg); !ok && !told[pkg] {
			told[pkg], j.figures.Regardless = true, true
			j.found.Add(diag.Error, "place-unknown-package", "%s comes in the package %q, for which there is no footprint", ref, pkg).
				OfPart(ref).
				Fix("use one of: %s", strings.Join(footprint.Names(), ", "))
		}
	}
	for _, d := range j.wiring.LEDs {
		check(d.Ref, d.Kind.Package)
	}
	for _, r := range j.wiring.Resistors {
		check(r.Ref, r.Package)
	}
	for _, c := range j.wiring.Connectors {
		check(c.Ref, c.Package)
	}
	return len(told) == 0
}

// error tells what is wrong with a part, where it is to be.
func (j *job) error(code, ref string, at geom.Pt, format string, args ...any) *diag.Finding {
	return j.found.Add(diag.Error, code, format, args...).OfPart(ref).At(at.X.MM(), at.Y.MM())
}

// leds places the LEDs and remembers their leads.
func (j *job) leds() []board.Part {
	w := j.wiring
	holes := make([]geom.Pt, len(w.LEDs))
	for i, d := range w.LEDs {
		holes[i] = j.panel.LEDs[d.Hole].At
	}
	j.lamps = newLamps(w, holes, func(i, turn int) pose {
		d := w.LEDs[i]
		f, _ := j.shape(d.Kind.Package)
		part := f.Place(d.Ref, board.LED, holes[i], turn, geom.Top, j.board.Rules.MaskMargin)
		part.Value = d.Kind.Name
		for k := range part.Pads {
			part.Pads[k].Net = d.Anode
			if part.Pads[k].Function == "K" {
				part.Pads[k].Net = d.Cathode
			}
		}
		return j.site.poseOf(part)
	})
	if j.reserves {
		j.reserve()
	}
	common := -1
	if j.opt.KeepTurn {
		free := slices.Clone(j.lamps)
		for i := range free {
			free[i].grudge = slices.Clone(free[i].grudge)
		}
		j.site.chooseTurns(free, w.Strings, -1)
		j.figures.TurnCost = -hopsOf(free)
		common = j.site.commonTurn(j.lamps)
	}
	if common < 0 {
		j.site.alongRows(j.lamps)
	}
	j.site.chooseTurns(j.lamps, w.Strings, common)
	j.site.giveWay(j.lamps, w.Strings, common)
	// LEDs of no string, should there be any, take the first turn that is legal.
	for i := range j.lamps {
		if j.lamps[i].turn < 0 {
			j.lamps[i].turn = j.firstLegal(i)
		}
	}
	parts := j.settle(common)
	if common >= 0 {
		j.figures.TurnCost += hopsOf(j.lamps)
	}
	return parts
}

// hopsOf returns the length of all hops, in tracks of 45-degree style.
func hopsOf(lamps []lamp) geom.Nm {
	sum := 0.0
	for _, l := range lamps {
		if l.next >= 0 && l.turn >= 0 && lamps[l.next].turn >= 0 {
			n := lamps[l.next]
			sum += octile(l.pose[l.turn].cathodeAt(), n.pose[n.turn].anodeAt())
		}
	}
	return geom.Nm(math.Round(sum))
}

func (j *job) firstLegal(i int) int {
	for t := range turns {
		if j.lamps[i].pose[t].legal {
			return t
		}
	}
	return 0
}

// settle checks the chosen turns, makes them parts and measures them.
func (j *job) settle(common int) []board.Part {
	var parts []board.Part
	for i := range j.lamps {
		l := &j.lamps[i]
		chosen := l.pose[l.turn]
		if !chosen.legal {
			f := j.error("place-led-no-room", chosen.part.Ref, l.at, "%s has no room for its pads, however it is turned", chosen.part.Ref)
			f.Place.Handle = j.panel.LEDs[j.wiring.LEDs[i].Hole].Handle
			f.Fix("move it away from the edge, the body or the mount that is near it")
			if m, ok := j.wayOut(i); ok {
				f.Fix("move it %v", m)
			}
		}
		for _, k := range l.near {
			other := j.lamps[k].pose[j.lamps[k].turn]
			if k < i && (j.site.pairPrice(chosen, other) >= clash || chosen.crowds(other) && chosen.meets(other)) {
				f := j.error("place-led-led", chosen.part.Ref, l.at, "%s and %s have no room beside each other, however they are turned", chosen.part.Ref, other.part.Ref)
				f.Place.Handle = j.panel.LEDs[j.wiring.LEDs[i].Hole].Handle
				f.Fix("move the two LEDs apart")
				if m, ok := j.wayOut(i); ok {
					f.Fix("move this one %v", m)
				}
				at := diag.Point{X: j.lamps[k].at.X.MM(), Y: j.lamps[k].at.Y.MM()}
				f.Note(diag.Place{At: &at, Handle: j.panel.LEDs[j.wiring.LEDs[k].Hole].Handle}, "%s is here", other.part.Ref)
			}
		}
		if common >= 0 && l.turn != common {
			j.figures.Turned++
		}
		for _, p := range chosen.part.Pads {
			if p.Through {
				j.site.addLead(leadOf(p))
			}
		}
		lo, hi := corners(chosen.yard)
		j.site.lamps.Insert(lo, hi, chosen.yard)
		if l.next >= 0 {
			n := &j.lamps[l.next]
			g := geom.Segment{A: chosen.cathodeAt(), B: n.pose[n.turn].anodeAt()}
			lo, hi := corners(g.Box())
			j.site.hops.Insert(lo, hi, hop{g, int(j.wiring.LEDs[i].String)})
			j.figures.Hops += geom.Nm(g.Len())
			half := chosen.cathodeAt().Dist(l.at) + n.pose[n.turn].anodeAt().Dist(n.at)
			j.figures.LowerHops += geom.Nm(max(0, l.at.Dist(n.at)-half))
		}
		parts = append(parts, chosen.part)
	}
	return parts
}

// mostMoves bounds for how many LEDs a move is looked for.
const mostMoves = 30

// wayOut returns the shortest of the moves that are tried after which the LED has room between edges, holes and the other LEDs.
func (j *job) wayOut(i int) (board.Move, bool) {
	if j.moves++; j.moves > mostMoves {
		return board.Move{}, false
	}
	l := &j.lamps[i]
	f, _ := j.shape(j.wiring.LEDs[i].Kind.Package)
	return board.Moves(1, func(m board.Move) bool {
		at := l.at.Add(geom.Vec(m))
		if !j.site.onBoard(at) {
			return false
		}
		for _, turn := range board.Turns() {
			p := j.site.poseOf(f.Place(l.pose[0].part.Ref, board.LED, at, turn, geom.Top, j.board.Rules.MaskMargin))
			free := p.legal || j.site.clears(p.part)
			for k := range j.lamps {
				o := &j.lamps[k]
				free = free && (k == i || o.at.Dist(at) >= float64(reach) || j.site.pairPrice(p, o.pose[o.turn]) < crowd)
			}
			if free {
				return true
			}
		}
		return false
	})
}

// resistors seats the series resistors.
func (j *job) resistors(leds []board.Part) []board.Part {
	w := j.wiring
	heads := map[led.NetID]board.Pad{}
	for _, d := range leds {
		for _, p := range d.Pads {
			if p.Function == "A" {
				heads[p.Net] = p
			}
		}
	}
	seats := make([]seat, len(w.Resistors))
	for i, r := range w.Resistors {
		f, _ := j.shape(r.Package)
		seats[i] = seat{fp: f, to: j.site.box.Centre(), from: j.plus, string: int(r.String), over: geom.EmptyBox()}
		if at, ok := heads[r.To]; ok {
			seats[i].to = at.At
			if !at.Through && !f.Pads[1].Through {
				seats[i].over = at.Contour(0).Box()
			}
		}
	}
	lost := map[int]bool{}
	for _, i := range j.site.seatAll(seats) {
		lost[i] = true
		r := w.Resistors[i]
		j.error("place-no-room", r.Ref, seats[i].to, "there is no room on the board's bottom for %s, the resistor of the string that begins here", r.Ref).
			Fix("make room: fewer LEDs, smaller bodies, a larger panel, or longer strings with fewer resistors")
	}
	var parts []board.Part
	for i, r := range w.Resistors {
		if lost[i] {
			continue
		}
		part := seats[i].fp.Place(r.Ref, board.Resistor, seats[i].at, seats[i].turn, geom.Bottom, j.board.Rules.MaskMargin)
		part.Value = r.Ohms.Code()
		part.Pads[0].Net, part.Pads[1].Net = r.From, r.To
		parts = append(parts, part)
		j.figures.Heads += geom.Nm(part.Pads[1].At.Dist(seats[i].to))
	}
	return parts
}

// connectors puts the connectors at the edges.
func (j *job) connectors() []board.Part {
	w := j.wiring.Connectors
	chosen := make([]*berth, len(w))
	if len(w) >= 2 {
		for _, pair := range fallbacks(w[0], w[1]) {
			a, _ := j.shape(pair[0])
			b, _ := j.shape(pair[1])
			p, q, ok := bestPair(j.choices(w[0], a), j.choices(w[1], b))
			if ok {
				chosen[0], chosen[1] = &p, &q
				j.site.stand(-1, p.box)
				j.site.stand(-2, q.box)
				break
			}
		}
	}
	// By themselves: those first that have no choice.
	refused := make([]bool, len(w))
	for _, told := range []bool{true, false} {
		for i, c := range w {
			if chosen[i] != nil || j.opt.told(c.Role).Set() != told {
				continue
			}
			if chosen[i] = j.single(i); chosen[i] == nil && told {
				j.refuse(i)
				refused[i] = true
				j.amiss += 2
			}
		}
	}
	var parts []board.Part
	for i, c := range w {
		if refused[i] {
			continue
		}
		if chosen[i] == nil {
			j.error("place-no-room", c.Ref, edgeMiddle(j.site.box, wished(c.Role, j.opt)), "there is no room at the board's edge for %s (%s)", c.Ref, c.Role).
				Fix("leave about 8 by 8 mm free of LEDs, mounts and bodies somewhere along the edge")
			continue
		}
		parts = append(parts, j.moor(c, *chosen[i]))
	}
	return parts
}

// edgeMiddle returns the middle of a side of the box.
func edgeMiddle(b geom.Box, e Edge) geom.Pt {
	v := e.way()
	return b.Centre().Add(geom.Vec{X: v.X * b.W() / 2, Y: v.Y * b.H() / 2})
}

// single finds a place for one connector by itself.
func (j *job) single(i int) *berth {
	c := j.wiring.Connectors[i]
	for _, pair := range fallbacks(c, c) {
		f, _ := j.shape(pair[0])
		if all := j.choices(c, f); len(all) > 0 {
			j.site.stand(-1-i, all[0].box)
			return &all[0]
		}
	}
	return nil
}

// Connectors that need least room.
const (
	bareWires = board.WirePads
	pinHeader = "header-2.54"
)

// fallbacks returns what to try for two connectors: the wished packages first, then wire pads and pin headers, which
// need less room, for one or both of them.
func fallbacks(p, q led.Connector) [][2]string {
	a, b, wires, pins := p.Package, q.Package, bareWires, pinHeader
	if n := len(p.Pins); n > 2 {
		wires, pins = fmt.Sprintf("%s-%d", wires, n), fmt.Sprintf("%s-%d", pins, n)
	}
	return [][2]string{{a, b}, {a, wires}, {wires, b}, {wires, wires}, {a, pins}, {pins, b}, {wires, pins}, {pins, wires}, {pins, pins}}
}

// moor makes the connector a part.
func (j *job) moor(c led.Connector, at berth) board.Part {
	part := at.fp.Place(c.Ref, board.Connector, at.at, at.turn, geom.Bottom, j.board.Rules.MaskMargin)
	part.Value, part.Role = c.Role.String(), c.Role
	for k := range part.Pads {
		if k < len(c.Pins) {
			part.Pads[k].Net = c.Pins[k]
		}
	}
	j.holes = append(j.holes, at.fp.PlacedHoles(at.at, at.turn)...)
	if want, _ := j.shape(c.Package); want.Name != at.fp.Name {
		if j.opt.told(c.Role).Set() {
			j.amiss++
		}
		advice := "leave more room at the edge if you want the larger one"
		switch {
		case strings.HasPrefix(at.fp.Name, pinHeader):
			advice = "the feed's wires need a plug for pins at 2.54 mm; " + advice
		case strings.HasPrefix(at.fp.Name, bareWires):
			advice = "the feed's wires are soldered to the board; " + advice
		}
		j.found.Add(diag.Note, "place-smaller-connector", "%s (%s) found no room as %s and has become %s", c.Ref, c.Role, want.Name, at.fp.Name).
			OfPart(c.Ref).
			At(at.at.X.MM(), at.at.Y.MM()).Fix("%s", advice)
	}
	if len(part.Pads) > 0 && (c.Role == led.In || j.plus == (geom.Pt{})) {
		j.plus = part.Pads[0].At
	}
	return part
}
