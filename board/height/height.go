// Package height knows what stands out of the two sides of a board, how high, and what that means where the board is built in.
//
// In go a panel with what sits in its openings, its boards, and the stack of sheets in front of them; out come Pieces: of LEDs,
// resistors, connectors with plug and wires, leads and joints, screws, and controls, each with its outline as seen from the front and
// the depths between which it lies, from the face's front backward, as package seat has them. Everything else asks these pieces: Judge
// what does not fit, Reliefs what the LED sheet is cut for, Across what a line through the panel meets.
//
// Heights of parts are typical ones (package footprint) unless the project tells them (Kinds). Of the stack nominal thicknesses count:
// those of fasten.Stack, which is the one place they come from. What fits by these, and does not where sheets likely come out thick or
// thin, is told apart, with what to measure.
package height

import (
	"strings"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/footprint"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Whose is what a piece belongs to.
type Whose uint8

const (
	LED Whose = iota
	Resistor
	Connector
	Screw
	Control
)

// String returns what people call it.
func (w Whose) String() string {
	return [...]string{"LED", "resistor", "connector", "screw", "control"}[w]
}

// What a piece is, as people call it. Pieces of controls are called as package seat calls them.
const (
	Lens   = "lens" // its front is a half ball
	Flange = "flange"
	Body   = "body"
	Lead   = "leads" // of wire, cut off
	Pin    = "pins"  // stiff ones
	Joint  = "joints"
	Plug   = "plug"
	Wire   = "wires"
	Head   = "head"
	Shank  = "shank"
	Washer = "washer"
	Nut    = "nut"
	Spacer = "spacer"
)

// Piece is a thing between two depths.
type Piece struct {
	Whose    Whose
	What     string
	Of       string       // "J1", "toggle-m12", "M3 x 30"
	Kind     string       // of part: "terminal-3.5"; of control: its words
	Board    string       // that it stands on; empty: none
	Shape    geom.Contour // as seen from the front
	From, To geom.Nm      // depths behind the face's front
}

// What sticks out of a board where leads and pins come through it: common practice.
const (
	cutLead = 1500 * geom.Micrometre // ends of wire, cut off beside the joint
	fillet  = 1000 * geom.Micrometre // of solder
)

// Kinds is what the project tells of parts' heights, by the names of their bodies.
type Kinds []Kind

// Kind is what a data sheet or a ruler tells of a part; 0 leaves what is typical.
type Kind struct {
	Name   string  // of its body: "terminal-3.5"
	Height geom.Nm // above the board, with what is plugged on
	Pins   geom.Nm // below its body
	Wires  geom.Nm // room for wires beyond the height
}

// told returns what is told of a body. Connectors with more poles are those of two: terminal-3.5-3.
func (k Kinds) told(name string) Kind {
	for _, one := range k {
		if name == one.Name || strings.HasPrefix(name, one.Name+"-") {
			return one
		}
	}
	return Kind{}
}

// sides is how a part looks from the side.
type sides struct {
	footprint.Footprint
	wires geom.Nm // room beyond its height
}

// of returns how a body looks from the side, as far as anything is known of it.
func (k Kinds) of(name string) sides {
	fp, _ := footprint.Lookup(name)
	out, t := sides{fp, fp.Beyond()}, k.told(name)
	if t.Height > 0 {
		out.Height = t.Height
		out.Side.Flange = min(out.Side.Flange, t.Height/4)
		out.Side.Plug = min(out.Side.Plug, t.Height/2)
		out.Side.Wire = min(out.Side.Wire, t.Height/2)
	}
	if t.Pins > 0 {
		out.Side.Pins = t.Pins
	}
	if t.Wires > 0 {
		out.wires = t.Wires
	}
	return out
}

// Measured returns the boards with the heights that the project tells of their parts.
func (k Kinds) Measured(boards []board.Board) []board.Board {
	out := make([]board.Board, len(boards))
	for i, b := range boards {
		b.Parts = append([]board.Part(nil), b.Parts...)
		for j := range b.Parts {
			if t := k.told(b.Parts[j].Footprint); t.Height > 0 {
				b.Parts[j].Height = t.Height
			}
		}
		out[i] = b
	}
	return out
}

// In is a panel as it is built: its boards have the heights that Kinds tells (Measured), its mounts what fasten gave them.
type In struct {
	Panel  panel.Panel
	Boards []board.Board
	Mounts []fasten.Mount
	Stack  fasten.Stack
	Kinds  Kinds
}

// Span returns the depths between which a board lies.
func (in In) Span(b board.Board) (front, back geom.Nm) {
	front = in.Stack.Face + in.Stack.Diffuser + in.Stack.Gap + in.Stack.Sheet + fasten.RiseOf(b, in.Stack).Distance
	return front, front + b.Laminate.Thickness
}

// Room is the depth that is free in front of a board: up to the LED sheet, or up to the plate where there is one.
func (in In) Room(b board.Board) geom.Nm {
	return max(0, fasten.RiseOf(b, in.Stack).Distance-in.Stack.Plate)
}

// Pieces returns everything that stands on boards and sits in the panel: board by board, then screws, then controls.
func (in In) Pieces() []Piece {
	var out []Piece
	for _, b := range in.Boards {
		front, back := in.Span(b)
		for _, q := range b.Parts {
			out = append(out, in.OfPart(b, q, front, back)...)
		}
	}
	for _, m := range in.Mounts {
		out = append(out, in.OfMount(m)...)
	}
	return append(out, ofControls(in.Panel)...)
}
