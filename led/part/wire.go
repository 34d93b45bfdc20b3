package part

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Copper at 20 °C: 100 % IACS is 1/58 Ω·mm²/m, and its resistance grows by 0.393 % per kelvin (references.md section 3).
const (
	copperOhmMM2 = 1.0 / 58 // Ω·mm²/m
	copperTempco = 0.00393  // 1/K
)

// Wire is one conductor of a feed.
type Wire struct {
	Text  string  // as people write it: "0.5 mm2", "24 AWG"
	MM2   float64 // copper area
	Ohms  Ohm     // per metre at 20 °C
	Rated Amp
}

// At returns the resistance per metre at the given temperature.
func (w Wire) At(celsius float64) Ohm {
	return Ohm(float64(w.Ohms) * (1 + float64(copperTempco*(celsius-20))))
}

// class5 is a nominal area of flexible plain copper conductors.
type class5 struct {
	mm2, ohmPerKm, amps float64
}

// class5Table lists the sizes used for feeds. Ohms: IEC 60228 class 5, plain copper, maximum at 20 °C. Amperes: the table of
// supply cords in IEC 60335-1. Both by references.md section 4.
func class5Table() []class5 {
	return []class5{{0.5, 39.0, 3}, {0.75, 26.0, 6}, {1.0, 19.5, 10}, {1.5, 13.3, 16}, {2.5, 7.98, 25}}
}

// perMM2 is the current that a wire outside class5Table is allowed: 3 A/mm² (Standard Handbook for Electrical
// Engineers, 14th ed., 2000, by references.md section 4).
const perMM2 = 3.0

// strandedOhmMM2 is the resistivity, Ω·mm²/m, that the class 5 table allows at most for its own sizes (1.5 mm² · 13.3 Ω/km):
// used for sizes that the standard leaves out, such as 0.22 mm².
const strandedOhmMM2 = 0.01995

// MetricWire returns a stranded conductor of the given area in mm².
func MetricWire(mm2 float64) Wire {
	w := Wire{Text: trimmed(mm2, 3) + " mm2", MM2: mm2, Ohms: Ohm(strandedOhmMM2 / mm2), Rated: Amp(perMM2 * mm2)}
	for _, c := range class5Table() {
		if math.Abs(c.mm2-mm2) < 1e-9 {
			w.Ohms, w.Rated = Ohm(c.ohmPerKm/1000), Amp(c.amps)
		}
	}
	return w
}

// AWGWire returns a conductor of the American wire gauge (ASTM B258): diameter 0.127 mm · 92^((36-n)/39), resistance of
// annealed copper, 3 A/mm².
func AWGWire(n int) Wire {
	d := 0.127 * math.Pow(92, float64(36-n)/39)
	mm2 := Settled(math.Pi / 4 * d * d)
	return Wire{Text: strconv.Itoa(n) + " AWG", MM2: mm2, Ohms: Ohm(Settled(copperOhmMM2 / mm2)), Rated: Amp(Settled(perMM2 * mm2))}
}

// WireSizes returns the usual sizes, thinnest first, from which a larger one can be suggested.
func WireSizes() []Wire {
	out := []Wire{MetricWire(0.22)}
	for _, c := range class5Table() {
		out = append(out, MetricWire(c.mm2))
	}
	return out
}

// Areas is how conductors are written, in mm².
func Areas() Quantity {
	return Quantity{what: "a wire size", example: "0.5 mm2, or 24 AWG", units: map[string]float64{"": 1, "mm2": 1, "sqmm": 1}, limit: 1000}
}

// ParseWire reads a wire size: "0.5 mm2", "24 AWG"; a bare number is in mm².
func ParseWire(s string) (Wire, error) {
	const example = "write for example 0.5 mm2, or 24 AWG"
	text := strings.ToLower(tidy(s))
	gauge, isAWG := strings.CutSuffix(text, "awg")
	if !isAWG {
		gauge, isAWG = strings.CutPrefix(text, "awg")
	}
	if isAWG {
		n, err := strconv.Atoi(strings.TrimSpace(gauge))
		if err != nil || n < 0 || n > 40 {
			return Wire{}, fmt.Errorf("%q is not a wire size: the gauge must be a whole number from 0 to 40; %s", s, example)
		}
		return AWGWire(n), nil
	}
	q := Areas()
	mm2, err := q.Read(text)
	if err != nil {
		return Wire{}, q.rephrase(s, text)
	}
	if mm2 < 0.01 || mm2 > 50 {
		return Wire{}, fmt.Errorf("%q is not a wire size for a panel: it must lie between 0.01 and 50 mm2; %s", s, example)
	}
	return MetricWire(mm2), nil
}

// rephrase returns the error about text with the user's own s in it.
func (q Quantity) rephrase(s, text string) error {
	_, err := q.Read(text)
	return fmt.Errorf("%s", strings.Replace(err.Error(), strconv.Quote(text), strconv.Quote(s), 1))
}
