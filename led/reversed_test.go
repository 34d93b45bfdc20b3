package led

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Reversed strings still run from the resistor through every LED to 0 V, each LED once, over the same nets.
func TestReversed(t *testing.T) {
	w := Wiring{
		Nets: []Net{{}, {Name: "V+"}, {Name: "0V"}, {Name: "S1.1"}, {Name: "S1.2"}, {Name: "S1.3"}, {Name: "S2.1"}},
		LEDs: []LED{
			{Ref: "D1", Anode: 3, Cathode: 4}, {Ref: "D2", Anode: 4, Cathode: 5}, {Ref: "D3", Anode: 5, Cathode: Return},
			{Ref: "D4", String: 1, Anode: 6, Cathode: Return},
		},
		Resistors: []Resistor{{Ref: "R1", From: Supply, To: 3}, {Ref: "R2", String: 1, From: Supply, To: 6}},
		Strings:   []String{{LEDs: []int{0, 1, 2}}, {LEDs: []int{3}, Resistor: 1}},
	}
	r := w.Reversed()
	require.Equal(t, []int{2, 1, 0}, r.Strings[0].LEDs)
	for _, s := range r.Strings {
		at := r.Resistors[s.Resistor].To
		for _, d := range s.LEDs {
			require.Equal(t, at, r.LEDs[d].Anode)
			at = r.LEDs[d].Cathode
		}
		require.Equal(t, Return, at)
	}
	require.Equal(t, NetID(4), w.LEDs[0].Cathode, "the argument is left alone")
	require.Equal(t, w, r.Reversed())
}
