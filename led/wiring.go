package led

import (
	"fmt"

	"lampblack/led/part"
	"lampblack/panel"
)

// wiring returns the board's components and nets. Refs count up in string order.
func (b boardPlan) wiring(p panel.Panel, req Request, groups []Group) Wiring {
	w := Wiring{Panel: p.Name, Groups: groups, Across: b.ThroughOhms}
	if len(b.strings) == 0 {
		return w
	}
	w.Label = label(req.Supply)
	w.Nets = []Net{{Name: ""}, {Name: groups[0].netName()}, {Name: "0V"}}
	for _, g := range groups[1:] {
		w.Nets = append(w.Nets, Net{Name: g.netName()})
	}
	for i, s := range b.strings {
		id := StringID(i)
		str := String{Resistor: len(w.Resistors)}
		// The string's own nets: from the resistor to the first anode, then from LED to LED.
		first := NetID(len(w.Nets))
		for k := range s.holes {
			w.Nets = append(w.Nets, Net{Name: fmt.Sprintf("S%d.%d", i+1, k+1)})
		}
		w.Resistors = append(w.Resistors, Resistor{
			Ref: fmt.Sprintf("R%d", i+1), Ohms: s.ohms, Tol: b.Tolerance, Package: b.ResistorPackage,
			String: id, From: groups[s.conductor].Net, To: first,
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
		c := Connector{Ref: fmt.Sprintf("J%d", i+1), Role: role, Package: b.ConnectorPackage}
		for _, g := range groups {
			c.Pins = append(c.Pins, g.Net)
		}
		c.Pins = append(c.Pins, Return)
		if n := len(c.Pins); n > 2 {
			c.Package = fmt.Sprintf("%s-%d", c.Package, n)
		}
		w.Connectors = append(w.Connectors, c)
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
