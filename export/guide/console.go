package guide

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/export/paper"
	"lampblack/export/table"
	"lampblack/led/part"
)

// together is the console at its own supply, board by board along the feed.
func (c Console) together() []paper.Block {
	out := []paper.Block{paper.Chapter{Title: "Board by board to the whole console"}}
	if len(c.Steps) == 0 {
		return append(out, paper.Mind{"The console has no operating point at its supply: see report.html. Do not power it as a whole."})
	}
	t := table.New("Along the feed", table.Text("board"), table.Number("adds, usual", "mA"), table.Number("all, least", "mA"), table.Number("usual", "mA"), table.Number("most", "mA"),
		table.Number("its volts, least", "V"), table.Number("usual", "V"), table.Number("most", "V")).
		Read("Currents are of all boards so far, all groups full on; volts across plus and minus at the last board's OUT.")
	several := false
	for _, s := range c.Steps {
		several = several || s.Chain > 1
	}
	for _, s := range c.Steps {
		if slices.Contains(c.Lost, s.Panel) {
			continue
		}
		name := s.Panel
		if several {
			name = fmt.Sprintf("%s, chain %d", name, s.Chain)
		}
		if s.Back {
			name += ", feed from behind"
		}
		ma := func(a float64) string { return table.Fixed(1e3*a, 0) }
		t.Add(name, ma(s.Own.Usual), ma(s.Amps.Least), ma(s.Amps.Usual), ma(s.Amps.Most), volts(s.Volts.Least), volts(s.Volts.Usual), volts(s.Volts.Most))
	}
	last := c.Steps[len(c.Steps)-1].Amps
	steps := paper.Steps{
		"Supply: " + c.Supply + ". Measure its volts with nothing on it, and look at plus and minus at the end of the first feed before you plug it on.",
		"Put the meter, on amperes, in place of the first fuse. Off, plug the next board on, on, read, tick, off.",
		"At the end put the fuse in and the other chains with it." + c.fuses(),
		fmt.Sprintf("Leave it on for half an hour: the current stays within %s to %s, no resistor is too hot to touch for a second, no connector is warm.",
			part.Amp(last.Least).Rounded(), part.Amp(last.Most).Rounded()),
	}
	if len(c.Others) > 0 {
		steps = append(paper.Steps{"Keep what else the supply feeds off while you measure: " + strings.Join(c.Others, ", ") + "."}, steps...)
	}
	return append(out, steps, paper.Grid{Table: t, Tick: true, Write: "mA, V"})
}

// faults is what one sees, what that is, and what to do.
func faults(c Console) []paper.Block {
	t := table.New("Faults", table.Long("what you see"), table.Long("what it is"), table.Long("the test that decides"), table.Long("what to do"))
	add := func(cells ...any) { t.Add(cells...) }
	add("one string dark, the rest as it should be", "an LED of it is open or the wrong way round, or a joint", "power on, volts across each LED of it: the one that has nearly all of the supply's is open or turned round; where the resistor has 0 V and no LED has more than usual, touch from joint to joint", "turn or replace that LED; melt both joints anew")
	add("one LED dark, its string lit", "that LED is shorted, or solder bridges its pads", fmt.Sprintf("volts across it: 0. The string then carries up to %s", part.Amp(c.Short).Rounded()), "take the bridge away, or replace it")
	add("an LED stays dark with its string at diode test, red on the round pad", "it is the wrong way round", "probes turned round: it glows", "unsolder, turn; a new one if it was hot for long")
	add("all dark, no current", "plus and minus exchanged, a feed wire open, a fuse", "volts at IN: minus sign, exchanged; none, look at the feed before; as they should be, the joint of IN", "exchange, mend")
	add("all dark, the supply at its limit", "plus touches minus", "power off, ohms between plus and minus of IN: below 10 Ω", "look for bridges at the joints listed; take connectors off one by one")
	add("the fuse blows", "as before, in the feed or on any board; or a fuse that is too small", "ohms at the feed with boards unplugged one by one: the one that brings the short", "mend that board, then the fuse of the same rating, never a larger one")
	add("dim toward the end of the chain", "volts are lost in wires or a contact", "volts at OUT of each board, all on, against the table of the feed: the first that is lower than its least", "wire size, screw terminals, the joint of that connector")
	add("one board dimmer or brighter as a whole", "resistors of another value, LEDs of another lot", "volts across a resistor over its ohms: the current of the table, LEDs; another, the resistor", "the value on the board's list; LEDs of one lot")
	add("a resistor is too hot to touch, its string bright", "its LEDs are bridged, or its value is ten times too small", "volts across it against the most of the table", "off at once; bridge or value")
	add("a string flickers when touched", "a cold joint", "press on each part with a wooden stick", "melt it anew with flux")
	add("current above the most", "a wrong resistor, a bridge over LEDs, or the supply set too high", "volts at IN first; then volts across each resistor against its most", "as found")
	return []paper.Block{paper.Chapter{Title: "What you see, what it is, what to do"},
		paper.Text("Power off before you touch a part with an iron. Where figures are asked for, they stand in the board's own tables."), paper.Grid{Table: t}}
}

// dimming is how the groups are dimmed.
func (c Console) dimming() []paper.Block {
	if len(c.Dims) == 0 {
		return nil
	}
	t := table.New("Dimmers", table.Text("group"), table.Text("switches"), table.Number("carries, usual", "A"), table.Number("at most", "A"), table.Number("rated, at least", "A"),
		table.Number("on as told", "%"), table.Number("mean", "A"), table.Text("full mark"), table.Text("least mark")).
		Read("Rated for a half more than it carries at most (common practice). The mean is what a supply and a fuse warm up by; wires, contacts and the switch carry the whole while it is on.")
	sum := part.Amp(0)
	for _, d := range c.Dims {
		name, full, least := d.Group, d.Full, d.Step
		if name == "" {
			name = "all others"
			if len(c.Dims) == 1 {
				name = "all"
			}
		}
		for _, s := range []*string{&full, &least} {
			if *s == "" {
				*s = "–"
			}
		}
		sum += d.Mean
		t.Add(name, d.Plus, amps(d.Amps.Usual), amps(d.Amps.Most), amps(1.5*d.Amps.Most), table.Fixed(100*d.Duty, 0), amps(float64(d.Mean)), full, least)
	}
	return []paper.Block{paper.Chapter{Title: "Dimming"},
		paper.Text("The boards have 0 V in common and a plus of its own for each group. So a dimmer switches the plus (high side), between the fuse and the first board, and minus goes straight through: a switch in minus would dim all groups together, and is right for a console with one group alone."),
		paper.Grid{Table: t},
		paper.Points{
			fmt.Sprintf("Frequency: %d times a second or more. At full modulation that is where flicker is of low risk (IEEE 1789, from memory); below 80 Hz the eye sees it. A camera may see stripes at any frequency up to some kHz.", c.Dimmers),
			"Between 1 and 16 kHz loose coils, ceramic capacitors and the dimmer itself can whistle. Above 20 kHz nothing is heard, but the switch warms up and a short on-time is rounded off by its edges; 20 to 25 kHz is good where the least mark is one percent or more, 1.25 to 2 kHz below that (common practice).",
			fmt.Sprintf("Supply and fuse see a mean of %s A with duties as told. Choose both by the most all the same: at full on, and whenever a dimmer fails, that is what flows. The supply's output capacitor, or 1000 µF for each ampere before the dimmer (common practice), keeps the pulses off the long wires.", amps(float64(sum))),
			"LEDs and resistors hold no charge: there is no inrush, and no diode across the dimmer is needed but for long wires, where a fast diode from 0 V to the dimmed plus takes their kick (common practice).",
		}}
}

func amps(a float64) string { return table.Fixed(a, 3) }
