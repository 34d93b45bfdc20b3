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
		Read("Currents are of all boards so far, all groups full on; volts across plus and minus at OUT of the board that was put on.")
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
		ma := func(a float64) string { return table.Fixed(1e3*a, 1) }
		t.Add(name, ma(s.Own.Usual), ma(s.Amps.Least), ma(s.Amps.Usual), ma(s.Amps.Most), volts(s.Volts.Least), volts(s.Volts.Usual), volts(s.Volts.Most))
	}
	last := c.Steps[len(c.Steps)-1].Amps
	connect := "Off, put the next board on, on, read, tick, off."
	if len(c.Boards) == 1 {
		connect = "Put the board on, switch on, read, tick."
	}
	if len(c.Dims) > 1 {
		connect = "All dimmers stay full on; where there are none yet, join the plus wires of the feed. " + connect
	}
	steps := paper.Steps{
		"Supply: " + c.Supply + ". Measure its volts with nothing on it, and look at plus and minus at the end of the first feed before you connect it.",
		c.meter(),
		connect,
		fmt.Sprintf("With all on, leave it for half an hour: the current stays within %s to %s, no resistor is too hot to touch for a second, no connector is warm.",
			part.Amp(last.Least).Rounded(), part.Amp(last.Most).Rounded()),
		"Off, take the meter out, and join the plus again." + c.fuses(),
	}
	if len(c.Others) > 0 {
		steps = append(paper.Steps{"Keep what else the supply feeds off while you measure: " + strings.Join(c.Others, ", ") + "."}, steps...)
	}
	if len(c.Lost) > 0 {
		out = append(out, paper.Mind{"The figures are those without " + strings.Join(c.Lost, ", ") + ". What hangs behind a missing board is fed by joining the wires of its two feeds, plus to plus and minus to minus."})
	}
	return append(out, steps, paper.Grid{Table: t, Tick: true, Write: "mA, V"})
}

// meter says where the current of the whole is measured: before the wires part, and behind a fuse.
func (c Console) meter() string {
	switch {
	case c.Feeds > 1:
		return "Put the meter, on amperes, into the one plus between the supply and the fuses of its feeds; the fuses stay in."
	case c.fuses() != "":
		return "Put the meter, on amperes, into the plus between the supply and the fuse; the fuse stays in."
	}
	return "Put the meter, on amperes, into the plus at the supply."
}
