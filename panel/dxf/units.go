package dxf

import "strings"

// Units is the length that one drawing unit stands for.
type Units struct {
	Code      int     // $INSUNITS, -1 when the file has none
	Name      string  // "mm", "in"
	MMPerUnit float64 // millimetres
	Assumed   bool    // the file doesn't tell; Why says how it was decided
	Why       string
}

// unitTable is the table of $INSUNITS values (DXF Reference, HEADER section).
// Inch, foot and yard are the international ones; the US survey foot is 1200/3937 m.
var unitTable = [...]struct {
	name string
	mm   float64
}{
	0: {"unitless", 0}, 1: {"in", 25.4}, 2: {"ft", 304.8}, 3: {"mi", 1609344},
	4: {"mm", 1}, 5: {"cm", 10}, 6: {"m", 1000}, 7: {"km", 1e6},
	8: {"microinch", 25.4e-6}, 9: {"mil", 25.4e-3}, 10: {"yd", 914.4},
	11: {"angstrom", 1e-7}, 12: {"nm", 1e-6}, 13: {"um", 1e-3}, 14: {"dm", 100},
	15: {"dam", 1e4}, 16: {"hm", 1e5}, 17: {"Gm", 1e12},
	18: {"au", 149597870700e3}, 19: {"ly", 9460730472580800e3}, 20: {"pc", 3.0856775814913673e19},
	21: {"US ft", 1200e3 / 3937}, 22: {"US in", 100e3 / 3937}, 23: {"US yd", 3600e3 / 3937},
	24: {"US mi", 5280 * 1200e3 / 3937},
}

// unitWords are other words for some units.
var unitWords = [...]struct{ word, name string }{
	{"inch", "in"}, {"inches", "in"}, {"\"", "in"}, {"zoll", "in"},
	{"millimetre", "mm"}, {"millimetres", "mm"}, {"millimeter", "mm"}, {"millimeters", "mm"},
	{"centimetre", "cm"}, {"centimetres", "cm"}, {"centimeter", "cm"}, {"centimeters", "cm"},
	{"metre", "m"}, {"metres", "m"}, {"meter", "m"}, {"meters", "m"},
	{"foot", "ft"}, {"feet", "ft"}, {"mils", "mil"}, {"thou", "mil"},
	{"µm", "um"}, {"μm", "um"}, {"micron", "um"}, {"microns", "um"}, {"micrometre", "um"}, {"micrometer", "um"},
}

// UnitNames returns all names that UnitNamed knows, in lower case.
func UnitNames() []string {
	var out []string
	for code, u := range unitTable {
		if code > 0 {
			out = append(out, strings.ToLower(u.name))
		}
	}
	for _, w := range unitWords {
		out = append(out, w.word)
	}
	return out
}

// UnitNamed returns the unit that people call name: "mm", "inch", "mil" and so on. Case does not matter.
func UnitNamed(name string) (Units, bool) {
	n := strings.ToLower(strings.TrimSpace(name))
	for _, w := range unitWords {
		if w.word == n {
			n = w.name
			break
		}
	}
	for code, u := range unitTable {
		if code > 0 && strings.ToLower(u.name) == n {
			return Units{Code: code, Name: u.name, MMPerUnit: u.mm}, true
		}
	}
	return Units{}, false
}

// English reports whether the unit is one of inches and feet.
func (u Units) English() bool {
	return u.Code >= 1 && u.Code <= 3 || u.Code >= 8 && u.Code <= 10 || u.Code >= 21
}

func millimetres() Units { return Units{Code: 4, Name: "mm", MMPerUnit: 1} }
