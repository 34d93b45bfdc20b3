package tables

import (
	"lampblack/export/result"
	"lampblack/export/table"
)

// Groups is the currents of each supply conductor, where LEDs are dimmed in groups; without rows where they are not.
func Groups(c result.Console) table.Table {
	t := table.New("Groups of LEDs, each with a conductor of its own", table.Text("panel"), table.Number("pin", ""), table.Text("sign"),
		table.Number("LEDs", ""), table.Number("full on", "A"), table.Number("in the mean", "A"), table.Number("at worst", "A"), table.Number("feed full on", "A"), table.Number("feed at worst", "A"),
		table.Number("dimmed to", "%")).
		Read("A dimmed group is on for a share of the time, and then fully: wires, fuse and supply must stand the full current, heat and " +
			"battery see the mean. At worst is full on, with every part and the voltage at its unluckiest limit.")
	feed := map[string]result.Current{} // by panel and group
	for _, chain := range c.Chains {
		for _, k := range chain.Links {
			for _, g := range k.Groups {
				feed[k.Panel+"\n"+g.Group] = g
			}
		}
	}
	each(c, func(_ result.Panel, q result.PanelBoard) {
		for _, g := range q.Groups {
			f := feed[q.Name+"\n"+g.Name]
			t.Add(q.Name, g.Pin, g.Sign, g.LEDs, table.Fixed(g.TypicalA, 3), table.Fixed(g.MeanA, 3), table.Fixed(g.WorstA, 3), table.Fixed(f.A, 3), table.Fixed(f.WorstA, 3), percent(g.Duty, 0))
		}
	})
	return t
}
