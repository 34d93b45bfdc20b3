// Package footprint turns the name of a body into copper: pads, holes, the room a part takes and the silkscreen that
// shows how it sits.
//
// Footprints are data (see data.go), in geom.Nm round the part's origin: the centre of the LED hole, or of the body
// of a chip or an axial part, or of the pin row of a connector. Turn 0 is X along the pins, pin 1 on the left, and
// wires leave a connector toward -Y. Coordinates are those of the panel frame for either side: a part on the bottom
// is not mirrored. All bodies here are their own mirror image but for the names of their pins, and the pins of the
// connectors get their meaning from the board, so that nothing is lost by it.
package footprint

import (
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/panel/geom"
)

// Footprint is what a body asks of the board. Lengths are relative to the part's origin, at turn 0.
type Footprint struct {
	Name      string
	Pads      []board.Pad // Net and Mask unset; On unset for Through pads
	Holes     []board.Hole
	Body      geom.Ring
	Courtyard geom.Ring
	Marks     []geom.Polyline // silkscreen of width MarkWidth, on the side of the body
	Height    geom.Nm         // above the board
	Entry     geom.Vec        // the way wires leave, a unit vector; zero when they leave away from the board or there are none
	Side      Side            // what of it is seen from the side
	Source    string          // where the dimensions come from
}

// Side is what a body looks like from the side, and what belongs to it beyond its height: typical values, common practice. What it
// does not have is 0.
type Side struct {
	Lens   geom.Nm // diameter of a lamp's, whose front is a half ball
	Flange geom.Nm // thickness of a lamp's, at the board
	Pins   geom.Nm // length of stiff pins below the body, which nobody cuts; 0: wire ends, which are cut
	Plug   geom.Nm // of the height, what lies above this is a plug that goes on from behind
	Wire   geom.Nm // of a connector: how high over the board the middle of its wires is where they leave along it
	Loop   geom.Nm // how high its wires lie over the other side, where they are threaded through the board
}

// Wires of the feed, of 0.5 mm²: 2.1 mm over their insulation, and behind a plug the room in which they turn aside, a bend of twice
// that on its inside and the wire itself. Common practice, for wires that are bent once.
const (
	WireOver = 2100 * geom.Micrometre
	WireBend = 3 * WireOver
)

// Beyond is the room that a connector's wires want beyond its height, where they leave away from the board.
func (fp Footprint) Beyond() geom.Nm {
	if fp.Side.Plug > 0 {
		return WireBend
	}
	return 0
}

// MarkWidth is the width of the silkscreen lines that Place draws.
const MarkWidth = 150 * geom.Micrometre

// Lookup returns the footprint of that name. A connector of more than two poles has their number behind its name:
// terminal-3.5-3.
func Lookup(name string) (Footprint, bool) {
	for _, e := range catalogue() {
		if rest, ok := strings.CutPrefix(name, e.name+"-"); ok && e.poles != nil {
			if n, err := strconv.Atoi(rest); err == nil && n > 2 && n <= mostPoles && rest == strconv.Itoa(n) {
				f := e.poles(n)
				f.Name = name
				return f, true
			}
		}
		if e.name == name {
			f := e.make()
			f.Name = name
			return f, true
		}
	}
	return Footprint{}, false
}

// Names returns the names of all footprints, in the order of the catalogue.
func Names() []string {
	var out []string
	for _, e := range catalogue() {
		out = append(out, e.name)
	}
	return out
}

// Place returns a part with this footprint at a position: turned by a multiple of 45 degrees counter-clockwise as
// seen from the front, its body on side on, soldermask opened by mask beyond every pad. Nets are not set.
func (fp Footprint) Place(ref string, kind board.Kind, at geom.Pt, turn int, on geom.Side, mask geom.Nm) board.Part {
	turn = ((turn % 360) + 360) % 360
	p := board.Part{
		Ref: ref, Kind: kind, Footprint: fp.Name, At: at, Turn: turn, On: on, Height: fp.Height,
		Body: fp.placed(fp.Body, at, turn), Courtyard: fp.placed(fp.Courtyard, at, turn),
	}
	for _, pad := range fp.Pads {
		place := at.Add(geom.Vec(pad.At).Turned(turn))
		pad = pad.Turned(turn)
		pad.At = place
		pad.Mask = mask
		if !pad.Through {
			pad.On = on
		}
		p.Pads = append(p.Pads, pad)
	}
	for _, m := range fp.Marks {
		p.Marks = append(p.Marks, board.Stroke{On: on, Width: MarkWidth, Path: geom.Polyline(fp.placed(geom.Ring(m), at, turn))})
	}
	return p
}

// PlacedHoles returns the unplated holes that belong to the footprint, placed as Place places its pads.
func (fp Footprint) PlacedHoles(at geom.Pt, turn int) []board.Hole {
	var out []board.Hole
	for _, h := range fp.Holes {
		h.At = at.Add(geom.Vec(h.At).Turned(turn))
		out = append(out, h)
	}
	return out
}

func (fp Footprint) placed(r geom.Ring, at geom.Pt, turn int) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, q := range r {
		out[i] = at.Add(geom.Vec(q).Turned(turn))
	}
	return out
}
