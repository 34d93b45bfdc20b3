package tables

import (
	"lampblack/export/result"
	"lampblack/export/table"
)

// Sheets is what the laser cuts.
func Sheets(c result.Console) table.Table {
	t := table.New("Sheets to cut", table.Text("panel"), table.Text("sheet"), table.Text("material"), table.Number("sold as", "mm"), table.Text("comes out as, mm"), table.Number("width", "mm"),
		table.Number("height", "mm"), table.Number("holes", ""), table.Number("cuts", "m"), table.Number("engraved", "cm2"), table.Text("file shows it from")).
		Read("Each sheet lies beside its panel's board as SVG and as DXF, at true size.")
	for _, p := range c.Panels {
		for _, s := range p.Sheets {
			engraved, from := "", "the front"
			if s.Engraved > 0 {
				engraved = table.Fixed(s.Engraved/100, 1)
			}
			if s.Behind {
				from = "behind"
			}
			t.Add(s.Of, sheetName(s.Name), s.Material, table.Plain(s.Thickness), comesOut(s), table.Fixed(s.Width, 2), table.Fixed(s.Height, 2), s.Holes,
				table.Fixed(s.Cut/1e3, 2), engraved, from)
		}
	}
	return t
}

// sheetName is a sheet as people call it.
func sheetName(name string) string {
	if name == "led" {
		return "LED sheet"
	}
	return name
}

// comesOut is how thick a sheet is in the end.
func comesOut(s result.Sheet) string {
	switch {
	case s.Most == 0:
		return ""
	case s.Measured:
		return table.Plain((s.Least+s.Most)/2) + ", measured"
	}
	return table.Plain(s.Least) + " to " + table.Plain(s.Most)
}
