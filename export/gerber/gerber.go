// Package gerber writes artwork in the Gerber layer format, one file a layer, and the job file that goes with them.
//
// In goes an export.Artwork in the panel frame, in whole nanometres; out come bytes in millimetres with six decimals, so
// that every coordinate is exact. The files keep to The Gerber Layer Format Specification, revision 2021.02, with its
// attributes: pads are flashed, areas are regions, arcs are arcs, holes in areas have clear polarity. The job file keeps
// to the Gerber Job Format Specification, revision 2020.08.
//
// The same artwork and Meta give the same bytes: the identity (GUID) is drawn from names and size, and a date is written
// only if Meta has one. A layer that asks for a draw with an aperture that is no circle breaks an invariant and panics.
package gerber

import (
	"time"

	"lampblack/panel/geom"
)

// Meta is what a file says about itself beyond its image.
type Meta struct {
	Project   string    // name of the console
	Revision  string    // of the board; "1" when empty
	Version   string    // of Lampblack; "dev" when empty
	Date      time.Time // zero: the files carry no date
	Mask      string    // colour of the soldermask; "white" when empty
	Finish    string    // job file's word; "HAL lead-free" when empty
	Clearance geom.Nm   // smallest copper to copper distance the board was made to; 0 leaves it out of the job file
}

func (m Meta) revision() string { return orElse(m.Revision, "1") }
func (m Meta) version() string  { return orElse(m.Version, "dev") }

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// date returns the date as .CreationDate wants it, with a numeric zone; empty when there is none.
func (m Meta) date() string {
	if m.Date.IsZero() {
		return ""
	}
	return m.Date.Format("2006-01-02T15:04:05-07:00")
}
