// Package tables makes the tables that people see of a result, each in one place for the terminal and the report.
//
// In go types of export/result, so that whoever has a result.json can show the same; out come tables of export/table.
package tables

import (
	"fmt"
	"strings"

	"lampblack/export/result"
	"lampblack/export/table"
	"lampblack/led/part"
)

// Panels is the panels as drawn.
func Panels(c result.Console) table.Table {
	t := table.New("Panels", append([]table.Column{table.Text("panel"), table.Text("drawing")}, drawn()...)...)
	for _, p := range c.Panels {
		t.Add(p.Name, p.Drawing, table.Fixed(p.BBox[2]-p.BBox[0], 2), table.Fixed(p.BBox[3]-p.BBox[1], 2),
			len(p.Holes.LED), len(p.Holes.Mount), len(p.Openings), len(p.Bodies), len(p.Lettering))
	}
	return t
}

// Chains is the chains, each piece of feed by piece, and the groups of LEDs if there are any.
func Chains(c result.Console) []table.Table {
	var all []table.Table
	how := "Each row is the pair of wires that leads to that board from the one above: the current in it, the most that such a wire may carry, " +
		"and the voltage that arrives. The first pair carries the current of all boards."
	for i, chain := range c.Chains {
		title := "Chain"
		if len(c.Chains) > 1 {
			title = fmt.Sprintf("Chain %d", i+1)
		}
		if chain.From == "" {
			title += ", from the supply on"
		} else {
			title += ", from panel " + chain.From + " on"
		}
		if chain.BothEnds {
			title += ", fed at both ends"
		}
		t := table.New(title, table.Text("panel"), table.Text("wire"), table.Number("length", "mm"), table.Number("carries", "A"),
			table.Number("at worst", "A"), table.Number("may carry", "A"), table.Number("at the board", "V"), table.Number("LED current", "% of asked")).
			Read(how)
		how = "" // once for all
		feed := func(name string, k result.Link, volts, asked string) {
			t.Add(name, k.Wire, table.Fixed(k.FeedMM, 0), table.Fixed(k.SegmentA, 3), table.Fixed(k.SegmentWorstA, 3), table.Plain(k.WireA), volts, asked)
		}
		for _, k := range chain.Links {
			feed(k.Panel, k, table.Fixed(k.Volts, 2), percent(k.OfAsked, 0))
		}
		if chain.Back != nil {
			feed("(back to the start)", *chain.Back, "", "")
		}
		all = append(all, t)
	}
	if g := Groups(c); len(g.Rows) > 0 {
		all = append(all, g)
	}
	return all
}

// Supply is the supply, its battery where it is one, and the verdict.
func Supply(s result.Supply) []table.Table {
	t := table.New("Supply", table.Number("voltage", "V"), table.Number("rated", "A"), table.Number("boards", "A"), table.Number("boards at worst", "A"),
		table.Number("other loads", "A"), table.Number("all at worst", "A"), table.Number("of its rating", "%"), table.Text("verdict")).
		Read("At worst means every part and the voltage at its unluckiest limit. The verdict is ok up to 80 % of the rating, tight up to 100 %, over above, none where nothing can be said.")
	share := ""
	if s.RatedA > 0 {
		share = percent(s.DemandA/s.RatedA, 0)
	}
	t.Add(Volts(s.Volts), table.Plain(s.RatedA), table.Fixed(s.TypicalA, 3), table.Fixed(s.WorstA, 3), table.Fixed(s.OtherA, 3),
		table.Fixed(s.DemandA, 3), share, s.Verdict)
	all := []table.Table{t}
	if b := s.Battery; b != nil {
		t := table.New("Battery", table.Text("chemistry"), table.Number("cells in series", ""), table.Number("capacity", "Ah"), table.Number("light when full", "%"),
			table.Number("on the charger", "%"), table.Number("when empty", "%"), table.Number("hours to plan with", ""), table.Number("hours by its label", "")).
			Read("100 % is the light at the battery's nominal voltage. Plan with the fewer hours: no battery keeps for long what its label says.")
		t.Add(b.Chemistry, b.Cells, table.Plain(b.CapacityAh), percent(b.LightFull, 0), percent(b.LightCharging, 0), percent(b.LightEmpty, 0),
			table.Fixed(b.PlanHours, 1), table.Fixed(b.Hours, 1))
		all = append(all, t)
	}
	return all
}

// Volts writes a voltage, or a window of such as the project file has it.
func Volts(w result.Window) string {
	if w.Min != w.Max {
		return table.Plain(w.Min) + " .. " + table.Plain(w.Max)
	}
	return table.Plain(w.Nominal)
}

// Spread is how consoles built by chance come out.
func Spread(s result.Spread) table.Table {
	t := table.New(fmt.Sprintf("If you built %d such consoles", s.Consoles),
		table.Text(""), table.Text("in"), table.Number("low", ""), table.Number("usual", ""), table.Number("high", "")).
		Read(fmt.Sprintf("Parts as they are sold differ within their limits; here each was drawn by chance (seed %d). Of 100 consoles 5 lie below "+
			"the low figure, half below the usual one, 5 above the high one.", s.Seed))
	add := func(name, in string, p result.Percentiles, scale float64, k int) {
		t.Add(name, in, table.Fixed(scale*p.P5, k), table.Fixed(scale*p.P50, k), table.Fixed(scale*p.P95, k))
	}
	for _, p := range s.Panels {
		add("light of "+p.Panel, "% of asked", p.Light, 100, 0)
	}
	if len(s.Panels) > 1 {
		add("darkest panel", "% of brightest", s.Evenness, 100, 0)
	}
	add("current from the supply", "A", s.DemandA, 1, 3)
	return t
}

// Strings is a board's strings.
func Strings(p result.PanelBoard) table.Table {
	t := table.New("Strings of "+p.Name, table.Text("resistor"), table.Number("value", ""), table.Number("rated", "mW"), table.Number("at worst", "mW"),
		table.Number("LEDs", ""), table.Number("current", "mA"), table.Number("least", "mA"), table.Number("most", "mA"), table.Long("which LEDs")).
		Read("A string is a resistor and the LEDs in series with it, so that one current flows through all. 560R is 560 ohms, 1k3 is 1300. " +
			"The resistor turns the power at worst into heat; least and most are the current with voltage and parts at their limits.")
	for _, s := range p.Strings {
		t.Add(s.Resistor, part.Ohm(s.Ohms).Code(), table.Plain(1e3*s.RatedW), table.Fixed(1e3*s.WorstW, 0), len(s.LEDs), table.Fixed(1e3*s.TypicalA, 1),
			table.Fixed(1e3*s.MinA, 1), table.Fixed(1e3*s.MaxA, 1), strings.Join(s.LEDs, " "))
	}
	return t
}

// percent returns a share in hundredths, with k decimals.
func percent(v float64, k int) string { return table.Fixed(100*v, k) }
