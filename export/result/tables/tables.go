// Package tables makes the tables that people see of a result, each in one place for the terminal and the report.
//
// In go types of export/result, so that whoever has a result.json can show the same; out come tables of export/table.
package tables

import (
	"fmt"
	"slices"
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
	dimmed := dims(c)
	if dimmed {
		how += " Full on is with all groups on at once, the mean with each on for its share of the time; the voltage is the one full on, of the least of the " +
			"conductors that have LEDs there."
	}
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
		carries := []table.Column{table.Number("carries", "A")}
		if dimmed {
			carries = []table.Column{table.Number("carries full on", "A"), table.Number("in the mean", "A")}
		}
		t := table.New(title, slices.Concat([]table.Column{table.Text("panel"), table.Text("wire"), table.Number("length", "mm")}, carries, []table.Column{
			table.Number("at worst", "A"), table.Number("may carry", "A"), table.Number("at the board", "V"), table.Number("LED current", "% of asked")})...).
			Read(how)
		how = "" // once for all
		feed := func(name string, k result.Link, volts, asked string) {
			row := []any{name, k.Wire, table.Fixed(k.FeedMM, 0), table.Fixed(k.SegmentA, 3)}
			if dimmed {
				row = append(row, table.Fixed(k.SegmentMeanA, 3))
			}
			t.Add(append(row, table.Fixed(k.SegmentWorstA, 3), atMost(k.WireA), volts, asked)...)
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

// atMost writes a limit to hundredths and never above it: 24 AWG carries 0.614 A, which is 0.61.
func atMost(v float64) string { return table.Plain(float64(part.Amp(v).Allowed())) }

// Supply is the supply, its battery where it is one, and the verdict.
func Supply(s result.Supply) []table.Table {
	const how = "At worst means every part and the voltage at its unluckiest limit. The verdict is ok up to 80 % of the rating, tight up to 100 %, over above, none where nothing can be said."
	share := func(amps float64) string {
		if s.RatedA <= 0 {
			return ""
		}
		return percent(amps/s.RatedA, 0)
	}
	first := []table.Column{table.Number("voltage", "V"), table.Number("rated", "A")}
	last := []table.Column{table.Number("boards at worst", "A"), table.Number("other loads", "A"), table.Number("all at worst", "A"), table.Number("of its rating", "%"), table.Text("verdict")}
	end := []any{table.Fixed(s.WorstA, 3), table.Fixed(s.OtherA, 3), table.Fixed(s.DemandA, 3), share(s.DemandA), s.Verdict}
	var t table.Table
	if float64(s.PeakA-s.TypicalA) > 1e-3*s.PeakA {
		t = table.New("Supply", slices.Concat(first, []table.Column{table.Number("boards in the mean", "A"), table.Number("all in the mean, of its rating", "%"), table.Number("boards full on", "A")}, last)...).
			Read("Full on is while all dimmed groups are on at once, which the supply must stand each time; the mean is what warms it and empties a battery. " + strings.Replace(how, "means", "means full on, with", 1))
		t.Add(append([]any{Volts(s.Volts), table.Plain(s.RatedA), table.Fixed(s.TypicalA, 3), share(s.TypicalA + s.OtherA), table.Fixed(s.PeakA, 3)}, end...)...)
	} else {
		t = table.New("Supply", slices.Concat(first, []table.Column{table.Number("boards", "A")}, last)...).Read(how)
		t.Add(append([]any{Volts(s.Volts), table.Plain(s.RatedA), table.Fixed(s.TypicalA, 3)}, end...)...)
	}
	all := []table.Table{t}
	if len(s.Switching) > 0 {
		all = append(all, switching(s))
	}
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

// switching is what switching on each of the other loads does.
func switching(s result.Supply) table.Table {
	how := fmt.Sprintf("Everything else is on, and the load's current flows through %s ohm inside the supply. Boards, however many, have no inrush of their own: resistors and LEDs hold nothing "+
		"that is charged first. Of other loads the moment is told where the project gives their inrush.", table.Plain(s.Ohms))
	if s.SwitchOnA > 0 {
		how += fmt.Sprintf(" All switched on at once asks for %s at most.", part.Amp(s.SwitchOnA).Rounded())
	}
	t := table.New("When another load is switched on", table.Text("load"), table.Number("supply before", "V"), table.Number("after", "V"), table.Number("light after", "%"),
		table.Number("for a moment", "V"), table.Number("light in that moment", "%")).Read(how)
	for i, x := range s.Switching {
		name, volts, light := x.Load, "", ""
		if name == "" {
			name = fmt.Sprintf("load %d", i+1)
		}
		if x.Inrush != nil {
			volts, light = table.Fixed(x.Inrush.Volts, 2), percent(x.Inrush.Light, 0)
		}
		t.Add(name, table.Fixed(x.Before, 2), table.Fixed(x.After, 2), percent(x.Light, 0), volts, light)
	}
	return t
}

// dims reports whether any LEDs of the console are on for a part of the time alone.
func dims(c result.Console) bool {
	return slices.ContainsFunc(c.Chains, func(k result.Chain) bool {
		return slices.ContainsFunc(k.Links, func(l result.Link) bool { return l.SegmentMeanA > 0 })
	})
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
	add("all loads on the supply", "A", s.DemandA, 1, 3)
	return t
}

// Strings is a board's strings.
func Strings(p result.PanelBoard) table.Table {
	columns := []table.Column{table.Text("resistor"), table.Number("value", ""), table.Number("rated", "mW"), table.Number("at worst", "mW"),
		table.Number("LEDs", ""), table.Number("current", "mA"), table.Number("least", "mA"), table.Number("most", "mA"), table.Long("which LEDs")}
	several := slices.ContainsFunc(p.Strings, func(s result.String) bool { return s.Kind != p.Strings[0].Kind })
	if several {
		columns = append(columns, table.Text("kind"))
	}
	t := table.New("Strings of "+p.Name, columns...).
		Read("A string is a resistor and the LEDs in series with it, so that one current flows through all. 560R is 560 ohms, 1k3 is 1300. " +
			"The resistor turns the power at worst into heat; least and most are the current with voltage and parts at their limits.")
	for _, s := range p.Strings {
		row := []any{s.Resistor, part.Ohm(s.Ohms).Code(), table.Plain(1e3 * s.RatedW), table.Fixed(1e3*s.WorstW, 0), len(s.LEDs), table.Fixed(1e3*s.TypicalA, 1),
			table.Fixed(1e3*s.MinA, 1), table.Fixed(1e3*s.MaxA, 1), strings.Join(s.LEDs, " ")}
		if several {
			row = append(row, s.Kind)
		}
		t.Add(row...)
	}
	return t
}

// percent returns a share in hundredths, with k decimals.
func percent(v float64, k int) string { return table.Fixed(100*v, k) }
