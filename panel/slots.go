package panel

import (
	"slices"

	"lampblack/panel/geom"
)

// Slot is a mount's hole in a sheet that wants more than a round one, since the sheet grows against what holds the screw.
type Slot struct {
	Mount int // index into Panel.Mounts
	Sheet Sheet
	Along geom.Segment // where the screw's middle may be, the mount's in its middle
}

// Shape returns the slot as it is cut, as wide as the mount's hole.
func (s Slot) Shape(d geom.Nm) geom.Contour { return geom.Stadium(s.Along, d/2) }

// MountCuts returns what a sheet is cut for the mounts, in their order: round holes as drawn, and slots where it has some. What fills the
// gap goes with the LED sheet that it is glued to, and so does a spacer sheet.
func (p Panel) MountCuts(s Sheet) []geom.Contour {
	out := make([]geom.Contour, len(p.Mounts))
	for i, h := range p.Mounts {
		out[i] = geom.Circle(h.At, h.D)
		if k := slices.IndexFunc(p.Slots, func(o Slot) bool { return o.Mount == i && o.Sheet == s }); k >= 0 {
			out[i] = p.Slots[k].Shape(h.D)
		}
	}
	return out
}
