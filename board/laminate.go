package board

import g "lampblack/panel/geom"

// Laminate is what a board is made of: glass-reinforced epoxy with copper on both sides.
type Laminate struct {
	Thickness g.Nm // of the finished board
	Copper    g.Nm // of each side, finished
}

// Ounce is the copper that the trade calls one ounce, for that weight on a square foot: 28.35 g over 929 cm² of 8.96 g/cm³
// are 34.1 µm, and everybody writes 35 (IPC-4562 gives its foils so: 17, 35, 70 µm; from memory).
const Ounce = 35 * g.Micrometre

// UsualLaminate returns what board houses make unless they are asked otherwise: 1.6 mm, one ounce.
func UsualLaminate() Laminate { return Laminate{Thickness: g.MM(1.6), Copper: Ounce} }

// Core returns the thickness of what is between the two sides' copper.
func (l Laminate) Core() g.Nm { return l.Thickness - 2*l.Copper }
