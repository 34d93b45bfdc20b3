package part

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel/geom"
)

// Units, for the bare numbers that ParseAmp is given.
const (
	MilliAmp Amp = 1e-3
	Ampere   Amp = 1
)

// milli is how many thousandths make one.
const milli = 1000

// Decimals that quantities are told with: 1 mV; 10 µA and 1 mA; 0.1 mW and 1 mW; 1 mΩ to 1 kΩ.
const (
	placesV  = 3
	placesMA = 2
	placesA  = 3
	placesMW = 1
	placesW  = 3
	placesR  = 3
)

// inThousandths is below what amperes and watts are told in thousandths: what rounds to 1 is told as 1.
const inThousandths = 0.9999

// Window is a supply's voltage range.
type Window struct{ Min, Nominal, Max Volt }

// String returns the window as people write it: "12 V", or "11.1 V .. 12.6 V".
func (w Window) String() string {
	if w.Min == w.Max {
		return w.Nominal.String()
	}
	return w.Min.String() + " .. " + w.Max.String()
}

// String returns the voltage as people write it: "11.85 V". Rounded to 1 mV.
func (v Volt) String() string { return Trimmed(float64(v), placesV) + " V" }

// String returns the current as people write it: "8 mA" below 1 A, "2.5 A" above. Rounded to 10 µA or 1 mA.
func (a Amp) String() string {
	if math.Abs(float64(a)) < inThousandths {
		return Trimmed(float64(a)*milli, placesMA) + " mA"
	}
	return Trimmed(float64(a), placesA) + " A"
}

// Rounded returns the current in three significant digits, as measured and computed ones are told. String tells more, since a
// project file may.
func (a Amp) Rounded() Amp { return Amp(rounded(float64(a), 3)) }

// Rounded returns the voltage in four significant digits, as computed ones are told.
func (v Volt) Rounded() Volt { return Volt(rounded(float64(v), 4)) }

// String returns the power as people write it: "62.5 mW" below 1 W, "1.5 W" above.
func (w Watt) String() string {
	if math.Abs(float64(w)) < inThousandths {
		return Trimmed(float64(w)*milli, placesMW) + " mW"
	}
	return Trimmed(float64(w), placesW) + " W"
}

// Trimmed formats a number with at most n decimals and no trailing zeros.
func Trimmed(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// Quantity is a kind of quantity that people write: a number and a unit.
type Quantity struct {
	what    string // "a voltage"
	example string // one that works
	units   map[string]float64
	limit   float64 // greatest sensible value, SI
	coded   bool    // a letter may stand in the place of the decimal point, by IEC 60062
}

// Unit is a unit of a quantity by the name that people write, and how much it is. A number without a unit has the one
// named "".
type Unit struct {
	Name  string
	Scale float64
}

// Units returns the units of the quantity, by name.
func (q Quantity) Units() []Unit {
	var out []Unit
	for _, name := range slices.Sorted(maps.Keys(q.units)) {
		out = append(out, Unit{name, q.units[name]})
	}
	return out
}

// Coded reports whether "4k7" is a way to write the quantity.
func (q Quantity) Coded() bool { return q.coded }

// Bare returns the quantity with a number without a unit taken in the unit named.
func (q Quantity) Bare(unit string) Quantity {
	scale, ok := q.units[unit]
	if !ok {
		panic("led/part: " + q.what + " has no unit " + unit)
	}
	q.units = maps.Clone(q.units)
	q.units[""] = scale
	return q
}

// The greatest values that are read, far above what a panel of LEDs has: they find a slip of the unit.
const (
	mostVolts    = 1000
	mostCurrent  = 1000 // A
	mostWatts    = 1e5
	mostLengthMM = 1e6 // 1 km
	mostPercent  = 1e3 // as a share: 100,000 %
	mostCandelas = 1e4
	mostNits     = 1e6 // cd/m²
	mostAh       = 1e9
	mostNumber   = 1e9
	mostDegrees  = 360
	mostSeconds  = 1e6
	mostOhms     = 1e9
	mostAreaMM2  = 1000
)

// Volts is how voltages are written.
func Volts() Quantity {
	return Quantity{what: "a voltage", example: "12 V", units: map[string]float64{"": 1, "V": 1, "mV": 1e-3, "volt": 1, "volts": 1}, limit: mostVolts}
}

// Amps is how currents are written; a number without a unit counts in bare, MilliAmp or Ampere.
func Amps(bare Amp) Quantity {
	example := "2 A"
	if bare < 1 {
		example = "8 mA"
	}
	return Quantity{what: "a current", example: example, units: map[string]float64{"": float64(bare), "A": 1, "mA": 1e-3, "uA": 1e-6, "amp": 1, "amps": 1}, limit: mostCurrent}
}

// Watts is how powers are written: "1/4 W", "250 mW".
func Watts() Quantity {
	return Quantity{what: "a power", example: "1/4 W", units: map[string]float64{"": 1, "W": 1, "mW": 1e-3, "watt": 1, "watts": 1}, limit: mostWatts}
}

// Lengths is how lengths are written, in millimetres: "250 mm", "0.3 m", "1/2 in".
func Lengths() Quantity {
	const in = geom.InchMM
	units := map[string]float64{"": 1, "mm": 1, "cm": 10, "m": mmPerMetre, "um": 1e-3, "in": in, "inch": in, "inches": in, `"`: in, "mil": milMM}
	return Quantity{what: "a length", example: "250 mm", units: units, limit: mostLengthMM}
}

// Percents is how shares are written: "5 %" is 0.05.
func Percents() Quantity {
	return Quantity{what: "a percentage", example: "5 %", units: map[string]float64{"": 0.01, "%": 0.01, "percent": 0.01}, limit: mostPercent}
}

// Candelas is how luminous intensities are written: "250 mcd".
func Candelas() Quantity {
	return Quantity{what: "a luminous intensity", example: "250 mcd", units: map[string]float64{"": 1, "cd": 1, "mcd": 1e-3}, limit: mostCandelas}
}

// FootLambert is that unit of luminance in cd/m²: 1/π candela per square foot (references.md sections 10 and 22).
const FootLambert = 3.4262591

// Luminances is how luminances are written, in cd/m²: "5 cd/m2", "5 nit", "0.04 ft-L".
func Luminances() Quantity {
	return Quantity{what: "a luminance", example: "5 cd/m2", units: map[string]float64{
		"": 1, "cd/m2": 1, "nit": 1, "nits": 1, "mcd/m2": 1e-3, "ft-L": FootLambert, "fL": FootLambert,
	}, limit: mostNits}
}

// AmpereHours is how a battery's capacity is written.
func AmpereHours() Quantity {
	return Quantity{what: "a capacity", example: "7 Ah", units: map[string]float64{"": 1, "Ah": 1, "mAh": 1e-3}, limit: mostAh}
}

// Numbers is how numbers without a unit are written.
func Numbers() Quantity {
	return Quantity{what: "a number", example: "3", units: map[string]float64{"": 1}, limit: mostNumber}
}

// Times is how times are written, in seconds: "3 s", "10 min", "1.5 h".
func Times() Quantity {
	return Quantity{what: "a time", example: "10 min", units: map[string]float64{"": 1, "s": 1, "min": 60, "h": 3600}, limit: mostSeconds}
}

// Speeds is how speeds are written, in mm/s: "10 mm/s", "0.6 m/min".
func Speeds() Quantity {
	return Quantity{what: "a speed", example: "10 mm/s", units: map[string]float64{"": 1, "mm/s": 1, "mm/min": 1.0 / 60, "m/min": mmPerMetre / 60.0}, limit: mostNumber}
}

// Sweeps is how areas in a time are written, in cm² a minute: "4 cm2/min", "10 mm2/s".
func Sweeps() Quantity {
	return Quantity{what: "an area in a time", example: "4 cm2/min", units: map[string]float64{"": 1, "cm2/min": 1, "mm2/s": 0.6}, limit: mostNumber}
}

// Degrees is how angles are written: "30 deg".
func Degrees() Quantity {
	return Quantity{what: "an angle", example: "30 deg", units: map[string]float64{"": 1, "deg": 1, "°": 1, "degrees": 1}, limit: mostDegrees}
}

// ParseVolt reads a voltage: "12 V", "500 mV"; a bare number is in volts.
func ParseVolt(s string) (Volt, error) {
	v, err := Volts().Read(s)
	return Volt(v), err
}

// ParseAmp reads a current: "8 mA", "2 A"; a bare number is in the unit bare, MilliAmp or Ampere.
func ParseAmp(s string, bare Amp) (Amp, error) {
	v, err := Amps(bare).Read(s)
	return Amp(v), err
}

// ParsePercent reads a percentage and returns the fraction: "5 %" is 0.05; a bare number is in percent.
func ParsePercent(s string) (float64, error) { return Percents().Read(s) }

// ParseWindow reads a supply voltage: "12 V", which it is taken to hold exactly; "11.1 V .. 12.6 V" with the nominal
// voltage in the middle; "10.5 .. 12 .. 14.8 V" with the nominal told; or "12 V +- 5 %".
func ParseWindow(s string) (Window, error) {
	text := tidy(s)
	q := Quantity{what: "a supply voltage", example: "12 V, or 11.1 V .. 12.6 V", units: Volts().units, limit: mostVolts}
	text = strings.ReplaceAll(text, "…", "..")
	text = strings.ReplaceAll(text, "±", "+-")
	if nominal, tol, ok := strings.Cut(text, "+-"); ok {
		v, err := ParseVolt(nominal)
		if err != nil {
			return Window{}, err
		}
		t, err := ParsePercent(tol)
		if err != nil {
			return Window{}, err
		}
		if t >= 1 {
			return Window{}, q.wrong(s, "a tolerance of 100 % or more leaves no voltage")
		}
		return Window{Volt(float64(v) * (1 - t)), v, Volt(float64(v) * (1 + t))}, nil
	}
	parts := strings.Split(text, "..")
	if len(parts) > 3 { // least, nominal, greatest
		return Window{}, q.wrong(s, "it has more than three voltages")
	}
	v := make([]Volt, len(parts))
	for i, p := range parts {
		if strings.TrimSpace(p) == "" {
			return Window{}, q.wrong(s, "a voltage is missing beside the dots")
		}
		x, err := ParseVolt(p)
		if err != nil {
			return Window{}, err
		}
		v[i] = x
		if i > 0 && v[i] < v[i-1] {
			return Window{}, q.wrong(s, "the lower voltage must come first")
		}
	}
	switch len(v) {
	case 1:
		return Window{v[0], v[0], v[0]}, nil
	case 2:
		return Window{v[0], (v[0] + v[1]) / 2, v[1]}, nil
	}
	return Window{v[0], v[1], v[2]}, nil
}

// Ohms is how resistances are written: "470R", "4k7" and "R22" by the code of IEC 60062, "4.7k", "470 ohm".
func Ohms() Quantity {
	return Quantity{what: "a resistance", example: "470R, 4k7 or 470 ohm", units: map[string]float64{
		"": 1, "R": 1, "r": 1, "ohm": 1, "ohms": 1, "Ω": 1, "mohm": 1e-3, "mΩ": 1e-3,
		"k": 1e3, "K": 1e3, "kohm": 1e3, "kΩ": 1e3, "M": 1e6, "Mohm": 1e6, "MΩ": 1e6,
	}, limit: mostOhms, coded: true}
}

// uncoded puts the decimal point where a letter of IEC 60062 stands for it: "04.7k" for "4k7".
func uncoded(text string) string {
	i := strings.IndexAny(text, "RrkKM")
	if i < 0 || i+1 >= len(text) || !digits(text[i+1:]) || i > 0 && !digits(text[:i]) {
		return text
	}
	return "0" + text[:i] + "." + text[i+1:] + text[i:i+1]
}

func digits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// Code returns the resistance by the code of IEC 60062, as it is printed and listed: "470R", "4k7", "0R22".
func (r Ohm) Code() string {
	const kilo, mega = 1e3, 1e6
	const halfK, halfR = 0.5, 0.0005 // what rounds to 1M and to 1k, at three decimals
	x, letter := float64(r), "R"
	switch {
	case x >= mega-halfK:
		x, letter = x/mega, "M"
	case x >= kilo-halfR:
		x, letter = x/kilo, "k"
	}
	whole, frac, ok := strings.Cut(Trimmed(x, placesR), ".")
	if !ok {
		return whole + letter
	}
	return whole + letter + frac
}

// tidy replaces the characters that people and their keyboards use for the same thing.
func tidy(s string) string {
	s = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\t", " ", "µ", "u", "μ", "u", "\u2126", "Ω", "²", "2", "^2", "2", "″", `"`).Replace(s)
	return strings.TrimSpace(s)
}

// Read returns the value of a text in the quantity's own unit.
func (q Quantity) Read(s string) (float64, error) {
	text := tidy(s)
	if text == "" {
		return 0, q.wrong(s, "nothing is written")
	}
	if q.coded {
		text = uncoded(text)
	}
	n := 0
	for n < len(text) && strings.IndexByte("0123456789.+-/,", text[n]) >= 0 {
		n++
	}
	number, unit := text[:n], strings.TrimSpace(text[n:])
	if number == "" {
		return 0, q.wrong(s, "it does not start with a number")
	}
	if strings.Contains(number, ",") {
		return 0, q.wrong(s, "the decimal sign is a point, and thousands are not separated")
	}
	x, err := fraction(number)
	if err != nil {
		return 0, q.wrong(s, fmt.Sprintf("%q is no number", number))
	}
	scale, ok := q.units[unit]
	if !ok {
		return 0, q.wrong(s, fmt.Sprintf("the unit %q does not fit", unit))
	}
	v := x * scale
	switch {
	case v < 0:
		return 0, q.wrong(s, "it must not be negative")
	case v > q.limit || math.IsInf(v, 0) || math.IsNaN(v):
		return 0, q.wrong(s, "it is far too large")
	}
	return v, nil
}

// wrong returns the error that tells what is wrong with s, and one that works.
func (q Quantity) wrong(s, why string) error {
	if why != "" {
		why = ": " + why
	}
	return fmt.Errorf("%q is not %s%s; write for example %s", s, q.what, why, q.example)
}

// fraction reads "0.25" or "1/4".
func fraction(s string) (float64, error) {
	top, bottom, ok := strings.Cut(s, "/")
	x, err := strconv.ParseFloat(top, 64)
	if err != nil || !ok {
		return x, err
	}
	y, err := strconv.ParseFloat(bottom, 64)
	if err != nil {
		return 0, err
	}
	if y == 0 {
		return 0, strconv.ErrRange
	}
	return x / y, nil
}
