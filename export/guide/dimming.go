package guide

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/export/paper"
	"lampblack/export/table"
	"lampblack/led/expect"
	"lampblack/led/part"
)

// Dim is a group of LEDs and what its dimmer has to do.
type Dim struct {
	Group      string // empty: all LEDs that are of no other
	Plus       string // the sign at its pins
	Amps       expect.Span
	Mean       part.Amp // at the duty that the project tells
	Duty       float64
	Full, Step string // of the time at the full mark, and at the least one; empty: nothing is asked
	Chains     []int  // that have such LEDs, by the chain at the supply, from 1 on
}

// dimming is how the groups are dimmed.
func (c Console) dimming() []paper.Block {
	if len(c.Dims) == 0 {
		return nil
	}
	return []paper.Block{paper.Chapter{Title: "Dimming"}, paper.Text(c.dimmed()), paper.Grid{Table: c.dimmers()}, paper.Points(c.frequency())}
}

// dimmed says where a dimmer goes.
func (c Console) dimmed() string {
	var all []int // chains
	across := false
	for _, d := range c.Dims {
		across = across || len(d.Chains) > 1
		for _, n := range d.Chains {
			if !slices.Contains(all, n) {
				all = append(all, n)
			}
		}
	}
	at := "between the fuse and the first board"
	if len(all) > 1 {
		at = "between the fuse of its chain and the chain's first board"
	}
	if across {
		at = "before the fuses of the chains that it dims"
		if len(c.Others) > 0 {
			at += " and behind the branch to what else the supply feeds"
		}
	}
	if len(c.Dims) == 1 {
		return "Where you want to dim: all LEDs hang on one plus and one minus. A dimmer switches the plus (high side), " + at +
			"; one that switches the minus there (low side) does as well, as no other group shares it."
	}
	return "The boards have 0 V in common and a plus for each group. So a dimmer switches the plus of its group (high side), " + at +
		", and minus goes straight through: a switch in minus would dim all groups together."
}

// dimmers is what each has to carry, with the columns that say something.
func (c Console) dimmers() table.Table {
	told := func(f func(Dim) bool) bool { return slices.ContainsFunc(c.Dims, f) }
	duty := told(func(d Dim) bool { return d.Duty < 1 })
	full, least := told(func(d Dim) bool { return d.Full != "" }), told(func(d Dim) bool { return d.Step != "" })
	several := told(func(d Dim) bool { return !slices.Equal(d.Chains, c.Dims[0].Chains) })
	columns := []table.Column{table.Text("group"), table.Text("switches")}
	if several {
		columns = append(columns, table.Text("chain"))
	}
	columns = append(columns, table.Number("carries, usual", "A"), table.Number("at most", "A"), table.Number("rated, at least", "A"))
	if duty {
		columns = append(columns, table.Number("on as told", "%"), table.Number("mean", "A"))
	}
	if full {
		columns = append(columns, table.Text("on at the full mark"))
	}
	if least {
		columns = append(columns, table.Text("at the least mark"))
	}
	reading := "Rated for a half more than it carries at most (common practice)."
	if duty || full {
		reading += " A supply and a fuse warm up by the mean over the time; wires, contacts and the switch carry the whole while it is on."
	}
	t := table.New("Dimmers", columns...).Read(reading)
	for _, d := range c.Dims {
		name := d.Group
		if name == "" {
			name = "all others"
			if len(c.Dims) == 1 {
				name = "all"
			}
		}
		row := []any{name, d.Plus}
		if several {
			var chains []string
			for _, n := range d.Chains {
				chains = append(chains, fmt.Sprint(n))
			}
			row = append(row, strings.Join(chains, ", "))
		}
		row = append(row, amps(d.Amps.Usual), amps(d.Amps.Most), amps(1.5*d.Amps.Most))
		if duty {
			row = append(row, table.Fixed(100*d.Duty, 0), amps(float64(d.Mean)))
		}
		for _, one := range []struct {
			shown bool
			share string
		}{{full, d.Full}, {least, d.Step}} {
			if one.share == "" {
				one.share = "–"
			}
			if one.shown {
				row = append(row, one.share)
			}
		}
		t.Add(row...)
	}
	return t
}

// frequency is how fast to dim, and what supply and fuse see of it.
func (c Console) frequency() []string {
	mean, most, duty := 0.0, 0.0, false
	for _, d := range c.Dims {
		mean, most, duty = mean+float64(d.Mean), most+d.Amps.Most, duty || d.Duty < 1
	}
	seen := "On average supply and fuse see less while it is dimmed."
	if duty {
		seen = fmt.Sprintf("On average supply and fuse see %s A, with groups on for as much of the time as told.", amps(mean))
	}
	return []string{
		fmt.Sprintf("Frequency: %d times a second or more. At full modulation that is where flicker is of low risk (IEEE 1789, from memory); below 80 Hz the eye sees it. A camera may see stripes at any frequency up to some kHz.", c.Dimmers),
		"Between 1 and 16 kHz loose coils, ceramic capacitors and the dimmer itself can whistle. Above 20 kHz nothing is heard, but the switch warms up and a short on-time is rounded off by its edges; 20 to 25 kHz is good where the least mark is one percent or more, 1.25 to 2 kHz below that (common practice).",
		fmt.Sprintf("%s Choose both by the most all the same, %s A: at full on, and whenever a dimmer fails, that is what flows. The supply's output capacitor, or 1000 µF for each ampere before the dimmer (common practice), keeps the pulses off the long wires.", seen, amps(most)),
		"LEDs and resistors hold no charge: there is no inrush, and no diode across the dimmer is needed but for long wires, where a fast diode from 0 V to the dimmed plus takes their kick (common practice).",
	}
}

func amps(a float64) string { return table.Fixed(a, 3) }
