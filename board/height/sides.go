package height

import (
	"cmp"
	"slices"

	"lampblack/panel/geom"
)

// Stand is how a board stands in the panel: the depths between which it lies behind the face's front, what is free before it, and what
// stands out of its sides, the front before the back and the highest first.
type Stand struct {
	Board             string
	Front, Back, Room geom.Nm
	Sides             []Side
}

// Side is what stands out of a side of a board, alike things together.
type Side struct {
	On     geom.Side
	Whose  Whose
	Kind   string // of the part: "terminal-3.5"
	What   string // "pins"
	Height geom.Nm
	Count  int // parts
}

// Stands tells how the boards stand.
func (in In) Stands() []Stand {
	var out []Stand
	for _, b := range in.Boards {
		front, back := in.Span(b)
		s := Stand{Board: b.Name, Front: front, Back: back, Room: in.Room(b)}
		for _, q := range b.Parts {
			for _, one := range sidesOf(in.OfPart(b, q, front, back), front, back) {
				i := slices.IndexFunc(s.Sides, func(o Side) bool { o.Count = 0; return o == one })
				if i < 0 {
					i = len(s.Sides)
					s.Sides = append(s.Sides, one)
				}
				s.Sides[i].Count++
			}
		}
		slices.SortStableFunc(s.Sides, func(a, b Side) int {
			return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(b.Height, a.Height), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.What, b.What))
		})
		out = append(out, s)
	}
	return out
}

// sidesOf returns of a part what stands out of either side, each thing once.
func sidesOf(pieces []Piece, front, back geom.Nm) []Side {
	var out []Side
	add := func(q Piece, on geom.Side, high geom.Nm) {
		if high <= 0 {
			return
		}
		if i := slices.IndexFunc(out, func(o Side) bool { return o.On == on && o.What == q.What }); i >= 0 {
			out[i].Height = max(out[i].Height, high)
			return
		}
		out = append(out, Side{On: on, Whose: q.Whose, Kind: q.Kind, What: q.What, Height: high})
	}
	for _, q := range pieces {
		add(q, geom.Top, front-q.From)
		add(q, geom.Bottom, q.To-back)
	}
	return out
}
