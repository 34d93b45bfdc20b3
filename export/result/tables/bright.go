package tables

import (
	"fmt"
	"slices"
	"strings"

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
	least := slices.ContainsFunc(b.Dimmers, func(d result.Dimmer) bool { return d.Least > 0 })
	if len(b.Dimmers) > 0 {
		columns = append(columns, table.Number("at the full mark", "cd/m2"))
		if least {
			columns = append(columns, table.Number("at the least mark", "cd/m2"))
		}
		how = "Asked for are " + wished(*b) + ". Currents are such that panels match, and no less than LEDs look alike at; where that is more light than is asked for, the dimmer takes the rest. " +
			"LEDs of one kind differ by a factor of two from lot to lot: measure."
	}
	t := table.New("Brightness", columns...).Read(how)
	for _, p := range b.Panels {
		row := slices.Concat([]any{p.Panel, p.Colour}, group(p.Group), []any{p.LEDs, table.Fixed(1e3*p.CurrentA, 2), digits(p.Level)})
		if len(b.Dimmers) > 0 {
			full, night := "", ""
			for _, d := range b.Dimmers {
				if d.Group == p.Group {
					if full = digits(p.Level * d.Full); d.Least > 0 {
						night = digits(p.Level * d.Night)
					}
				}
			}
			if row = append(row, full); least {
				row = append(row, night)
			}
		}
		t.Add(row...)
	}
	all := []table.Table{t}
	if len(b.Dimmers) > 0 {
		all = append(all, dimmers(*b, grouped, least, group))
	}
	return all
}

// wished says which levels are asked for: once where they are the same of all dimmers.
func wished(b result.Bright) string {
	var parts []string
	for _, d := range b.Dimmers {
		one := fmt.Sprintf("%s cd/m2 at the dimmer's full mark", digits(d.Most))
		if d.Least > 0 {
			one += " and " + digits(d.Least) + " at its least"
		}
		if one += ofGroup(d); !slices.Contains(parts, one) {
			parts = append(parts, one)
		}
	}
	return strings.Join(parts, "; ")
}

// ofGroup names a dimmer's group where that has levels of its own.
func ofGroup(d result.Dimmer) string {
	if d.Camera == nil {
		return ""
	}
	return " for group " + d.Group
}

// dimmers is what each dimmer must do, and how to check that with a camera.
func dimmers(b result.Bright, grouped, least bool, group func(string) []any) table.Table {
	columns := []table.Column{}
	if grouped {
		columns = append(columns, table.Text("group"))
	}
	columns = append(columns, table.Number("full on", "cd/m2"), table.Number("full mark", "% of the time"))
	if least {
		columns = append(columns, table.Number("least mark", "% of the time"), table.Number("range", ": 1"))
	}
	columns = append(columns, table.Number("bits", ""), table.Number("one step", "cd/m2"))
	if least {
		columns = append(columns, table.Number("step at the least mark", "%"), table.Number("bits wanted", ""))
	}
	how := "A dimmer switches the supply wire on and off, 1250 times a second or more. "
	if least {
		how += "With the bits that are wanted one step is at most a tenth of the least level, which hardly shows. "
	}
	t := table.New("Dimmer", columns...).Read(how + checked(b))
	if grouped {
		t.Title = "Dimmers"
	}
	for _, d := range b.Dimmers {
		row := append(group(d.Group), digits(d.Level), digits(100*d.Full))
		some := d.Least > 0
		switch {
		case some:
			row = append(row, digits(100*d.Night), digits(d.Range))
		case least:
			row = append(row, "", "")
		}
		row = append(row, d.Has, digits(d.Step))
		switch {
		case some:
			row = append(row, digits(100*d.Step/d.Least), d.Bits)
		case least:
			row = append(row, "", "")
		}
		t.Add(row...)
	}
	return t
}

// checked says how to check the levels with a camera.
func checked(b result.Bright) string {
	var times []string
	f, iso := 0.0, 0.0
	for _, d := range b.Dimmers {
		k := d.Camera
		if k == nil {
			k = b.Camera
		}
		if k == nil {
			continue
		}
		one := digits(k.Full) + " s at the full mark"
		if k.Night > 0 {
			one += " or " + digits(k.Night) + " s at the least"
		}
		if one += ofGroup(d); !slices.Contains(times, one) {
			times = append(times, one)
		}
		f, iso = k.F, k.ISO
	}
	return fmt.Sprintf("To check it: in the dark, with the camera on a stand, all by hand, f/%s, ISO %s and %s give lettering of a mid grey, about 118 of 255. "+
		"Twice the time for the same grey is half the light. Cameras err with light of one colour, by up to twice: "+
		"the same exposure tells more surely whether two panels match.", table.Plain(f), table.Plain(iso), strings.Join(times, ", "))
}

// digits writes a value as light is told.
func digits(v float64) string { return bright.Shown(v) }
