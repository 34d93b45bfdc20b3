package tables

import (
	"fmt"

	"lampblack/export/result"
	"lampblack/export/table"
)

// Screws is what goes into the mounts, alike ones together.
func Screws(c result.Console) table.Table {
	t := table.New("Screws and spacers", table.Text("panel"), table.Number("mounts", ""), table.Number("hole", "mm"), table.Number("slot in the sheets", "mm"), table.Text("screw"),
		table.Number("front spacer", "mm"), table.Number("rear spacer", "mm"), table.Number("LEDs above board", "mm"), table.Number("stands out", "mm"), table.Text("holds")).
		Read("From the front: the screw with its head on the face, through face and diffuser, the front spacer, the LED sheet, the rear spacer and the board; " +
			"behind it a washer and a nut, beyond which two turns of the thread show. Spacers are as long as the gap, and as the tallest LED wants the board " +
			"away from the LED sheet; LEDs are soldered so much above the board that their tips come to where the stack has them. " +
			"Where the sheets grow much against a board they have one round hole for its screws, and slots of the lengths told at the others.")
	type row struct {
		panel string
		s     result.Screw
	}
	count := map[row]int{}
	var rows []row
	for _, p := range c.Panels {
		for _, s := range p.Screws {
			s.X, s.Y = 0, 0
			r := row{p.Name, s}
			if count[r]++; count[r] == 1 {
				rows = append(rows, r)
			}
		}
	}
	for _, r := range rows {
		s := r.s
		holds := "sheets"
		if s.Board != "" {
			holds = "sheets and board " + s.Board
		}
		t.Add(r.panel, count[r], table.Plain(s.D), length(s.Slot), screw(s), length(s.Front), length(s.Rear), length(s.Above), length(s.Out), holds)
	}
	return t
}

// screw is a screw as it is bought.
func screw(s result.Screw) string {
	switch {
	case s.Thread == "":
		return "your choice"
	case s.Length == 0:
		return s.Thread + " threaded rod"
	}
	return fmt.Sprintf("%s x %v", s.Thread, s.Length)
}

// length is one that there may be none of.
func length(mm float64) string {
	if mm == 0 {
		return ""
	}
	return table.Plain(mm)
}
