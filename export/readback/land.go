package readback

import (
	"lampblack/export"
	"lampblack/panel/geom"
)

// mostLand is the longest side of a pad that is painted as an area: what is longer is taken for an area of copper.
const mostLand = 25 * geom.Millimetre

// LandOf returns where an object paints a land, or an opening for one, and the shape of it: most files flash them; others
// paint them as a small region, told by the box round it, or as a line of no length.
func LandOf(l export.Layer, o export.Object) (at geom.Pt, a export.Aperture, ok bool) {
	switch {
	case o.Clear:
	case o.Op == export.Flash, o.Op == export.Draw && o.From == o.To:
		return o.To, l.Apertures[o.Aperture], true
	case o.Op == export.Region:
		if b := o.Contour.Box(); max(b.W(), b.H()) <= mostLand {
			return b.Centre(), export.Aperture{Shape: export.Rectangle, W: b.W(), H: b.H()}, true
		}
	}
	return at, a, false
}
