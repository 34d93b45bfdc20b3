package tables

import (
	"lampblack/export/result"
	"lampblack/export/table"
)

// Groups is the currents of each supply conductor, where LEDs are dimmed in groups; without rows where they are not.
func Groups(c result.Console) table.Table {
	t := table.New("Groups of LEDs, each with a conductor of its own; currents all full on", table.Text("panel"), table.Number("pin", ""), table.Text("sign"),
		table.Number("LEDs", ""), table.Number("they draw", "A"), table.Number("at worst", "A"), table.Number("feed", "A"), table.Number("feed at worst", "A"),
		table.Number("dimmed to", "%"))
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
			t.Add(q.Name, g.Pin, g.Sign, g.LEDs, table.Fixed(g.TypicalA, 3), table.Fixed(g.WorstA, 3), table.Fixed(f.A, 3), table.Fixed(f.WorstA, 3), percent(g.Duty, 0))
		}
	})
	return t
}
