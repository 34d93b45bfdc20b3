package project

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const priceList = `currency: crowns
labour: 240
laser: 6.50
parts:
  red-3mm: {100: 0.12, 1: 0.20}   # breaks in any order
  header-2.54-2: 1.5
  resistor 4k7: 0.000001
boards: {area: {1: 4, 10: 2.5}, order: 90}
sheets:
  face: 140
  led_sheet: {sheet: 110, area: 5}
`

func TestPriceList(t *testing.T) {
	p, l := ReadPrices([]byte(priceList), "prices.yaml")
	require.Empty(t, l)
	require.Equal(t, "crowns", p.Currency)
	require.Equal(t, 2, p.Decimals)
	require.Equal(t, "240", p.Labour.RatString())
	require.Equal(t, "13/2", p.Laser.RatString())
	require.Equal(t, "90", p.Order.RatString())
	require.Len(t, p.Parts, 3)
	require.Equal(t, []int{1, 100}, []int{p.Parts[0].Price[0].From, p.Parts[0].Price[1].From})
	require.Equal(t, "1/5", p.Parts[0].Price[0].Price.RatString(), "exactly, as no float is")
	require.Equal(t, 5, p.Parts[0].At.Line)
	require.Equal(t, "1/1000000", p.Parts[2].Price[0].Price.RatString())
	require.Equal(t, "110", p.Sheets[1].Sheet[0].Price.RatString())
	require.Equal(t, "5", p.Sheets[1].Area[0].Price.RatString())
	p, l = ReadPrices([]byte("sheets: {face: {1: 3, 10: 2}}"), "prices.yaml")
	require.Empty(t, l)
	require.Len(t, p.Sheets[0].Sheet, 2)
}

// The example's list is good.
func TestExamplePrices(t *testing.T) {
	src, err := os.ReadFile("../../../../examples/observatory/prices.yaml")
	require.NoError(t, err)
	p, l := ReadPrices(src, PriceList)
	require.Empty(t, l)
	require.Equal(t, "crowns", p.Currency)
	require.NoError(t, judged(compiledOf(t, PriceSchema()), string(src)))
}

// Each fault is told with its line and what to do.
func TestPriceListFaults(t *testing.T) {
	for src, want := range map[string][3]string{
		"":                                     {"", "the price list is empty", "write prices"},
		"labour: 240 crowns":                   {"1", `labour: "240 crowns" is no price: a number alone`, "write labour: 240"},
		"labour: -3":                           {"1", "labour: a price is not below nought", "write labour: 240"},
		"\nlabour: 1e3":                        {"2", `"1e3" is no price`, "write labour: 240"},
		"labour: 3,50":                         {"1", `"3,50" is no price`, "write a decimal point, not a comma: 3.50"},
		"labour:":                              {"1", "labour has no value", "write one"},
		"labor: 3":                             {"1", `unknown key "labor"`, "did you mean labour?"},
		"supply: {volts: 12 V}":                {"1", `unknown key "supply"`, "use one of: currency,"},
		"order: 90":                            {"1", "the key order has no place at the top of the file", "order belongs under boards"},
		"parts: [red-3mm]":                     {"1", "parts must be parts, each with its price", "write parts: {red-3mm: 0.9"},
		"parts:\n  header-2.54-2: cheap":       {"2", `the price of header-2.54-2: "cheap" is no price`, "write header-2.54-2: 0.9"},
		"parts:\n  nut: 1\n  Nut: 2":           {"3", "Nut stands twice in parts", "leave one"},
		"parts:\n  nut:":                       {"2", "nut has no price", "write parts: {red-3mm: 0.9}"},
		"parts: {nut: {many: 1}}":              {"1", `the price of nut: "many" is no quantity`, "write {1: 0.2, 100: 0.12}"},
		"parts: {nut: {0: 1}}":                 {"1", `"0" is no quantity`, "write {1: 0.2, 100: 0.12}"},
		"parts: {nut: {10: x}}":                {"1", `the price of nut from 10 on: "x" is no price`, "write 10: 0.12"},
		"parts: {nut: {}}":                     {"1", "the price of nut has no price", "write {1: 0.2"},
		"parts:\n  nut: {1: 1, 10: 8}":         {"2", "one costs 8 from 10 on, and less below that", "prices are of one, not of 10 together"},
		"sheets: {face: {1: 3, 10: x}}":        {"1", `the price of face from 10 on: "x" is no price`, "write 10: 0.12"},
		"sheets: {faces: 3}":                   {"1", `there are no sheets "faces"`, "did you mean face?"},
		"sheets: {face: {size: 3}}":            {"1", `unknown key "size" in`, "use one of: sheet, area"},
		"decimals: 9":                          {"1", "decimals: 9 is more than 6", "write decimals: 2"},
		"currency: " + strings.Repeat("x", 21): {"1", "at most 20 letters", "shorten it"},
		"parts: &a {nut: 1}":                   {"1", "anchors", "write the value itself"},
		"parts: {nut: 1":                       {"1", "a { is not closed", "close it with }"},
		"a\x00b":                               {"", "the price list is not text", "name a YAML file"},
	} {
		_, l := ReadPrices([]byte(src), "prices.yaml")
		require.NotEmpty(t, l, src)
		require.Contains(t, l[0].Text, want[1], src)
		require.Contains(t, l[0].Advice, want[2], src)
		require.Equal(t, "prices.yaml", l[0].Place.File, src)
		require.Equal(t, map[bool]string{true: "", false: want[0]}[l[0].Place.Line == 0], map[bool]string{true: "", false: string(rune('0' + l[0].Place.Line))}[l[0].Place.Line == 0], src)
	}
}

// A project names a list, beside it, and how long things take.
func TestPricesAndTimes(t *testing.T) {
	p, l := Read([]byte("panels: [{drawing: a.dxf}]\nprices: own/list.yml\ntimes: {joint: 2 s, board_test: 0.5 h, cut_speed: 0.6 m/min, engrave_speed: 10 mm2/s}\nfont: plate.ttf\n"), "desk/lampblack.yaml")
	require.False(t, l.HasErrors(), "%v", l)
	require.Equal(t, []string{"desk/own/list.yml", "desk/plate.ttf"}, p.Beside())
	require.EqualValues(t, 2, p.Times.Joint)
	require.EqualValues(t, 1800, p.Times.BoardTest)
	require.EqualValues(t, 10, p.Times.Cut)
	require.EqualValues(t, 6, p.Times.Engrave)
	require.EqualValues(t, 12, p.Times.ThroughPart, "as usual")
	for src, want := range map[string]string{"prices: list.txt": "must name a YAML file", "times: {joint: 3 A}": "joint", "times: {cut_speed: 0}": "not above zero"} {
		_, l = Read([]byte("panels: [{drawing: a.dxf}]\n"+src), "lampblack.yaml")
		require.Contains(t, l[0].Text, want)
		require.Equal(t, 2, l[0].Place.Line)
	}
}

// README's table of a price list's keys says what they are. UPDATE_GOLDEN=1 writes it.
func TestReadmeHasThePrices(t *testing.T) {
	const file = "../../../../README.md"
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	table := regexp.MustCompile(`(?s)<!-- keys of the price list -->\n.*?<!-- end of keys -->`)
	require.Len(t, table.FindAll(src, -1), 1)
	rows := slices.DeleteFunc(priceKeys().rows(""), func(r Row) bool { return r.brief })
	got := table.ReplaceAllLiteralString(string(src), "<!-- keys of the price list -->\n"+Table(rows)+"<!-- end of keys -->")
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		return
	}
	require.Equal(t, got, string(src), "UPDATE_GOLDEN=1 go test writes the table anew")
}

// What is good for the reader is good for the schema, and prices are never below nought.
func FuzzPrices(f *testing.F) {
	f.Add([]byte(priceList))
	f.Add([]byte("parts: {a: {1: 2, 10: 1}}"))
	f.Add([]byte("sheets: {face: {area: 1}}\n? [a]: 3"))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, l := ReadPrices(src, "x.yaml")
		for _, d := range l {
			if d.Text == "" || d.Code == "" || d.Advice == "" || d.Place.File != "x.yaml" {
				t.Fatalf("incomplete finding %+v", d)
			}
		}
		if l.HasErrors() {
			return
		}
		for _, n := range p.Parts {
			if len(n.Price) == 0 || n.At.Line == 0 {
				t.Fatalf("no price of %+v", n)
			}
			for i, b := range n.Price {
				if b.Price.Sign() < 0 || b.From < 1 || i > 0 && b.From <= n.Price[i-1].From {
					t.Fatalf("breaks of %+v", n)
				}
			}
		}
	})
}
