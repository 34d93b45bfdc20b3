// Package led turns panels and a supply into a circuit: strings of LEDs with their resistors, the boards' nets, and
// the operating point of every string and of the whole chain.
//
// Voltages, currents, ohms and watts are SI, each of its own type (led/part). Net and component identities are
// integers of their own types; a Wiring is what board/place and board/route build a board from.
package led

import (
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// NetID names a net of one board: an index into Wiring.Nets. 0 is no net.
type NetID int32

// The nets every board has.
const (
	NoNet  NetID = 0
	Supply NetID = 1 // the positive conductor
	Return NetID = 2 // 0 V
)

// StringID names a string of one board: an index into Wiring.Strings.
type StringID int32

// Circuit is the whole console.
type Circuit struct {
	Source Source
	Chains []Chain
	Boards []Wiring // in the order of the panels given
}

// Source is the supply as the project states it, and what the console asks of it.
type Source struct {
	Min, Nominal, Max part.Volt
	Rated             part.Amp // what it can deliver
	Typical, Worst    part.Amp // drawn by all boards, without Other
	Other             part.Amp // drawn by what else the supply feeds
	Verdict           Verdict
}

// Verdict says whether the supply carries the console.
type Verdict uint8

const (
	OK    Verdict = iota // up to 80 % of the rating (common practice)
	Tight                // above that, up to the rating
	Over                 // above the rating
)

// String returns the verdict as result.json has it.
func (v Verdict) String() string { return [...]string{"ok", "tight", "over"}[v] }

// Chain is a run of boards in parallel along one feed, the board nearest the supply first.
type Chain struct{ Links []Link }

// Link is one board of a chain and the feed segment that leads to it.
type Link struct {
	Panel         string
	Feed          Feed
	Segment       part.Amp  // nominal current in the feed segment that leads to this board
	SegmentWorst  part.Amp  // the same in the worst corner
	Volts         part.Volt // nominal, across this board's supply and 0 V
	RelativeLight float64   // mean LED current relative to the brightest board of the console
}

// Feed is one segment of the two feed conductors.
type Feed struct {
	Wire   string // as written: "0.5 mm2", "24 AWG"
	Length geom.Nm
	Ohms   part.Ohm // of one conductor, and of the connector's contacts in it
}

// Wiring is one board's components and nets.
type Wiring struct {
	Panel      string
	Nets       []Net // Nets[0] is NoNet
	LEDs       []LED
	Resistors  []Resistor
	Connectors []Connector
	Strings    []String
	Through    part.Amp // the worst current that passes the IN connector, this board's own included
	Label      string   // the supply as it is printed on the board: "12 V"
}

// Net is a set of pins that copper must join.
type Net struct {
	Name string // "V+", "0V", "S3.1" ...; letters, digits, + . _ -
	Amps part.Amp
}

// LED is an LED of a board.
type LED struct {
	Ref            string // "D7"
	Hole           int    // index into Panel.LEDs
	Kind           part.LED
	String         StringID
	Anode, Cathode NetID
}

// Resistor is a string's series resistor.
type Resistor struct {
	Ref      string // "R3"
	Ohms     part.Ohm
	Tol      float64 // 0.05 is 5 %
	Rated    part.Watt
	Package  string // names a footprint: "1206"
	String   StringID
	From, To NetID // From the supply, To the first anode
}

// Connector is a feed connector.
type Connector struct {
	Ref     string // "J1"
	Role    Role
	Package string // names a footprint
	// Pins in order: pin 1 is the supply, pin 2 is 0 V.
	Pins []NetID
}

// Role is what a connector is for.
type Role uint8

const (
	In  Role = iota // feed from the supply or the board before
	Out             // feed to the next board
)

// String returns the role as it is printed on the board.
func (r Role) String() string { return [...]string{"IN", "OUT"}[r] }

// String is LEDs in series with one resistor: supply, resistor, LEDs in order from anode to cathode, 0 V.
type String struct {
	LEDs     []int // indices into Wiring.LEDs
	Resistor int   // index into Wiring.Resistors

	Nominal, Min, Max part.Amp  // current at the operating point, and in the two worst corners
	Worst             part.Watt // greatest power in the resistor
}
