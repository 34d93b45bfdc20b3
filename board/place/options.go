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

// Figures tells how good a placement is.
type Figures struct {
	Hops      geom.Nm // straight pad to pad length over all hops within strings, resistor to first anode included
	LowerHops geom.Nm // a bound no rotation of the LEDs can beat: see Place
	Turned    int     // LEDs that could not keep the common turn (KeepTurn only)
}
