package tables

import (
	"cmp"
	"slices"

	"lampblack/export/result"
	"lampblack/export/table"
)

// Controls is what sits in the openings, alike ones together.
func Controls(c result.Console) table.Table {
	t := table.New("Controls", table.Text("panel"), table.Number("pieces", ""), table.Text("kind"), table.Text("what"), table.Text("clamps"),
		table.Number("thread", "mm"), table.Number("used", "mm"), table.Number("left", "mm"), table.Number("reaches behind front", "mm"), table.Text("key or tab")).
		Read("Used is what the sheets, washers and the nut take of the thread; left is how much more it could take. A key or tab that is to be broken off would want a hole " +
			"in the face, which nobody drew. Sizes of kinds are typical ones of the trade: measure what you bought before you cut.")
	type row struct {
		panel string
		c     result.Control
	}
	count := map[row]int{}
	var rows []row
	for _, p := range c.Panels {
		first := len(rows)
		for _, k := range p.Controls {
			k.Opening, k.X, k.Y, k.Body, k.Left = 0, 0, 0, false, nil // what is left follows from thread and use
			r := row{p.Name, k}
			if count[r]++; count[r] == 1 {
				rows = append(rows, r)
			}
		}
		slices.SortStableFunc(rows[first:], func(a, b row) int { return cmp.Compare(a.c.Kind, b.c.Kind) })
	}
	for _, r := range rows {
		k := r.c
		thread, used, left := "", "", ""
		if k.Thread > 0 {
			thread, used, left = table.Fixed(k.Thread, 1), table.Fixed(k.Used, 1), table.Fixed(k.Thread-k.Used, 1)
		}
		t.Add(r.panel, count[r], k.Kind, k.Words, cmp.Or(k.Clamps, "screwed on"), thread, used, left, table.Fixed(k.Behind, 1),
			map[string]string{"cut": "hole is cut", "off": "break off"}[k.Tab])
	}
	return t
}
