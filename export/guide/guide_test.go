package guide

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/paper"
	"lampblack/export/table"
	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/led/expect"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// small is a console of one board with one string of two LEDs.
func small() Console {
	pad := func(function string, net led.NetID, x float64) board.Pad {
		return board.Pad{Pin: function, Function: function, Net: net, At: geom.PtMM(x, 0), Shape: board.Round, W: geom.MM(1.8), H: geom.MM(1.8), Through: true}
	}
	k, _ := part.Find("red-3mm")
	b := board.Board{Name: "dome", Parts: []board.Part{
		{Ref: "J1", Kind: board.Connector, Role: led.In, Pads: []board.Pad{pad("+", 1, 0), pad("-", 2, 3.5)}},
		{Ref: "D1", Kind: board.LED, Value: k.Name, Pads: []board.Pad{pad("A", 3, 10), pad("K", 4, 12.54)}},
		{Ref: "R1", Kind: board.Resistor, Value: "1k", Pads: []board.Pad{pad("", 1, 14.7), pad("", 3, 22)}},
	}}
	s := expect.String{Name: "S1", Resistor: "R1", LEDs: []string{"D1", "D2"}, Kind: k, Ohms: expect.Span{Least: 950, Usual: 1000, Most: 1050},
		Amps: expect.Span{Least: 0.007, Usual: 0.008, Most: 0.009}, Drop: expect.Span{Least: 7.1, Usual: 8, Most: 8.9}, Lit: expect.Span{Least: 1.8, Usual: 2, Most: 2.2}}
	buy := table.New("", table.Text("part"), table.Number("quantity", ""))
	buy.Add("LED", 2)
	return Console{Name: "Desk", Supply: "12 V, 1 A", Dimmers: 1250, Boards: []Board{{Board: b, Panel: "dome", Known: true,
		Lamps:  []Lamp{{Kind: k, Count: 2, Leads: true, Test: expect.DiodeTest(k)}},
		Expect: expect.Board{Panel: "dome", Supply: 12, Limit: 0.01, Amps: s.Amps, In: expect.Span{Usual: 12}, Strings: []expect.String{s}}}},
		Steps: []expect.Step{{Chain: 1, Panel: "dome", Own: s.Amps, Amps: s.Amps}},
		Buy:   buy,
		Cuts:  []wires.Cut{{From: wires.End{At: "supply"}, To: wires.End{At: "dome J1 IN", Package: "terminal-3.5"}, Sign: "+", Pin: 1, Fuse: "500 mA", Colour: "red", Size: "0.5 mm2", Length: geom.MM(300)}},
		Dims:  []Dim{{Plus: "+", Amps: s.Amps, Mean: 0.004, Duty: 0.5}}}
}

// said is all that the blocks say, a line each.
func said(blocks []paper.Block) (out []string) {
	for _, b := range blocks {
		switch b := b.(type) {
		case paper.Chapter:
			out = append(out, b.Title)
		case paper.Steps:
			out = append(out, b...)
		case paper.Points:
			out = append(out, b...)
		case paper.Mind:
			out = append(out, b...)
		case paper.Grid:
			for _, r := range b.Rows {
				out = append(out, strings.Join(r, " | "))
			}
		}
	}
	return out
}

// Flat parts come before those that stand up, connectors last; supply, limit and each figure stand where they are measured.
func TestGuideTellsInOrder(t *testing.T) {
	all := strings.Join(said(Paper(small()).Blocks), "\n")
	at := -1
	for _, want := range []string{"What to buy", "LED | 2", "Board 1: dome", "Resistors with leads, either way round, flat on the board: 1k at R1.", "Put the 1 LED with leads in", "The LED sheet is the jig", "Connectors, flat", "D1–R1",
		"J1 IN + and J1 IN minus", "across R1, on ohms | 1000 Ω (950 Ω to 1050 Ω)", "12 V and its limit to 10 mA", "current of the board | 7.0 | 8.0 | 9.0 | mA", "S1 | D1, D2 | 8.0 | 7.0–9.0 | 2.00 | 1.80–2.20 | R1 | 8.00 | 7.10–8.90", "Wires", "A fuse stands near the supply", "W1 | supply | + | dome J1 IN | 300 | 0.5 mm2 | red | ferrule, stripped 8 mm | ferrule, stripped 6 mm", "Ferrule: strip 8 mm or 6 mm", "Board by board", "one string dark", "1250 times a second"} {
		next := strings.Index(all, want)
		require.Greater(t, next, at, "%q in\n%s", want, all)
		at = next
	}
	require.NotContains(t, all, "J2")
	require.Contains(t, all, "0.004") // the mean that supply and fuse see
}

// A board whose circuit has no operating point is not to be powered; panels that came to nothing are named.
func TestGuideSaysWhatItDoesNotKnow(t *testing.T) {
	c := small()
	c.Boards[0].Known, c.Steps, c.Unbuilt = false, nil, []string{"weather"}
	all := strings.Join(said(Paper(c).Blocks), "\n")
	require.Equal(t, 2, strings.Count(all, "Do not power it"))
	require.Contains(t, all, "weather")
	require.NotContains(t, all, "current of the board")
}

// A board on the feed that came to nothing has no row to measure by, and its wires are named.
func TestGuideLeavesLostBoardsOut(t *testing.T) {
	c := small()
	c.Steps, c.Lost = append(c.Steps, expect.Step{Chain: 1, Panel: "focus"}), []string{"focus"}
	all := strings.Join(said(Paper(c).Blocks), "\n")
	require.NotContains(t, all, "\nfocus | 0")
	require.Contains(t, all, "Not built: focus.")
}

// A console of one board has few pages.
func TestGuidePages(t *testing.T) {
	n := len(paper.Pages(nil, Paper(small())))
	require.GreaterOrEqual(t, n, 3)
	require.LessOrEqual(t, n, 7)
}

// What lies between the LED sheet and the board is told as the stack has it.
func TestJig(t *testing.T) {
	room := geom.MM(3)
	for want, b := range map[string]Board{
		"lay it on spacers 3 mm from the board":                                {Room: room},
		"put the plate behind it, and spacers of 3 mm between plate and board": {Room: room, Plated: true},
		"put the spacer sheet between it and the board":                        {Room: room, Sheeted: true},
		"put the plate behind it and the spacer sheet between plate and board": {Room: room, Plated: true, Sheeted: true},
		"lay it on the board": {},
	} {
		require.Equal(t, want, b.jig())
	}
}
