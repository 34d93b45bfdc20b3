package shape

import (
	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Seats is where LEDs of one kind can be put that are not drawn.
type Seats struct {
	Ample   geom.Region // the middle of an LED may be here, whichever way it is turned
	Tight   geom.Region // or here, turned the right way; Ample is part of it
	Spacing geom.Nm     // from LED to LED, at least, so that a track passes between their pads
}

// play is what a seat keeps beyond each limit, so that roundings take nothing from it.
const play = 20 * geom.Micrometre

// SeatsOf returns where LEDs of that package, in holes of that diameter, may be put on the boards of the panel as it is drawn: pads
// keep clear of edges, flanges and holes of screws and of all that passes the board, and nothing is where a line may be an opening
// that only misses closing. The rooms behind openings stay as they are: what nobody drew makes nothing give way.
func SeatsOf(p panel.Panel, pkg string, hole geom.Nm, r board.Rules, m board.Laminate) Seats {
	fp, ok := footprint.Lookup(pkg)
	if !ok || len(p.Outline) == 0 {
		return Seats{}
	}
	yard, reach, across := fp.Courtyard.Box(), geom.Nm(lamp{pads: fp.Pads}.reach())+1, geom.Nm(0)
	for _, pad := range fp.Pads {
		b := pad.Contour(0).Box()
		across = max(across, -b.Min.X, -b.Min.Y, b.Max.X, b.Max.Y)
	}
	flange := max(hole+wider, fp.Body.Box().W(), fp.Body.Box().H())
	s := Seats{Spacing: max(2*across+2*r.Clearance+r.Signal, flange, yard.W(), yard.H()) + seatGap}
	lines := geom.UnionOf(rings(p.Unclosed)...).Grown(max(reach, flange/2) + r.CopperToEdge + play)
	for _, one := range boardsOf(p) {
		d := deriver{p: one, r: r, m: m, lamps: lampsOf(one, led.Wiring{})} // LEDs that are drawn count, to be moved or to stay
		b := d.roomy().b
		area := b.Material()
		if len(area) == 0 {
			continue
		}
		// Under a screw's head no LED; beside a body or in an opening none whose flange would meet it.
		var heads []geom.Ring
		for _, q := range b.Holes {
			heads = append(heads, geom.Circle(q.At, q.D+2*r.ScrewClear+flange+2*play).Ring(geom.FlattenTolerance))
		}
		screws, bodies := geom.UnionOf(heads...), geom.UnionOf(rings(b.Keepout)...).Grown(flange/2+play)
		free := func(g geom.Region) geom.Region { return g.Minus(screws).Minus(bodies).Minus(lines) }
		s.Ample = s.Ample.Or(free(area.Shrunk(reach + r.CopperToEdge + play)))
		for _, turn := range [4]int{0, 90, 45, 135} { // half a turn more needs the same room
			var room geom.Region
			for i, pad := range fp.Pads {
				at := geom.Vec(pad.At).Turned(turn)
				g := area.Shrunk(padReach(pad) + r.CopperToEdge + play).Moved(at.Neg())
				if i == 0 {
					room = g
				} else {
					room = room.And(g)
				}
			}
			s.Tight = s.Tight.Or(free(room))
		}
	}
	s.Tight = s.Tight.Or(s.Ample)
	return s
}

// wider is how much wider than its hole a lamp's flange is at least; seatGap is left beyond what LEDs need beside each other.
const (
	wider   = 800 * geom.Micrometre
	seatGap = 300 * geom.Micrometre
)

// padReach returns how far a pad reaches from its own middle.
func padReach(p board.Pad) geom.Nm {
	p.At = geom.Pt{}
	return geom.Nm(lamp{pads: []board.Pad{p}}.reach()) + 1
}

// boardsOf returns the panel as each of its boards without LEDs has it: each drawn edge by itself.
func boardsOf(p panel.Panel) []panel.Panel {
	if len(p.Boards) < 2 {
		return []panel.Panel{p}
	}
	var out []panel.Panel
	for _, e := range p.Boards {
		q := p
		q.Boards = []panel.Edge{e}
		out = append(out, q)
	}
	return out
}

func rings(cs []geom.Contour) []geom.Ring {
	out := make([]geom.Ring, 0, len(cs))
	for _, c := range cs {
		out = append(out, c.Ring(geom.FlattenTolerance))
	}
	return out
}
