package boardtest

import (
	"fmt"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
)

// Wiring returns a plain wiring of the panel: strings of up to three red LEDs at 8 mA from 12 V, each string taking
// the nearest LEDs that are left, a resistor of 750 Ω each whatever its length, connectors IN and OUT. It serves to
// test the board stages without led/design.
func Wiring(p panel.Panel) led.Wiring {
	red := part.LED{
		Name: "red-3mm", Colour: "red", Package: "radial-3mm", HoleMM: 3,
		Curve: []part.VfPoint{{I: 0.020, V: 2.0}}, VfMin: 1.7, VfMax: 2.6, Tempco: -0.002, IMax: 0.030, HalfAngle: 30,
		Source: "made up for tests",
	}
	const amps = 0.008
	w := led.Wiring{
		Panel: p.Name, Label: "12 V",
		Nets: []led.Net{{Name: ""}, {Name: "V+"}, {Name: "0V"}},
	}
	left := make([]bool, len(p.LEDs))
	for {
		group := nextGroup(p, left, 3)
		if len(group) == 0 {
			break
		}
		id := led.StringID(len(w.Strings))
		s := led.String{Resistor: len(w.Resistors), Nominal: amps, Min: 0.006, Max: 0.010, Worst: 0.06}
		net := func(k int) led.NetID {
			w.Nets = append(w.Nets, led.Net{Name: fmt.Sprintf("S%d.%d", id+1, k), Amps: amps})
			return led.NetID(len(w.Nets) - 1)
		}
		from := net(1)
		w.Resistors = append(w.Resistors, led.Resistor{
			Ref: fmt.Sprintf("R%d", id+1), Ohms: 750, Tol: 0.05, Rated: 0.25, Package: "1206", String: id, From: led.Supply, To: from,
		})
		for k, hole := range group {
			to := led.Return
			if k < len(group)-1 {
				to = net(k + 2)
			}
			s.LEDs = append(s.LEDs, len(w.LEDs))
			w.LEDs = append(w.LEDs, led.LED{
				Ref: fmt.Sprintf("D%d", len(w.LEDs)+1), Hole: hole, Kind: red, String: id, Anode: from, Cathode: to,
			})
			from = to
		}
		w.Strings = append(w.Strings, s)
	}
	own := part.Amp(amps * float64(len(w.Strings)))
	w.Through = own + 0.5
	w.Nets[led.Supply].Amps, w.Nets[led.Return].Amps = w.Through, w.Through
	for i, role := range []led.Role{led.In, led.Out} {
		w.Connectors = append(w.Connectors, led.Connector{
			Ref: fmt.Sprintf("J%d", i+1), Role: role, Package: "terminal-3.5", Pins: []led.NetID{led.Supply, led.Return},
		})
	}
	return w
}

// nextGroup takes the leftmost LED that is left and then, up to n, the one nearest to the last.
func nextGroup(p panel.Panel, taken []bool, n int) []int {
	var group []int
	for len(group) < n {
		best := -1
		var bestKey float64
		for i, l := range p.LEDs {
			if taken[i] {
				continue
			}
			key := float64(l.At.X) + float64(l.At.Y)/16
			if len(group) > 0 {
				key = l.At.Dist(p.LEDs[group[len(group)-1]].At)
			}
			if best < 0 || key < bestKey {
				best, bestKey = i, key
			}
		}
		if best < 0 {
			break
		}
		taken[best] = true
		group = append(group, best)
	}
	return group
}
