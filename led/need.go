package led

import (
	"fmt"
	"math"
	"strings"

	"lampblack/led/part"
)

// Need is what it would take where a supply cannot hold its console; of the figures each alone would do, 0 is not known. The
// zero Need is none.
type Need struct {
	Broken bool      // its voltage breaks down under the loads: there is no operating point
	Volts  part.Volt // the least voltage without load
	Ohms   part.Ohm  // the greatest resistance inside it
	Watts  part.Watt // the most that its other loads of fixed power may take together
	Unlit  []string  // panels whose LEDs have no strings
}

// Lit returns the figures alone, with nothing wrong yet.
func (n Need) Lit() Need { return Need{Volts: n.Volts} }

// Any reports whether something is needed.
func (n Need) Any() bool { return n.Broken || len(n.Unlit) > 0 }

// ways says what would do, in words that follow "It takes"; empty where nothing is known.
func (n Need) ways() string {
	var out []string
	if n.Volts > 0 {
		out = append(out, fmt.Sprintf("a supply of at least %v", n.Volts))
	}
	if n.Ohms > 0 {
		out = append(out, fmt.Sprintf("at most %s ohm inside it", part.Trimmed(float64(n.Ohms), 3)))
	}
	if n.Watts > 0 {
		out = append(out, fmt.Sprintf("other loads of at most %v", n.Watts))
	}
	return strings.Join(out, ", or ")
}

// Sentence says why there is no verdict and what it would take.
func (n Need) Sentence() string {
	var s string
	switch {
	case n.Broken:
		s = "The supply does not hold the console: its voltage breaks down under the loads."
	case len(n.Unlit) > 0:
		panels := "panels " + strings.Join(n.Unlit, ", ") + " have"
		if len(n.Unlit) == 1 {
			panels = "panel " + n.Unlit[0] + " has"
		}
		s = "The supply is not judged: " + panels + " LEDs that no string could be made for."
	default:
		return "The supply is not judged: no currents could be computed."
	}
	if w := n.ways(); w != "" {
		s += " It takes " + w + "."
	}
	return s
}

// Holds returns what a source would need to hold loads of fixed power beside boards that draw amps in all, and want least volts
// to light, 0 where that is not known; its least voltage counts.
//
// A source of E volts behind R ohms gives V·(E-V)/R at V volts, at most E²/4R at half its voltage (maximum power transfer).
// Less what takes amps, I, and what has ohms, r, that is V·((E-V)/R - I - V/r), with its greatest value
// (E - RI)²/(4R(1 + R/r)), which must not be below the power asked for. Solved for the power, for E and for R. Where that leaves
// less than the boards want, the power asked for must be had at just their voltage.
func (s Source) Holds(amps part.Amp, least part.Volt) Need {
	e, r, i, v := float64(s.Min), float64(s.Ohms), float64(amps), float64(least)
	watts, siemens := 0.0, 0.0
	for _, o := range s.Others {
		i += float64(o.Amps)
		watts += float64(o.Watts)
		if o.Ohms > 0 {
			siemens += 1 / float64(o.Ohms)
		}
	}
	n := Need{Broken: true}
	load := 1 + float64(r*siemens)
	// What is told holds a little more than what just holds.
	const spare = 1.05
	// at is the voltage with the most power, drawn what the loads draw at the boards' voltage.
	at := func(e, r float64) float64 { return (e - float64(r*i)) / (2 * (1 + float64(r*siemens))) }
	drawn := i + float64(v*siemens)
	if v > 0 {
		drawn += watts / v
	}
	volts := float64(r*i) + 2*math.Sqrt(r*watts*load)
	if v > at(volts, r) {
		volts = v + float64(r*drawn)
	}
	n.Volts = part.Volt(math.Ceil(10*spare*volts) / 10)
	// R²·(I² - 4P/r) - R·(2EI + 4P) + E² = 0
	a, b, c := float64(i*i)-float64(4*watts*siemens), float64(2*e*i)+float64(4*watts), float64(e*e)
	ohms := c / b
	if d := float64(b*b) - float64(4*a*c); math.Abs(a) > 1e-12 && d >= 0 {
		ohms = 2 * c / (b + math.Sqrt(d)) // the smaller root, whatever the sign of a
	}
	if v > at(e, ohms) {
		ohms = max(e-v, 0) / drawn
	}
	if !math.IsInf(ohms, 0) && !math.IsNaN(ohms) {
		n.Ohms = part.Ohm(floor(ohms / spare))
	}
	if left := e - float64(r*i); left > 0 && watts > 0 {
		most := float64(left*left) / (4 * r * load)
		if v > at(e, r) {
			most = v * ((e-v)/r - i - float64(v*siemens))
		}
		n.Watts = part.Watt(floor(most / spare))
	}
	return n
}

// floor rounds down to two significant digits.
func floor(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Floor(x/step+1e-9) * step
}
