// Package panel holds what a drawing means: one faceplate and all that is cut, drilled and engraved in it.
//
// A Panel's frame is geom's: whole nanometres, X right, Y up, seen from the front, its origin at the lower left corner
// of the outline's bounding box. Origin is that corner in the drawing's own frame, in mm, so that findings and
// result.json can speak the drawing's coordinates.
//
// Package read, below, makes Panels of a drawing, and package draft makes a drawing of Panels. Neither they nor DXF are
// known here.
package panel

import (
	"fmt"

	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// Panel is one faceplate.
type Panel struct {
	Name    string
	Drawing string // file name as the user gave it
	Origin  Origin // of the panel frame, in the drawing

	Outline   geom.Contour // counter-clockwise
	Boards    []Edge       // board edges drawn by the user; often none
	Within    geom.Box     // of a panel with several boards, as one of them has it: the part that its board is for; zero: all of it
	Openings  []Opening
	Bodies    []geom.Contour // drawn ones, then those that controls bring
	BodyDepth Depth          // where those begin that are of no control
	Controls  []Control      // what sits in openings, as far as the project tells, in their order
	Room      []Room         // behind openings that no body tells of
	Unclosed  []geom.Contour // lines that are not closed but may be meant so, closed: nothing is cut there, but no LED is placed in them
	Mounts    []Hole
	LEDs      []Hole
	Lettering []Text
	Symbols   []Symbol
	Print     [2]Print    // on the board, by geom.Side
	Frame     geom.Region // walls in the gap, from LED sheet to diffuser, if the project wants some
	Slots     []Slot      // of mounts, where sheets want room to grow
}

// Print is what is to be printed on one side of the board, as it is drawn: seen from the front, never mirrored.
type Print struct {
	Texts   []Text
	Symbols []Symbol
}

// Empty reports whether nothing is.
func (p Print) Empty() bool { return len(p.Texts)+len(p.Symbols) == 0 }

// PrintRoles returns the roles of what is printed, by geom.Side.
func PrintRoles() [2]Role { return [2]Role{geom.Top: RolePrint, geom.Bottom: RolePrintBack} }

// Depth is the sheet behind whose back bodies begin. From there they reach back, through the sheets that are left.
type Depth uint8

const (
	BehindSheets   Depth = iota // behind the LED sheet: nothing is cut for them but the board
	BehindDiffuser              // the LED sheet is cut for them
	BehindFace                  // diffuser and LED sheet are
)

// MostBoards bounds the boards of one panel: a letter tells them apart.
const MostBoards = 26

// BoardName returns the name of a board of a panel with several: "dome-a" for its first, 0.
func BoardName(panel string, board int) string { return panel + "-" + string(rune('a'+board)) }

// Edge is the edge of a board, and the holes in it behind that.
type Edge []geom.Contour

// Origin is a position in the drawing's frame, in millimetres.
type Origin struct{ X, Y float64 }

// Hole is a round hole.
type Hole struct {
	At   geom.Pt
	D    geom.Nm
	Kind string // LED kind named by the drawing or the project, empty for the project's default
	// Placed says of an LED's hole that nobody drew it: it was put where light was wanted.
	Placed bool
	// Window says of an LED that it is a window's: it stands behind one, or next to one that has none behind it.
	Window bool
	Source
}

// Opening is a hole through the panel for a switch, a knob or a display.
type Opening struct {
	geom.Contour
	Mount bool // a slot drawn on the mount layer: it is cut like any opening, and a screw goes through it
	Source
}

// Room is space behind the panel, round an opening without a body, that is kept free for what sits in the opening: parts are
// mostly wider than their holes.
type Room struct {
	geom.Contour         // of all that is kept free, the opening included
	Opening      int     // index into Panel.Openings
	Beyond       geom.Nm // how far it reaches beyond the opening's edge
	For          string  // the common parts that it is guessed by; empty: the project tells it
}

// Guessed reports whether the room is guessed by the size of the opening.
func (r Room) Guessed() bool { return r.For != "" }

// Source is the entity of the drawing file that a thing comes from, for findings alone: nothing is decided from it. The
// line moves when a comment is written above it, the handle stays.
type Source struct {
	Handle string // DXF handle; empty when the file has none
	Line   int    // of the file, from 1; 0 when unknown
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
	Mirror bool           // drawn mirrored left to right
	Slant  float64        // radians by which all of it leans to the right
	Font   writing.Font   // that it asks for
	Block  *writing.Block // of several paragraphs, or looks; nil: Text alone tells
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

// Symbol is lettering that is drawn rather than written, a shape to be filled or a line to be engraved; or a window.
type Symbol struct {
	Closed bool
	Window bool           // it is lit and no lettering: the ring under a knob, a button's legend, an indicator; closed and filled
	Filled bool           // all that lies in a closed line is engraved, not the line itself
	Width  geom.Nm        // of the line; 0: what lines are engraved with
	Flat   bool           // the line ends flat, and has sharp corners; else both are round
	Dashes []geom.Nm      // of the line, by turns: a dash, less than 0 a gap, 0 a dot; the first is no gap; nil: it is drawn through
	Runs   bool           // dashes run on over corners; else they begin anew at each
	Shape  geom.Contour   // of an open line the last vertex is its end and its bulge means nothing
	Holes  []geom.Contour // of a filled shape: what is left out of it, as the inside of an O
}

// Said names a symbol by its kind and size, as it is seen: "the line 53 mm long", "the filled circle of 8 mm", "the closed line of 4 x 6 mm",
// "the round window of 5 mm", "the window of 20 x 8 mm", "the ring of 18 mm".
func (s Symbol) Said() string {
	kind := "line"
	switch {
	case s.Window:
		kind = "window"
	case s.Filled && s.Closed:
		kind = "filled shape"
	case s.Closed:
		kind = "closed line"
	case s.Dashes != nil:
		kind = "dashed line"
	}
	if !s.Closed {
		long := 0.0
		for _, e := range s.Shape.Edges()[:max(len(s.Shape)-1, 0)] {
			long += e.Len()
		}
		return fmt.Sprintf("the %s %.3g mm long", kind, long/float64(geom.Millimetre))
	}
	b := s.Shape.Box()
	if _, d, ok := s.Shape.Circular(); ok {
		switch {
		case s.ring():
			kind = "ring"
		case s.Window:
			kind = "round window"
		case s.Filled:
			kind = "filled circle"
		default:
			kind = "circle"
		}
		return fmt.Sprintf("the %s of %.3g mm", kind, d.MM())
	}
	return fmt.Sprintf("the %s of %.3g x %.3g mm", kind, b.W().MM(), b.H().MM())
}

// ring reports whether it is a round window with a round hole about its middle.
func (s Symbol) ring() bool {
	if !s.Window || len(s.Holes) != 1 {
		return false
	}
	at, _, round := s.Holes[0].Circular()
	c := s.Shape.Box().Centre()
	return round && at.Dist(c) < float64(geom.Millimetre)/2
}

// Area returns what lies in a filled shape less its holes, by the even-odd rule; nothing of a line.
func (s Symbol) Area() geom.Region {
	if !s.Closed || !s.Filled {
		return nil
	}
	r := s.Shape.Ring(geom.FlattenTolerance)
	if len(r) < 3 {
		return nil
	}
	rings := []geom.Ring{r}
	for _, h := range s.Holes {
		rings = append(rings, h.Ring(geom.FlattenTolerance))
	}
	return geom.NewRegion(rings...)
}
