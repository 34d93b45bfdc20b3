package parts

import (
	"slices"
	"strings"

	"lampblack/export/table"
)

// Bought is a row of a list of parts, as whoever prices it wants it.
type Bought struct {
	Names            []string // that it goes by, the closest last: also the user's own number
	Number           string   // the user's own; empty: none
	What             string   // "resistor 4k7 (r-1206)"
	Quantity, Spares string   // decimals; no spares: empty
	Unit             string   // "m" of wire; empty: pieces
	Price            string   // that the project tells; empty: none
}

// Bill returns the rows of a list with the user's own columns (WithOwn), but those of which nothing is bought.
func Bill(t table.Table) []Bought {
	var all []Bought
	for _, row := range t.Rows {
		cell := func(column string) string {
			i := slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Name == column })
			if i < 0 {
				return ""
			}
			return row[i]
		}
		b := Bought{Names: names(t, row), What: strings.TrimSpace(cell("part") + " " + cell("value")), Quantity: cell("quantity"), Spares: cell(Beyond), Price: cell("price")}
		if b.Quantity == "0" {
			continue
		}
		if body := cell("package"); body != "" {
			b.What += " (" + body + ")"
		}
		if b.Number = cell("number"); b.Number != "" {
			b.Names = append(b.Names, b.Number)
		}
		if cell("part") == wire {
			b.Unit = "m"
		}
		all = append(all, b)
	}
	return all
}
