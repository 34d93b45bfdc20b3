package led

import "lampblack/led/part"

// Nodes returns the voltages that a meter shows along each string, against 0 V of its board and at its nominal current: of every LED in
// order that at its anode. The first is also that behind the resistor; the cathode of the last is 0 V.
func (s Source) Nodes(w Wiring) [][]part.Volt {
	out := make([][]part.Volt, len(w.Strings))
	for i, str := range w.Strings {
		out[i] = make([]part.Volt, len(str.LEDs))
		sum := part.Volt(0)
		for k := len(str.LEDs) - 1; k >= 0; k-- {
			if kind := w.LEDs[str.LEDs[k]].Kind; len(kind.Curve) > 0 {
				sum += s.Diode(kind).Volts(str.Nominal)
			}
			out[i][k] = sum
		}
	}
	return out
}
