package guide

import (
	"fmt"

	"lampblack/export/paper"
	"lampblack/export/table"
	"lampblack/led/expect"
	"lampblack/led/part"
)

// faults is what one sees, what that is, and what to do. Each test says what it shows where all is well.
func (c Console) faults() []paper.Block {
	t := table.New("Faults", table.Long("what you see"), table.Long("what it is"), table.Long("the test that decides"), table.Long("what to do"))
	add := func(sees, is, test, do string) { t.Add(sees, is, test, do) }
	f := c.figures()
	several, grouped := len(c.Boards) > 1, len(c.Dims) > 1

	add("one string dark, the rest as it should be", "an LED of it, its resistor or a joint is open, or an LED is the wrong way round",
		"power on, volts across its resistor and each of its LEDs: the part that has nearly all of the supply's is open or turned round"+f.told(" (a good LED has %s)", f.lit)+"; where none has, go on from joint to joint until the volts are gone",
		"turn or replace that part; melt its joints anew")
	add("one LED dark, its string lit", "that LED is shorted, or solder bridges its pads", "volts across it: next to none"+f.told(", where a good one has %s", f.lit), "take the bridge away, or replace it")
	add("an LED stays dark at diode test", "it is the wrong way round, or open", "probes turned round: one that is the wrong way round glows", "unsolder, turn; a new one if it is open or was hot for long")
	add("all dark, no current", "plus and minus exchanged, a feed wire open, a fuse, a switch",
		"volts at IN of the first board: minus sign, exchanged; none, the wires, the fuse, the switch"+f.told("; %s, the joints of IN", f.first), "exchange, mend")
	if several {
		add("dark from one board on", "the feed before it is open or exchanged, or a joint of its connectors",
			"volts at OUT of the last board that is lit, against the table of the feed, then at IN of the dark one: none, a wire; minus sign, exchanged; as at OUT, the joints of IN", "mend the wire, or melt the joints anew")
	}
	if grouped {
		add("a group dark, on all boards or from one on", "its dimmer, its wire, or its pin's joint", "all dimmers full on, volts from its plus pin to minus at IN and OUT, board by board: the first place without", "mend what lies before it")
		add("a group follows the dimmer of another", "their plus wires are exchanged", "one dimmer on alone: volts at the pins of IN, board by board, against their names", "exchange them there")
	}
	add("all dark, the supply at its limit", "plus touches minus", "power off, ohms between plus and minus of IN: below 10 Ω, where the board's table has over range or much more", "look for bridges at the joints listed; take boards off one by one")
	if several {
		add("the fuse blows", "as before, in the feed or on any board; or a fuse that is too small"+f.told(" (all together take %s at most)", f.most), "ohms at the feed with boards taken off one by one: the one that brings the short", "mend that board, then the fuse of the same rating, never a larger one")
		add("dim toward the end of the chain", "volts are lost in wires or a contact", "volts at OUT of each board, all on, against the table of the feed: the first that is lower than its least"+f.told("; none is below %s", f.lowest), "wire size, contacts, the joints of that connector")
	} else {
		add("the fuse blows", "as before, in the feed or on the board; or a fuse that is too small"+f.told(" (it takes %s at most)", f.most), "ohms at the feed with the board on and off", "mend the one with the short, then the fuse of the same rating, never a larger one")
	}
	add("one board dimmer or brighter as a whole", "resistors of another value, LEDs of another lot", "volts across a resistor over its ohms: where that is the current of the table it is the LEDs, else the resistor", "the value on the board's list; LEDs of one lot")
	add("a resistor is too hot to touch, its string bright", "its LEDs are bridged, or its value is ten times too small", "volts across it against the most of the table; power off, its ohms", "off at once; bridge or value")
	add("a string flickers when touched", "a cold joint", "press on each part with a wooden stick", "melt it anew with flux")
	add("current above the most"+f.told(", %s of all", f.most), "a wrong resistor, a bridge over LEDs, or the supply set too high", "volts at IN first; then volts across each resistor against its most", "as found")
	return []paper.Block{paper.Chapter{Title: "What you see, what it is, what to do"},
		paper.Text("Power off before you touch a part with an iron. Where figures are asked for that do not stand here, they stand in the board's own tables."), paper.Grid{Table: t}}
}

// figures are those of the whole console that faults go by; empty ones are not known.
type figures struct{ lit, first, lowest, most string }

// told is a remark with a figure, where that is known.
func (figures) told(format, figure string) string {
	if figure == "" {
		return ""
	}
	return fmt.Sprintf(format, figure)
}

func (c Console) figures() (f figures) {
	var lit expect.Span
	for _, b := range c.Boards {
		for _, s := range b.Expect.Strings {
			if lit.Most == 0 {
				lit = s.Lit
			}
			lit.Least, lit.Most = min(lit.Least, s.Lit.Least), max(lit.Most, s.Lit.Most)
		}
	}
	if lit.Most > 0 {
		f.lit = between(lit)
	}
	lowest := 0.0
	for _, s := range c.Steps {
		if s.Volts.Most == 0 {
			continue // nothing is measured there
		}
		if f.first == "" {
			f.first = between(s.Volts)
		}
		if lowest == 0 || s.Volts.Least < lowest {
			lowest = s.Volts.Least
		}
	}
	if lowest > 0 {
		f.lowest = volts(lowest) + " V"
		f.most = part.Amp(c.Steps[len(c.Steps)-1].Amps.Most).Rounded().String()
	}
	return f
}

// between is a span of volts, or the one figure that both ends are.
func between(s expect.Span) string {
	least, most := volts(s.Least), volts(s.Most)
	if least == most {
		return least + " V"
	}
	return least + " to " + most + " V"
}
