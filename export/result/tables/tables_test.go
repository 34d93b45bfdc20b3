package tables

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/result"
	"lampblack/export/table"
	"lampblack/panel/read"
)

// heads returns a table's headings as the terminal shows them.
func heads(t table.Table) []string {
	var out []string
	for _, c := range t.Columns {
		out = append(out, c.Heading(" "))
	}
	return out
}

func TestChains(t *testing.T) {
	ring := result.Chain{BothEnds: true, Links: []result.Link{
		{Panel: "dome", SegmentA: 0.0123, SegmentWorstA: 0.02, Volts: 11.9876, OfAsked: 0.955, FeedMM: 300, Wire: "0.5 mm2", WireA: 3},
	}, Back: &result.Link{Panel: "dome", SegmentA: 0.01, SegmentWorstA: 0.011, Volts: 11.9, FeedMM: 900, Wire: "24 AWG", WireA: 0.75}}
	one := Chains(result.Console{Chains: []result.Chain{ring}})
	require.Len(t, one, 1)
	require.Equal(t, "Chain, from the supply on, fed at both ends", one[0].Title)
	require.Equal(t, []string{"panel", "wire", "length mm", "carries A", "at worst A", "may carry A", "at the board V", "LED current % of asked"}, heads(one[0]))
	require.Equal(t, [][]string{
		{"dome", "0.5 mm2", "300", "0.012", "0.020", "3", "11.99", "96"},
		{"(back to the start)", "24 AWG", "900", "0.010", "0.011", "0.75", "", ""},
	}, one[0].Rows)
	two := Chains(result.Console{Chains: []result.Chain{ring, {From: "dome"}}})
	require.Equal(t, "Chain 1, from the supply on, fed at both ends", two[0].Title)
	require.Equal(t, "Chain 2, from panel dome on", two[1].Title)
}

func TestSupply(t *testing.T) {
	s := result.Supply{Volts: result.Window{Min: 11.1, Nominal: 12, Max: 12.6}, RatedA: 2, TypicalA: 0.5, PeakA: 0.5, WorstA: 0.6, OtherA: 1, DemandA: 1.6, Verdict: "ok"}
	all := Supply(s)
	require.Len(t, all, 1)
	require.Equal(t, [][]string{{"11.1 .. 12.6", "2", "0.500", "0.600", "1.000", "1.600", "80", "ok"}}, all[0].Rows)
	s.Battery = &result.Battery{Chemistry: "lead-acid", Cells: 6, CapacityAh: 7, LightFull: 1.07, LightEmpty: 0.5, PlanHours: 9.96}
	s.RatedA = 0
	all = Supply(s)
	require.Len(t, all, 2)
	require.Equal(t, "", all[0].Rows[0][6], "of no rating there is no share")
	require.Equal(t, []string{"lead-acid", "6", "7", "107", "0", "50", "10.0", "0.0"}, all[1].Rows[0])
}

// Where groups are dimmed, peak and mean are told apart: 0.4 A full on, 0.1 A in the mean, 1 A of others, 2 A rated.
func TestDimmedSupply(t *testing.T) {
	s := result.Supply{Volts: result.Window{Min: 12, Nominal: 12, Max: 12}, RatedA: 2, TypicalA: 0.1, PeakA: 0.4, WorstA: 0.5, OtherA: 1, DemandA: 1.5, Verdict: "ok"}
	all := Supply(s)
	require.Equal(t, []string{"voltage V", "rated A", "boards in the mean A", "all in the mean, of its rating %", "boards full on A", "boards at worst A",
		"other loads A", "all at worst A", "of its rating %", "verdict"}, heads(all[0]))
	require.Equal(t, [][]string{{"12", "2", "0.100", "55", "0.400", "0.500", "1.000", "1.500", "75", "ok"}}, all[0].Rows)
	chain := result.Chain{Links: []result.Link{{Panel: "dome", SegmentA: 0.4, SegmentMeanA: 0.1, SegmentWorstA: 0.5, Volts: 11.9, OfAsked: 1, FeedMM: 300, Wire: "0.5 mm2", WireA: 3}}}
	feeds := Chains(result.Console{Chains: []result.Chain{chain}})[0]
	require.Equal(t, []string{"carries full on A", "in the mean A", "at worst A"}, heads(feeds)[3:6])
	require.Equal(t, []string{"0.400", "0.100", "0.500"}, feeds.Rows[0][3:6])
}

// What switching on a load does, one row each; the moment only of the load that tells its inrush.
func TestSwitching(t *testing.T) {
	all := Supply(result.Supply{Ohms: 0.5, SwitchOnA: 4.61, Switching: []result.Switching{
		{Load: "dew heater", Before: 11.9, After: 10.9, Light: 0.81, Inrush: &result.Inrush{Volts: 9.9, Light: 0.62}}, {Before: 11, After: 10.9, Light: 0.98},
	}})
	require.Len(t, all, 2)
	require.Equal(t, [][]string{{"dew heater", "11.90", "10.90", "81", "9.90", "62"}, {"load 2", "11.00", "10.90", "98", "", ""}}, all[1].Rows)
	require.Contains(t, all[1].Reading, "through 0.5 ohm inside the supply")
	require.Contains(t, all[1].Reading, "asks for 4.61 A at most")
}

// A panel that stopped before it had a board has a row all the same; what was not measured stays empty.
func TestBoards(t *testing.T) {
	b := Boards(result.Console{Panels: []result.Panel{
		{Name: "dome", Stopped: "shape", Strings: make([]result.String, 2)},
		{Name: "focus", Board: &result.Board{Width: 80, Height: 60.25, Nets: 6, Connections: 8, Unrouted: 1, TrackMM: 242.4}, Stopped: "route"},
	}})
	require.Equal(t, [][]string{
		{"dome", "", "", "2", "", "", "", "", "", "stopped: shape"},
		{"focus", "80.00", "60.25", "0", "8", "1", "0.24", "0", "", "stopped: route"},
	}, b.Rows)
}

func TestOrdered(t *testing.T) {
	o := result.Order{Boards: []result.OrderBoard{{Panel: "dome"}, {Panel: "focus"}, {Panel: "dome"}}}
	require.Equal(t, "2 dome, 1 focus", Ordered(o))
}

func TestRelit(t *testing.T) {
	all := Relit(result.Relit{Panel: "dome", GridLEDs: 3, Grid: result.Glow{Mean: 90, MinToMean: 0.4, MaxToMin: 4, Spread: 0.12},
		Before: result.Placement{LEDs: 4, Strings: []result.String{{TypicalA: 0.008}}, Stopped: "route"},
		After: result.Placement{LEDs: 5, Strings: []result.String{{TypicalA: 0.008}, {TypicalA: 0.0075}},
			Supply: &result.Supply{DemandA: 1.2, Verdict: "tight"}, Board: &result.Board{TrackMM: 300.4}},
		Parts: []result.PartCount{{Part: "LED red-3mm", Before: 4, After: 5}}})
	require.Equal(t, [][]string{{"as drawn", "4", "", "", "", ""}, {"plain grid", "3", "90.0", "40", "4.0 : 1", "12"}, {"relit", "5", "", "", "", ""}}, all[0].Rows)
	require.Equal(t, [][]string{
		{"strings", "1", "2"}, {"current of an LED, mA", "8.0", "7.5 .. 8.0"}, {"board takes, mA", "8", "16"}, {"console at worst, A", "", "1.200"},
		{"supply", "", "tight"}, {"tracks, m", "", "0.30"}, {"connections not made", "", "0"}, {"board", "stopped: route", "proven"},
	}, all[1].Rows)
	require.Equal(t, [][]string{{"LED red-3mm", "4", "5"}}, all[2].Rows)
	require.Equal(t, "none", Relit(result.Relit{})[1].Rows[7][1])
}

// No table may say a heading twice, or a reader could not tell the columns apart.
func TestHeadingsDiffer(t *testing.T) {
	c := result.Console{Chains: make([]result.Chain, 1)}
	all := append(Chains(c), Supply(result.Supply{Battery: &result.Battery{}})...)
	all = append(all, Panels(c), Boards(c), Limits(c), Orders(c), Spread(result.Spread{}), Strings(result.PanelBoard{}),
		PackFiles(result.Pack{}), PackHoles(result.Pack{}), PackCopper(result.Pack{}), PackNets(result.Pack{}))
	all = append(all, Survey(read.Report{})...)
	for _, tab := range all {
		seen := map[string]bool{}
		for _, h := range heads(tab) {
			require.False(t, seen[h], "%s: %s", tab.Title, h)
			seen[h] = true
		}
	}
	require.Greater(t, len(all), 15)
}

// Each of several boards behind a panel has its own pins, and its feed by its own name.
func TestGroupsOfSeveralBoards(t *testing.T) {
	night := result.Group{Name: "night", Pin: 1, Sign: "+ night", LEDs: 3, TypicalA: 0.01, MeanA: 0.005, WorstA: 0.012, Duty: 0.5}
	c := result.Console{
		Panels: []result.Panel{{Name: "long", Boards: []result.PanelBoard{{Name: "long-a", Groups: []result.Group{night}}, {Name: "long-b"}}}},
		Chains: []result.Chain{{Links: []result.Link{{Panel: "long-a", Groups: []result.Current{{Group: "night", A: 0.02, WorstA: 0.024}}}}}},
	}
	require.Equal(t, [][]string{{"long-a", "1", "+ night", "3", "0.010", "0.005", "0.012", "0.020", "0.024", "50"}}, Groups(c).Rows)
}

// A board whose limits gave way does not keep all of its class's, and the table does not say so.
func TestLimitsThatGaveWay(t *testing.T) {
	var c result.Console
	require.Contains(t, Limits(c).Reading, "Every board keeps all of them.")
	c.Findings = []result.Finding{{Code: "shape-gave-way"}}
	require.Contains(t, Limits(c).Reading, "but for those that gave way")
	require.NotContains(t, Limits(c).Reading, "all of them.")
}

// Alike mounts share a row; those that no screw fits say so.
func TestScrews(t *testing.T) {
	m3 := result.Screw{X: 1, D: 3.2, Slot: 3.8, Board: "dome", Thread: "M3", Length: 30, Out: 7.4, Front: 8, Rear: 4, Above: 0.4}
	other := m3
	other.X = 99
	c := result.Console{Panels: []result.Panel{{Name: "dome", Screws: []result.Screw{m3, other, {D: 20}, {D: 3.2, Thread: "M3"}}}}}
	require.Equal(t, [][]string{
		{"dome", "2", "3.2", "3.8", "M3 x 30", "8", "4", "0.4", "7.4", "sheets and board dome"},
		{"dome", "1", "20", "", "your choice", "", "", "", "", "sheets"},
		{"dome", "1", "3.2", "", "M3 threaded rod", "", "", "", "", "sheets"},
	}, Screws(c).Rows)
}

func TestDepths(t *testing.T) {
	board := result.Standing{Board: "dome", Front: 20, Back: 21.6, Room: 3, Sides: []result.StandOut{
		{Side: "front", What: "lens", Of: "LED", Kind: "radial-3mm", Height: 6.1, Count: 4}, {Side: "front", What: "pins", Of: "connector", Kind: "header-2.54", Height: 1.6, Count: 2},
		{Side: "back", What: "wires", Of: "connector", Kind: "header-2.54", Height: 20.3, Count: 2}, {Side: "back", What: "plug", Of: "connector", Kind: "header-2.54", Height: 14, Count: 2},
	}}
	a, b := board, board
	a.Board, b.Board, b.Sides = "long-a", "long-b", []result.StandOut{{Side: "back", What: "body", Of: "connector", Kind: "terminal-3.5", Height: 8.8, Count: 2}}
	c := result.Console{Panels: []result.Panel{
		{Name: "dome", Depth: &result.Depth{Behind: 41.9, Before: 22.8, Deepest: "J1", Boards: []result.Standing{board}}},
		{Name: "long", Depth: &result.Depth{Behind: 38.8, Deepest: "toggle-m12", Boards: []result.Standing{a, b}}},
		{Name: "unlit", Depth: &result.Depth{Behind: 17, Boards: nil}}, {Name: "stopped"},
	}}
	require.Equal(t, [][]string{
		{"dome", "22.8", "41.9", "J1", "21.6", "20.3", "header-2.54 wires, 20.3", "3.0", "header-2.54 pins, 1.6"},
		{"long-a", "0.0", "38.8", "toggle-m12", "21.6", "20.3", "header-2.54 wires, 20.3", "3.0", "header-2.54 pins, 1.6"},
		{"long-b", "0.0", "38.8", "toggle-m12", "21.6", "8.8", "terminal-3.5, 8.8", "3.0", ""},
		{"unlit", "0.0", "17.0", "", "", "", "", "", ""},
	}, Depths(c).Rows)
}

func TestSheets(t *testing.T) {
	c := result.Console{Panels: []result.Panel{{Name: "dome", Sheets: []result.Sheet{
		{Name: "face", Of: "dome", Material: "clear acrylic, its back painted", Thickness: 3, Least: 2.3, Most: 3.7, Width: 200, Height: 120, Cut: 853.2, Holes: 10, Engraved: 341, Behind: true},
		{Name: "led", Of: "dome", Material: "white acrylic", Thickness: 2.5, Least: 2.4, Most: 2.5, Measured: true, Width: 200, Height: 120, Cut: 1204, Holes: 50},
	}}}}
	require.Equal(t, [][]string{
		{"dome", "face", "clear acrylic, its back painted", "3", "2.3 to 3.7", "200.00", "120.00", "10", "0.85", "3.4", "behind"},
		{"dome", "LED sheet", "white acrylic", "2.5", "2.45, measured", "200.00", "120.00", "50", "1.20", "", "the front"},
	}, Sheets(c).Rows)
}

// Boards that are alike stand in one row; a sheet that was measured leaves nothing to do.
func TestFit(t *testing.T) {
	thin := result.Fit{Board: "dome", LEDSheet: result.Span{Least: 2.3, Nominal: 3, Most: 3.7}, Tips: result.Span{Least: 7.1, Nominal: 7.9, Most: 8.7}, Higher: true,
		Washer: 0.5, Thread: "M3", Washers: []result.Washer{{Below: 2.85, Count: 1}, {Below: 2.35, Count: 2}}}
	same := thin
	same.Board = "mount"
	known := result.Fit{Board: "focus", LEDSheet: result.Span{Least: 2.95, Nominal: 3, Most: 3.05}, Tips: result.Span{Least: 7.85, Nominal: 8, Most: 8.15}, Higher: true}
	c := result.Console{Panels: []result.Panel{{Fit: []result.Fit{thin}}, {Fit: []result.Fit{known}}, {Fit: []result.Fit{same}}}}
	require.Equal(t, [][]string{
		{"dome, mount", "2.3 to 3.7", "7.9 (7.1 to 8.7)", "below 2.85 mm 1 washer M3 of 0.5 mm, below 2.35 mm 2 on each screw", "solder the LEDs as much higher"},
		{"focus", "2.95 to 3.05", "8 (7.85 to 8.15)", "nothing to do", "nothing to do"},
	}, Fit(c).Rows)
}

// Panels whose sheets are known have no row.
func TestEnds(t *testing.T) {
	lit := func(mean, even float64) result.Lit { return result.Lit{Mean: mean, MinToMean: even} }
	thin, thick := lit(24, 0.62), lit(16.7, 0.585)
	c := result.Console{Panels: []result.Panel{
		{Name: "dome", Light: &result.Light{Lit: lit(20, 0.6), Thin: &thin, Thick: &thick}},
		{Name: "known", Light: &result.Light{Lit: lit(20, 0.6)}},
	}}
	require.Equal(t, [][]string{{"dome", "24", "20", "17", "62", "60", "58"}}, Ends(c).Rows)
}

func TestHeld(t *testing.T) {
	c := result.Console{Panels: []result.Panel{{Fit: []result.Fit{
		{Board: "dome", Support: &result.Support{Distance: 79.9, Bow: 2.588, Clear: 5.899, Grows: 0.652, Play: 0.4, Lamps: 0.35}}, {Board: "bare"},
	}}}}
	require.Equal(t, [][]string{{"dome", "80", "2.6", "5.9", "0.65", "0.40", "0.35"}}, Held(c).Rows)
}

// The light of LEDs in sets is told set by set, by their names and not by both together.
func TestBoardsTellSets(t *testing.T) {
	light := result.Light{Lit: result.Lit{MinToMean: 0.9}, Colours: []result.Colour{
		{Colour: "white", Set: "day", Lit: result.Lit{MinToMean: 0.74}}, {Colour: "red", Set: "night", Lit: result.Lit{MinToMean: 0.61}}, {Colour: "amber", Lit: result.Lit{MinToMean: 0.5}}}}
	c := result.Console{Panels: []result.Panel{{Name: "lamps", Light: &light, Board: &result.Board{}}}}
	rows := Boards(c).Rows
	require.Len(t, rows, 1)
	require.Contains(t, fmt.Sprint(rows[0]), "day 74, night 61, amber 50")
}
