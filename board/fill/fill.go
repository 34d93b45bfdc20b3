// Package fill covers the free copper of a routed board with areas of its supply and 0 V nets.
//
// Fill takes a board with parts and tracks and returns a new one with Areas added: 0 V on the top, the supply on the
// bottom. Lengths are geom.Nm in the panel frame. Method: the board less edge clearance, less everything of another net
// grown by the clearance, less a moat round each hand-soldered pad of its own net; all of this by half a neck more than
// needed, and the rest grown back by as much, so that no part is narrower than Rules.Neck; then spokes across the moats. A piece that no track, via or spoke of its net
// reaches is left out, so there are no islands. Tracks already join every net: areas add copper, never connections that
// anything depends on.
package fill

import (
	"math"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// slack is added to every clearance: flattening may cut a curve's corner by geom.FlattenTolerance and rounding to whole
// nanometres moves points by less than one.
const slack = geom.FlattenTolerance + geom.Micrometre

// Options choose the net of each side.
type Options struct {
	Top, Bottom led.NetID // NoNet leaves the side bare
	Least       float64   // mm²; smaller pieces are left out
}

// Usual returns 0 V on the top and the supply on the bottom.
func Usual() Options { return Options{Top: led.Return, Bottom: led.Supply, Least: 4} }

// Figures tells what was filled.
type Figures struct {
	Pieces  int     // areas made
	Islands int     // pieces left out because nothing of their net reaches them or they are too small
	Spokes  int     // thermal spokes
	Cover   float64 // of both sides together, from 0 to 1
}

// Fill returns b with areas added. The findings are always empty today: a side without room simply gets no area.
func Fill(b board.Board, opt Options) (board.Board, Figures, diag.List) {
	var fig Figures
	out := b
	out.Areas = append([]board.Area(nil), b.Areas...)
	material := b.Material()
	filled := 0.0
	for _, side := range geom.BothSides() {
		net := opt.Top
		if side == geom.Bottom {
			net = opt.Bottom
		}
		if net == led.NoNet {
			continue
		}
		f := filler{b: b, side: side, net: net}
		for _, p := range f.fill(material, opt.Least, &fig) {
			out.Areas = append(out.Areas, board.Area{Net: net, On: side, Fill: p})
			filled += p.Area()
		}
	}
	if a := material.Area(); a > 0 {
		fig.Cover = filled / (2 * a)
	}
	return out, fig, nil
}

// filler fills one side with one net.
type filler struct {
	b    board.Board
	side geom.Side
	net  led.NetID
}

func (f filler) fill(material geom.Region, least float64, fig *Figures) geom.Region {
	r := f.b.Rules
	half := r.Neck / 2
	taken := append(f.foreign(half), f.moats(half)...)
	pieces := parted(material.Shrunk(r.EdgeClearance+slack+half).Minus(geom.UnionOf(taken...)), half, r.Clearance/2).Grown(half)

	spokes := f.spokes(newRoom(material.Shrunk(r.EdgeClearance+slack), f.foreign(0)), pieces)
	reached := f.reached(pieces)
	for _, s := range spokes {
		reached[s.piece] = true
	}
	var kept geom.Region
	for i, p := range pieces {
		if !reached[i] || p.Area() < least {
			fig.Islands++
			reached[i] = false
			continue
		}
		kept = append(kept, p)
	}
	var rings []geom.Ring
	for _, s := range spokes {
		if reached[s.piece] {
			rings = append(rings, s.ring)
			fig.Spokes++
		}
	}
	if len(rings) > 0 {
		kept = kept.Or(geom.UnionOf(rings...))
	}
	fig.Pieces += len(kept)
	return kept
}

// foreign returns what the area must keep clear of: other nets' copper and unplated holes, grown by their clearances and
// by extra.
func (f filler) foreign(extra geom.Nm) []geom.Ring {
	r := f.b.Rules
	extra += slack
	var out []geom.Ring
	f.b.Pads(func(i, j int) bool {
		if p := f.b.Parts[i].Pads[j]; p.OnSide(f.side) && p.Net != f.net {
			out = append(out, grownPad(p, r.Clearance+extra))
		}
		return true
	})
	for _, t := range f.b.Tracks {
		if t.On != f.side || t.Net == f.net {
			continue
		}
		for _, s := range t.Path.Segments() {
			out = append(out, geom.Stadium(s, t.Width/2+r.Clearance+extra))
		}
	}
	for _, v := range f.b.Vias {
		if v.Net != f.net {
			out = append(out, disc(v.At, v.D/2+r.Clearance+extra))
		}
	}
	for _, h := range f.b.Holes {
		clear := r.HoleClearance
		if h.What == board.MountHole {
			clear = r.ScrewClear
		}
		out = append(out, disc(h.At, h.D/2+clear+extra))
	}
	return out
}

// moats returns the gaps round the net's own pads that spokes bridge, grown by extra.
func (f filler) moats(extra geom.Nm) []geom.Ring {
	var out []geom.Ring
	f.b.Pads(func(i, j int) bool {
		if p := f.b.Parts[i].Pads[j]; p.OnSide(f.side) && p.Net == f.net && !p.Solid {
			out = append(out, grownPad(p, f.b.Rules.SpokeGap+extra))
		}
		return true
	})
	return out
}

// reached reports for each piece whether a track, a via or a solid pad of the net lies in it.
func (f filler) reached(pieces geom.Region) []bool {
	var lines []geom.Segment
	for _, t := range f.b.Tracks {
		if t.On == f.side && t.Net == f.net {
			lines = append(lines, t.Path.Segments()...)
		}
	}
	point := func(p geom.Pt) { lines = append(lines, geom.Segment{A: p, B: p}) }
	for _, v := range f.b.Vias {
		if v.Net == f.net {
			point(v.At)
		}
	}
	f.b.Pads(func(i, j int) bool {
		if p := f.b.Parts[i].Pads[j]; p.OnSide(f.side) && p.Net == f.net && p.Solid {
			point(p.At)
		}
		return true
	})
	out := make([]bool, len(pieces))
	for i, p := range pieces {
		box := p.Outer.Box()
		for _, s := range lines {
			if box.Touches(s.Box()) && meets(p, s) {
				out[i] = true
				break
			}
		}
	}
	return out
}

// meets reports whether the segment has a point in the polygon.
func meets(p geom.Polygon, s geom.Segment) bool {
	if p.Locate(s.A) != geom.Outside || p.Locate(s.B) != geom.Outside {
		return true
	}
	for _, r := range p.Rings() {
		for _, e := range r.Segments() {
			if e.Crosses(s) {
				return true
			}
		}
	}
	return false
}

// grownPad returns the points no farther than d from the pad's copper; a Square's corners are rounded to d.
func grownPad(p board.Pad, d geom.Nm) geom.Ring {
	if p.Shape != board.Square {
		return p.Contour(d).Ring(geom.FlattenTolerance)
	}
	// A rectangle with quarter circles of radius d for corners.
	q := math.Tan(math.Pi / 8)
	box := geom.Box{Min: geom.Pt{X: p.At.X - p.W/2, Y: p.At.Y - p.H/2}, Max: geom.Pt{X: p.At.X + p.W/2, Y: p.At.Y + p.H/2}}
	at := func(x, y geom.Nm, bulge float64) geom.Vertex {
		return geom.Vertex{Pt: geom.Pt{X: x, Y: y}, Bulge: bulge}
	}
	return geom.Contour{
		at(box.Min.X, box.Min.Y-d, 0), at(box.Max.X, box.Min.Y-d, q),
		at(box.Max.X+d, box.Min.Y, 0), at(box.Max.X+d, box.Max.Y, q),
		at(box.Max.X, box.Max.Y+d, 0), at(box.Min.X, box.Max.Y+d, q),
		at(box.Min.X-d, box.Max.Y, 0), at(box.Min.X-d, box.Min.Y, q),
	}.Ring(geom.FlattenTolerance)
}

func disc(c geom.Pt, r geom.Nm) geom.Ring { return geom.Circle(c, 2*r).Ring(geom.FlattenTolerance) }
