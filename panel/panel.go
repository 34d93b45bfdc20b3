// Package panel holds what a drawing means: one faceplate and all that is cut, drilled and engraved in it.
//
// Interpret turns a dxf.Drawing into Panels. A Panel's frame is geom's: whole nanometres, X right, Y up, seen from
// the front, its origin at the lower left corner of the outline's bounding box. Origin is that corner in the
// drawing's own frame, in mm, so that findings and result.json can speak the drawing's coordinates. Interpret's own
// findings are in the drawing's frame already.
//
// Method: layers give roles by name or by the project's mapping, and its rules by shape (rule.go, ruled.go); without any
// of these, shapes and sizes decide (guess.go), every guess is told, and Survey proposes the rules that say the same
// (propose.go). Pieces are joined to loops in the drawing's float64 millimetres (join.go,
// split.go, trace.go); each outermost loop of the outline layer is a panel, and everything else belongs to the panel
// it lies in (deal.go). Then coordinates are moved to the panel's frame and rounded once (build.go). Arcs stay arcs.
//
// Told as errors: no outline or an open one, edges that cross themselves, LED holes outside the panel or over an
// edge, opening, mount or each other, shapes on the LED layer that are not round, panels over 1 m.
//
// Lines that cross without an end near the crossing are divided there only where nothing closes otherwise, as in an
// outline whose sides were drawn too long: elsewhere crossing lines are more likely centre lines.
package panel

import "lampblack/panel/geom"

// Panel is one faceplate.
type Panel struct {
	Name    string
	Drawing string // file name as the user gave it
	Origin  Origin // of the panel frame, in the drawing

	Outline   geom.Contour   // counter-clockwise
	Board     []geom.Contour // a board edge drawn by the user: the first is the edge, the rest are holes in it; often none
	Openings  []Opening
	Bodies    []geom.Contour
	Mounts    []Hole
	LEDs      []Hole
	Lettering []Text
	Symbols   []Symbol
}

// Origin is a position in the drawing's frame, in millimetres.
type Origin struct{ X, Y float64 }

// Hole is a round hole.
type Hole struct {
	At     geom.Pt
	D      geom.Nm
	Kind   string // LED kind named by the drawing or the project, empty for the project's default
	Handle string // DXF handle, for findings
	Line   int    // of the drawing file, for findings; 0 when unknown
}

// Opening is a hole through the panel for a switch, a knob or a display.
type Opening struct {
	geom.Contour
	Handle string
	Line   int  // as Hole's
	Mount  bool // a slot drawn on the mount layer: it is cut like any opening, and a screw goes through it
}

// Text is a piece of lettering.
type Text struct {
	Text   string
	At     geom.Pt // the anchor
	Height geom.Nm // of a capital letter
	Angle  float64 // radians, counter-clockwise
	Width  float64 // width factor, 1 is normal
	Span   geom.Nm // length that the longest line fills, in place of Width; 0: as long as it gets
	Anchor Anchor
	Mirror bool // drawn mirrored left to right
}

// Anchor is the point of a text that At names.
type Anchor struct {
	H HAlign
	V VAlign
}

// HAlign is where the anchor lies along the text.
type HAlign uint8

const (
	Left HAlign = iota
	Centre
	Right
)

// VAlign is where the anchor lies across the text.
type VAlign uint8

const (
	Baseline VAlign = iota
	BottomLine
	Middle
	TopLine
)

// String returns the anchor as the survey tells it: "left-baseline", "center-middle".
func (a Anchor) String() string {
	return [...]string{"left", "center", "right"}[a.H] + "-" + [...]string{"baseline", "bottom", "middle", "top"}[a.V]
}

// Symbol is lettering that is drawn rather than written: a closed shape to be filled, or an open line to be engraved.
type Symbol struct {
	Closed bool
	Shape  geom.Contour   // of an open line the last vertex is its end and its bulge means nothing
	Holes  []geom.Contour // of a closed shape: what is left out of it, as the inside of an O
}
