package picture

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// The map names every LED of a string once from the front and its string in it, and from behind the volts at its anode; the line below
// tells the string from the supply to 0 V. No two labels of a view overlap.
func TestService(t *testing.T) {
	b := fed(t, "terminal-3.5")
	s := Strung{Resistor: "R1", Ohms: "560R", Amps: 0.0075, Supply: 11.9}
	for _, p := range b.Parts {
		if p.Kind == board.LED {
			s.LEDs = append(s.LEDs, Tapped{p.Ref, 0})
		}
	}
	n := len(s.LEDs)
	require.GreaterOrEqual(t, n, 2)
	line := "S1, 7.5 mA: 11.9 V – R1 560R"
	for k := range s.LEDs {
		s.LEDs[k].Anode = [...]part.Volt{9.7, 7.8, 5.9, 4, 2.1}[k]
		line += " – " + decimal(s.LEDs[k].Anode) + " V – " + s.LEDs[k].Ref
	}
	labels := map[string]int{}
	for _, e := range elements(t, Service(t.Context(), b, []Strung{s})) {
		labels[e.attr["aria-label"]]++
	}
	for _, d := range s.LEDs {
		require.Equal(t, 1, labels[d.Ref], d.Ref)
		require.Equal(t, 1, labels[decimal(d.Anode)], d.Ref)
	}
	require.Equal(t, n, labels["1"], "the string's number in each LED")
	require.Equal(t, 1, labels["J1 IN, 11.9 V"])
	require.Equal(t, 1, labels[line+" – 0 V"], "%v", labels)

	m := serviceMap{strung: []Strung{s}, of: map[string]int{"R1": 0}}
	for _, d := range s.LEDs {
		m.of[d.Ref] = 0
	}
	v := newView(newDrawing(nil, 1, 1, ""), b, geom.Bottom, geom.Pt{}, 2)
	m.behind(v)
	written := v.taken[len(v.taken)-n-1:] // the LEDs' volts and the resistor's name come last
	for i, a := range written {
		for _, c := range written[:i] {
			require.Zero(t, overlap(a, c), "%v and %v", a, c)
		}
	}
}
