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
		{Ref: "J1", Kind: board.Connector, Role: led.In, Footprint: "terminal-3.5", Pads: []board.Pad{pad("+", 1, 0), pad("-", 2, 3.5)}},
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
	for _, want := range []string{"What to buy", "LED | 2", "Board 1: dome", "Resistors with leads, either way round, flat on the board: 1k at R1.", "Put the 1 LED with leads in", "The LED sheet is the jig", "Screw terminals, flat on the board, openings toward the edge: J1.", "D1–R1",
		"J1 IN + and J1 IN minus", "from behind, red on the round pad", "across R1, on ohms | 1000 Ω (950 Ω to 1050 Ω)", "12 V and its limit to 10 mA", "current of the board | 7.0 | 8.0 | 9.0 | mA", "S1 | D1, D2 | 8.0 | 7.0–9.0 | 2.00 | 1.80–2.20 | R1 | 8.00 | 7.10–8.90", "Wires", "A fuse stands near the supply", "W1 | supply | + | dome J1 IN | 300 | 0.5 mm2 | red | ferrule, stripped 8 mm | ferrule, stripped 6 mm", "Ferrule: strip 8 mm or 6 mm", "Board by board", "one string dark", "1250 times a second"} {
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

// LEDs without leads have no round pad and none from behind: they are touched from the front, where a picture shows them.
func TestGuideTouchesFlatLEDsFromTheFront(t *testing.T) {
	c := small()
	k, _ := part.Find("white-0805")
	for i := range c.Boards[0].Board.Parts[1].Pads {
		c.Boards[0].Board.Parts[1].Pads[i].Through = false
	}
	c.Boards[0].Lamps = []Lamp{{Kind: k, Count: 2, Test: expect.DiodeTest(k)}}
	blocks := Paper(c).Blocks
	all := strings.Join(said(blocks), "\n")
	for _, b := range blocks {
		if f, ok := b.(paper.Figures); ok {
			all += "\n" + f[0].Caption
		}
	}
	require.NotContains(t, all, "round pad")
	require.NotContains(t, all, "long lead")
	require.NotContains(t, all, "joints of LEDs")
	require.Contains(t, all, "each white-0805 on diode test: from the front, black on the pad with the bracket, red on the other")
	require.Contains(t, all, "Where to touch, from the front")
	require.NotContains(t, strings.Join(said(Paper(small()).Blocks), "\n"), "from the front, black")
}

// What nothing is plugged on is not soldered, wires are no connectors, and a header has no openings.
func TestGuideSoldersWhatIsThere(t *testing.T) {
	c := small()
	out := c.Boards[0].Board.Parts[0]
	out.Ref, out.Role = "J2", led.Out
	c.Boards[0].Board.Parts = append(c.Boards[0].Board.Parts, out)
	c.Boards[0].Idle = []string{"J2"}
	all := strings.Join(said(Paper(c).Blocks), "\n")
	require.Contains(t, all, "openings toward the edge: J1.\nJ2 stays off: no wire leads to it.")
	require.Contains(t, all, "a hotter tip: J1.\n")
	require.Contains(t, all, "volts at J2 OUT", "its pads are there to measure at")
	for footprint, want := range map[string]string{"wire-pads": "The wires of the feed are soldered to J1, J2", "header-2.54": "Pin headers, upright from behind, their plastic flat on the board: J1, J2."} {
		c.Boards[0].Idle = nil
		for i, p := range c.Boards[0].Board.Parts {
			if p.Kind == board.Connector {
				c.Boards[0].Board.Parts[i].Footprint = footprint
			}
		}
		all = strings.Join(said(Paper(c).Blocks), "\n")
		require.Contains(t, all, want)
		require.NotContains(t, all, "openings toward the edge")
	}
}

// LEDs whose tips are level with the LED sheet's front come to stand by laying it on a table; others do not.
func TestHeightInTheJig(t *testing.T) {
	require.Contains(t, Board{}.turned(), "level with the LED sheet's front")
	require.Contains(t, Board{Sunk: -geom.MM(1.5)}.turned(), "strips 1.5 mm thick")
	require.Contains(t, Board{Sunk: geom.MM(2)}.turned(), "2 mm below the LED sheet's front")
	require.Equal(t, "flat on the board", stands(geom.MM(0.04)))
	require.Equal(t, "the underside 0.4 mm above the board", stands(geom.MM(0.4)))
}

// The current of the whole is measured where all of it flows.
func TestMeterIsWhereAllFlows(t *testing.T) {
	c := small()
	require.Contains(t, c.meter(), "at the supply")
	c.Fuses, c.Feeds = []string{"500 mA"}, 1
	require.Contains(t, c.meter(), "between the supply and the fuse;")
	c.Fuses, c.Feeds = []string{"500 mA", "500 mA"}, 2
	require.Contains(t, c.meter(), "the one plus between the supply and the fuses of its feeds")
}

// Faults are those that a console of its kind can have, with its own figures.
func TestFaultsOfThisConsole(t *testing.T) {
	c := small()
	c.Steps[0].Volts = expect.Span{Least: 11.8, Usual: 11.9, Most: 12}
	one := strings.Join(said(c.faults()), "\n")
	require.Contains(t, one, "a good LED has 1.80 to 2.20 V")
	require.Contains(t, one, "current above the most, 9 mA of all")
	require.NotContains(t, one, "dark from one board on")
	require.NotContains(t, one, "a group dark")
	require.NotContains(t, one, "dim toward the end")
	c.Boards = append(c.Boards, c.Boards[0])
	c.Steps = append(c.Steps, expect.Step{Chain: 1, Panel: "focus", Amps: expect.Span{Most: 0.018}, Volts: expect.Span{Least: 11.7, Usual: 11.8, Most: 12}})
	c.Dims = []Dim{{Group: "red", Plus: "+ red", Duty: 1}, {Group: "white", Plus: "+ white", Duty: 1}}
	two := strings.Join(said(c.faults()), "\n")
	for _, want := range []string{"dark from one board on", "a group dark", "a group follows", "none is below 11.70 V", "all together take 18 mA at most"} {
		require.Contains(t, two, want)
	}
}

// Where a dimmer goes is told for this console: for one conductor or several, for one chain or more; columns that say nothing are left out.
func TestDimmersOfThisConsole(t *testing.T) {
	one := Console{Dims: []Dim{{Plus: "+", Duty: 1, Chains: []int{1}}}}
	require.Contains(t, one.dimmed(), "(low side) does as well")
	require.Len(t, one.dimmers().Columns, 5)
	two := Console{Dims: []Dim{{Group: "day", Plus: "+ day", Duty: 0.5, Mean: 0.02, Amps: expect.Span{Most: 0.06}, Chains: []int{1}}, {Group: "night", Plus: "+ night", Duty: 1, Step: "1 %", Amps: expect.Span{Most: 0.04}, Chains: []int{1}}}}
	require.Contains(t, two.dimmed(), "would dim all groups together")
	require.Contains(t, two.dimmed(), "between the fuse and the first board")
	require.Equal(t, []string{"day", "+ day", "0.000", "0.060", "0.090", "50", "0.020", "–"}, two.dimmers().Rows[0])
	require.Contains(t, strings.Join(two.frequency(), " "), "the most all the same, 0.100 A")
	two.Dims[1].Chains = []int{2}
	require.Contains(t, two.dimmed(), "between the fuse of its chain")
	require.Equal(t, "2", two.dimmers().Rows[1][2])
	two.Dims[1].Chains, two.Others = []int{1, 2}, []string{"heater"}
	require.Contains(t, two.dimmed(), "before the fuses of the chains that it dims and behind the branch")
}

// Where a board has LEDs of several kinds it is told which goes where.
func TestGuideTellsKindsApart(t *testing.T) {
	c := small()
	require.Contains(t, strings.Join(c.Boards[0].order(), "\n"), "Put the 1 LED with leads in from the front, long lead in the round pad, and solder none yet.")
	for _, ref := range []string{"D2", "D3"} {
		d := c.Boards[0].Board.Parts[1]
		d.Ref = ref
		if ref == "D2" {
			d.Value = "white-3mm"
		}
		c.Boards[0].Board.Parts = append(c.Boards[0].Board.Parts, d)
	}
	require.Contains(t, strings.Join(c.Boards[0].order(), "\n"), "solder none yet: red-3mm at D1, D3; white-3mm at D2.")
}
