package place

import "lampblack/panel/geom"

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
}

// Figures tells how good a placement is. Lengths are straight.
type Figures struct {
	Hops      geom.Nm // from cathode to anode over all hops within strings
	LowerHops geom.Nm // what no turning of the LEDs could beat: see Place
	Heads     geom.Nm // from resistors to the first anodes of their strings
	TurnCost  geom.Nm // what KeepTurn adds to the hops, as tracks run
	Turned    int     // LEDs that could not keep the common turn (KeepTurn only)
}
