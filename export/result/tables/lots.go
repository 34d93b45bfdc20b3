package tables

import (
	"lampblack/export/result"
	"lampblack/export/table"
	"lampblack/led/part"
)

// Lots is what LEDs as they are sold do to a panel's words, and resistors for a lot of another brightness; tables without rows where
// nothing is known.
func Lots(c result.Console) []table.Table {
	even := table.New("LEDs as they are sold", table.Text("panel"), table.Number("LEDs", ""), table.Number("spares", ""), table.Number("all alike", "%"), table.Number("one lot", "%"),
		table.Number("mixed lots", "%")).
		Read("How bright the darkest word is, of the mean of all words: with LEDs that are all alike, and what 95 of 100 panels keep with LEDs of one lot (one bag, one bin), or each of another lot. " +
			"Buy all LEDs of a panel from one lot, with the spares: of each board and kind two at least, one in twenty. " +
			"Test one LED of each lot before you solder any: at 5 V through 680 ohms it lights when the lead that you take for the anode, usually the longer one, is at plus, and stays dark the other way round. " +
			"5 V is what LEDs stand in reverse; the console's voltage is more, so do not test with that, and never without the resistor. If the lots differ, believe the test and not the drawing.")
	for _, p := range c.Panels {
		if p.Light == nil || p.Light.Lots == nil {
			continue
		}
		n := len(p.Holes.LED)
		even.Add(p.Name, n, p.Spares(), percent(p.Light.Lots.Typical, 0), percent(p.Light.Lots.OneLot.P5, 0), percent(p.Light.Lots.Mixed.P5, 0))
	}
	columns := []table.Column{table.Text("board"), table.Text("kind"), table.Number("LEDs", "in a string"), table.Number("as built", "")}
	for _, r := range result.LotRatios() {
		columns = append(columns, table.Number(table.Plain(r)+" times", ""))
	}
	other := table.New("Resistors for another lot", columns...).
		Read("When LEDs of a further lot are so many times as bright at the same current, photographed side by side, these resistors make them match. A dash: they would no longer look alike, or not stand it; dim them as a group of their own.")
	for _, a := range c.AnotherLots {
		row := []any{a.Panel, a.Kind, a.LEDs, part.Ohm(a.Ohms).Code()}
		for _, o := range a.For {
			if o == 0 {
				row = append(row, "–")
			} else {
				row = append(row, part.Ohm(o).Code())
			}
		}
		other.Add(row...)
	}
	return []table.Table{even, other}
}
