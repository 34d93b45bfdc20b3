package part

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Copper at 20 °C: 100 % IACS is 1/58 Ω·mm²/m, and its resistance grows by 0.393 % per kelvin (references.md section 3).
const (
	copperOhmMM2  = 1.0 / 58 // Ω·mm²/m
	copperTempco  = 0.00393  // 1/K
	copperCelsius = 20       // °C, at which both hold
	mmPerMetre    = 1000
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
	return Ohm(float64(w.Ohms) * (1 + float64(copperTempco*(celsius-copperCelsius))))
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

// perMM2 is the current that a wire thinner than those of class5Table is allowed: 3 A/mm² (Standard Handbook for Electrical
// Engineers, 14th ed., 2000, by references.md section 4).
const perMM2 = 3.0

// carries returns what a wire of that area carries, however it is named: what class5Table has for the greatest size that is not
// larger, above its end no less, and 3 A/mm² below its beginning.
func carries(mm2 float64) Amp {
	amps, table := perMM2*mm2, class5Table()
	for i, c := range table {
		switch {
		case c.mm2 > mm2+nominalMM2:
		case i == len(table)-1 && mm2 > c.mm2:
			amps = max(c.amps, perMM2*mm2)
		default:
			amps = c.amps
		}
	}
	return Amp(Settled(amps))
}

// strandedOhmMM2 is the resistivity, Ω·mm²/m, that the class 5 table allows at most for its own sizes (1.5 mm² · 13.3 Ω/km):
// used for sizes that the standard leaves out, such as 0.22 mm².
const strandedOhmMM2 = 0.01995

// nominalMM2 is how near an area must be to a nominal one, in mm²: the last digits of a float.
const nominalMM2 = 1e-9

// metresPerKM turns the standard's ohms a kilometre into ohms a metre.
const metresPerKM = 1000

// MetricWire returns a stranded conductor of the given area in mm².
func MetricWire(mm2 float64) Wire {
	w := Wire{Text: Trimmed(mm2, 3) + " mm2", MM2: mm2, Ohms: Ohm(strandedOhmMM2 / mm2), Rated: carries(mm2)}
	for _, c := range class5Table() {
		if math.Abs(c.mm2-mm2) < nominalMM2 {
			w.Ohms = Ohm(c.ohmPerKm / metresPerKM)
		}
	}
	return w
}

// The American wire gauge (ASTM B258): no. 36 is 0.127 mm across, no. 0000 is 92 times that, 39 steps higher; equal steps
// have equal ratios.
const (
	gaugeMM    = 0.127 // of gaugeFrom
	gaugeFrom  = 36
	gaugeRatio = 92
	gaugeSteps = 39

	thinnestGauge = 40 // 0.08 mm across: nobody strips thinner wire
)

// AWGWire returns a conductor of the American wire gauge (ASTM B258): diameter 0.127 mm · 92^((36-n)/39), resistance of
// annealed copper, and the current of its area.
func AWGWire(n int) Wire {
	d := gaugeMM * math.Pow(gaugeRatio, float64(gaugeFrom-n)/gaugeSteps)
	mm2 := Settled(math.Pi / 4 * d * d)
	return Wire{Text: strconv.Itoa(n) + " AWG", MM2: mm2, Ohms: Ohm(Settled(copperOhmMM2 / mm2)), Rated: carries(mm2)}
}

// bellMM2 is the thinnest usual size, mm²: of bell wire and of the cores of alarm cable (common practice).
const bellMM2 = 0.22

// WireSizes returns the usual sizes, thinnest first, from which a larger one can be suggested.
func WireSizes() []Wire {
	out := []Wire{MetricWire(bellMM2)}
	for _, c := range class5Table() {
		out = append(out, MetricWire(c.mm2))
	}
	return out
}

// Areas is how conductors are written, in mm².
func Areas() Quantity {
	return Quantity{what: "a wire size", example: "0.5 mm2, or 24 AWG", units: map[string]float64{"": 1, "mm2": 1, "sqmm": 1}, limit: mostAreaMM2}
}

// What a wire of a panel's feed may have, in mm²: no. 40 is thinner than the one, and no terminal of a board takes the other.
const (
	leastMM2 = 0.01
	mostMM2  = 50
)

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
		if err != nil || n < 0 || n > thinnestGauge {
			return Wire{}, fmt.Errorf("%q is not a wire size: the gauge must be a whole number from 0 to %d; %s", s, thinnestGauge, example)
		}
		return AWGWire(n), nil
	}
	q := Areas()
	mm2, err := q.Read(text)
	if err != nil {
		return Wire{}, q.rephrase(s, text)
	}
	if mm2 < leastMM2 || mm2 > mostMM2 {
		return Wire{}, fmt.Errorf("%q is not a wire size for a panel: it must lie between %v and %v mm2; %s", s, leastMM2, mostMM2, example)
	}
	return MetricWire(mm2), nil
}

// rephrase returns the error about text with the user's own s in it.
func (q Quantity) rephrase(s, text string) error {
	_, err := q.Read(text)
	return fmt.Errorf("%s", strings.Replace(err.Error(), strconv.Quote(text), strconv.Quote(s), 1))
}
