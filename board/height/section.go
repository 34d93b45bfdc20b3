package height

import (
	"math"
	"slices"

	"lampblack/board"
	"lampblack/panel/geom"
)

// Line is where a panel is cut through, straight back.
type Line struct{ A, B geom.Pt }

// Len returns its length.
func (l Line) Len() geom.Nm { return geom.Nm(math.Round(l.A.Dist(l.B))) }

// Range is a part of a line, from its beginning.
type Range struct{ From, To geom.Nm }

// Layer is a sheet or a board, or what of it the line meets.
type Layer struct {
	Name     string
	Board    bool
	From, To geom.Nm // depths
	Extent   Range   // of all of it, seen from the side
	Cut      []Range // where the line goes through it
}

// Slice is a piece as the line cuts it, or, not cut, as it is seen beyond the line.
type Slice struct {
	Piece
	Along Range
}

// Cut is what a line through a panel meets, or a stepped one, whose pieces are level with one another: lengths are along its first.
type Cut struct {
	Path   []Line
	Layers []Layer // from the front
	Pieces []Slice // that are cut, as Pieces has them
	Beyond []Slice // all others, seen along the line's level
	Depth  geom.Nm // of all of it, behind the face's front
	Before geom.Nm // how far anything stands out before that
}

// Len returns how far the path reaches along its first piece.
func (c Cut) Len() geom.Nm {
	if len(c.Path) == 0 {
		return 0
	}
	last := partsOf(c.Path)[len(c.Path)-1]
	return last.from + last.long
}

// Ends returns where the path begins and ends.
func (c Cut) Ends() (a, b geom.Pt) {
	if len(c.Path) == 0 {
		return geom.Pt{}, geom.Pt{}
	}
	return c.Path[0].A, c.Path[len(c.Path)-1].B
}

// Steps returns how far along the path it steps from one line to the next.
func (c Cut) Steps() (out []geom.Nm) {
	for i, p := range partsOf(c.Path) {
		if i > 0 {
			out = append(out, p.from)
		}
	}
	return out
}

// frame tells places along the line and across it.
type frame struct {
	a      geom.Pt
	ux, uy float64 // along, of length 1
}

func (l Line) frame() frame {
	d := l.B.Sub(l.A)
	n := d.Len()
	if n == 0 {
		return frame{l.A, 1, 0}
	}
	return frame{l.A, float64(d.X) / n, float64(d.Y) / n}
}

func (f frame) of(p geom.Pt) (along, across float64) {
	x, y := float64(p.X-f.a.X), float64(p.Y-f.a.Y)
	return float64(x*f.ux) + float64(y*f.uy), float64(y*f.ux) - float64(x*f.uy)
}

// chords returns where the line, however long, goes through a shape.
func (f frame) chords(c geom.Contour) []Range {
	ring := c.Ring(geom.FlattenTolerance)
	var at []float64
	for i, p := range ring {
		u0, v0 := f.of(p)
		u1, v1 := f.of(ring[(i+1)%len(ring)])
		if (v0 >= 0) != (v1 >= 0) {
			at = append(at, u0+float64((u1-u0)*(v0/(v0-v1))))
		}
	}
	slices.Sort(at)
	var out []Range
	for i := 0; i+1 < len(at); i += 2 {
		if r := (Range{geom.Nm(math.Round(at[i])), geom.Nm(math.Round(at[i+1]))}); r.To > r.From {
			out = append(out, r)
		}
	}
	return out
}

// extent returns how far a shape reaches along the line.
func (f frame) extent(c geom.Contour) Range {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range c.Ring(geom.FlattenTolerance) {
		u, _ := f.of(p)
		lo, hi = min(lo, u), max(hi, u)
	}
	if lo > hi {
		return Range{}
	}
	return Range{geom.Nm(math.Round(lo)), geom.Nm(math.Round(hi))}
}

// without returns what of the ranges is left when others are taken away.
func without(of, holes []Range) []Range {
	out := slices.Clone(of)
	for _, h := range holes {
		var next []Range
		for _, r := range out {
			if h.To <= r.From || h.From >= r.To {
				next = append(next, r)
				continue
			}
			if h.From > r.From {
				next = append(next, Range{r.From, h.From})
			}
			if h.To < r.To {
				next = append(next, Range{h.To, r.To})
			}
		}
		out = next
	}
	return out
}

// within returns what of the ranges lies on the line.
func within(of []Range, long geom.Nm) []Range {
	return without(of, []Range{{math.MinInt64 / 2, 0}, {long, math.MaxInt64 / 2}})
}

// Solid is a sheet of the stack: its edge, and what is cut out of it.
type Solid struct {
	Name     string
	Board    bool
	From, To geom.Nm
	Edge     geom.Contour
	Holes    []geom.Contour
}

// ofBoard is a board as a solid.
func (in In) ofBoard(b board.Board) Solid {
	front, back := in.Span(b)
	holes := slices.Clone(b.Cutouts)
	for _, h := range b.Holes {
		holes = append(holes, geom.Circle(h.At, h.D))
	}
	return Solid{"board", true, front, back, b.Outline, holes}
}

// Across returns what a line meets, or a path of several that are level with one another and follow each other; sheets are those of the
// panel, cut as they come off the laser.
func (in In) Across(sheets []Solid, path ...Line) Cut {
	parts := partsOf(path)
	cut := Cut{Path: path}
	for _, b := range in.Boards {
		if len(b.Outline) > 0 {
			sheets = append(slices.Clip(sheets), in.ofBoard(b))
		}
	}
	for _, s := range sheets {
		if s.To <= s.From {
			continue
		}
		y := Layer{s.Name, s.Board, s.From, s.To, parts[0].extent(s.Edge), nil}
		for _, p := range parts {
			solid := p.chords(s.Edge)
			for _, h := range s.Holes {
				solid = without(solid, p.chords(h))
			}
			y.Cut = append(y.Cut, p.placed(solid)...)
		}
		y.Cut = joined(y.Cut)
		cut.Layers = append(cut.Layers, y)
		cut.Depth = max(cut.Depth, s.To)
	}
	for _, q := range in.Pieces() {
		whole := parts[0].extent(q.Shape)
		var met []Range
		for _, p := range parts {
			here := p.chords(q.Shape)
			if q.Whose == LED && len(here) == 1 && 2*(here[0].To-here[0].From) < whole.To-whole.From {
				here = nil // it is grazed, which shows a lens without its middle, or a flange alone
			}
			if _, off := p.of(q.Shape.Box().Centre()); q.Whose == Screw && math.Abs(off) > float64(geom.Millimetre) {
				here = nil // beside its shank: a washer alone would be taken for the screw
			}
			met = append(met, p.placed(here)...)
		}
		met = joined(met)
		for _, r := range met {
			cut.Pieces = append(cut.Pieces, Slice{q, r})
		}
		if len(met) == 0 {
			cut.Beyond = append(cut.Beyond, Slice{Piece: q, Along: whole})
		}
		cut.Depth = max(cut.Depth, q.To)
		cut.Before = max(cut.Before, -q.From)
	}
	return cut
}

// Deepest returns the piece that reaches farthest back; not ok where there is none.
func (c Cut) Deepest() (deepest Piece, ok bool) {
	for _, l := range [...][]Slice{c.Pieces, c.Beyond} {
		for _, q := range l {
			if !ok || q.To > deepest.To {
				deepest, ok = q.Piece, true
			}
		}
	}
	return deepest, ok
}

// Meets reports whether a line goes through the panel.
func (in In) Meets(l Line) bool {
	return len(within(l.frame().chords(in.Panel.Outline), l.Len())) > 0
}
