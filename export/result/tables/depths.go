package tables

import (
	"strings"

	"lampblack/export/result"
	"lampblack/export/table"
)

// Depths is how deep each panel is, and what stands highest out of the sides of its boards.
func Depths(c result.Console) table.Table {
	t := table.New("How deep it is", table.Text("panel"), table.Number("before the face", "mm"), table.Number("behind its front", "mm"), table.Text("deepest"),
		table.Number("board's back", "mm"), table.Number("behind the board", "mm"), table.Text("highest there"), table.Number("free before the board", "mm"), table.Text("highest there but LEDs")).
		Read("Depths are from the face's front. What is highest has its height behind it, with plugs and the bend of wires; sizes are typical ones where heights and control_kinds do not tell them. " +
			"side.svg shows each panel from the side.")
	for _, p := range c.Panels {
		d := p.Depth
		if d == nil {
			continue
		}
		if len(d.Boards) == 0 {
			t.Add(p.Name, table.Fixed(d.Before, 1), table.Fixed(d.Behind, 1), d.Deepest, "", "", "", "", "")
		}
		for _, b := range d.Boards {
			name := p.Name
			if len(d.Boards) > 1 {
				name = b.Board
			}
			back := highest(b, "back", false)
			t.Add(name, table.Fixed(d.Before, 1), table.Fixed(d.Behind, 1), d.Deepest, table.Fixed(b.Back, 1), table.Fixed(back.Height, 1), said(back), table.Fixed(b.Room, 1), said(highest(b, "front", true)))
		}
	}
	return t
}

// highest is what stands highest out of a side of a board.
func highest(b result.Standing, side string, noLEDs bool) result.StandOut {
	for _, s := range b.Sides {
		if s.Side == side && !(noLEDs && s.Of == "LED") {
			return s
		}
	}
	return result.StandOut{}
}

func said(s result.StandOut) string {
	if s.Kind == "" {
		return ""
	}
	return strings.TrimSpace(s.Kind+" "+strings.TrimPrefix(s.What, "body")) + ", " + table.Fixed(s.Height, 1)
}
