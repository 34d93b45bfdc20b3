package part

import (
	"math"
)

// thermalVolt is kT/q at 300.15 K, the temperature at which SPICE takes a model's parameters to hold: with the exact SI
// values of k and q (references.md section 2: 25.865 mV).
const (
	boltzmann   = 1.380649e-23    // J/K
	charge      = 1.602176634e-19 // C
	spiceKelvin = 300.15
	thermalVolt = boltzmann * spiceKelvin / charge
)

// Diode is an LED's model: V = N·Vt·ln(I/IS + 1) + I·RS, Shockley's diode with a series resistance.
type Diode struct {
	IS Amp
	N  float64
	RS Ohm
}

// Volts returns the forward voltage at current i.
func (d Diode) Volts(i Amp) Volt {
	return Volt(float64(d.Slope()*math.Log1p(float64(i)/float64(d.IS))) + float64(float64(d.RS)*float64(i)))
}

// Slope is N·Vt, in volts.
func (d Diode) Slope() float64 { return d.N * thermalVolt }

// Shifted returns the diode whose forward voltage is higher by dv at any current well above IS.
func (d Diode) Shifted(dv Volt) Diode {
	d.IS = Amp(float64(d.IS) * math.Exp(-float64(dv)/d.Slope()))
	return d
}

// oneIS and oneRS are what a kind with a single point of its curve gets: both LEDs of the open model library that
// references.md section 2 lists have these two values, and differ in N alone.
const (
	oneIS = 1e-10 // A
	oneRS = 0.1   // Ω
	mostR = 0.1   // of the voltage, that the resistance may take where the current is large
)

// The saturation current is kept where simulators accept it, and far below every current of the curve, so that the +1 of
// the model does not matter to the fit.
const (
	leastIS   = 1e-26 // A
	greatestI = 1e-4  // of IS relative to the smallest current of the curve
)

// Fit returns the diode that comes nearest to the kind's typical curve, and the greatest distance from its points.
//
// Method: well above IS the model is V = a + b·ln I + c·I with b = N·Vt and c = RS, linear in a, b and c: least squares
// with three points and more, c = 0 with two, the values of oneIS and oneRS with one, each to nine digits. Where c would be negative it is 0;
// where b would lead IS out of its range it is put at the border. The kind must pass LED.Check.
func Fit(k LED) (Diode, Volt) {
	d := fit(k.Curve)
	d = Diode{Amp(Settled(float64(d.IS))), Settled(d.N), Ohm(Settled(float64(d.RS)))}
	worst := 0.0
	for _, p := range k.Curve {
		worst = max(worst, math.Abs(float64(d.Volts(p.I)-p.V)))
	}
	return d, Volt(worst)
}

func fit(curve []VfPoint) Diode {
	i0, v0 := float64(curve[0].I), float64(curve[0].V)
	if len(curve) == 1 {
		rs := min(oneRS, mostR*v0/i0)
		is := min(oneIS, greatestI*i0)
		return Diode{Amp(is), (v0 - float64(rs*i0)) / math.Log1p(i0/is) / thermalVolt, Ohm(rs)}
	}
	least := i0
	for _, p := range curve {
		least = min(least, float64(p.I))
	}
	bMin, bMax := v0/math.Log(i0/leastIS), v0/math.Log(i0/(greatestI*least))
	a, b, c := 0.0, 0.0, 0.0
	ok := false
	if len(curve) > 2 {
		a, b, c, ok = leastSquares3(curve)
	}
	if !ok || c < 0 {
		c = 0
		a, b = line(curve, math.Log, func(VfPoint) float64 { return 0 })
	}
	if b < bMin || b > bMax || math.IsNaN(b) {
		b = min(max(b, bMin), bMax)
		if math.IsNaN(b) {
			b = bMin
		}
		border := b
		_, c = line(curve, func(i float64) float64 { return i }, func(p VfPoint) float64 { return border * math.Log(float64(p.I)) })
		if c < 0 || math.IsNaN(c) {
			c = 0
		}
		// A border fit still meets the point that the limits belong to.
		a = v0 - float64(b*math.Log(i0)) - float64(c*i0)
	}
	is := math.Exp(-a / b)
	return Diode{Amp(min(max(is, leastIS), greatestI*least)), b / thermalVolt, Ohm(c)}
}

// line fits V - minus(p) = a + b·x(I) by least squares.
func line(curve []VfPoint, x func(float64) float64, minus func(VfPoint) float64) (a, b float64) {
	n := float64(len(curve))
	mx, my := 0.0, 0.0
	for _, p := range curve {
		mx += x(float64(p.I)) / n
		my += (float64(p.V) - minus(p)) / n
	}
	sxx, sxy := 0.0, 0.0
	for _, p := range curve {
		dx, dy := x(float64(p.I))-mx, float64(p.V)-minus(p)-my
		sxx += float64(dx * dx)
		sxy += float64(dx * dy)
	}
	b = sxy / sxx
	return my - float64(b*mx), b
}

// leastDet is the share of the product of its diagonal below which the determinant of the normal equations is rounding.
const leastDet = 1e-9

// leastSquares3 fits V = a + b·ln I + c·I. Both columns are centred, which leaves two normal equations.
func leastSquares3(curve []VfPoint) (a, b, c float64, ok bool) {
	n := float64(len(curve))
	ml, mi, mv := 0.0, 0.0, 0.0
	for _, p := range curve {
		ml += math.Log(float64(p.I)) / n
		mi += float64(p.I) / n
		mv += float64(p.V) / n
	}
	var ll, li, ii, lv, iv float64
	for _, p := range curve {
		l, i, v := math.Log(float64(p.I))-ml, float64(p.I)-mi, float64(p.V)-mv
		ll += float64(l * l)
		li += float64(l * i)
		ii += float64(i * i)
		lv += float64(l * v)
		iv += float64(i * v)
	}
	det := float64(ll*ii) - float64(li*li)
	if !(det > leastDet*ll*ii) {
		return 0, 0, 0, false
	}
	b = (float64(lv*ii) - float64(iv*li)) / det
	c = (float64(iv*ll) - float64(lv*li)) / det
	return mv - float64(b*ml) - float64(c*mi), b, c, true
}
