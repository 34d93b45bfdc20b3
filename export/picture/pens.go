package picture

import "lampblack/panel/geom"

// Widths of lines: those of ISO 128-2 for plans (0.18, 0.25, 0.35 mm) where a line bounds something, thinner where it only tells
// two fills apart, as the taste of whoever looks at the page from near.
const (
	rimPen   = 80 * geom.Micrometre  // round what is filled
	crossPen = 120 * geom.Micrometre // crosses and edges of holes
	finePen  = 150 * geom.Micrometre // scales, leads, details of parts
	lampPen  = 180 * geom.Micrometre // LEDs' holes over the light
	dropPen  = 220 * geom.Micrometre // round the dot of an LED on the map of light
	thinPen  = 200 * geom.Micrometre // edges on pictures of boards
	linePen  = 250 * geom.Micrometre // outlines within a sheet
	framePen = 300 * geom.Micrometre // boxes and the panel's outline
	edgePen  = 350 * geom.Micrometre // a board's edge to build by
	boldPen  = 400 * geom.Micrometre // what has to be seen first
)
