package cost_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/cost"
	"lampblack/panel/geom"
)

func money(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic(s)
	}
	return r
}

func breaks(from int, price string, more ...any) cost.Breaks {
	b := cost.Breaks{{From: from, Price: money(price)}}
	for i := 0; i < len(more); i += 2 {
		b = append(b, cost.Break{From: more[i].(int), Price: money(more[i+1].(string))})
	}
	return b
}

// By hand: at 0.20, and 0.12 from 100 on, 59 cost 11.80 and 60 as much as 100 at 12.00, so 60 are bought; 61 cost 12.20, so 100 are
// bought for 12.00; 250 cost 30.00.
func TestBreaks(t *testing.T) {
	b := breaks(1, "0.20", 100, "0.12")
	for _, c := range []struct{ need, buy, cost string }{{"59", "59", "11.80"}, {"60", "60", "12.00"}, {"61", "100", "12.00"}, {"99", "100", "12.00"}, {"100", "100", "12.00"}, {"250", "250", "30.00"}} {
		got, ok := b.Buy(money(c.need))
		require.True(t, ok)
		require.Equal(t, c.buy, got.Quantity.RatString())
		require.Equal(t, c.cost, got.Cost().FloatString(2))
	}
	// What is sold by 50 at least, and wire by the metre, of which a part can be cut.
	got, _ := breaks(50, "0.1").Buy(money("3"))
	require.Equal(t, "5.00", got.Cost().FloatString(2))
	got, _ = breaks(1, "1.10").Buy(money("0.5"))
	require.Equal(t, "0.55", got.Cost().FloatString(2))
	_, ok := cost.Breaks(nil).Buy(money("3"))
	require.False(t, ok)
	// Dearer from a break on is what the list says, and holds.
	got, _ = breaks(1, "1", 10, "2").Buy(money("10"))
	require.Equal(t, "20", got.Cost().RatString())
}

// desk is a small desk as often as n: 12 LEDs and a spare two, a board of 100 x 50 mm, a face on stock, a piece of opal.
func desk(n int) cost.Counts {
	return cost.Counts{
		Consoles: n,
		Parts: []cost.Part{
			{Names: []string{"LED", "radial-3mm", "red-3mm", "LED red-3mm", "bin 12"}, What: "LED red-3mm", Quantity: dec(14 * n)},
			{Names: []string{"resistor", "r-1206", "4k7", "resistor 4k7"}, What: "resistor 4k7", Quantity: dec(4 * n)},
			{Names: []string{"wire"}, What: "wire", Quantity: "1.5", Unit: "m", Own: "0.3"},
			{Names: []string{"nut"}, What: "nut M3", Quantity: dec(4 * n)},
			{Names: []string{"connector"}, What: "connector", Quantity: "0"},
		},
		Boards: []cost.Board{{Name: "dome", W: geom.MM(100), H: geom.MM(50), Quantity: n}},
		Holes:  30 * n,
		Sheets: []cost.Sheet{{Kind: "face", Words: "face", W: geom.MM(600), H: geom.MM(400), Quantity: 1, Stock: true}, {Kind: "diffuser", Words: "diffuser", W: geom.MM(120), H: geom.MM(60), Quantity: n}},
		Laser:  []cost.Lasered{{Kind: "face", Cut: []float64{900.25, 299.75}, Engraved: []float64{800}, Times: n}},
		Work:   cost.Work{ThroughParts: 12 * n, ThroughJoints: 24 * n, SurfaceParts: 4 * n, SurfaceJoints: 8 * n, Wires: 2 * n, Ends: 4 * n, Boards: n, Laid: 1},
	}
}

func dec(n int) string { return big.NewRat(int64(n), 1).RatString() }

func list() cost.Prices {
	return cost.Prices{
		File: "prices.yaml", Currency: "crowns", Decimals: 2, Labour: money("30"), Laser: money("0.5"), Order: money("12"), Area: breaks(1, "8", 10, "3"),
		Parts:  []cost.Named{{Name: "resistor", Price: breaks(1, "0.5")}, {Name: "Resistor 4K7", Price: breaks(1, "0.025", 100, "0.01")}, {Name: "bin 12", Price: breaks(1, "0.333")}},
		Sheets: []cost.SheetPrice{{Kind: "face", Sheet: breaks(1, "40")}, {Kind: "diffuser", Sheet: breaks(1, "30"), Area: breaks(1, "1.5")}},
	}
}

// By hand, for one console:
//
//	parts   14 x 0.333 = 4.662, 4 x 0.025 = 0.1 (the closest name holds), 1.5 m x 0.3 = 0.45; nuts have no price: 5.212
//	boards  1 dm² / 2 x 8 = 4, and the order 12: 16
//	sheets  a sheet of stock 40; 1.2 x 0.6 dm = 0.72 dm² x 1.5 = 1.08 (no stock, so by area): 41.08
//	laser   1.2 m at 10 mm/s = 120 s, 8 cm² at 4 a minute = 120 s: 4 min x 0.5 = 2
//	work    12 x 12 + 24 x 3 + 4 x 39 + 8 x 3 + 2 x 30 + 4 x 30 + 600 + 300 = 1476 s x 30 an hour = 12.3
//	all     76.592, written 76.59
func TestOneConsole(t *testing.T) {
	e := cost.Of(desk(1), cost.UsualTimes(), list())
	for kind, want := range map[cost.Kind]string{cost.Parts: "5.212", cost.Boards: "16.000", cost.Sheets: "41.080", cost.Laser: "2.000", cost.Labour: "12.300"} {
		require.Equal(t, want, e.Of(kind).Cost.FloatString(3), kind)
	}
	require.Equal(t, "76.592", e.Of().Cost.FloatString(3))
	require.Equal(t, "76.59", e.Written(e.Of().Cost))
	require.Equal(t, "1476", e.Of(cost.Labour).Seconds.RatString())
	require.Equal(t, "240", e.Of(cost.Laser).Seconds.RatString())
	require.Equal(t, []string{"nut M3"}, e.Missing())
}

// By hand, for ten: 140 x 0.333 = 46.62; 40 resistors at 0.025 are 1, as much as 100 at 0.01, so 40 are bought; wire as counted 0.45;
// boards 10 x 0.5 x 3 + 12 = 27; sheets 40 + 10.8; laser 20; work (1476 - 300) x 10 + 300 = 12060 s are 100.5. Together 246.37.
func TestTenConsoles(t *testing.T) {
	e := cost.Of(desk(10), cost.UsualTimes(), list())
	require.Equal(t, "48.070", e.Of(cost.Parts).Cost.FloatString(3))
	require.Equal(t, "27.000", e.Of(cost.Boards).Cost.FloatString(3))
	require.Equal(t, "246.370", e.Of().Cost.FloatString(3))

	both := []cost.Estimate{cost.Of(desk(1), cost.UsualTimes(), list()), e}
	sum := cost.Cents(both)
	require.Equal(t, []string{"parts", "≥ 5.21", "≥ 48.07", "≥ 4.81"}, sum.Rows[0])
	require.Equal(t, []string{"laser", "2.00", "20.00", "2.00"}, sum.Rows[3])
	require.Equal(t, []string{"together", "≥ 76.59", "≥ 246.37", "≥ 24.64"}, sum.Rows[5])
	require.Contains(t, sum.Reading, "what has no price is left out: nut M3.")
	require.Equal(t, "crowns", sum.Columns[1].Unit)
	effort := cost.Effort(both)
	require.Equal(t, []string{"face: cut at 10 mm/s", "", "1.2 m", "2 min", "12 m", "20 min"}, effort.Rows[7])
	require.Equal(t, []string{"all work by hand", "", "", "25 min", "", "3 h 21 min"}, effort.Rows[len(effort.Rows)-1])
	for _, r := range cost.Details(both).Rows {
		if r[2] == "nut M3" {
			require.Equal(t, []string{"", "", "", "no price"}, r[6:], "not nought")
		}
	}
}

// A hundredth of a hundredth is not lost: 1000 parts of 0.0049 are 4.90, and a third of an hour at 0.10 is a thirtieth.
func TestRoundedOnce(t *testing.T) {
	c := cost.Counts{Consoles: 1, Work: cost.Work{Boards: 2}}
	for range 1000 {
		c.Parts = append(c.Parts, cost.Part{Names: []string{"bead"}, What: "bead", Quantity: "1"})
	}
	e := cost.Of(c, cost.UsualTimes(), cost.Prices{File: "p", Decimals: 2, Labour: money("0.1"), Parts: []cost.Named{{Name: "bead", Price: breaks(1, "0.0049")}}})
	require.Equal(t, "0.00", e.Written(e.Lines[0].Cost))
	require.Equal(t, "4.90", e.Written(e.Of(cost.Parts).Cost))
	require.Equal(t, "1/30", e.Of(cost.Labour).Cost.RatString())
}

// By hand. 60 and 45 of one thing are 105, past the break at 100, on whatever lines they stand: 60 x 0.3 and 45 x 0.3. Of another value
// 45 stay below it, at 0.5, as 100 at 0.3 cost more. What the user numbers alike is one thing: 4 m and 4 m of wire are 8, and 10 at 0.5
// cost less than 8 at 0.8, so 2 more are bought, on the line that takes most, or the first of such. One number with two prices is two things.
func TestBreaksGoByTheThing(t *testing.T) {
	of := func(value string) []string { return []string{"resistor", "r-1206", value, "resistor " + value} }
	part := func(names []string, number, quantity, spares, own string) cost.Part {
		if number != "" {
			names = append(names, number)
		}
		return cost.Part{Names: names, Number: number, What: names[0], Quantity: quantity, Spares: spares, Own: own}
	}
	c := cost.Counts{Consoles: 1, Parts: []cost.Part{
		part(of("4k7"), "", "50", "10", ""), part(of("2k2"), "", "45", "", ""), part(of("4K7"), "", "45", "", ""),
		part([]string{"wire", "red"}, "W5", "3.6", "0.4", ""), part([]string{"wire", "black"}, "w5", "4", "", ""),
		part([]string{"nut"}, "N", "60", "", "0.1"), part([]string{"washer"}, "N", "60", "", "0.2"), part([]string{"screw"}, "N", "60", "", ""),
	}}
	e := cost.Of(c, cost.UsualTimes(), cost.Prices{File: "p", Decimals: 2, Parts: []cost.Named{
		{Name: "resistor", Price: breaks(1, "0.5", 100, "0.3")}, {Name: "W5", Price: breaks(1, "1", 5, "0.8", 10, "0.5")}, {Name: "screw", Price: breaks(1, "0.4", 100, "0.01")},
	}})
	var got [][2]string
	for _, l := range e.Lines {
		bought := ""
		if l.Bought != nil {
			bought = l.Bought.RatString()
		}
		got = append(got, [2]string{l.Cost.FloatString(2), bought})
	}
	require.Equal(t, [][2]string{{"18.00", ""}, {"22.50", ""}, {"13.50", ""}, {"3.00", "6"}, {"2.00", ""}, {"6.00", ""}, {"12.00", ""}, {"1.00", "100"}}, got)
}

// By hand: pieces of 2 x 1 dm and 1 x 1 dm of one kind, 3 and 4 of them, are 10 dm², from which on one costs 2: 12 and 8. Of another kind 6 dm²
// cost 5 each, and 10 are cheaper at 2: 4 more are paid.
func TestAcrylicByArea(t *testing.T) {
	piece := func(kind string, w, n float64) cost.Sheet {
		return cost.Sheet{Kind: kind, Words: kind, W: geom.MM(w), H: geom.MM(100), Quantity: int(n)}
	}
	e := cost.Of(cost.Counts{Consoles: 1, Sheets: []cost.Sheet{piece("face", 200, 3), piece("diffuser", 200, 3), piece("face", 100, 4)}}, cost.UsualTimes(), cost.Prices{
		File: "p", Decimals: 2, Sheets: []cost.SheetPrice{{Kind: "face", Area: breaks(1, "5", 10, "2")}, {Kind: "diffuser", Area: breaks(1, "5", 10, "2")}}})
	require.Equal(t, []string{"12", "20", "8"}, []string{e.Lines[0].Cost.RatString(), e.Lines[1].Cost.RatString(), e.Lines[2].Cost.RatString()})
	require.Equal(t, "buy 10 dm²: that costs less, or is the least that is sold", cost.Details([]cost.Estimate{e}).Rows[1][9])
}

// Without a list nothing costs anything, and nothing is told to be missing.
func TestNoPrices(t *testing.T) {
	e := cost.Of(desk(1), cost.UsualTimes(), cost.Prices{})
	require.Empty(t, e.Missing())
	require.Empty(t, cost.Cents([]cost.Estimate{e}).Rows)
	require.NotEmpty(t, cost.Effort([]cost.Estimate{e}).Rows)
}
