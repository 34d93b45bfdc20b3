package tables

import (
	"lampblack/export/result"
	"lampblack/export/table"
)

// Relit is a panel's LEDs placed anew: the light, what follows, and the parts, before and after.
func Relit(r result.Relit) []table.Table {
	light := table.New("Light of the lettering of "+r.Panel, table.Text("placement"), table.Number("LEDs", ""), table.Number("average", "cd/m2"),
		table.Number("darkest place", "% of average"), table.Number("brightest to darkest", ""), table.Number("spread", "% of average")).
		Read("The nearer the darkest place is to 100 % of the average, the more evenly the lettering is lit. The spread is the standard deviation over its area.")
	row := func(what string, n int, l result.Glow) {
		if n == 0 || l.Mean == 0 {
			light.Add(what, n, "", "", "", "")
			return
		}
		light.Add(what, n, table.Fixed(l.Mean, 1), percent(l.MinToMean, 0), table.Fixed(l.MaxToMin, 1)+" : 1", percent(l.Spread, 0))
	}
	for _, c := range r.Colours {
		row(c.Name+", as drawn", c.Drawn, c.Before)
		row(c.Name+", plain grid", c.OnGrid, c.Grid)
		row(c.Name+", relit", c.LEDs, c.After)
	}
	if len(r.Colours) > 0 {
		light = light.Read("The nearer the darkest place is to 100 % of the average, the more evenly the lettering is lit. The spread is the standard deviation over its area. " +
			"Each colour is judged on the words that are its as drawn: where it gives the most light, or a quarter of what it gives its brightest word.")
		return tabled(light, r)
	}
	row("as drawn", r.Before.LEDs, r.Before.Light)
	row("plain grid", r.GridLEDs, r.Grid)
	row("relit", r.After.LEDs, r.After.Light)
	return tabled(light, r)
}

// tabled is the light and what follows from it.
func tabled(light table.Table, r result.Relit) []table.Table {
	follows := table.New("What follows", table.Text(""), table.Number("before", ""), table.Number("after", ""))
	before, after := consequences(r.Before), consequences(r.After)
	for i, what := range []string{"strings", "current of an LED, mA", "board takes, mA", "console at worst, A", "supply", "tracks, m", "connections not made", "board"} {
		follows.Add(what, before[i], after[i])
	}

	parts := table.New("Parts of the board", table.Text("part"), table.Number("before", ""), table.Number("after", ""))
	for _, p := range r.Parts {
		parts.Add(p.Part, p.Before, p.After)
	}
	return []table.Table{light, follows, parts}
}

// consequences is what follows from a placement, empty where it is not known.
func consequences(p result.Placement) [8]any {
	out := [8]any{len(p.Strings), current(p.Strings), "", "", "", "", "", "none"}
	sum := 0.0
	for _, s := range p.Strings {
		sum += s.TypicalA
	}
	out[2] = table.Fixed(1e3*sum, 0)
	if s := p.Supply; s != nil {
		out[3], out[4] = table.Fixed(s.DemandA, 3), s.Verdict
	}
	if b := p.Board; b != nil {
		out[5], out[6] = table.Fixed(b.TrackMM/1e3, 2), b.Unrouted
	}
	if p.Board != nil || p.Stopped != "" {
		out[7] = state(p.Stopped, false)
	}
	return out
}

// current is the least and the greatest nominal current of strings, mA.
func current(all []result.String) string {
	if len(all) == 0 {
		return ""
	}
	lo, hi := all[0].TypicalA, all[0].TypicalA
	for _, s := range all {
		lo, hi = min(lo, s.TypicalA), max(hi, s.TypicalA)
	}
	least, most := table.Fixed(1e3*lo, 1), table.Fixed(1e3*hi, 1)
	if least == most {
		return least
	}
	return least + " .. " + most
}
