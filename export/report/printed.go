package report

import (
	"fmt"
	"strings"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// printed tells how to read this board: what its pads and its silkscreen say, and nothing that they do not. What found no room
// on the silkscreen is told here instead.
func (t *page) printed(b board.Board) {
	var leads, flat, resistors, connectors []board.Part
	for _, p := range b.Parts {
		switch {
		case p.Kind == board.Resistor:
			resistors = append(resistors, p)
		case p.Kind == board.Connector:
			connectors = append(connectors, p)
		case len(p.Pads) > 0 && p.Pads[0].Through:
			leads = append(leads, p)
		default:
			flat = append(flat, p)
		}
	}
	t.connectors(b, connectors)
	t.polarity(b, leads, flat)
	t.points(b)
	t.names(b, append(append(append([]board.Part{}, leads...), flat...), append(resistors, connectors...)...), resistors)
}

// connectors tells which is IN and which OUT, and what each pin is.
func (t *page) connectors(b board.Board, list []board.Part) {
	var which []string
	bare := true // of print: none has its place beside it
	for _, p := range list {
		way := "toward the supply"
		if p.Role == led.Out {
			way = "to the next board"
		}
		which = append(which, fmt.Sprintf("%s is %v, %s", p.Ref, p.Role, way))
		if _, ok := b.Printed(board.Place, p.Ref, ""); ok {
			bare = false
		}
	}
	if bare && len(which) > 0 {
		which = append(which, "the words IN and OUT found no room on the board")
	}
	t.row("Connectors", strings.Join(which, "; "))
	if len(list) == 0 {
		return
	}
	var pins, other []string
	for i, q := range list[0].Pads {
		pins = append(pins, fmt.Sprintf("%d is %s", i+1, b.SignOf(q)))
	}
	for _, p := range list {
		for i, q := range p.Pads {
			switch w, ok := b.Printed(board.Sign, p.Ref, q.Pin); {
			case !ok:
				other = append(other, fmt.Sprintf("nothing at pin %d of %s", i+1, p.Ref))
			case w.Text != b.SignOf(q):
				other = append(other, fmt.Sprintf("%s at pin %d of %s", w.Text, i+1, p.Ref))
			}
		}
	}
	say := "; printed at each pin"
	if len(other) > 0 {
		say = "; printed at the pins, but for want of room " + strings.Join(other, ", ")
	}
	if shape := list[0].Pads[0].Shape; shape == board.Oblong {
		say += ". Pin 1 has the oblong pad, the others round ones"
	}
	t.row("Pins", strings.Join(pins, ", ")+say)
}

// points names the bare pads that a meter's tip is for, and those whose names found no room.
func (t *page) points(b board.Board) {
	var names, bare []string
	for _, s := range b.Spots {
		if s.Use != board.TestPoint {
			continue
		}
		names = append(names, s.Ref)
		if _, ok := b.Printed(board.Reference, s.Ref, ""); !ok {
			bare = append(bare, s.Ref)
		}
	}
	if len(names) == 0 {
		return
	}
	say := "no part stands there. TP+ and TP- are the feed, TP and a number lies behind the resistor of that number"
	if len(bare) > 0 {
		say += "; not printed, for want of room: " + strings.Join(bare, ", ")
	}
	t.row("Test points", strings.Join(names, ", ")+", bare pads on the bottom for a meter's tip; "+say)
}

// polarity tells which way round the LEDs go.
func (t *page) polarity(b board.Board, leads, flat []board.Part) {
	for _, k := range []struct {
		list  []board.Part
		leads bool
	}{{leads, true}, {flat, false}} {
		if len(k.list) == 0 {
			continue
		}
		hint := board.LEDHint(k.leads)
		where := "not printed, for want of room"
		for _, w := range b.Words {
			if w.What == board.Hint && w.Text == hint {
				where = fmt.Sprintf("printed on the %v", w.On)
			}
		}
		t.row("Polarity", fmt.Sprintf("%s (%s)", hint, where))
	}
	if s := b.TurnsTold(); s != "" {
		t.text(s + unmarked(b))
	}
	if len(leads) > 0 {
		t.text("A square pad with a hole is an LED's cathode, minus, pin 1, and nothing else: the shorter lead, at the flat side " +
			"of the body. The round pad beside it is the anode's, plus, the longer lead" + t.plus(b, leads) + ".")
	}
	if len(flat) > 0 {
		open := without(flat, func(p board.Part) bool { _, ok := b.Printed(board.Outline, p.Ref, ""); return ok })
		s := "An LED without leads lies with its marked end, the cathode, minus, in the printed bracket" + t.plus(b, flat) + "."
		if len(open) > 0 {
			s += " " + sentence(open) + " found no room for the bracket: the assembly sheet shows the cathode."
		}
		t.text(s)
	}
}

// unmarked names the odd LEDs that bear no mark.
func unmarked(b board.Board) string {
	var bare []string
	for _, ref := range b.OddRefs() {
		if _, ok := b.Printed(board.Otherwise, ref, ""); !ok {
			bare = append(bare, ref)
		}
	}
	if len(bare) == 0 {
		return ""
	}
	return " For want of room the mark is not printed at " + strings.Join(bare, ", ") + "."
}

// plus says where a plus is printed at the anodes.
func (*page) plus(b board.Board, list []board.Part) string {
	without := without(list, func(p board.Part) bool {
		for _, q := range p.Pads {
			if q.Function == "A" {
				_, ok := b.Printed(board.Sign, p.Ref, q.Pin)
				return ok
			}
		}
		return false
	})
	switch {
	case len(without) == 0:
		return "; a plus is printed at the anode"
	case len(without) < len(list):
		return "; a plus is printed at the anode, but not of " + sentence(without)
	}
	return ""
}

// names tells which names and values are printed, and what the board calls itself.
func (t *page) names(b board.Board, all, resistors []board.Part) {
	nameless := without(all, func(p board.Part) bool { _, ok := b.Printed(board.Reference, p.Ref, ""); return ok })
	valueless := without(resistors, func(p board.Part) bool { _, ok := b.Printed(board.Value, p.Ref, ""); return ok })
	var s []string
	say := func(what string, all, missing int, list []board.Part) {
		switch {
		case all == 0 || missing == all:
		case missing == 0:
			s = append(s, what)
		default:
			s = append(s, what+" (but not of "+sentence(list)+": see the assembly sheet)")
		}
	}
	say("the name of each part beside it", len(all), len(nameless), nameless)
	say("the value of each resistor", len(resistors), len(valueless), valueless)
	for _, side := range geom.BothSides() {
		var title []string
		for _, w := range b.Words {
			if w.What == board.Title && w.On == side {
				title = append(title, strings.Join(strings.Fields(w.Text), " "))
			}
		}
		if len(title) > 0 {
			s = append(s, fmt.Sprintf("on the %v: %s", side, strings.Join(title, ", ")))
		}
	}
	if len(s) > 0 {
		t.text("Printed besides, in capitals: " + strings.Join(s, "; ") + ".")
	}
}

// without returns the parts of which a thing is not so.
func without(list []board.Part, so func(board.Part) bool) []board.Part {
	var out []board.Part
	for _, p := range list {
		if !so(p) {
			out = append(out, p)
		}
	}
	return out
}

// sentence names parts, or counts them where they are many.
func sentence(list []board.Part) string {
	const most = 12
	var refs []string
	for _, p := range list[:min(len(list), most)] {
		refs = append(refs, p.Ref)
	}
	s := strings.Join(refs, ", ")
	if n := len(list) - most; n > 0 {
		s += fmt.Sprintf(" and %d more", n)
	}
	return s
}
