package led

import (
	"strings"

	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Request is what the project asks of the circuit: the supply, the feed, the chains and how each panel is lit.
// Start from Usual and change what the project says.
type Request struct {
	Supply     part.Window // at the terminals the first feed starts from, without load
	SupplyOhms part.Ohm    // inside the supply: a battery's, or 0 for one that holds its voltage
	Battery    Battery     // what Supply comes from, if it is one
	Rated      part.Amp    // what the supply can deliver
	Others     []Load      // what else the same supply feeds
	Ambient    Celsius     // where the console stands

	Wire           part.Wire // both conductors of every feed
	WireCelsius    float64   // temperature of the wires
	ConnectorRated part.Amp  // of every feed connector
	ContactOhms    part.Ohm  // of one contact of a feed connector

	Fuse       part.Amp // of each chain at the supply; 0: the advised one
	FuseOhms   part.Ohm // of it, cold; negative: typical of its rating
	HolderOhms part.Ohm // of the contacts of its holder, both together
	SwitchOhms part.Ohm // of the contacts of the switch before it; 0: there is none

	// Chains are the panels along each feed. Without any, all panels form one chain in the order given; panels that none
	// names form a further chain, which is told.
	Chains []Run
	Groups []Dimmed // LEDs that are dimmed apart from the rest

	Defaults Settings   // for panels without Settings of their own
	Panels   []Settings // complete settings of single panels: copy Defaults and change what differs
	Kinds    []part.LED // the project's own kinds; a name here hides the catalogue's

	MaxChange float64 // greatest relative change of a string's current between nominal and its corners
	Derating  float64 // part of a resistor's rating that is used
}

// MaxSupply is the greatest supply voltage that is taken: above 60 V direct voltage a bare board is no longer harmless to
// touch (common practice for extra-low voltage).
const MaxSupply part.Volt = 60

// Run is a row of panels along one pair of feed conductors.
type Run struct {
	Panels []string // the one nearest the supply first
	From   string   // the panel that feeds the first one from its OUT connector; empty: the supply
	// BothEnds adds a feed of BackLength from the last panel back to where the run starts.
	BothEnds   bool
	BackLength geom.Nm
}

// Lighting is what LEDs light of a panel.
type Lighting string

const (
	LightsAll       Lighting = ""
	LightsWindows   Lighting = "windows"   // those of windows (panel.Hole.Window)
	LightsLettering Lighting = "lettering" // the others
)

// Has reports whether LEDs are meant that are windows', or that are not.
func (l Lighting) Has(window bool) bool {
	return l == LightsAll || (l == LightsWindows) == window
}

// Dimmed is a group of LEDs that has a supply conductor of its own, so that it can be dimmed apart from the rest.
type Dimmed struct {
	Name   string   // of the conductor: letters, digits, - and _
	Kinds  []string // of LEDs; empty: all
	Panels []string // empty: all
	Lights Lighting // what they light
	Duty   float64  // share of the time that it is on, as dimmed by PWM: above 0, at most 1
}

// Settings say how one panel is lit.
type Settings struct {
	Panel   string
	Kind    part.LED // where the hole names no kind of its own
	Current part.Amp // wanted in each LED

	Currents []KindCurrent // wanted of LEDs of some kinds, in place of Current

	Series          part.Series // of resistor values
	Tolerance       float64     // of the resistors, 0.05 is 5 %
	ResistorPackage string      // names a footprint: "r-1206"
	ResistorRated   part.Watt   // 0: what its package is sold for
	ResistorGrows   bool        // a larger package of its sort takes its place where the heat asks for one

	ConnectorPackage string      // names a footprint: "terminal-3.5"
	FeedLength       geom.Nm     // of the feed that leads to this board, one way
	Wire             part.Wire   // of that feed; zero: the request's
	ThroughOhms      ThroughOhms // of the board's own copper, where it is known
	StringLength     int         // LEDs in series at most, instead of what design finds safe; 0 lets it choose
}

// KindCurrent is the current wanted in each LED of a kind.
type KindCurrent struct {
	Kind    string
	Current part.Amp
}

// CurrentOf returns the current wanted in each LED of the kind of that name.
func (s Settings) CurrentOf(kind string) part.Amp {
	for _, c := range s.Currents {
		if strings.EqualFold(c.Kind, kind) {
			return c.Current
		}
	}
	return s.Current
}

// Of returns the settings as LEDs of one kind have them.
func (s Settings) Of(kind string) Settings {
	s.Current = s.CurrentOf(kind)
	return s
}

// Usual returns the request that a drawing without a project gets: 12 V, 2 A, red 3 mm LEDs at 8 mA.
//
// The wire is 0.5 mm² class 5 (IEC 60228) at 300 mm from board to board; a contact has 10 mΩ and a feed connector carries
// 3 A (common practice for small screw terminals). A supply stated by one voltage is taken to hold it. A new toggle switch has
// 10 to 20 mΩ, sealed ones up to 50 (data sheets, references.md section 17); a fuse holder's contacts have 5 mΩ each (common
// practice).
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
		Ambient:        Celsius{part.VfCelsius, part.VfCelsius, part.VfCelsius},
		Wire:           wire,
		WireCelsius:    20,
		ConnectorRated: 3,
		ContactOhms:    0.010,
		FuseOhms:       -1,
		HolderOhms:     0.010,
		SwitchOhms:     0.020,
		MaxChange:      0.30,
		Derating:       0.50,
		Defaults: Settings{
			Kind:             kind,
			Current:          8 * part.MilliAmp,
			Series:           part.E24,
			Tolerance:        0.05,
			ResistorPackage:  "r-1206",
			ResistorGrows:    true,
			ConnectorPackage: "terminal-3.5",
			FeedLength:       300 * geom.Millimetre,
		},
	}
}

// ResistorUse returns the share of a resistor's rating that is used where the console gets warmest.
func (r Request) ResistorUse() float64 { return r.Derating * part.ResistorShare(r.Ambient.Max) }

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

// Kind returns the kind of that name: the project's own, else the catalogue's.
func (r Request) Kind(name string) (part.LED, bool) {
	for _, k := range r.Kinds {
		if strings.EqualFold(k.Name, name) {
			return k, true
		}
	}
	return part.Find(name)
}

// Bodies returns the packages that resistors may have, smallest first, with the rating that the settings ask for.
func (s Settings) Bodies() []part.Body {
	all := part.From(s.ResistorPackage)
	if !s.ResistorGrows && len(all) > 1 {
		all = all[:1]
	}
	for i := range all {
		all[i], _ = s.Body(all[i].Package)
	}
	return all
}

// Body returns the resistor package of that name, with the rating that the settings ask for.
func (s Settings) Body(name string) (part.Body, bool) {
	body, ok := part.FindBody(name)
	if ok && s.ResistorRated > 0 {
		body.Rated = []part.Watt{s.ResistorRated}
	}
	return body, ok
}
