package parts_test

import (
	"encoding/csv"
	"maps"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/export"
	"lampblack/export/exporttest"
	"lampblack/export/gang"
	"lampblack/export/parts"
	"lampblack/export/table"
	"lampblack/panel/geom"
)

func desk() parts.Item { return parts.Item{Board: exporttest.Desk(), Wiring: exporttest.Wiring()} }

func rows(t *testing.T, list table.Table) [][]string {
	t.Helper()
	src := list.CSV()
	require.Equal(t, strings.Count(string(src), "\n"), strings.Count(string(src), "\r\n"), "RFC 4180, 2.1: lines end in CRLF")
	r, err := csv.NewReader(strings.NewReader(string(src))).ReadAll() // also finds lines of uneven length: RFC 4180, 2.4
	require.NoError(t, err)
	return r
}

func TestPartsOfABoard(t *testing.T) {
	require.Equal(t, [][]string{
		{"quantity", "part", "value", "rating", "package", "designators", "panel", "note", "spares"},
		{"3", "LED", "red-3mm", "at most 30 mA", "radial-3mm", "D1-D3", "dome", "red; 2 V typical at 20 mA; shorter lead (cathode, at the flat) in the square pad", "2"},
		{"1", "resistor", `1k2 * 5 %, "thin" \ Ω`, "1/4 W, 5 %", "r-1206", "R1", "dome", "", ""},
		{"2", "connector", "2 pins", "at least 0.6 A", "terminal-3.5", "J1, J2", "dome", "for the feed wires", ""},
	}, rows(t, parts.Parts(desk())))
	// RFC 4180, 2.5 to 2.7: commas and quotes in quotes, quotes doubled.
	require.Contains(t, string(parts.Parts(desk()).CSV()), `1,resistor,"1k2 * 5 %, ""thin"" \ Ω","1/4 W, 5 %",r-1206,R1,dome,,`+"\r\n")
}

func TestPartsOfAConsole(t *testing.T) {
	second := desk()
	second.Board.Name, second.Quantity = "focus", 3
	got := rows(t, parts.Parts(desk(), second))
	require.Equal(t, []string{"12", "dome: D1-D3; focus: D1-D3", "dome, focus"}, []string{got[1][0], got[1][5], got[1][6]})
	require.Equal(t, []string{"8", "dome: J1, J2; focus: J1, J2"}, []string{got[3][0], got[3][5]})
	require.Equal(t, string(parts.Parts(desk(), second).CSV()), string(parts.Parts(desk(), second).CSV()))
	// A terminal is a terminal: boards with other currents share its line, which tells the most of them.
	second.Wiring.Through = 1.21
	more := rows(t, parts.Parts(desk(), second))
	require.Len(t, more, len(got))
	require.Equal(t, []string{"8", "connector", "2 pins", "at least 1.3 A"}, more[3][:4])
	require.Equal(t, more, rows(t, parts.Parts(desk(), second)))
}

// An array's list of places is that of its boards, each moved and turned as it lies, its number in front: one board as it is, and
// the same turned by a quarter, whose X is then the negative of Y.
func TestArrayPlacement(t *testing.T) {
	b := exporttest.Desk()
	art := export.Lower(b)
	art.Layers = append(art.Layers, export.Components(b)...)
	alone := rows(t, parts.Placement(b))
	require.Equal(t, alone, rows(t, parts.ArrayPlacement(art)), "the component layers have each part where the board has it")
	plan, l := gang.Make(t.Context(), []gang.Piece{{Art: art, Count: 11, EdgeClear: b.Rules.CopperToEdge, HoleClear: b.Rules.CopperToHole, InkClear: b.Rules.LegendClear}},
		gang.Options{Name: "many", Width: geom.MM(400), Height: geom.MM(300), Rail: geom.MM(7), Gap: geom.MM(2)})
	require.False(t, l.HasErrors())
	got := rows(t, parts.ArrayPlacement(plan.Art))
	require.Len(t, got, 1+11*(len(alone)-1))
	require.Equal(t, "1D1", got[1][0])
	require.Equal(t, "11R1", got[len(got)-1][0], "board 11 comes after board 2")
	for k, row := range got[1:] {
		placed, want := plan.Boards[k/(len(alone)-1)], alone[1+k%(len(alone)-1)]
		require.Equal(t, gang.Number(k/(len(alone)-1))+want[0], row[0])
		require.Equal(t, want[4:], row[4:])
		x, y, turn := number(t, want[1]), number(t, want[2]), number(t, want[3])
		for range placed.Turn {
			x, y = -y, x
		}
		require.InDelta(t, x+placed.Move.X.MM(), number(t, row[1]), 1.1e-3)
		require.InDelta(t, y+placed.Move.Y.MM(), number(t, row[2]), 1.1e-3)
		require.InDelta(t, math.Mod(turn+90*float64(placed.Turn), 360), number(t, row[3]), 1e-9)
	}
}

func number(t *testing.T, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// An array's parts are those of one board times the boards, each by the number it has there.
func TestPartsOfAnArray(t *testing.T) {
	one, two := desk(), desk()
	one.Numbers, two.Numbers = []string{"1", "3"}, []string{"2"}
	got := rows(t, parts.Parts(one, two))
	require.Equal(t, []string{"9", "1D1-1D3, 3D1-3D3; 2D1-2D3"}, []string{got[1][0], got[1][5]})
	require.Equal(t, []string{"6", "1J1, 1J2, 3J1, 3J2; 2J1, 2J2"}, []string{got[3][0], got[3][5]})
}

// A connector that no wire leads to is in an array's list, as it is in its component layers, and told there.
func TestIdleInAnArray(t *testing.T) {
	one := desk()
	one.Numbers, one.Idle = []string{"1", "2"}, []string{"J2"}
	got := rows(t, parts.Parts(one))
	require.Equal(t, []string{"2", "1J1, 2J1", "for the feed wires"}, []string{got[3][0], got[3][5], got[3][7]})
	require.Equal(t, []string{"2", "1J2, 2J2", "no wire leads to it: it need not be fitted"}, []string{got[4][0], got[4][5], got[4][7]})
}

// By hand: a board of 40 LEDs has 2 spares, of 41 LEDs 3; three consoles of one of each have three lots of each, 3 x (2 + 3). LEDs of
// another kind are another lot. Nothing else has spares, and an array's list leaves them to the boards' own.
func TestSpares(t *testing.T) {
	spares := func(list table.Table) map[string]string {
		out := map[string]string{}
		for _, r := range rows(t, list.Arranged("part", "value", parts.Beyond))[1:] {
			out[r[0]+" "+r[1]] = r[2]
		}
		return out
	}
	forty, more := parts.Item{Board: exporttest.Grid(40)}, parts.Item{Board: exporttest.Grid(41)}
	require.Equal(t, map[string]string{"LED red-3mm": "2"}, leds(spares(parts.Parts(forty))))
	require.Equal(t, map[string]string{"LED red-3mm": "3"}, leds(spares(parts.Parts(more))))
	forty.Quantity, more.Quantity = 3, 3
	require.Equal(t, map[string]string{"LED red-3mm": "15"}, leds(spares(parts.Parts(forty, more))))
	mixed := parts.Item{Board: exporttest.Grid(40)}
	for i := range mixed.Board.Parts {
		if p := &mixed.Board.Parts[i]; p.Kind == board.LED && (p.Ref == "D1" || p.Ref == "D2") {
			p.Value = "green-3mm"
		}
	}
	require.Equal(t, map[string]string{"LED red-3mm": "2", "LED green-3mm": "2"}, leds(spares(parts.Parts(mixed))))
	for name, n := range spares(parts.Parts(desk()).With(parts.Hardware([]fasten.Mount{{Thread: "M3", Screw: geom.MM(25)}}, 1))) {
		require.Equal(t, strings.HasPrefix(name, "LED"), n != "", name)
	}
	forty.Numbers = []string{"1", "2"}
	require.NotContains(t, rows(t, parts.Parts(forty))[0], "spares")
}

// leds returns what is said of LEDs.
func leds(of map[string]string) map[string]string {
	out := maps.Clone(of)
	maps.DeleteFunc(out, func(name, _ string) bool { return !strings.HasPrefix(name, "LED") })
	return out
}

// Wires soldered to pads are nothing to buy: such a connector is in no list of parts, whatever its pins.
func TestWirePadsAreNotBought(t *testing.T) {
	d := desk()
	for i := range d.Board.Parts {
		if p := &d.Board.Parts[i]; p.Kind == board.Connector {
			p.Footprint = map[string]string{"J1": "wire-pads", "J2": "wire-pads-3"}[p.Ref]
		}
	}
	got := rows(t, parts.Parts(d))
	require.Equal(t, rows(t, parts.Parts(desk()))[:3], got)
	require.Len(t, rows(t, parts.Placement(d.Board)), 7, "they stand on the board all the same")
}

func TestPlacement(t *testing.T) {
	got := rows(t, parts.Placement(exporttest.Desk()))
	require.Equal(t, []string{"reference", "x_mm", "y_mm", "rotation_deg", "side", "value", "package"}, got[0])
	require.Equal(t, []string{"D2", "27.000", "22.000", "90", "top", "red-3mm", "radial-3mm"}, got[2])
	require.Len(t, got, 7)
	big := rows(t, parts.Placement(exporttest.Grid(12)))
	require.Equal(t, "D10", big[10][0], "D2 comes before D10")
}
