package expect

import (
	"lampblack/led"
	"lampblack/led/part"
)

// DiodeAmps is what a meter's diode test sends through what it tests, about 1 mA (common practice).
const DiodeAmps part.Amp = 1 * part.MilliAmp

// DiodeShown is the most that most meters show in their diode test, beyond which they show over range although the LED may glow
// (common practice).
const DiodeShown part.Volt = 2

// OhmsVolts is the most that usual meters put on what they measure the resistance of, up to the voltage of two cells (common
// practice): a string of LEDs that needs more blocks either way round.
const OhmsVolts part.Volt = 3

// DiodeTest returns the forward voltage of an LED that a diode test sees, at room temperature.
func DiodeTest(k part.LED) Span {
	src := led.Source{Ambient: room()}
	d, _ := part.Fit(k)
	at := func(drop int) float64 { return float64(src.Cornered(k, d, drop).Volts(DiodeAmps)) }
	return Span{at(-1), at(0), at(1)}
}

// Blocks reports whether a string passes next to nothing at what an ohmmeter puts on it: a tenth of a milliampere or less of which the
// meter makes far more than the string's resistor.
func (s String) Blocks() bool {
	src := led.Source{Ambient: room()}
	d, _ := part.Fit(s.Kind)
	return float64(len(s.LEDs))*float64(src.Cornered(s.Kind, d, -1).Volts(part.MilliAmp/10)) > float64(OhmsVolts)
}
