package scene

import (
	"fmt"

	"lampblack/panel/geom"
)

// Colour is an sRGB colour, 0xRRGGBB.
type Colour uint32

// RGB returns the colour's parts.
func (c Colour) RGB() (r, g, b uint8) { return uint8(c >> 16), uint8(c >> 8), uint8(c) }

// String returns the colour as "#rrggbb".
func (c Colour) String() string { return fmt.Sprintf("#%06x", uint32(c)) }

// Paint is a colour and how much of what lies below it covers. The zero Paint paints nothing.
type Paint struct {
	Colour
	Percent uint8 // 100 covers all
}

// Solid returns the paint that covers what lies below.
func Solid(c Colour) Paint { return Paint{c, 100} }

// None reports whether the paint leaves nothing.
func (p Paint) None() bool { return p.Percent == 0 }

// Stroke is how lines are drawn. The zero Stroke draws none.
type Stroke struct {
	Paint
	Width  geom.Nm
	Dashes []geom.Nm // lengths of dashes and gaps in turn, an even number; nil: a whole line
	Cap    Cap
	Join   Join
}

// Line returns a whole line with plain ends.
func Line(c Colour, width geom.Nm) Stroke { return Stroke{Paint: Solid(c), Width: width} }

// Dashed returns the stroke in dashes and gaps.
func (s Stroke) Dashed(dashes ...geom.Nm) Stroke {
	s.Dashes = dashes
	return s
}

// Round returns the stroke with round ends and joints.
func (s Stroke) Round() Stroke {
	s.Cap, s.Join = RoundCap, RoundJoin
	return s
}

// Cap is the end of an open line.
type Cap uint8

const (
	ButtCap  Cap = iota // cut off where the line ends
	RoundCap            // half a disc beyond it
)

// Join is the corner between two pieces of a line.
type Join uint8

const (
	MitreJoin Join = iota // pointed, up to four times the width
	RoundJoin
)
