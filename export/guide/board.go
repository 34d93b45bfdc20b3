package guide

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/export/paper"
	"lampblack/export/table"
	"lampblack/led"
	"lampblack/led/expect"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

const written = "measured" // heads the column to write in

// blocks is the chapter of a board: what to solder, and what it must show.
func (b Board) blocks(i int) []paper.Block {
	title := fmt.Sprintf("Board %d: %s", i+1, b.Board.Name)
	if b.Panel != b.Board.Name {
		title += ", behind panel " + b.Panel
	}
	out := []paper.Block{paper.Chapter{Title: title},
		paper.Figures{{Page: b.Bottom, Caption: "From behind, the wiring side: what is soldered there" + b.joints() + ". A cross is plus, a bar on black minus." + b.numbered(), Alt: "Board " + b.Board.Name + " from behind with its parts"}},
		paper.Figures{{Page: b.Top, Caption: "From the front, the LED side: minus is the dark pad.", Alt: "Board " + b.Board.Name + " from the front with its LEDs"}},
		paper.Section("Solder"), paper.Steps(b.order()),
	}
	if again := b.again(); len(again) > 0 {
		out = append(out, paper.Section("Joints to look at twice"), paper.Points(again))
	}
	if !b.Known {
		return append(out, paper.Mind{"What this board takes cannot be told: its circuit has no operating point. Do not power it."})
	}
	return append(out, b.tests()...)
}

// leaded and flat report whether it has LEDs with leads, and such without.
func (b Board) leaded() bool {
	return slices.ContainsFunc(b.Lamps, func(l Lamp) bool { return l.Leads })
}
func (b Board) flat() bool {
	return slices.ContainsFunc(b.Lamps, func(l Lamp) bool { return !l.Leads })
}

func (b Board) joints() string {
	if b.leaded() {
		return ", and the joints of LEDs"
	}
	return ""
}

// numbered explains signs of pins that had to be shortened in a picture.
func (b Board) numbered() string {
	var all []string
	for _, p := range b.Board.Parts {
		if p.Kind != board.Connector || p.Role != led.In || !b.Board.Grouped(p) {
			continue
		}
		for _, q := range p.Pads {
			if q.Function == "+" {
				all = append(all, fmt.Sprintf("+%s is %s", q.Pin, b.Board.SignOf(q)))
			}
		}
	}
	if len(all) == 0 {
		return ""
	}
	return " At connectors " + strings.Join(all, ", ") + "."
}

// refs returns the names of parts that f wants, in the board's order.
func (b Board) refs(f func(board.Part) bool) (out []string) {
	for _, p := range b.Board.Parts {
		if f(p) {
			out = append(out, p.Ref)
		}
	}
	return out
}

// byValue names the parts that f wants value by value: "1k at R1, R3".
func (b Board) byValue(f func(board.Part) bool) (out []string) {
	var values []string
	for _, p := range b.Board.Parts {
		if f(p) && !slices.Contains(values, p.Value) {
			values = append(values, p.Value)
		}
	}
	for _, v := range values {
		out = append(out, v+" at "+strings.Join(b.refs(func(p board.Part) bool { return f(p) && p.Value == v }), ", "))
	}
	return out
}

// together is byValue in one text, nothing where there are none.
func (b Board) together(f func(board.Part) bool) []string {
	if all := b.byValue(f); len(all) > 0 {
		return []string{strings.Join(all, "; ")}
	}
	return nil
}

// order is what to solder when: flat parts first, so that the board lies flat while each is soldered.
func (b Board) order() []string {
	flat := func(p board.Part) bool { return len(p.Pads) > 0 && !p.Pads[0].Through }
	var out []string
	add := func(format string, refs []string) {
		if len(refs) > 0 {
			out = append(out, fmt.Sprintf(format, strings.Join(refs, ", ")))
		}
	}
	add("Flat LEDs, one pad first, then look at the mark, then the other pad: %s.", b.together(func(p board.Part) bool { return p.Kind == board.LED && flat(p) }))
	for _, chip := range []bool{true, false} {
		groups := b.together(func(p board.Part) bool { return p.Kind == board.Resistor && flat(p) == chip })
		if chip {
			add("Flat resistors, either way round: %s.", groups)
		} else {
			add("Resistors with leads, either way round, flat on the board: %s.", groups)
		}
	}
	leaded := func(p board.Part) bool { return p.Kind == board.LED && !flat(p) }
	if n := len(b.refs(leaded)); n > 0 {
		out = append(out, b.standing(n, b.byValue(leaded))...)
	}
	out = append(out, b.connectors()...)
	out = append(out, "Clean off flux, and look at every joint with a lens: shiny or evenly matt, a hollow cone, no ball, no bridge.")
	return out
}

// connectors says how those that a wire leads to are put on, kind by kind, and which stay off.
func (b Board) connectors() (out []string) {
	for _, k := range []struct{ of, words string }{
		{"terminal", "Screw terminals, flat on the board, openings toward the edge: %s."},
		{"header", "Pin headers, upright from behind, their plastic flat on the board: %s."},
		{board.WirePads, "The wires of the feed are soldered to %s, and come last: see Wires. For the tests below clip the leads of the supply to bits of wire put through these pads."},
	} {
		refs := b.refs(func(p board.Part) bool {
			return strings.HasPrefix(p.Footprint, k.of) && !slices.Contains(b.Idle, p.Ref)
		})
		if len(refs) > 0 {
			out = append(out, fmt.Sprintf(k.words, strings.Join(refs, ", ")))
		}
	}
	if len(b.Idle) > 0 {
		out = append(out, fmt.Sprintf("%s stays off: no wire leads to it. Its pads are there to measure at.", strings.Join(b.Idle, ", ")))
	}
	return out
}

// standing is how LEDs with leads come to stand straight and at their height.
func (b Board) standing(n int, kinds []string) []string {
	var high []string
	for _, l := range b.Lamps {
		if l.Leads {
			high = append(high, l.Kind.Name+", "+stands(l.Above))
		}
	}
	odd := ""
	if refs := b.Board.OddRefs(); len(refs) > 0 {
		odd = " Another way round than the rest stand " + strings.Join(refs, ", ") + "."
	}
	which := ""
	if len(kinds) > 1 {
		which = ": " + strings.Join(kinds, "; ")
	}
	return []string{
		fmt.Sprintf("Put the %s with leads in from the front, long lead in the round pad, and solder none yet%s.%s", count(n, "LED"), which, odd),
		fmt.Sprintf("The LED sheet is the jig: %s, as the stack has it, and screw all together at the mounts. %s So they stand: %s.", b.jig(), b.turned(), strings.Join(high, "; ")),
		"Solder one lead of each, look from the side, straighten by melting that joint again, then solder the other lead: 3 s at most, and let the LED cool between its two. Cut leads beside the joint, never in it.",
	}
}

// turned says how LEDs in their jig come to their height, by where the stack has their tips.
func (b Board) turned() string {
	switch {
	case b.Sunk < 0:
		return fmt.Sprintf("Turn it over and lay the LED sheet on strips %s mm thick, on something flat: the LEDs sink until their tips stand on it.", mm(-b.Sunk))
	case b.Sunk > 0:
		return fmt.Sprintf("Turn it over. The tips lie %s mm below the LED sheet's front: pull each LED up by its leads, against the board or against a strip of card as thick as its height above it.", mm(b.Sunk))
	}
	return "Turn it over and lay the LED sheet on something flat: the LEDs sink until their tips stand on it, level with the LED sheet's front."
}

// jig says what comes between the LED sheet and the board while LEDs are soldered.
func (b Board) jig() string {
	switch {
	case b.Room == 0:
		return "lay it on the board"
	case b.Plated && b.Sheeted:
		return "put the plate behind it and the spacer sheet between plate and board"
	case b.Plated:
		return fmt.Sprintf("put the plate behind it, and spacers of %s mm between plate and board", mm(b.Room))
	case b.Sheeted:
		return "put the spacer sheet between it and the board"
	}
	return fmt.Sprintf("lay it on spacers %s mm from the board", mm(b.Room))
}

// again are joints that want a second look: pads close to those of another net, pads in areas of copper, and connectors.
func (b Board) again() []string {
	const near = 800 * geom.Micrometre
	var close, solid []string
	boxes := make([][]geom.Box, len(b.Board.Parts)) // of the pads
	for i, p := range b.Board.Parts {
		for _, q := range p.Pads {
			boxes[i] = append(boxes[i], q.Contour(0).Box())
		}
	}
	for i, p := range b.Board.Parts {
		for j, q := range p.Pads {
			if q.Solid && !slices.Contains(solid, p.Ref) {
				solid = append(solid, p.Ref)
			}
			for k := i + 1; k < len(b.Board.Parts); k++ {
				r := b.Board.Parts[k]
				for m, s := range r.Pads {
					if q.Net != s.Net && boxes[i][j].Dist(boxes[k][m]) < float64(near) {
						if pair := p.Ref + "–" + r.Ref; !slices.Contains(close, pair) {
							close = append(close, pair)
						}
					}
				}
			}
		}
	}
	var out []string
	if len(close) > 0 {
		out = append(out, "Pads less than 0.8 mm apart, where solder bridges: "+strings.Join(close, ", ")+".")
	}
	if len(solid) > 0 {
		out = append(out, "Right in areas of copper, which take the heat away; stay a second longer: "+strings.Join(solid, ", ")+".")
	}
	if refs := b.refs(func(p board.Part) bool { return p.Kind == board.Connector && !slices.Contains(b.Idle, p.Ref) }); len(refs) > 0 {
		out = append(out, "Those of the feed, which are pulled at and carry all of the current; where they lie in areas of copper they want a hotter tip: "+strings.Join(refs, ", ")+".")
	}
	return out
}

// tests are what a meter must show: without power, then at a supply that limits its current.
func (b Board) tests() []paper.Block {
	e := b.Expect
	in, through := b.connector(led.In), b.connector(led.Out)
	t := table.New("Before power", table.Long("where the probes go"), table.Long("what good boards show")).
		Read("Meter on ohms, then on diode test; nothing is connected. Where the points are is shown in the picture below.")
	blocks := true
	for _, s := range e.Strings {
		blocks = blocks && s.Blocks()
	}
	shows := "over range both ways: LEDs block what an ohmmeter gives"
	if !blocks {
		shows = "over range or some 100 kΩ, by the meter: a string of few LEDs may let a little pass in one of the two. Below 10 kΩ something is wrong"
	}
	for _, p := range b.plus() {
		t.Add(fmt.Sprintf("%s %s and %s minus, and the other way round", in, p, in), shows)
		if through != "" {
			t.Add(fmt.Sprintf("%s %s to %s %s, on ohms", in, p, through, p), "below 1 Ω: the feed goes through the board")
		}
	}
	if through != "" {
		t.Add(fmt.Sprintf("%s minus to %s minus, on ohms", in, through), "below 1 Ω")
	}
	for _, l := range b.Lamps {
		says := fmt.Sprintf("%s glows; %s V (%s to %s)", l.Kind.Name, volts(l.Test.Usual), volts(l.Test.Least), volts(l.Test.Most))
		if l.Test.Most > float64(expect.DiodeShown) {
			says += ", or over range on a meter that shows 2 V at most; one that gives little may light it dimly or not at all"
		}
		where := "from behind, red on the round pad, black on the square one"
		if !l.Leads {
			where = "from the front, black on the pad with the bracket, red on the other"
		}
		t.Add(fmt.Sprintf("each %s on diode test: %s", l.Kind.Name, where), says+". Turned round: dark, over range")
	}
	for _, s := range e.Strings {
		t.Add(fmt.Sprintf("%s: across %s, on ohms", s.Name, b.across(s.Resistor)), fmt.Sprintf("%s (%s to %s)", ohms(s.Ohms.Usual), ohms(s.Ohms.Least), ohms(s.Ohms.Most)))
	}
	out := []paper.Block{paper.Section("Test without power"), paper.Grid{Table: t, Tick: true, Write: written}, paper.Section("Test at a supply that limits its current")}
	for _, f := range b.probes() {
		out = append(out, paper.Figures{f})
	}
	return append(out,
		paper.Steps{
			fmt.Sprintf("Set the supply to %s V and its limit to %s mA, with nothing on it; then switch it off.", trim(float64(e.Supply)), trim(1e3*float64(e.Limit))),
			b.plugged(in),
			"Switch on: all LEDs light. Stays the limit's lamp lit, or do the volts break down: off at once, and to the table of faults.",
		},
		paper.Grid{Table: b.powered(in, through), Tick: true, Write: written},
		paper.Grid{Table: b.strings(), Tick: true, Write: "V at resistor"},
	)
}

// probes are the pictures of the points to touch: from behind, and from the front where LEDs have their pads there alone.
func (b Board) probes() paper.Figures {
	const volts = " Volts are those of the bench, black probe on minus of a connector."
	behind := "Where to touch, from behind, by the names of the tables: at each resistor its string."
	if b.leaded() {
		behind = "Where to touch, from behind, by the names of the tables: at each LED with leads its volts at the round pad, at each resistor its string."
	}
	if slices.ContainsFunc(b.Board.Spots, func(s board.Spot) bool { return s.Use == board.TestPoint }) {
		behind += " TP are bare pads for a meter's tip."
	}
	out := paper.Figures{{Page: b.Behind, Caption: behind + volts, Alt: "Board " + b.Board.Name + " from behind with the points to touch"}}
	if b.flat() {
		out = append(out, paper.Figure{Page: b.Before, Caption: "Where to touch, from the front: at each flat LED its volts at plus, the pad without the bracket." + volts,
			Alt: "Board " + b.Board.Name + " from the front with the volts at each flat LED"})
	}
	return out
}

func (b Board) plugged(in string) string {
	if plus := b.plus(); len(plus) > 1 {
		return fmt.Sprintf("Plus to all plus pins of %s together, %s; minus to minus.", in, strings.Join(plus, ", "))
	}
	return fmt.Sprintf("Plus to plus of %s, minus to minus.", in)
}

// powered are the figures of a board on the bench.
func (b Board) powered(in, out string) table.Table {
	e := b.Expect
	t := table.New("With power", table.Text("what"), table.Number("least", ""), table.Number("usual", ""), table.Number("most", ""), table.Text("unit"))
	add := func(what string, s expect.Span, k float64, digits int, unit string) {
		t.Add(what, table.Fixed(k*s.Least, digits), table.Fixed(k*s.Usual, digits), table.Fixed(k*s.Most, digits), unit)
	}
	add("current of the board", e.Amps, 1e3, 1, "mA")
	at := in
	if b.touched("TP+") && b.touched("TP-") {
		at += ", or at TP+ and TP-"
	}
	add("volts at "+at, e.In, 1, 2, "V")
	if out != "" {
		add("volts at "+out, e.Out, 1, 2, "V")
	}
	return t
}

// strings are the figures of its strings there.
func (b Board) strings() table.Table {
	t := table.New("String by string", table.Text("string"), table.Text("its LEDs"), table.Number("mA", ""), table.Number("least, most", ""), table.Number("V each LED", ""), table.Number("least, most", ""),
		table.Text("across"), table.Number("V", ""), table.Number("least, most", "")).
		Read("Measure across the resistor: a string's current is these volts over its ohms, and the board's current is the sum of its strings'.")
	both := func(s expect.Span, k float64, digits int) string {
		return table.Fixed(k*s.Least, digits) + "–" + table.Fixed(k*s.Most, digits)
	}
	for _, s := range b.Expect.Strings {
		name := s.Name
		if s.Group != "" {
			name += ", " + s.Group
		}
		t.Add(name, run(s.LEDs), table.Fixed(1e3*s.Amps.Usual, 1), both(s.Amps, 1e3, 1), volts(s.Lit.Usual), both(s.Lit, 1, 2), b.across(s.Resistor), volts(s.Drop.Usual), both(s.Drop, 1, 2))
	}
	return t
}

// touched reports whether the board has that test point.
func (b Board) touched(ref string) bool {
	_, ok := b.Board.TestPoint(ref)
	return ok
}

// across says where to measure across a resistor: at its ends, or at the test points before and behind it where the board has both.
func (b Board) across(resistor string) string {
	var points []string
	for _, p := range b.Board.Parts {
		if p.Ref != resistor {
			continue
		}
		for _, s := range b.Board.Spots {
			if s.Use == board.TestPoint && slices.ContainsFunc(p.Pads, func(q board.Pad) bool { return q.Net == s.Net }) {
				points = append(points, s.Ref)
			}
		}
	}
	if len(points) != 2 {
		return resistor
	}
	return fmt.Sprintf("%s, or %s to %s", resistor, points[0], points[1])
}

// connector names the connector of a role; empty where there is none.
func (b Board) connector(r led.Role) string {
	for _, p := range b.Board.Parts {
		if p.Kind == board.Connector && p.Role == r {
			return p.Ref + " " + r.String()
		}
	}
	return ""
}

// plus names the plus pins of the IN connector.
func (b Board) plus() (out []string) {
	for _, p := range b.Board.Parts {
		if p.Kind == board.Connector && p.Role == led.In {
			for _, q := range p.Pads {
				if q.Function == "+" {
					out = append(out, b.Board.SignOf(q))
				}
			}
		}
	}
	return out
}

func volts(v float64) string { return table.Fixed(v, 2) }
func trim(v float64) string  { return part.Trimmed(v, 2) }
func ohms(v float64) string  { return table.Fixed(v, 0) + " Ω" }

// run names the LEDs of a string: the first and the last of more than three.
func run(refs []string) string {
	if len(refs) > 3 {
		return refs[0] + " … " + refs[len(refs)-1]
	}
	return strings.Join(refs, ", ")
}
