package flow

import (
	"slices"

	"lampblack/export/parts"
	"lampblack/panel/geom"
)

// clearAcrylic is what faces are made of.
const clearAcrylic = "clear acrylic"

// sheetWords are what sheets are called, by their names in result.json: as in the price list, and for people.
func sheetWords(name string) (kind, words string) {
	switch name {
	case "led":
		return "led_sheet", "LED sheet"
	case "spacer":
		return name, "spacer sheet"
	}
	return name, name
}

// acrylic is the sheets to buy for so many consoles: of stock, as they are nested, and a piece for each panel of what no stock is told for,
// or is too small for.
func (s *session) acrylic(out *Outcome, copies int) []parts.Sheet {
	copies = max(1, copies)
	sheets := s.stockFor(out, copies)
	stock := make([]parts.Sheet, len(out.Nests))
	var pieces []parts.Sheet
	for _, b := range out.Built {
		if !b.written() {
			continue
		}
		for _, q := range s.sheetsOf(b) {
			one := parts.Sheet{Material: q.Material, W: geom.MM(q.Width), H: geom.MM(q.Height), Thickness: geom.MM(q.Thickness), Count: copies, Panel: q.Of}
			if one.Kind, one.Words = sheetWords(q.Name); one.Kind == "face" {
				one.Material = clearAcrylic // which side is painted is no matter of buying
			}
			n := slices.IndexFunc(out.Nests, func(n Nested) bool { return n.Sheet == one.Kind })
			if n < 0 || slices.Contains(out.Nests[n].TooLarge, b.Panel.Name) {
				pieces = append(pieces, one)
				continue
			}
			one.W, one.H, one.Count, one.Panel = geom.MM(out.Nests[n].Width), geom.MM(out.Nests[n].Height), sheets[one.Kind], ""
			stock[n] = one
		}
	}
	stock = slices.DeleteFunc(stock, func(p parts.Sheet) bool { return p.Count == 0 })
	return append(stock, pieces...)
}
