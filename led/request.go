package led

import (
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Request is what the project asks of the circuit: the supply, the feed, the chains and how each panel is lit.
// Start from Usual and change what the project says.
type Request struct {
	Supply part.Window // at the terminals the first feed starts from
	Rated  part.Amp    // what the supply can deliver
	Others []Load      // what else the same supply feeds

	Wire           part.Wire // both conductors of every feed
	WireCelsius    float64   // temperature of the wires
	ConnectorRated part.Amp  // of every feed connector
	ContactOhms    part.Ohm  // of one contact of a feed connector

	// Chains are the panels' names along each feed, the one nearest the supply first. Without any, all panels form
	// one chain in the order given; panels that none names form a further chain, which is told.
	Chains [][]string

	Defaults Settings   // for panels without Settings of their own
	Panels   []Settings // complete settings of single panels: copy Defaults and change what differs
	Kinds    []part.LED // the project's own kinds; a name here hides the catalogue's

	MaxChange float64 // greatest relative change of a string's current between nominal and its corners
	Derating  float64 // part of a resistor's rating that is used
}

// Load is something else on the supply.
type Load struct {
	Name string
	Amps part.Amp
}

// Settings say how one panel is lit.
type Settings struct {
	Panel   string
	Kind    part.LED // where the hole names no kind of its own
	Current part.Amp // wanted in each LED

	Series          part.Series // of resistor values
	Tolerance       float64     // of the resistors, 0.05 is 5 %
	ResistorPackage string      // names a footprint: "r-1206"
	ResistorRated   part.Watt   // 0: what its package is sold for

	ConnectorPackage string  // names a footprint: "terminal-3.5"
	FeedLength       geom.Nm // of the feed that leads to this board, one way
	StringLength     int     // LEDs in series at most, instead of what Design finds safe; 0 lets Design choose
}

// Usual returns the request that a drawing without a project gets: 12 V, 2 A, red 3 mm LEDs at 8 mA.
//
// The wire is 0.5 mm² class 5 (IEC 60228) at 300 mm from board to board; a contact has 10 mΩ and a feed connector carries
// 3 A (common practice for small screw terminals). A supply stated by one voltage is taken to hold it.
func Usual() Request {
	wire, err := part.ParseWire("0.5 mm2")
	if err != nil {
		panic("led: usual wire: " + err.Error())
	}
	kind, ok := part.Find("red-3mm")
	if !ok {
		panic("led: red-3mm is not in the catalogue")
	}
	return Request{
		Supply:         part.Window{Min: 12, Nominal: 12, Max: 12},
		Rated:          2,
		Wire:           wire,
		WireCelsius:    20,
		ConnectorRated: 3,
		ContactOhms:    0.010,
		MaxChange:      0.30,
		Derating:       0.50,
		Defaults: Settings{
			Kind:             kind,
			Current:          8 * part.MilliAmp,
			Series:           part.E24,
			Tolerance:        0.05,
			ResistorPackage:  "r-1206",
			ConnectorPackage: "terminal-3.5",
			FeedLength:       300 * geom.Millimetre,
		},
	}
}

// For returns the settings of the named panel.
func (r Request) For(name string) Settings {
	for _, s := range r.Panels {
		if s.Panel == name {
			return s
		}
	}
	s := r.Defaults
	s.Panel = name
	return s
}

// OtherAmps returns what the other loads draw together.
func (r Request) OtherAmps() part.Amp {
	sum := part.Amp(0)
	for _, l := range r.Others {
		sum += l.Amps
	}
	return sum
}
