// Package part describes the things one buys: LEDs, resistors, connectors, wires and fuses, with their values, ratings and
// sources. Its catalogue is embedded data (see catalogue.go); a project may add kinds of its own.
package part

import "math"

// SI quantities; each has its own type, so that a volt cannot be passed for an ampere.
type (
	Volt float64
	Amp  float64
	Ohm  float64
	Watt float64
)

// Over returns the resistance that lets current i flow at voltage v.
func (v Volt) Over(i Amp) Ohm { return Ohm(float64(v) / float64(i)) }

// Through returns the current that voltage v drives through r.
func (v Volt) Through(r Ohm) Amp { return Amp(float64(v) / float64(r)) }

// Times returns the voltage across r at current i.
func (r Ohm) Times(i Amp) Volt { return Volt(float64(r) * float64(i)) }

// Heat returns the power that current i turns to heat in r.
func (r Ohm) Heat(i Amp) Watt { return Watt(float64(i) * float64(i) * float64(r)) }

// Rating returns a rating as one would look for it: whole tenths of an ampere, not below a; a hair more than a tenth, as
// sums of floats leave, is still that tenth.
func (a Amp) Rating() Amp {
	const tenths, hair = 10, 1e-9
	return Amp(math.Ceil(float64(a*tenths)-hair) / tenths)
}

// Allowed returns what may flow as people are told it: whole hundredths of an ampere, not above a.
func (a Amp) Allowed() Amp {
	const hundredths, hair = 100, 1e-9
	return Amp(math.Floor(float64(a*hundredths)+hair) / hundredths)
}

// VfCelsius is the temperature at which a kind's forward voltages hold (that of data sheets).
const VfCelsius = 25.0

// VfPoint is a point of an LED's forward curve.
type VfPoint struct {
	I Amp
	V Volt
}

// LED is a kind of LED.
type LED struct {
	Name    string // "red-3mm"
	Colour  string // "red"
	RGB     [3]uint8
	Package string  // names a footprint: "radial-3mm"
	HoleMM  float64 // usual hole in the LED sheet

	Curve        []VfPoint   // typical forward curve, at least one point
	VfMin, VfMax Volt        // limits at Curve[0].I
	Tempco       float64     // of Vf, V/K, negative
	IMax         Amp         // absolute maximum continuous current
	DeratedFrom  float64     // °C from which it is less; 0: usual
	DeratedBy    Amp         // by how much for each kelvin more; 0: usual
	HalfAngle    float64     // full cone angle is twice this; degrees off axis at half intensity
	Candela      float64     // luminous intensity on axis at Curve[0].I, typical; 0 when unknown
	CandelaMin   float64     // of any lot, at least; 0 when unknown
	CandelaMax   float64     // of any lot, at most; 0 when unknown
	Lot          float64     // within one lot: the brightest LED over the dimmest; 0: usual
	Matches      Amp         // least current at which LEDs of one lot still look alike; 0: usual
	Beam         []BeamPoint // how it shines to the side, from its data sheet, angles rising; empty: by HalfAngle
	Source       string      // where the values come from
}

// BeamPoint is a point of a data sheet's radiation diagram.
type BeamPoint struct {
	Degrees  float64 // off the axis, 0 to 90
	Relative float64 // intensity as a share of that on the axis
}
