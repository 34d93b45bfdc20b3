package design

import (
	"fmt"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
)

// wiring returns the board's components and nets. Refs count up in string order.
func (b boardPlan) wiring(p panel.Panel, req led.Request, groups []led.Group) led.Wiring {
	w := led.Wiring{Panel: p.Name, Groups: groups, Across: b.ThroughOhms}
	if len(b.strings) == 0 {
		return w
	}
	w.Label = label(req.Supply)
	w.Nets = []led.Net{{Name: ""}, {Name: groups[0].NetName()}, {Name: "0V"}}
	for _, g := range groups[1:] {
		w.Nets = append(w.Nets, led.Net{Name: g.NetName()})
	}
	for i, s := range b.strings {
		id := led.StringID(i)
		str := led.String{Resistor: len(w.Resistors)}
		// The string's own nets: from the resistor to the first anode, then from LED to LED.
		first := led.NetID(len(w.Nets))
		for k := range s.holes {
			w.Nets = append(w.Nets, led.Net{Name: fmt.Sprintf("S%d.%d", i+1, k+1)})
		}
		w.Resistors = append(w.Resistors, led.Resistor{
			Ref: fmt.Sprintf("R%d", i+1), Ohms: s.ohms, Tol: b.Tolerance, Package: s.body,
			String: id, From: groups[s.conductor].Net, To: first,
		})
		for k, hole := range s.holes {
			one := led.LED{
				Ref: fmt.Sprintf("D%d", len(w.LEDs)+1), Hole: hole, Kind: s.kind, String: id,
				Anode: first + led.NetID(k), Cathode: first + led.NetID(k) + 1,
			}
			if k == len(s.holes)-1 {
				one.Cathode = led.Return
			}
			str.LEDs = append(str.LEDs, len(w.LEDs))
			w.LEDs = append(w.LEDs, one)
		}
		w.Strings = append(w.Strings, str)
	}
	for i, role := range [2]led.Role{led.In, led.Out} {
		c := led.Connector{Ref: fmt.Sprintf("J%d", i+1), Role: role, Package: b.ConnectorPackage}
		for _, g := range groups {
			c.Pins = append(c.Pins, g.Net)
		}
		c.Pins = append(c.Pins, led.Return)
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
