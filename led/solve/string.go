package solve

import (
	"math"

	"lampblack/led/part"
)

// Values in the solver are plain SI floats, because voltages, currents and conductances meet in every line.

// String is a string: LEDs of one model in series with a resistor.
type String struct {
	LEDs  int
	Diode part.Diode
	Ohms  float64
}

// At returns the current at voltage v, and its derivative.
func (s String) At(v float64) (i, g float64) { return s.Branch(1).At(v) }

// Branch is a number of equal strings as the solver takes them: V = r·I + a·ln(I/is + 1).
type Branch struct {
	times float64
	r     float64 // the resistor and all RS
	a     float64 // leds·N·Vt; 0: a plain resistor
	is    float64
	y0    float64 // ln(is·r/a) + is·r/a
	draw  float64 // instead of all that, a constant current
}

// Branch returns the given number of such strings.
func (s String) Branch(times int) Branch {
	b := Branch{times: float64(times), r: s.Ohms + float64(float64(s.LEDs)*float64(s.Diode.RS))}
	if s.LEDs == 0 {
		return b
	}
	b.a, b.is = float64(s.LEDs)*s.Diode.Slope(), float64(s.Diode.IS)
	b.y0 = math.Log(b.is*b.r/b.a) + b.is*b.r/b.a
	return b
}

// Diodes returns a single string by its numbers: V = r·I + a·ln(I/is + 1), a above 0.
func Diodes(r, a, logIS float64) Branch {
	is := math.Exp(logIS)
	return Branch{times: 1, r: r, a: a, is: is, y0: logIS + math.Log(r/a) + is*r/a}
}

// At returns the current of one of the strings at voltage v, and its derivative.
//
// V = R·I + a·ln(I/IS + 1), with R of the resistor and all RS, and a = leds·N·Vt, is solved by I + IS = (a/R)·ω(y) with
// y = ln(IS·R/a) + (V + IS·R)/a, where ω(y) + ln ω(y) = y (Wright's omega function: Corless and Jeffrey, "The Wright ω
// Function", AISC 2002, LNCS 2385; a diode with a series resistance is solved so by Banwell and Jayakumar, Electronics
// Letters 36 (2000) 291). No start value, no divergence, at any voltage.
func (b Branch) At(v float64) (i, g float64) {
	if b.draw > 0 {
		return b.draw, 0
	}
	if b.a == 0 {
		return v / b.r, 1 / b.r
	}
	w := omega(b.y0 + v/b.a)
	return float64(b.a/b.r*w) - b.is, w / ((1 + w) * b.r)
}

// omega returns the w with w + ln w = y, to within a few units in the last place: for large y, where w ≈ y - ln y, the
// iteration of fourth order by Fritsch, Shafer and Crowley (Algorithm 443, CACM 16(2), 1973, doi:10.1145/361952.361970), and
// otherwise Newton's on ln w.
func omega(y float64) float64 {
	if y < -40 {
		return math.Exp(y) // w is below 1e-17, and w - ln w = y differs from -ln w by less than one unit
	}
	if y > 1 {
		w := y - math.Log(y)
		for range 8 {
			r := y - w - math.Log(w)
			q := float64((1 + w) * (1 + w + float64(2.0/3*r)))
			w += float64(w * (r / (1 + w)) * (q - float64(r/2)) / (q - r))
			if math.Abs(r) <= 1e-4 {
				break // what is left is of fourth order: below 1e-16
			}
		}
		return w
	}
	// f(u) = e^u + u - y rises and is convex: from above its root the iteration falls to it.
	u := min(y, 0)
	for range 12 {
		e := math.Exp(u)
		step := (e + u - y) / (1 + e)
		u -= step
		if math.Abs(step) < 1e-16*max(1, math.Abs(u)) {
			break
		}
	}
	return math.Exp(u)
}
