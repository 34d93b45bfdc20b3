package fill

import (
	"lampblack/board"
	"lampblack/panel/geom"
)

// spoke is a bridge from a pad across its moat into a piece of the area.
type spoke struct {
	ring  geom.Ring
	piece int
	pad   int // a number of its own for each pad
}

// spokes returns the bridges of the net's pads: along X and Y where the area is there to meet them, and along the
// diagonals for a pad that gets fewer than two that way; of a pad aslant along the diagonals first, which its sides face. A spoke
// has room whole.
func (f filler) spokes(free *room, pieces geom.Region) []spoke {
	boxes := make([]geom.Box, len(pieces))
	for i, p := range pieces {
		boxes[i] = p.Outer.Box()
	}
	find := func(p geom.Pt) int {
		for i := range pieces {
			if boxes[i].Contains(p) && pieces[i].Locate(p) == geom.Inside {
				return i
			}
		}
		return -1
	}
	var out []spoke
	pad := 0
	f.b.Pads(func(i, j int) bool {
		f.knife.Look()
		p := f.b.Parts[i].Pads[j]
		if !p.OnSide(f.side) || p.Net != f.net || p.Solid {
			return true
		}
		n := 0
		pad++
		ways := [][]geom.Vec{{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}}, {{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}}}
		if p.Slant {
			ways[0], ways[1] = ways[1], ways[0]
		}
		for _, dirs := range ways {
			for _, d := range dirs {
				s, tip := f.bridge(p, d)
				if piece := find(tip); piece >= 0 && free.holds(s) {
					out = append(out, spoke{s, piece, pad})
					n++
				}
			}
			if n >= 2 {
				break
			}
		}
		return true
	})
	return out
}

// bridge returns the spoke of pad p in direction d, a vector of -1, 0 and 1, and a point inside its outer end. It
// begins within the pad's copper and ends a spoke's width beyond the moat.
func (f filler) bridge(p board.Pad, d geom.Vec) (ring geom.Ring, tip geom.Pt) {
	r := f.b.Rules
	half := min(p.W, p.H) / 2
	switch side := padWay(p, d); {
	case side.Y == 0:
		half = p.W / 2
	case side.X == 0:
		half = p.H / 2
	case p.Shape == board.Square:
		half = half * 1414 / 1000 // the corner
	}
	from, to := half-min(half/2, r.Spoke/2), half+r.SpokeGap+r.Spoke
	if d.X != 0 && d.Y != 0 { // lengths along a diagonal, per axis
		from, to = from*707/1000, to*707/1000
	}
	at := func(along geom.Nm) geom.Pt { return p.At.Add(geom.Vec{X: d.X * along, Y: d.Y * along}) }
	across := d.Quarter(1)
	w := r.Spoke / 2
	if d.X != 0 && d.Y != 0 {
		w = w * 7072 / 10000
	}
	side := geom.Vec{X: across.X * w, Y: across.Y * w}
	a, b := at(from), at(to)
	return geom.Ring{a.Add(side.Neg()), b.Add(side.Neg()), b.Add(side), a.Add(side)}, at(to - r.Spoke/3)
}

// padWay returns a direction, of -1, 0 and 1, as the pad has it: X along W and Y along H.
func padWay(p board.Pad, d geom.Vec) geom.Vec {
	if !p.Slant {
		return d
	}
	return geom.Vec{X: (d.X + d.Y).Sign(), Y: (d.Y - d.X).Sign()} // an eighth clockwise, and longer
}
