package led

import (
	"fmt"

	"lampblack/led/part"
	"lampblack/panel"
)

// wiring returns the board's components and nets. Refs count up in string order.
func (b boardPlan) wiring(p panel.Panel, req Request, through part.Amp) Wiring {
	w := Wiring{Panel: p.Name}
	if len(b.strings) == 0 {
		return w
	}
	w.Through, w.Label = through, label(req.Supply)
	w.Nets = []Net{{Name: ""}, {Name: "V+", Amps: through}, {Name: "0V", Amps: through}}
	for i, s := range b.strings {
		id := StringID(i)
		str := String{Resistor: len(w.Resistors), Nominal: s.nominal, Min: s.min, Max: s.max, Worst: s.worst}
		// The string's own nets: from the resistor to the first anode, then from LED to LED.
		first := NetID(len(w.Nets))
		for k := range s.holes {
			w.Nets = append(w.Nets, Net{Name: fmt.Sprintf("S%d.%d", i+1, k+1), Amps: s.max})
		}
		w.Resistors = append(w.Resistors, Resistor{
			Ref: fmt.Sprintf("R%d", i+1), Ohms: s.ohms, Tol: b.Tolerance, Rated: s.rated, Package: b.ResistorPackage,
			String: id, From: Supply, To: first,
		})
		for k, hole := range s.holes {
			led := LED{
				Ref: fmt.Sprintf("D%d", len(w.LEDs)+1), Hole: hole, Kind: s.kind, String: id,
				Anode: first + NetID(k), Cathode: first + NetID(k) + 1,
			}
			if k == len(s.holes)-1 {
				led.Cathode = Return
			}
			str.LEDs = append(str.LEDs, len(w.LEDs))
			w.LEDs = append(w.LEDs, led)
		}
		w.Strings = append(w.Strings, str)
	}
	for i, role := range [2]Role{In, Out} {
		w.Connectors = append(w.Connectors, Connector{
			Ref: fmt.Sprintf("J%d", i+1), Role: role, Package: b.ConnectorPackage, Pins: []NetID{Supply, Return},
		})
	}
	return w
}

// label returns the supply as it is printed on a board.
func label(w part.Window) string {
	if w.Min == w.Max {
		return w.Nominal.String()
	}
	low := w.Min.String()
	return low[:len(low)-2] + "-" + w.Max.String()
}
