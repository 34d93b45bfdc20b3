package export

import (
	"cmp"
	"slices"

	"lampblack/board"
	"lampblack/panel/geom"
)

// finest is the least distance of two points of a contour or a path: readers of the Gerber format may move a point by
// half of it (revision 2021.02, 4.14.2).
const finest = geom.Micrometre

// piece is one area on its way to an image: a ring with holes, as rings that do not touch themselves.
type piece struct {
	dark, clear []geom.Ring
	size        float64
	net         string
	hasNet      bool
	function    string
}

func pieceOf(fill geom.Polygon) piece {
	p := piece{size: fill.Outer.Area()}
	for _, ring := range simpleRings(fill.Outer.Oriented(geom.CCW)) {
		if ring.SignedArea2() > 0 {
			p.dark = append(p.dark, ring)
		} else {
			p.clear = append(p.clear, ring)
		}
	}
	for _, hole := range fill.Holes {
		p.clear = append(p.clear, simpleRings(hole)...)
	}
	return p
}

// areas paints the copper areas of one side.
func (m *image) areas(b board.Board, side geom.Side) {
	var pieces []piece
	for _, a := range b.Areas {
		if a.On != side {
			continue
		}
		p := pieceOf(a.Fill)
		p.net, _ = netName(b, a.Net)
		p.hasNet, p.function = true, conductor
		pieces = append(pieces, p)
	}
	m.regions(pieces)
}

// inked paints the silkscreen areas of one side.
func (m *image) inked(b board.Board, side geom.Side) {
	var pieces []piece
	for _, k := range b.Ink {
		if k.On == side {
			p := pieceOf(k.Fill)
			p.function = material
			pieces = append(pieces, p)
		}
	}
	m.regions(pieces)
}

// regions paints areas that do not overlap.
//
// Pieces go in order of falling size of their outer ring. A piece in the hole of another one has a smaller outer ring,
// so it comes after the hole was cleared; and the clear hole of a piece can only reach what lies inside that piece.
func (m *image) regions(pieces []piece) {
	slices.SortStableFunc(pieces, func(a, b piece) int { return cmp.Compare(b.size, a.size) })
	for _, p := range pieces {
		m.Objects = append(m.Objects, p.objects()...)
	}
}

func (p piece) objects() []Object {
	var out []Object
	for _, r := range p.dark {
		out = append(out, Object{Op: Region, Contour: geom.Straight(r...), Function: p.function, Net: p.net, HasNet: p.hasNet})
	}
	for _, r := range p.clear {
		out = append(out, Object{Op: Region, Clear: true, Contour: geom.Straight(r...)})
	}
	return out
}

// Inked returns the objects that paint a piece of a silkscreen area.
func Inked(fill geom.Polygon) []Object {
	p := pieceOf(fill)
	p.function = material
	return p.objects()
}

// simpleRings returns the ring as rings that do not touch themselves, with points at least finest apart. A Gerber
// contour may not touch itself (4.10.3), while two contours may touch (4.10.4).
func simpleRings(r geom.Ring) []geom.Ring {
	r = spacedRing(r)
	if convex(r) {
		return []geom.Ring{r}
	}
	var out []geom.Ring
	var open geom.Ring
	at := make(map[geom.Pt]int, len(r))
	for _, p := range r {
		// Back at a point passed before: what lies between is a ring of its own.
		if first, seen := at[p]; seen {
			loop := slices.Clone(open[first:])
			for _, q := range loop {
				delete(at, q)
			}
			open = open[:first]
			if len(loop) > 2 && loop.SignedArea2() != 0 {
				out = append(out, loop)
			}
		}
		at[p] = len(open)
		open = append(open, p)
	}
	if len(open) > 2 && open.SignedArea2() != 0 {
		out = append(out, open)
	}
	return out
}

// convex reports whether the ring turns one way at every corner and goes round once, so that it cannot touch itself:
// most holes of an area are such rings round a pad.
func convex(r geom.Ring) bool {
	n := len(r)
	if n < 3 {
		return false
	}
	turn, up, flips := geom.Collinear, false, 0
	for i := range r {
		a, b, c := r[i], r[(i+1)%n], r[(i+2)%n]
		t := geom.Orient(a, b, c)
		if t == geom.Collinear || i > 0 && t != turn {
			return false
		}
		// Going round once, the edges change between right and left (up and down where they stand upright) twice.
		to := c.X > b.X || c.X == b.X && c.Y > b.Y
		if i > 0 && to != up {
			flips++
		}
		turn, up = t, to
	}
	return flips <= 2
}

// spaced drops the points of a path that are closer than finest to the one before; the last point stays.
func spaced(path geom.Polyline) geom.Polyline {
	out := make(geom.Polyline, 0, len(path))
	for i, p := range path {
		if n := len(out); n > 0 && near(out[n-1], p) {
			if i == len(path)-1 && n > 1 {
				out[n-1] = p
			}
			continue
		}
		out = append(out, p)
	}
	return out
}

func spacedRing(r geom.Ring) geom.Ring {
	out := geom.Ring(spaced(geom.Polyline(r)))
	for len(out) > 1 && near(out[0], out[len(out)-1]) {
		out = out[:len(out)-1]
	}
	return out
}

func near(a, b geom.Pt) bool {
	d := a.Sub(b)
	return d.Dot(d) < int64(finest*finest)
}
