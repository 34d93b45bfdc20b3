package wires_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/panel/geom"
)

// desk is a supply, board a with LEDs of no group and of the group night, and board b behind it, on a header.
func desk() led.Circuit {
	board := func(name, body string) led.Wiring {
		return led.Wiring{Panel: name, Groups: []led.Group{{Net: 1}, {Name: "night", Net: 3}},
			Connectors: []led.Connector{{Ref: "J1", Role: led.In, Package: body}, {Ref: "J2", Role: led.Out, Package: body}}}
	}
	feed := func(mm float64) led.Feed { return led.Feed{Wire: "0.5 mm2", Length: geom.MM(mm)} }
	return led.Circuit{
		Boards: []led.Wiring{board("a", "terminal-3.5-3"), board("b", "header-2.54-3")},
		Chains: []led.Chain{{Links: []led.Link{{Panel: "a", Feed: feed(300)}, {Panel: "b", Feed: feed(450)}}}},
	}
}

// By hand: two feeds of three conductors are six wires; a's terminal is 130 mm right of and 40 mm above b's header, so the way is 170 mm
// and the slack of 450 mm is 280.
func TestCuts(t *testing.T) {
	at := map[wires.Pin]geom.Pt{{Board: "a", Role: led.Out}: geom.PtMM(230, 140), {Board: "b", Role: led.In}: geom.PtMM(100, 100)}
	cuts := wires.Cuts(desk(), func(p wires.Pin) (geom.Pt, bool) { q, ok := at[p]; return q, ok })
	require.Equal(t, [][]string{
		{"W1", "supply", "+", "a J1 IN", "300", "", "", "0.5 mm2", "red", "ferrule, stripped 8 mm", "ferrule, stripped 6 mm"},
		{"W2", "supply", "+ night", "a J1 IN", "300", "", "", "0.5 mm2", "orange", "ferrule, stripped 8 mm", "ferrule, stripped 6 mm"},
		{"W3", "supply", "-", "a J1 IN", "300", "", "", "0.5 mm2", "black", "ferrule, stripped 8 mm", "ferrule, stripped 6 mm"},
		{"W4", "a J2 OUT", "+", "b J1 IN", "450", "170", "280", "0.5 mm2", "red", "ferrule, stripped 6 mm", "crimp contact, stripped 3 mm"},
		{"W5", "a J2 OUT", "+ night", "b J1 IN", "450", "170", "280", "0.5 mm2", "orange", "ferrule, stripped 6 mm", "crimp contact, stripped 3 mm"},
		{"W6", "a J2 OUT", "-", "b J1 IN", "450", "170", "280", "0.5 mm2", "black", "ferrule, stripped 6 mm", "crimp contact, stripped 3 mm"},
	}, wires.Table(cuts, 1).Rows)
	// 300 + 450 mm of each colour; 3 ends at the supply and 6 at terminals, 3 at the header.
	for _, r := range wires.Reels(cuts) {
		require.Equal(t, geom.MM(750), r.Length, r.Colour)
	}
	require.Len(t, wires.Reels(cuts), 3)
	require.Equal(t, []wires.Ends{{Words: "ferrule", Size: "0.5 mm2", Count: 9}, {Words: "crimp contact", Size: "0.5 mm2", Count: 3}}, wires.Borne(cuts))
}

// A chain that is fed at both ends has a feed more, from the supply to the last board's OUT.
func TestBothEnds(t *testing.T) {
	c := desk()
	c.Chains[0].BothEnds, c.Chains[0].Back = true, led.Feed{Wire: "1 mm2", Length: geom.MM(500)}
	cuts := wires.Cuts(c, func(wires.Pin) (geom.Pt, bool) { return geom.Pt{}, false })
	require.Len(t, cuts, 9)
	require.Equal(t, []string{"supply", "b J2 OUT", "1 mm2"}, []string{cuts[8].From.At, cuts[8].To.At, cuts[8].Size})
	require.Len(t, wires.Table(cuts, 1).Columns, 9, "no place is known, so no way")
	three := wires.Table(cuts, 3)
	require.Equal(t, "3", three.Rows[8][len(three.Columns)-1])
}

// By hand: 170 mm, a tenth of it and 60 mm are 247 mm, in whole centimetres 250; nothing takes 60 mm all the same.
func TestLength(t *testing.T) {
	require.Equal(t, geom.MM(250), wires.Length(geom.MM(170)))
	require.Equal(t, geom.MM(60), wires.Length(0))
	require.Equal(t, geom.MM(330), wires.Span(geom.PtMM(-100, 50), geom.PtMM(200, 20)))
}

// A board that came to nothing has no connectors, but is not taken for the supply.
func TestUnbuiltBoard(t *testing.T) {
	c := desk()
	c.Boards[1].Connectors = nil
	cuts := wires.Cuts(c, nowhere)
	require.Equal(t, "b IN", cuts[3].To.At)
	require.False(t, cuts[3].To.Supplied())
}
