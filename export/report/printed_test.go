package report_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/report"
	"lampblack/led"
	"lampblack/panel/geom"
)

// told is README.txt as one line.
func told(b board.Board) string {
	p := pack()
	p.Board = b
	return strings.Join(strings.Fields(string(report.ReadMe(export.Lower(b), p))), " ")
}

// README.txt speaks of what is printed on this very board: what found no room is told as such or not at all.
func TestReadMeTellsWhatIsPrinted(t *testing.T) {
	b := exporttest.Desk()
	b.Words = nil
	bare := told(b)
	require.Contains(t, bare, "J1 is IN, toward the supply; J2 is OUT, to the next board; the words IN and OUT found no room on the board")
	require.Contains(t, bare, "1 is +, 2 is -; printed at the pins, but for want of room nothing at pin 1 of J1, nothing at pin 2 of J1, nothing at pin 1 of J2, nothing at pin 2 of J2")
	require.Contains(t, bare, "LED: square = flat side = - (not printed, for want of room)")
	require.NotContains(t, bare, "a plus is printed")
	require.NotContains(t, bare, "Printed besides")
	require.NotContains(t, bare, "bracket", "no LED of it lies flat")

	whole := b
	for _, p := range b.Parts {
		whole.Words = append(whole.Words, board.Word{What: board.Reference, Of: p.Ref, Text: p.Ref, On: p.On})
		for _, q := range p.Pads {
			if sign := map[string]string{"A": "+", "+": "+", "-": "-"}[q.Function]; sign != "" {
				whole.Words = append(whole.Words, board.Word{What: board.Sign, Of: p.Ref, Pin: q.Pin, Text: sign, On: p.On})
			}
		}
		switch p.Kind {
		case board.Connector:
			whole.Words = append(whole.Words, board.Word{What: board.Place, Of: p.Ref, Text: p.Role.String(), On: p.On})
		case board.Resistor:
			whole.Words = append(whole.Words, board.Word{What: board.Value, Of: p.Ref, Text: p.Value, On: p.On})
		}
	}
	whole.Words = append(whole.Words, board.Word{What: board.Hint, On: geom.Bottom, Text: board.LEDHint(true)},
		board.Word{What: board.Title, On: geom.Top, Text: "dome"}, board.Word{What: board.Title, On: geom.Top, Text: "LED side"})
	s := told(whole)
	require.Contains(t, s, "J1 is IN, toward the supply; J2 is OUT, to the next board Pins 1 is +, 2 is -; printed at each pin")
	require.Contains(t, s, "LED: square = flat side = - (printed on the bottom)")
	require.Contains(t, s, "the longer lead; a plus is printed at the anode.")
	require.Contains(t, s, "the name of each part beside it; the value of each resistor; on the top: dome, LED side.")

	// One word missing is one exception told.
	less := func(ref string, what board.WordUse) board.Board {
		c := whole
		c.Words = slices.DeleteFunc(slices.Clone(whole.Words), func(w board.Word) bool { return w.Of == ref && w.What == what })
		return c
	}
	require.Contains(t, told(less("D2", board.Sign)), "a plus is printed at the anode, but not of D2.")
	require.Contains(t, told(less("D3", board.Reference)), "the name of each part beside it (but not of D3: see the assembly sheet)")
	require.NotContains(t, told(less("R1", board.Value)), "the value of each resistor")

	// A group's pin that bears its number for want of room.
	named := whole
	named.Nets = slices.Clone(whole.Nets)
	named.Nets[led.Supply].Name = "V+.red"
	named.Words = slices.Clone(whole.Words)
	for i, w := range named.Words {
		if w.Of == "J1" && w.Text == "+" {
			named.Words[i].Text = "+1"
		}
		if w.Of == "J2" && w.Text == "+" {
			named.Words[i].Text = "+ red"
		}
	}
	require.Contains(t, told(named), "1 is + red, 2 is -; printed at the pins, but for want of room +1 at pin 1 of J1")
}

// Each group of LEDs is told with its own currents.
func TestReadMeTellsGroups(t *testing.T) {
	p := pack()
	p.Groups = []report.Group{{Name: "red", LEDs: 12, Draws: 0.040, DrawsMost: 0.048, Through: 0.121}, {Name: "white", Through: 1.0456}}
	p.Through = 1.1666
	s := strings.Join(strings.Fields(string(report.ReadMe(export.Lower(exporttest.Desk()), p))), " ")
	require.Contains(t, s, "+ red 12 LEDs: 40 mA, at most 48 mA; its pin of IN carries at most 121 mA")
	require.Contains(t, s, "+ white none of its LEDs on this board; its pin of IN carries at most 1.046 A")
	require.Contains(t, s, "IN carries at most 1.167 A in all, the boards fed through OUT included; so does its pin -, which is common to all groups")
}
