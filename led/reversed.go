package led

import "slices"

// Reversed returns the wiring with the LEDs of every string in the opposite order, from the last to the first: the same
// parts, nets and currents, but other hops for copper to make.
func (w Wiring) Reversed() Wiring {
	w.LEDs, w.Strings = slices.Clone(w.LEDs), slices.Clone(w.Strings)
	for i, s := range w.Strings {
		if len(s.LEDs) == 0 {
			continue
		}
		// The nets along the string, from the first anode to the last cathode.
		nets := []NetID{w.LEDs[s.LEDs[0]].Anode}
		for _, d := range s.LEDs {
			nets = append(nets, w.LEDs[d].Cathode)
		}
		order := slices.Clone(s.LEDs)
		slices.Reverse(order)
		for k, d := range order {
			w.LEDs[d].Anode, w.LEDs[d].Cathode = nets[k], nets[k+1]
		}
		w.Strings[i].LEDs = order
	}
	return w
}
