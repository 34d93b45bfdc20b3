package place

import (
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Edge names an edge of the board as seen from the front.
type Edge uint8

const (
	Auto Edge = iota // IN left, OUT right
	Left
	Bottom
	Right
	Top
)

// Options are the wishes of the builder. The zero Options leaves every choice to Place.
type Options struct {
	KeepTurn bool // all LEDs one way, for easier assembly
	In, Out  Edge // the edge nearest the neighbour board of the chain, or the supply

	ToldIn, ToldOut Told // where they must stand, whatever the neighbours are
}

// Told is where the builder wants a connector: there it stands, or the board is refused. The zero Told leaves it to Place.
type Told struct {
	Edge Edge // its face, where the wires enter, is at this edge of the board
	Here bool // the middle of its row of pins is at At
	At   geom.Pt

	From panel.Origin // of the panel's frame in the drawing, in which people are told of places
}

// Set reports whether anything is told.
func (t Told) Set() bool { return t.Here || t.Edge != Auto }

// told returns where a connector must stand.
func (o Options) told(role led.Role) Told {
	if role == led.Out {
		return o.ToldOut
	}
	return o.ToldIn
}

// word is the edge as the project file names it.
func (e Edge) word() string {
	return [...]string{Auto: "", Left: "left", Bottom: "bottom", Right: "right", Top: "top"}[e]
}

// Figures tells how good a placement is. Lengths are straight.
type Figures struct {
	Hops      geom.Nm // from cathode to anode over all hops within strings
	LowerHops geom.Nm // what no turning of the LEDs could beat: see Place
	Heads     geom.Nm // from resistors to the first anodes of their strings
	TurnCost  geom.Nm // what KeepTurn adds to the hops, as tracks run
	Turned    int     // LEDs that could not keep the common turn (KeepTurn only)

	// Regardless says that there is an error which fewer LEDs would not mend, nor LEDs elsewhere.
	Regardless bool
}
