// Package board is the lighting board behind one panel, as data: its edge, parts, copper, holes and silkscreen.
//
// Lengths are geom.Nm in the panel frame: X right, Y up, seen from the front; the bottom is seen through the board and
// never mirrored. The verbs live in the folders below (shape, place, route, fill, legend); each takes a Board and returns
// a new one. board/check judges a Board from its geometry alone, whether it was made here or read back from files.
package board

import (
	"slices"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Board is one printed circuit.
type Board struct {
	Name     string
	Rules    Rules
	Laminate Laminate

	Outline geom.Contour   // counter-clockwise
	Cutouts []geom.Contour // clockwise, inside the outline
	Keepout []geom.Contour // bodies and openings of the panel, rooms, and screws that pass beside it: no board, copper or part may be here
	Room    []panel.Room   // of Keepout, what is kept free for parts that no body tells of

	Nets   []led.Net // index is led.NetID
	Parts  []Part
	Holes  []Hole // unplated
	Tracks []Track
	Vias   []Via
	Spots  []Spot // bare pads: test points and fiducials
	Areas  []Area
	Legend []Stroke // silkscreen
	Ink    []Ink    // silkscreen areas, which do not overlap
	Less   []Less   // places where limits of Rules gave way
	Words  []Word   // what it says, for the papers that explain the board: all of them stand in Legend
}

// Kind is what a part is.
type Kind uint8

const (
	LED Kind = iota
	Resistor
	Connector
)

// Part is a component in its place.
type Part struct {
	Ref       string
	Kind      Kind
	Value     string // as printed and listed: "red-3mm", "470R", "IN"
	Footprint string // name of the footprint
	At        geom.Pt
	Turn      int       // degrees counter-clockwise as seen from the front, a multiple of 45 from 0 to 315
	On        geom.Side // the side that carries its body
	Height    geom.Nm   // above that side
	Pads      []Pad
	Body      geom.Ring // outline of its body, placed
	Courtyard geom.Ring // body and pads with room to solder, placed
	Marks     []Stroke  // silkscreen of the footprint itself, placed: outline and polarity
	Role      led.Role  // connectors only
}

// WirePads begins the name of the footprints that bare wires are soldered to: there is nothing to buy or to put on.
const WirePads = "wire-pads"

// PadShape is the shape of a pad's copper.
type PadShape uint8

const (
	Round  PadShape = iota // circle, W = H
	Square                 // rectangle W by H, sharp corners
	Oblong                 // rectangle W by H with fully rounded ends
)

// Turns returns the turns that a part may have: by quarters first, as people put parts in.
func Turns() [8]int { return [8]int{0, 90, 180, 270, 45, 135, 225, 315} }

// Pad is the copper of one pin. W runs along X and H along Y, in the panel frame; of a pad aslant they run along the diagonals,
// 45 degrees counter-clockwise of that.
type Pad struct {
	Pin      string // "1", "2"
	Function string // "A", "K", "+", "-": what the pin does; empty for resistors
	Net      led.NetID
	At       geom.Pt
	Shape    PadShape
	W, H     geom.Nm
	Slant    bool      // turned by 45 degrees; a Round one never is
	Through  bool      // plated through, copper on both sides
	On       geom.Side // the side of a pad that is not Through
	Drill    geom.Nm   // finished, 0 unless Through
	Mask     geom.Nm   // soldermask opening beyond the copper, each side
	Paste    bool      // solder paste is printed on it
	Solid    bool      // joined to an area of its net without spokes
}

// OnSide reports whether the pad has copper on side s.
func (p Pad) OnSide(s geom.Side) bool { return p.Through || p.On == s }

// Contour returns the outline of the pad's copper grown by d (which may be negative) on each side; the corners of
// a Square stay sharp.
func (p Pad) Contour(d geom.Nm) geom.Contour {
	w, h := p.W+2*d, p.H+2*d
	c := geom.Circle(p.At, w)
	switch p.Shape {
	case Square:
		c = geom.Rect(boxRound(p.At, w, h))
	case Oblong:
		c = oblong(p.At, w, h)
	}
	if p.Slant {
		c = c.Turned(p.At, geom.EighthDegrees)
	}
	return c
}

// Turned returns the pad turned about its middle by a multiple of 45 degrees.
func (p Pad) Turned(degrees int) Pad {
	if p.Shape == Round {
		return p
	}
	if eighths := ((degrees/geom.EighthDegrees)%8 + 8) % 8; eighths%2 == 1 {
		if p.Slant { // an eighth more than an eighth is a quarter
			p.W, p.H = p.H, p.W
		}
		p.Slant = !p.Slant
		degrees -= geom.EighthDegrees
	}
	if degrees/geom.QuarterDegrees%2 != 0 {
		p.W, p.H = p.H, p.W
	}
	return p
}

func boxRound(c geom.Pt, w, h geom.Nm) geom.Box {
	lo := geom.Pt{X: c.X - w/2, Y: c.Y - h/2}
	return geom.Box{Min: lo, Max: geom.Pt{X: lo.X + w, Y: lo.Y + h}}
}

func oblong(c geom.Pt, w, h geom.Nm) geom.Contour {
	if w == h {
		return geom.Circle(c, w)
	}
	b := boxRound(c, w, h)
	r := min(w, h) / 2
	at := func(x, y geom.Nm, bulge float64) geom.Vertex {
		return geom.Vertex{Pt: geom.Pt{X: x, Y: y}, Bulge: bulge}
	}
	if w > h {
		return geom.Contour{
			at(b.Min.X+r, b.Min.Y, 0), at(b.Max.X-r, b.Min.Y, 1),
			at(b.Max.X-r, b.Max.Y, 0), at(b.Min.X+r, b.Max.Y, 1),
		}
	}
	return geom.Contour{
		at(b.Max.X, b.Min.Y+r, 0), at(b.Max.X, b.Max.Y-r, 1),
		at(b.Min.X, b.Max.Y-r, 0), at(b.Min.X, b.Min.Y+r, 1),
	}
}

// Hole is an unplated hole through the board.
type Hole struct {
	At   geom.Pt
	D    geom.Nm
	What HoleUse
}

// HoleUse is what an unplated hole is for.
type HoleUse uint8

const (
	MountHole HoleUse = iota
	StrainRelief
)

// Track is one net's copper of constant width along Path, on one side.
type Track struct {
	Net   led.NetID
	On    geom.Side
	Width geom.Nm
	Path  geom.Polyline
}

// Via joins the copper of both sides.
type Via struct {
	Net   led.NetID
	At    geom.Pt
	Drill geom.Nm // finished
	D     geom.Nm // of its copper
}

// Area is one piece of a net's copper area on one side, spokes included: a ring with holes, with no islands.
type Area struct {
	Net  led.NetID
	On   geom.Side
	Fill geom.Polygon
}

// Stroke is a silkscreen line of constant width with round ends.
type Stroke struct {
	On    geom.Side
	Width geom.Nm
	Path  geom.Polyline
}

// Ink is one piece of a silkscreen area on one side: a ring with holes.
type Ink struct {
	On   geom.Side
	Fill geom.Polygon
}

// Word is one thing that the silkscreen says.
type Word struct {
	On   geom.Side
	What WordUse
	Text string   // as it was asked for; the font has capitals alone
	Of   string   // reference of the part that it belongs to; empty: the board
	Pin  string   // of a sign
	Box  geom.Box // of its ink
}

// WordUse is what a word of the silkscreen is for.
type WordUse uint8

const (
	Sign      WordUse = iota // polarity of a pin
	Place                    // which connector it is: IN, OUT
	Reference                // name of a part
	Value                    // of a resistor
	Title                    // name of the board, its side, supply, revision and date
	Hint                     // which way round LEDs go
	Otherwise                // the mark of an LED that stands another way round than most
	Outline                  // no word: the footprint's own lines, whole
)

// LEDHint is the line that boards, README.txt and the assembly sheet say of which way round LEDs go, of those with leads and of
// those without.
func LEDHint(leads bool) string {
	if leads {
		return "LED: square = flat side = -"
	}
	return "LED: bracket = marked end = -"
}

// LEDHints returns the lines that say which way round the board's LEDs go, one for each way they are mounted.
func (b Board) LEDHints() []string {
	var out []string
	for _, leads := range [2]bool{true, false} {
		if slices.ContainsFunc(b.Parts, func(p Part) bool { return p.Kind == LED && len(p.Pads) > 0 && p.Pads[0].Through == leads }) {
			out = append(out, LEDHint(leads))
		}
	}
	return out
}

// Printed returns the first word of that use that belongs to a pin, or without a pin to a part, or without either to the board.
func (b Board) Printed(what WordUse, ref, pin string) (Word, bool) {
	for _, w := range b.Words {
		if w.What == what && w.Of == ref && w.Pin == pin {
			return w, true
		}
	}
	return Word{}, false
}

// SignOf returns what a connector's pin is: "+", "+ NAME" of a group of LEDs with a conductor of its own, or "-".
func (b Board) SignOf(p Pad) string {
	if p.Function == "+" && p.Net > led.NoNet && int(p.Net) < len(b.Nets) {
		return led.Sign(b.Nets[p.Net].Name)
	}
	return p.Function
}

// Grouped reports whether a part has pins of groups of LEDs.
func (b Board) Grouped(p Part) bool {
	return slices.ContainsFunc(p.Pads, func(q Pad) bool { return b.SignOf(q) != q.Function })
}

// Pads calls f with every pad of every part, in order, until f returns false.
func (b Board) Pads(f func(part, pad int) bool) {
	for i := range b.Parts {
		for j := range b.Parts[i].Pads {
			if !f(i, j) {
				return
			}
		}
	}
}

// ScrewBeside is what a screw is called for which there is no hole in the board.
const ScrewBeside = "a screw that holds the sheets only"

// KeptOut says in words what the board keeps out of there: entry i of its Keepout, of the panel that it is for.
func (b Board) KeptOut(p panel.Panel, i int) string {
	switch n := len(p.Bodies) + len(p.Openings); {
	case i < len(p.Bodies):
		return "a body"
	case i < n:
		return "an opening"
	case i < n+len(b.Room):
		return "the room kept free behind an opening"
	}
	return ScrewBeside
}

// Material returns the area of the board itself, flattened: the outline less the cutouts. Drilled holes count as
// material.
func (b Board) Material() geom.Region {
	rings := []geom.Ring{b.Outline.Ring(geom.FlattenTolerance)}
	for _, c := range b.Cutouts {
		rings = append(rings, c.Ring(geom.FlattenTolerance))
	}
	return geom.NewRegion(rings...)
}
