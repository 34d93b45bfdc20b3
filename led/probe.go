package led

import (
	"strconv"
	"strings"
)

// Probe is a point of a board's circuit where a meter tells something, with the reference of a test point there.
type Probe struct {
	Ref  string
	Net  NetID
	Near string // the part whose current it tells: a resistor, or the IN connector
}

// Probes returns where a meter tells something: each supply conductor, "TP+" (of several "TP+1", "TP+2" in the order of Conductors),
// 0 V, "TP-", and behind each resistor its string, by the resistor's number: "TP3" behind R3. From the supply to there is the
// resistor's voltage, and so the string's current. "TP" is the letters of a test point in reference designations (ASME Y14.44-2008,
// from memory).
func (w Wiring) Probes() []Probe {
	out := make([]Probe, 0, len(w.Strings)+2)
	conductors, in := w.Conductors(), ""
	for _, c := range w.Connectors {
		if c.Role == In {
			in = c.Ref
		}
	}
	for i, g := range conductors {
		ref := "TP+"
		if len(conductors) > 1 {
			ref += strconv.Itoa(i + 1)
		}
		out = append(out, Probe{ref, g.Net, in})
	}
	out = append(out, Probe{"TP-", Return, in})
	for _, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		out = append(out, Probe{"TP" + strings.TrimPrefix(r.Ref, "R"), r.To, r.Ref})
	}
	return out
}
