package part

import (
	"math"
	"slices"
	"strings"
)

// Series is a series of preferred values of IEC 60063.
type Series string

// The series that resistors are sold in, with the tolerance each is made for: 20, 10, 5, 2 and 1 %.
const (
	E6  Series = "E6"
	E12 Series = "E12"
	E24 Series = "E24"
	E48 Series = "E48"
	E96 Series = "E96"
)

// AllSeries returns the series, coarsest first.
func AllSeries() []Series { return []Series{E6, E12, E24, E48, E96} }

// Valid reports whether s is one of the series.
func (s Series) Valid() bool { return slices.Contains(AllSeries(), s) }

// Tolerance returns the tolerance the series is made for (IEC 60063 by references.md section 1).
func (s Series) Tolerance() float64 {
	switch s {
	case E6:
		return 0.20
	case E12:
		return 0.10
	case E48:
		return 0.02
	case E96:
		return 0.01
	}
	return 0.05
}

// e24 is the decade of E24, whose values are not those of the formula at eight places.
func e24() []int {
	return []int{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}
}

// Decade returns the values of one decade, as whole numbers of two digits (E6 to E24) or three (E48, E96). An unknown
// series yields those of E24.
func (s Series) Decade() []int {
	every := func(n int) []int {
		var out []int
		for i, v := range e24() {
			if i%n == 0 {
				out = append(out, v)
			}
		}
		return out
	}
	switch s { // E12 is every second value of E24, E6 every second of those
	case E6:
		return every(4)
	case E12:
		return every(2)
	case E48:
		return formula(48)
	case E96:
		return formula(96)
	}
	return e24()
}

// formula returns round(100·10^(i/n)), the values of E48 and E96.
func formula(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = int(math.Round(100 * math.Pow(10, float64(i)/float64(n))))
	}
	return out
}

// The least and greatest resistor that is chosen.
const (
	leastOhm    Ohm = 1
	greatestOhm Ohm = 10e6
)

// sameRatio is how far two values may differ, as a share, and be the same: the last digits of a float.
const sameRatio = 1e-9

// neighbours returns the greatest value of the series that is not above r, and the least not below it.
func (s Series) neighbours(r Ohm) (down, up Ohm) {
	r = min(max(r, leastOhm), greatestOhm)
	decade := s.Decade()
	exp := 0
	for x := float64(r); x >= 10; x /= 10 {
		exp++
	}
	for e := exp - 1; e <= exp+1; e++ {
		for _, v := range decade {
			// Whole-number steps keep 4k7 exactly 4700.
			x := Ohm(float64(v) * math.Pow(10, float64(e)) / float64(decade[0]))
			near := math.Abs(float64(x-r)) <= sameRatio*float64(r)
			if x <= r || near {
				down = x
			}
			if x >= r || near {
				return down, x
			}
		}
	}
	return down, greatestOhm
}

// Up returns the least value of the series that is not below r: one ohm at least, 10 MΩ at most.
func (s Series) Up(r Ohm) Ohm {
	_, up := s.neighbours(r)
	return up
}

// Down returns the greatest value of the series that is not above r.
func (s Series) Down(r Ohm) Ohm {
	down, _ := s.neighbours(r)
	return down
}

// Nearest returns the value of the series nearest to r by ratio.
func (s Series) Nearest(r Ohm) Ohm {
	down, up := s.neighbours(r)
	if float64(r)*float64(r) < float64(down)*float64(up) {
		return down
	}
	return up
}

// justAbove leads from a value towards the next one: well below the steps of E96, of 2.4 %.
const justAbove = 1.0001

// Next returns the value of the series that follows r.
func (s Series) Next(r Ohm) Ohm { return s.Up(Ohm(float64(r) * justAbove)) }

// Body is a resistor's package.
type Body struct {
	Package string // names a footprint
	Rated   []Watt // what it is sold for at 70 °C, smallest first
	Volts   Volt   // greatest working voltage
	Source  string
}

// Bodies returns the resistor packages: chips, then those with wire ends, each smallest first.
//
// Source: references.md section 1, standard and raised-power series of chip resistors and the axial 1/4 W part.
func Bodies() []Body {
	const chip = "chip resistor power tables, references.md section 1"
	const large = "chip resistor series of raised power: common practice, from memory"
	const axial = "package chart, references.md section 1; working voltage from memory"
	return []Body{
		{"r-0805", []Watt{0.100, 0.125}, 150, chip},
		{"r-1206", []Watt{0.125, 0.250}, 200, chip},
		{"r-2010", []Watt{0.500, 0.750}, 200, large},
		{"r-2512", []Watt{1}, 200, large},
		{"axial-7.62", []Watt{0.250}, 250, axial},
		{"axial-10.16", []Watt{0.250, 0.500}, 250, axial},
		{"axial-15.24", []Watt{1}, 350, "metal film resistors of 1 W: common practice, from memory"},
	}
}

// From returns the package of that name and the larger ones that are mounted as it is, smallest first; nil for an unknown name.
func From(name string) []Body {
	all := Bodies()
	i := slices.IndexFunc(all, func(b Body) bool { return b.Package == name })
	if i < 0 {
		return nil
	}
	sort := func(b Body) string { s, _, _ := strings.Cut(b.Package, "-"); return s }
	out := all[i:]
	if end := slices.IndexFunc(out, func(b Body) bool { return sort(b) != sort(all[i]) }); end >= 0 {
		out = out[:end]
	}
	return out
}

// FindBody returns the package of that name.
func FindBody(name string) (Body, bool) {
	for _, b := range Bodies() {
		if b.Package == name {
			return b, true
		}
	}
	return Body{}, false
}

// Most returns the greatest power that the package is sold for.
func (b Body) Most() Watt {
	if len(b.Rated) == 0 {
		return 0
	}
	return slices.Max(b.Rated)
}

// RatingFor returns the smallest rating of the package of which the share derating carries w, or its greatest and false.
func (b Body) RatingFor(w Watt, derating float64) (Watt, bool) {
	for _, r := range b.Rated {
		if float64(w) <= float64(r)*derating*(1+sameRatio) {
			return r, true
		}
	}
	if len(b.Rated) == 0 {
		return 0, false
	}
	return b.Rated[len(b.Rated)-1], false
}
