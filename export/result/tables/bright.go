package tables

import (
	"fmt"
	"slices"

	"lampblack/export/result"
	"lampblack/export/table"
	"lampblack/led/bright"
)

// Bright is how bright the lettering is, and what its dimmers must do; nothing where it is not known.
func Bright(c result.Console) []table.Table {
	b := c.Bright
	if b == nil {
		return nil
	}
	grouped := slices.ContainsFunc(b.Panels, func(p result.Shine) bool { return p.Group != "" })
	group := func(name string) []any {
		if !grouped {
			return nil
		}
		if name == "" {
			name = "none"
		}
		return []any{name}
	}
	columns := []table.Column{table.Text("panel"), table.Text("colour")}
	if grouped {
		columns = append(columns, table.Text("group"))
	}
	columns = append(columns, table.Number("LEDs", ""), table.Number("current", "mA"), table.Number("full on", "cd/m2"))
	how := "The luminance of the lettering in the mean. LEDs of one kind differ by a factor of two from lot to lot, and so may this."
	if b.Full > 0 {
		columns = append(columns, table.Number("at the full mark", "cd/m2"))
		how = fmt.Sprintf("Asked for are %s cd/m2 at the dimmer's full mark", digits(b.Full))
		if b.Night > 0 {
			columns = append(columns, table.Number("at the least mark", "cd/m2"))
			how += " and " + digits(b.Night) + " at its least"
		}
		how += ". Currents are such that panels match, and no less than LEDs look alike at; where that is more light than is asked for, the dimmer takes the rest. " +
			"LEDs of one kind differ by a factor of two from lot to lot: measure."
	}
	t := table.New("Brightness", columns...).Read(how)
	for _, p := range b.Panels {
		row := slices.Concat([]any{p.Panel, p.Colour}, group(p.Group), []any{p.LEDs, table.Fixed(1e3*p.CurrentA, 2), digits(p.Level)})
		if b.Full > 0 {
			full, night := 1.0, 0.0
			for _, d := range b.Dimmers {
				if d.Group == p.Group {
					full, night = d.Full, d.Night
				}
			}
			row = append(row, digits(p.Level*full))
			if b.Night > 0 {
				row = append(row, digits(p.Level*night))
			}
		}
		t.Add(row...)
	}
	all := []table.Table{t}
	if len(b.Dimmers) > 0 {
		all = append(all, dimmers(*b, grouped, group))
	}
	return all
}

// dimmers is what each dimmer must do, and how to check that with a camera.
func dimmers(b result.Bright, grouped bool, group func(string) []any) table.Table {
	columns := []table.Column{}
	if grouped {
		columns = append(columns, table.Text("group"))
	}
	columns = append(columns, table.Number("full on", "cd/m2"), table.Number("full mark", "% of the time"))
	if b.Night > 0 {
		columns = append(columns, table.Number("least mark", "% of the time"), table.Number("range", ": 1"))
	}
	columns = append(columns, table.Number("bits", ""), table.Number("one step", "cd/m2"))
	if b.Night > 0 {
		columns = append(columns, table.Number("step at the least mark", "%"), table.Number("bits wanted", ""))
	}
	how := "A dimmer switches the supply wire on and off, 1250 times a second or more. "
	if b.Night > 0 {
		how += "With the bits that are wanted one step is at most a tenth of the least level, which hardly shows. "
	}
	if k := b.Camera; k != nil {
		how += fmt.Sprintf("To check it: in the dark, with the camera on a stand, all by hand, f/%s, ISO %s and %s s at the full mark", table.Plain(k.F), table.Plain(k.ISO), digits(k.Full))
		if k.Night > 0 {
			how += fmt.Sprintf(", or %s s at the least,", digits(k.Night))
		}
		how += " give lettering of a mid grey, about 118 of 255. Twice the time for the same grey is half the light. Cameras err with light of one colour, by up to twice: " +
			"the same exposure tells more surely whether two panels match."
	}
	t := table.New("Dimmer", columns...).Read(how)
	if grouped {
		t.Title = "Dimmers"
	}
	for _, d := range b.Dimmers {
		row := append(group(d.Group), digits(d.Level), digits(100*d.Full))
		if b.Night > 0 {
			row = append(row, digits(100*d.Night), digits(d.Range))
		}
		row = append(row, b.Bits, digits(d.Step))
		if b.Night > 0 {
			row = append(row, digits(100*d.Step/b.Night), d.Bits)
		}
		t.Add(row...)
	}
	return t
}

// digits writes a value as light is told.
func digits(v float64) string { return bright.Shown(v) }
