// Package geom is exact plane geometry in whole nanometres.
//
// Positions are Pt, differences Vec, in the panel frame: X right, Y up, seen from the front (LED) side.
// Every coordinate v has |v| <= MaxCoord, so that the cross product of two deltas fits an int64 and predicates
// such as Orient are exact. Closed curves of lines and arcs are Contours; flattened they are Rings; areas with
// holes are Regions, with exact booleans (overlay.go) and offsets.
package geom

import (
	"math"
	"strconv"
)

// Nm is a length in nanometres.
type Nm int64

const (
	Micrometre Nm = 1000
	Millimetre Nm = 1_000_000

	InchMM = 25.4 // an inch in millimetres, exactly: the international yard and pound agreement, 1959

	// MaxCoord bounds every coordinate: deltas then fit in 31 bits, products of two in 62, and the difference
	// of two products in an int64.
	MaxCoord Nm = 1<<30 - 1
)

// QuarterDegrees is a quarter turn, by which boards are turned; EighthDegrees half of it, by which parts are.
const (
	QuarterDegrees = 90
	EighthDegrees  = QuarterDegrees / 2
)

// FlattenTolerance is the greatest distance between a curve and its flattened form.
const FlattenTolerance = 2 * Micrometre

// MM converts millimetres to the nearest nanometre.
func MM(mm float64) Nm { return Nm(math.Round(mm * 1e6)) }

// MM returns the length in millimetres.
func (n Nm) MM() float64 { return float64(n) / 1e6 }

// Abs returns the length without its sign.
func (n Nm) Abs() Nm { return max(n, -n) }

// Sign returns -1, 0 or 1.
func (n Nm) Sign() Nm { return max(-1, min(1, n)) }

// String returns the length as people write it: "1.25 mm". Rounded to a micrometre, which no ruler tells; what is less than one is
// told in full.
func (n Nm) String() string {
	if n <= -Micrometre || n >= Micrometre {
		n = Nm(math.Round(float64(n)/float64(Micrometre))) * Micrometre
	}
	return strconv.FormatFloat(n.MM(), 'f', -1, 64) + " mm"
}

// Side is a side of the board: Top faces the viewer and carries the LEDs.
type Side uint8

const (
	Top Side = iota
	Bottom
)

// BothSides returns Top and Bottom, in that order.
func BothSides() [2]Side { return [2]Side{Top, Bottom} }

// Other returns the opposite side.
func (s Side) Other() Side { return Bottom - s }

// String returns "top" or "bottom".
func (s Side) String() string {
	if s == Top {
		return "top"
	}
	return "bottom"
}
