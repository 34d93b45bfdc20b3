// Package led describes a console's circuit: the supply, the feeds, and every board's strings of LEDs with their resistors
// and nets; and what a project asks of it (Request).
//
// Here are nouns and simple queries alone. led/design makes a Circuit from panels and a Request, led/group its strings;
// led/solve computes the operating point, led/judge tells what is wrong with it, and led/chance how consoles of parts as they
// are sold come out. Voltages, currents, ohms and watts are SI, each of its own type (led/part). Net and component identities
// are integers of their own types; a Wiring is what board/place and board/route build a board from.
package led

import (
	"strings"

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
	Solved bool     // its currents and voltages are those of an operating point
}

// Chain is a run of boards in parallel along one feed, the board nearest the supply first.
type Chain struct {
	From  string // the panel whose OUT connector feeds the first board; empty: the supply
	Links []Link
	Guard Guard // of a chain that starts at the supply

	// A chain fed at both ends has a further feed from the last board's OUT connector back to where the chain starts.
	BothEnds  bool
	Back      Feed
	BackAmps  part.Amp // nominal, toward the last board
	BackWorst part.Amp // with the other end come loose
	// BackCarried is the same of each supply conductor.
	BackCarried []Current
}

// Link is one board of a chain and the feed segment that leads to it.
type Link struct {
	Panel string
	Feed  Feed
	// Segment is the nominal current in the feed segment that leads to this board, all groups full on; negative where a
	// chain fed at both ends is fed from the far one.
	Segment part.Amp
	// SegmentWorst is the most that the segment carries; fed at both ends, with either end come loose.
	SegmentWorst part.Amp
	// Carried is the same of each supply conductor, in the order of Wiring.Conductors; 0 V carries all of them together.
	Carried       []Current
	Volts         part.Volt // nominal, across this board's supply and 0 V; of several groups with LEDs here the least
	Lost          Loss      // where what is missing there from the supply's nominal voltage is lost
	RelativeLight float64   // mean LED current, with duty, relative to the brightest board of the console
	OfAsked       float64   // mean LED current, all groups full on, relative to what was asked of the board; 0 without LEDs
}

// Feed is one segment of the two feed conductors.
type Feed struct {
	Wire     string // as written: "0.5 mm2", "24 AWG"
	Length   geom.Nm
	Rated    part.Amp // of the wire
	Ohms     part.Ohm // of one conductor, and of the connector's contacts in it
	Contacts part.Ohm // the contacts alone
}

// Wiring is one board's components and nets.
type Wiring struct {
	Panel      string
	Nets       []Net // Nets[0] is NoNet
	LEDs       []LED
	Resistors  []Resistor
	Connectors []Connector
	Strings    []String
	Groups     []Group     // the supply conductors; without any, one that is Supply and full on
	Through    part.Amp    // the worst current that passes the IN connector, this board's own included
	Drawn      []Current   // by the board's own strings, of each supply conductor in the order of Conductors
	Across     ThroughOhms // of the board's own copper
	Label      string      // the supply as it is printed on the board: "12 V"
	Unlit      bool        // it has LEDs that no string could be made for
}

// Group is a supply conductor with the LEDs that are dimmed together on it. 0 V is common to all groups.
type Group struct {
	Name string  // empty: the LEDs of no group
	Net  NetID   // "V+", or "V+.NAME"
	Duty float64 // share of the time that it is on
}

// Current is what a conductor carries: nominal, all groups full on, and at worst.
type Current struct{ Typical, Worst part.Amp }

// Plus returns the two together.
func (c Current) Plus(d Current) Current { return Current{c.Typical + d.Typical, c.Worst + d.Worst} }

// Draws returns what the board's own strings draw, of all conductors together.
func (w Wiring) Draws() Current {
	var all Current
	for _, c := range w.Drawn {
		all = all.Plus(c)
	}
	return all
}

// NetName returns the name of the group's net.
func (g Group) NetName() string {
	if g.Name == "" {
		return "V+"
	}
	return "V+." + g.Name
}

// Sign returns what stands at the pins of a supply conductor, by the name of its net: "+", of a group's "+ NAME".
func Sign(net string) string {
	if name, ok := strings.CutPrefix(net, "V+."); ok && name != "" {
		return "+ " + name
	}
	return "+"
}

// Sign returns what stands at the group's pins.
func (g Group) Sign() string { return Sign(g.NetName()) }

// Conductors returns the board's supply conductors.
func (w Wiring) Conductors() []Group {
	if len(w.Groups) == 0 {
		return []Group{{Net: Supply, Duty: 1}}
	}
	return w.Groups
}

// Grouped reports whether the board's supply conductors are those of groups.
func (w Wiring) Grouped() bool {
	return len(w.Groups) > 1 || len(w.Groups) == 1 && w.Groups[0].Name != ""
}

// FedBy returns the index among Conductors of the one that feeds string s.
func (w Wiring) FedBy(s StringID) int {
	from := w.Resistors[w.Strings[s].Resistor].From
	for i, g := range w.Groups {
		if g.Net == from {
			return i
		}
	}
	return 0
}

// LEDsFed returns how many LEDs the conductor of that index among Conductors feeds.
func (w Wiring) LEDsFed(conductor int) int {
	n := 0
	for i, s := range w.Strings {
		if w.FedBy(StringID(i)) == conductor {
			n += len(s.LEDs)
		}
	}
	return n
}

// ThroughOhms is the resistance of a board's own copper between the IN and the OUT connector, of each supply conductor and
// of 0 V. Its strings hang in the middle of it, as evenly spread ones do in the mean. Nothing is known before the copper is.
type ThroughOhms struct{ Plus, Minus part.Ohm }

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
	Package string // names a footprint; of more than two pins with their number behind it: "terminal-3.5-3"
	// Pins in order: the supply conductors in the order of Wiring.Conductors, then 0 V.
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
	Short             part.Amp  // at the highest supply, when one of several LEDs fails as a short circuit; 0 for a single LED
	Worst             part.Watt // greatest power in the resistor
}

// MeanCurrent returns the mean nominal current of the board's LEDs, 0 without any; dimmed: as seen with the groups' duty.
func (w Wiring) MeanCurrent(dimmed bool) float64 {
	sum, n := 0.0, 0
	for i, s := range w.Strings {
		share := 1.0
		if dimmed {
			share = w.Conductors()[w.FedBy(StringID(i))].Duty
		}
		sum += float64(share * float64(s.Nominal) * float64(len(s.LEDs)))
		n += len(s.LEDs)
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// OfAsked returns the mean nominal current of the board's LEDs relative to what was asked for, all groups full on; 0 without
// any LED.
func (w Wiring) OfAsked(req Request) float64 {
	if asked := float64(w.Asked(req)); asked > 0 {
		return w.MeanCurrent(false) / asked
	}
	return 0
}

// Asked returns the mean current that was asked for of the board's LEDs; of a board without any the usual one.
func (w Wiring) Asked(req Request) part.Amp {
	set := req.For(w.Panel)
	if len(set.Currents) == 0 || len(w.LEDs) == 0 {
		return set.Current
	}
	sum := 0.0
	for _, l := range w.LEDs {
		sum += float64(set.CurrentOf(l.Kind.Name))
	}
	return part.Amp(sum / float64(len(w.LEDs)))
}
