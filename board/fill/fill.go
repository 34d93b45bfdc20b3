// Package fill covers the free copper of a routed board with areas of its supply and 0 V nets.
//
// Fill takes a board with parts and tracks and returns a new one with Areas added: 0 V on the top, the supply on the
// bottom, and in the pockets that the first net of a side cannot reach the other one, joined to its own area on the other
// side by stitching vias. Lengths are geom.Nm in the panel frame. Method: the board less edge clearance, less everything of
// another net grown by the clearance, less a moat round each hand-soldered pad of its own net; all of this by half a neck
// more than needed, and the rest grown back by as much, so that no part is narrower than Rules.Neck; then spokes across the
// moats. A piece that no track, via or spoke of its net reaches is left out, so there are no islands, and so is a small one
// with a single contact, which would be an antenna. Tracks already join every net: areas add copper, never connections that
// anything depends on.
package fill

import (
	"context"
	"math"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// tolerance is how far the curves of areas may be from true: coarser than elsewhere, because areas hold most of a board's
// points, and far below what etching does.
const tolerance = 8 * geom.Micrometre

// slack is added to every clearance: flattening may cut a curve's corner by the tolerance, tidying moves the border by less
// than its shortest edge, and rounding to whole nanometres moves points by less than one.
const slack = tolerance + shortest + geom.Micrometre

// Options choose the nets of each side. NoNet leaves a side, or its pockets, bare.
type Options struct {
	Top, Bottom               led.NetID
	TopPockets, BottomPockets led.NetID // where Top or Bottom cannot reach: see pockets.go
	Least                     float64   // mm²; smaller pieces are left out
	LeastSingle               float64   // mm²; smaller pieces with a single contact are left out
	Stitch                    geom.Nm   // distance of stitching vias between areas of one net on both sides; 0: none
}

// Usual returns 0 V on the top and the supply on the bottom, in pockets the other way round. A piece with one contact carries
// no current; below half a square centimetre it does not spread heat either.
func Usual() Options {
	return Options{
		Top: led.Return, Bottom: led.Supply, TopPockets: led.Supply, BottomPockets: led.Return,
		Least: 4, LeastSingle: 50, Stitch: 10 * geom.Millimetre,
	}
}

// Figures tells what was filled.
type Figures struct {
	Pieces   int     // areas made
	Pockets  int     // of these, how many in pockets
	Islands  int     // pieces left out because nothing of their net reaches them or they are too small
	Antennas int     // pieces left out because of their single contact
	Spokes   int     // thermal spokes
	Stitches int     // stitching vias
	Cover    float64 // of both sides together, from 0 to 1
}

// Fill returns b with areas, and vias that stitch them, added. The findings are always empty today: a side without room
// simply gets no area. When ctx is done it returns at once, and what it returns means nothing.
func Fill(ctx context.Context, b board.Board, opt Options) (out board.Board, fig Figures, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { out, fig = fillBoth(geom.Knife{Look: w.Look}, b, opt) })
	return out, fig, nil
}

func fillBoth(knife geom.Knife, b board.Board, opt Options) (board.Board, Figures) {
	var fig Figures
	out := b
	out.Areas = append([]board.Area(nil), b.Areas...)
	material := b.Material()
	var bare [2]geom.Region // pieces that were left out
	var made []area
	for _, side := range geom.BothSides() {
		net := opt.Top
		if side == geom.Bottom {
			net = opt.Bottom
		}
		if net == led.NoNet {
			continue
		}
		f := filler{knife: knife, b: b, side: side, net: net, opt: opt}
		kept, left := f.fill(material)
		bare[side] = left
		made = append(made, kept...)
	}
	made = append(made, pockets(knife, b, opt, material, made, bare)...)
	made, stitches := stitched(b, opt, made)
	out.Vias = append(append([]board.Via(nil), b.Vias...), stitches...)
	fig.Stitches = len(stitches)
	filled := 0.0
	for _, a := range made {
		switch {
		case a.contacts == 0 || a.fill.Area() < opt.Least:
			fig.Islands++
		case a.contacts == 1 && a.fill.Area() < opt.LeastSingle, a.pocket && a.contacts == 1:
			fig.Antennas++
		default:
			// Spokes of a piece may reach over its border in two places and so close a ring; their union is one piece or more.
			for _, p := range a.whole(knife) {
				out.Areas = append(out.Areas, board.Area{Net: a.net, On: a.side, Fill: p})
				filled += p.Area()
				fig.Pieces++
				if a.pocket {
					fig.Pockets++
				}
			}
			fig.Spokes += len(a.spokes)
		}
	}
	if a := material.Area(); a > 0 {
		fig.Cover = filled / (2 * a)
	}
	return out, fig
}

// area is a piece of an area in the making.
type area struct {
	net      led.NetID
	side     geom.Side
	fill     geom.Polygon
	spokes   []geom.Ring
	contacts int // pads, vias and stitches that join it to its net; a track counts twice
	pocket   bool
}

// whole returns the piece with its spokes.
func (a area) whole(knife geom.Knife) geom.Region {
	return knife.With(geom.Region{a.fill}, a.spokes...)
}

// filler fills one side with one net.
type filler struct {
	knife geom.Knife
	b     board.Board
	side  geom.Side
	net   led.NetID
	opt   Options
}

// fill returns the pieces of the side, and those that nothing of the net reaches.
func (f filler) fill(material geom.Region) (kept []area, left geom.Region) {
	free := f.b.Rules.CopperToEdge + slack
	return f.pieces(f.knife.Shrunk(material, free+f.b.Rules.Neck/2), f.knife.Shrunk(material, free))
}

// pieces fills what core leaves; free is where copper may be but for what foreign returns, and core is half a neck less.
func (f filler) pieces(core, free geom.Region) (kept []area, left geom.Region) {
	r := f.b.Rules
	half := r.Neck / 2
	box := free.Box()
	taken := within(box, append(f.foreign(half), f.moats(half)...))
	f.knife.Look()
	pieces := tidied(f.knife.Grown(parted(f.knife, f.knife.Without(core, taken...), half, r.Clearance/2), half))
	f.knife.Look()
	spokes := f.spokes(newRoom(free, within(box, f.foreign(0))), pieces)
	f.knife.Look()
	contacts := f.contacts(pieces)
	f.knife.Look()
	for i, p := range pieces {
		a := area{net: f.net, side: f.side, fill: p, contacts: contacts[i]}
		last := -1
		for _, s := range spokes {
			if s.piece != i {
				continue
			}
			a.spokes = append(a.spokes, s.ring)
			if s.pad != last {
				a.contacts, last = a.contacts+1, s.pad
			}
		}
		if a.contacts == 0 {
			left = append(left, p)
		}
		kept = append(kept, a)
	}
	return kept, left
}

// within returns the rings that touch the box.
func within(box geom.Box, rings []geom.Ring) []geom.Ring {
	var out []geom.Ring
	for _, r := range rings {
		if r.Box().Touches(box) {
			out = append(out, r)
		}
	}
	return out
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
	for _, s := range f.b.Spots {
		if s.On == f.side && s.Net != f.net {
			// What its opening bares besides would be a short for a meter's tip, and a false edge for a camera.
			out = append(out, disc(s.At, s.D/2+max(r.Clearance, s.Mask+r.MaskMargin)+extra))
		}
	}
	for _, t := range f.b.Tracks {
		if t.On != f.side || t.Net == f.net {
			continue
		}
		for _, s := range t.Path.Segments() {
			out = append(out, geom.Stadium(s, t.Width/2+r.Clearance+extra).Ring(tolerance))
		}
	}
	for _, v := range f.b.Vias {
		if v.Net != f.net {
			out = append(out, disc(v.At, v.D/2+r.Clearance+extra))
		}
	}
	for _, h := range f.b.Holes {
		out = append(out, disc(h.At, h.D/2+f.b.HoleClear(h)+extra))
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

// contacts counts for each piece what of the net lies in it: vias and solid pads once, tracks twice.
func (f filler) contacts(pieces geom.Region) []int {
	out := make([]int, len(pieces))
	boxes := make([]geom.Box, len(pieces))
	for i, p := range pieces {
		boxes[i] = p.Outer.Box()
	}
	count := func(lines []geom.Segment, worth int) {
		for i, p := range pieces {
			f.knife.Look()
			for _, s := range lines {
				if boxes[i].Touches(s.Box()) && meets(p, s) {
					out[i] += worth
					break
				}
			}
		}
	}
	point := func(p geom.Pt) { count([]geom.Segment{{A: p, B: p}}, 1) }
	for _, t := range f.b.Tracks {
		if t.On == f.side && t.Net == f.net {
			count(t.Path.Segments(), 2)
		}
	}
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
	for _, s := range f.b.Spots {
		if s.On == f.side && s.Net == f.net {
			point(s.At)
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
		return p.Contour(d).Ring(tolerance)
	}
	// A rectangle with quarter circles of radius d for corners.
	q := math.Tan(math.Pi / 8)
	box := geom.Box{Min: geom.Pt{X: p.At.X - p.W/2, Y: p.At.Y - p.H/2}, Max: geom.Pt{X: p.At.X + p.W/2, Y: p.At.Y + p.H/2}}
	at := func(x, y geom.Nm, bulge float64) geom.Vertex {
		return geom.Vertex{Pt: geom.Pt{X: x, Y: y}, Bulge: bulge}
	}
	ring := geom.Contour{
		at(box.Min.X, box.Min.Y-d, 0), at(box.Max.X, box.Min.Y-d, q),
		at(box.Max.X+d, box.Min.Y, 0), at(box.Max.X+d, box.Max.Y, q),
		at(box.Max.X, box.Max.Y+d, 0), at(box.Min.X, box.Max.Y+d, q),
		at(box.Min.X-d, box.Max.Y, 0), at(box.Min.X-d, box.Min.Y, q),
	}.Ring(tolerance)
	if p.Slant {
		return ring.Turned(p.At, geom.EighthDegrees)
	}
	return ring
}

func disc(c geom.Pt, r geom.Nm) geom.Ring { return geom.Circle(c, 2*r).Ring(tolerance) }
