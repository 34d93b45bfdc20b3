package part

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/panel/geom"
)

// Units, for the bare numbers that ParseAmp is given.
const (
	MilliAmp Amp = 1e-3
	Ampere   Amp = 1
)

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
func (v Volt) String() string { return trimmed(float64(v), 3) + " V" }

// String returns the current as people write it: "8 mA" below 1 A, "2.5 A" above. Rounded to 10 µA or 1 mA.
func (a Amp) String() string {
	if math.Abs(float64(a)) < 0.9999 {
		return trimmed(float64(a)*1e3, 2) + " mA"
	}
	return trimmed(float64(a), 3) + " A"
}

// String returns the power as people write it: "62.5 mW" below 1 W, "1.5 W" above.
func (w Watt) String() string {
	if math.Abs(float64(w)) < 0.9999 {
		return trimmed(float64(w)*1e3, 1) + " mW"
	}
	return trimmed(float64(w), 3) + " W"
}

// trimmed formats with at most n decimals and no trailing zeros.
func trimmed(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// quantity is a kind of quantity that people write.
type quantity struct {
	what    string // "a voltage"
	example string // one that works
	units   map[string]float64
	limit   float64 // greatest sensible value, SI
}

func volts() quantity {
	return quantity{"a voltage", "12 V", map[string]float64{"": 1, "V": 1, "mV": 1e-3, "volt": 1, "volts": 1}, 1000}
}

func amps(bare Amp) quantity {
	example := "2 A"
	if bare < 1 {
		example = "8 mA"
	}
	return quantity{"a current", example, map[string]float64{"": float64(bare), "A": 1, "mA": 1e-3, "uA": 1e-6, "amp": 1, "amps": 1}, 1000}
}

func watts() quantity {
	return quantity{"a power", "1/4 W", map[string]float64{"": 1, "W": 1, "mW": 1e-3, "watt": 1, "watts": 1}, 1e5}
}

func lengths() quantity {
	units := map[string]float64{"": 1, "mm": 1, "cm": 10, "m": 1000, "um": 1e-3, "in": 25.4, "inch": 25.4, "inches": 25.4, `"`: 25.4, "mil": 0.0254}
	return quantity{"a length", "250 mm", units, 1e6} // 1 km
}

func percents() quantity {
	return quantity{"a percentage", "5 %", map[string]float64{"": 0.01, "%": 0.01, "percent": 0.01}, 1e3}
}

func candelas() quantity {
	return quantity{"a luminous intensity", "250 mcd", map[string]float64{"": 1, "cd": 1, "mcd": 1e-3}, 1e4}
}

func degrees() quantity {
	return quantity{"an angle", "30 deg", map[string]float64{"": 1, "deg": 1, "°": 1, "degrees": 1}, 360}
}

// ParseVolt reads a voltage: "12 V", "500 mV"; a bare number is in volts.
func ParseVolt(s string) (Volt, error) {
	v, err := volts().read(s)
	return Volt(v), err
}

// ParseAmp reads a current: "8 mA", "2 A"; a bare number is in the unit bare, MilliAmp or Ampere.
func ParseAmp(s string, bare Amp) (Amp, error) {
	v, err := amps(bare).read(s)
	return Amp(v), err
}

// ParseWatt reads a power: "1/4 W", "250 mW"; a bare number is in watts.
func ParseWatt(s string) (Watt, error) {
	v, err := watts().read(s)
	return Watt(v), err
}

// ParseLength reads a length: "250 mm", "0.3 m", "1/2 in"; a bare number is in millimetres.
func ParseLength(s string) (geom.Nm, error) {
	v, err := lengths().read(s)
	return geom.MM(v), err
}

// ParsePercent reads a percentage and returns the fraction: "5 %" is 0.05; a bare number is in percent.
func ParsePercent(s string) (float64, error) { return percents().read(s) }

// ParseCandela reads a luminous intensity in candela: "250 mcd"; a bare number is in candela.
func ParseCandela(s string) (float64, error) { return candelas().read(s) }

// ParseDegrees reads an angle in degrees: "30 deg"; a bare number is in degrees.
func ParseDegrees(s string) (float64, error) { return degrees().read(s) }

// ParseWindow reads a supply voltage: "12 V", which it is taken to hold exactly; "11.1 V .. 12.6 V" with the nominal
// voltage in the middle; "10.5 .. 12 .. 14.8 V" with the nominal told; or "12 V +- 5 %".
func ParseWindow(s string) (Window, error) {
	text := tidy(s)
	q := quantity{"a supply voltage", "12 V, or 11.1 V .. 12.6 V", volts().units, 1000}
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
	if len(parts) > 3 {
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

// ParseOhm reads a resistance: "470R", "4k7" and "R22" by the code of IEC 60062, "4.7k", "470 ohm"; a bare number is in
// ohms.
func ParseOhm(s string) (Ohm, error) {
	q := quantity{"a resistance", "470R, 4k7 or 470 ohm", map[string]float64{
		"": 1, "R": 1, "ohm": 1, "ohms": 1, "Ω": 1, "mohm": 1e-3, "mΩ": 1e-3,
		"k": 1e3, "K": 1e3, "kohm": 1e3, "kΩ": 1e3, "M": 1e6, "Mohm": 1e6, "MΩ": 1e6,
	}, 1e9}
	text := tidy(s)
	// A letter in the place of the decimal point.
	if i := strings.IndexAny(text, "RrkKM"); i >= 0 && i+1 < len(text) && digits(text[i+1:]) && (i == 0 || digits(text[:i])) {
		unit := strings.ToUpper(text[i : i+1])
		if unit == "K" {
			unit = "k"
		}
		text = "0" + text[:i] + "." + text[i+1:] + unit
	}
	if strings.HasSuffix(text, "r") {
		text = strings.TrimSuffix(text, "r") + "R"
	}
	v, err := q.read(text)
	if err != nil && text != s {
		_, err = q.read(s) // tell it in the user's words
		if err == nil {
			err = q.wrong(s, "")
		}
	}
	return Ohm(v), err
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
	x, letter := float64(r), "R"
	switch {
	case x >= 999_999.5:
		x, letter = x/1e6, "M"
	case x >= 999.9995:
		x, letter = x/1e3, "k"
	}
	whole, frac, ok := strings.Cut(trimmed(x, 3), ".")
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

// read returns the value in the quantity's own unit.
func (q quantity) read(s string) (float64, error) {
	text := tidy(s)
	if text == "" {
		return 0, q.wrong(s, "nothing is written")
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
func (q quantity) wrong(s, why string) error {
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
