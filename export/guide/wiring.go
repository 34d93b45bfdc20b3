package guide

import (
	"fmt"
	"strings"

	"lampblack/export/paper"
	"lampblack/export/wires"
)

// buying is the list of what is bought, the same as in parts.csv.
func (c Console) buying() []paper.Block {
	list := c.Buy
	list.Title, list.Reading = "Parts", "As in parts.csv, which tells as well where each part goes."
	notes := paper.Points{
		"The supply: " + c.Supply + "." + c.fuses(),
		"The boards stand in order.csv. LEDs of one kind from one lot, spares with them: lots differ by a factor of two.",
		"Not in the list: the supply, the case, what sits in the openings, dimmers.",
	}
	if c.Copies > 1 {
		notes = append(paper.Points{fmt.Sprintf("Quantities are for all %d consoles to make, here and in parts.csv and order.csv; the steps below are those of each.", c.Copies)}, notes...)
	}
	return []paper.Block{paper.Chapter{Title: "What to buy"}, notes, paper.Grid{Table: list, Tick: true}}
}

// wiring is how the wires between the boards are made.
func (c Console) wiring() []paper.Block {
	if len(c.Cuts) == 0 {
		return nil
	}
	out := []paper.Block{paper.Chapter{Title: "Wires"}, paper.Points(wires.Notes(c.Cuts, c.Idle))}
	if len(c.Lost) > 0 {
		out = append(out, paper.Mind{"Not built: " + strings.Join(c.Lost, ", ") + ". Wires to and from it are listed as for a screw terminal; make them once it is."})
	}
	for i, p := range c.Harness {
		caption := "The harness, as in harness.svg."
		if n := len(c.Harness); n > 1 {
			caption = fmt.Sprintf("The harness, as in harness.svg, part %d of %d.", i+1, n)
		}
		out = append(out, paper.Figures{{Page: p, Caption: caption, Alt: "Drawing of the wires: feeds with their connectors, pins, colours and lengths, as the list below has them"}})
	}
	return append(out, paper.Grid{Table: wires.Table(c.Cuts, 1), Tick: true},
		paper.Section("How the ends are made"), paper.Points(wires.Makings(c.Cuts)),
		paper.Section("Before a feed is put in"), paper.Steps{
			"Meter on ohms: each wire from end to end below 1 Ω, any two of the same feed over range.",
			"At both ends the same colour at the same sign: plus and minus exchanged at one end keep every board behind it dark.",
			"Pull at each end: it stays. Nothing bare is seen outside of a terminal or plug.",
		})
}
