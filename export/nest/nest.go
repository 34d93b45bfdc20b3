// Package nest lays parts on stock sheets so that few sheets are cut and the rest of the last one is long.
//
// Parts keep their true shapes: small ones come to lie in the bays and windows of large ones. Where two parts may lie to each
// other is worked out exactly, on a lattice of places: the parts' outlines are cut into convex pieces, and two parts overlap
// just where the Minkowski sum of a piece of one and a turned-over piece of the other holds the step between them (the no-fit
// polygon of Art 1966; convex pieces as in Agarwal, Flato, Halperin, Computational Geometry 21 (2002) 39). A sequence of parts is
// laid out by putting each as far left, then as low, as it goes (bottom-left filling), and sequences are improved by late
// acceptance hill climbing (Burke, Bykov, European Journal of Operational Research 258 (2017) 70) for a counted number of
// steps. The usual packings of the parts' boxes are tried too, so that the outcome is never worse than theirs.
//
// Nothing is decided by floating-point numbers, clocks or the order of maps: the same parts give the same layout.
package nest

import (
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Part is one piece to cut. Coordinates count to the micrometre: what is finer is rounded, away from the part. What it has of
// several polygons stays together; smaller parts may lie in its holes.
type Part struct {
	Shape geom.Region
	Turns Turns // in which it may be laid
}

// Turns are quarter turns, a bit for each: 1 as drawn, 2 a quarter counter-clockwise, 4 half a turn, 8 three quarters.
type Turns uint8

const (
	AsDrawn    Turns = 1
	HalfTurns  Turns = 1 | 4 // along a grain
	AnyQuarter Turns = 1 | 2 | 4 | 8
)

// Stock is what sheets the parts are cut from.
type Stock struct {
	W, H geom.Nm // of a sheet; what is left of the last one is measured along W
	Gap  geom.Nm // between two parts
	Edge geom.Nm // between a part and the sheet's edge
}

// Placed is where a part lies: its outline is turned about the origin by so many quarters, then moved.
type Placed struct {
	Part, Sheet int
	Quarters    int
	By          geom.Vec
}

// Layout is how parts lie on sheets.
type Layout struct {
	Placed []Placed // in the order of the parts
	Sheets int
	Used   geom.Nm // of the last sheet's W, to the end of its last part
	Left   []int   // parts that no sheet can hold
}

// better reports whether a layout wants less stock than another one of the same parts.
func (l Layout) better(than Layout) bool {
	if l.Sheets != than.Sheets {
		return l.Sheets < than.Sheets
	}
	return l.Used < than.Used
}

// Arrange lays the parts on stock, by so many steps of improvement at most.
func Arrange(w *work.Watch, parts []Part, stock Stock, steps int) Layout {
	in := newProblem(w, parts, stock)
	best := in.boxed(w)
	if l := in.shaped(w, steps); l.better(best) {
		best = l
	}
	best.Left = in.left
	slices.SortFunc(best.Placed, func(a, b Placed) int { return a.Part - b.Part })
	return best
}

// micron is the unit within this package: products of lengths then fit with room to spare.
const micron = geom.Micrometre

// problem is what is to be laid, in whole micrometres.
type problem struct {
	wide, high, gap, edge int64
	parts                 []*form // of each part, its form as drawn
	turns                 []Turns
	left                  []int // parts that no sheet can hold
	laid                  []int // the others
	forms                 []*form
}

// form is a shape in one turn, its box's lower left corner at the origin.
type form struct {
	w, h    int64
	area    int64     // twice
	pieces  []convex  // within slack of whose union it lies
	slack   int64     // 0: it is their union
	turned  [4]int    // the forms that it becomes by quarters, in problem.forms
	quarter int       // the turn from the drawn part
	origin  [4]vector // where the drawn part's box has its lower left corner, by quarters
	kind    int       // the first form that covers the same
}

func newProblem(w *work.Watch, parts []Part, stock Stock) *problem {
	up := func(v geom.Nm) int64 { return int64((v + micron - 1) / micron) }
	in := &problem{wide: int64(stock.W / micron), high: int64(stock.H / micron), gap: up(stock.Gap), edge: up(stock.Edge)}
	type drawn struct {
		part Part
		form int
	}
	var seen []drawn
	for i, p := range Plain(parts, stock.Gap) {
		w.Look()
		k := slices.IndexFunc(seen, func(d drawn) bool { return same(d.part.Shape, p.Shape) })
		if k < 0 {
			seen = append(seen, drawn{p, in.add(w, p.Shape)})
			k = len(seen) - 1
		}
		f := in.forms[seen[k].form]
		t := in.fitting(f, p.Turns)
		in.parts, in.turns = append(in.parts, f), append(in.turns, t)
		if t != 0 {
			in.laid = append(in.laid, i)
		} else {
			in.left = append(in.left, i)
		}
	}
	return in
}

// Plain returns the parts without what tells nothing of how they can be laid: holes in which none of them has room. Parts that come
// to the same are laid in the same way.
func Plain(parts []Part, gap geom.Nm) []Part {
	least := geom.Nm(1) << 62 // the shorter side of the smallest box
	for _, p := range parts {
		b := p.Shape.Box()
		least = min(least, b.W(), b.H())
	}
	out := slices.Clone(parts)
	for i, p := range parts {
		out[i].Shape = make(geom.Region, len(p.Shape))
		for k, q := range p.Shape {
			out[i].Shape[k].Outer = q.Outer
			for _, h := range q.Holes {
				if b := h.Box(); min(b.W(), b.H()) >= least+2*gap {
					out[i].Shape[k].Holes = append(out[i].Shape[k].Holes, h)
				}
			}
		}
	}
	return out
}

// same reports whether two parts are one shape in one place.
func same(a, b geom.Region) bool {
	return slices.EqualFunc(a.Rings(), b.Rings(), func(x, y geom.Ring) bool { return slices.Equal(x, y) })
}

// add makes the four forms of a shape and returns the first.
func (in *problem) add(w *work.Watch, shape geom.Region) int {
	first := len(in.forms)
	var origin [4]vector
	rough, slack := covering(w, shape)
	for q := range 4 {
		lo, hi := corners(shape.Box(), q)
		origin[q] = lo
		f := &form{w: hi.x - lo.x, h: hi.y - lo.y, slack: slack, quarter: q, kind: first + q}
		for _, c := range rough {
			one := make(ring, len(c))
			for i, p := range c {
				one[i] = p.quarter(q).minus(lo)
			}
			f.pieces = append(f.pieces, lowest(one))
			f.area += one.area2()
		}
		for k := range 4 {
			f.turned[k] = first + (q+k)%4
		}
		slices.SortFunc(f.pieces, func(a, b convex) int { return slices.CompareFunc(a, b, vector.compare) })
		if k := slices.IndexFunc(in.forms, f.covers); k >= 0 {
			f.kind = k
		}
		in.forms = append(in.forms, f)
	}
	for q := range 4 {
		in.forms[first+q].origin = origin
	}
	return first
}

// covers reports whether two forms cover the same.
func (f *form) covers(g *form) bool {
	return f.w == g.w && f.h == g.h && f.slack == g.slack && slices.EqualFunc(f.pieces, g.pieces, func(a, b convex) bool { return slices.Equal(a, b) })
}

// fitting returns those of the turns in which an empty sheet holds the form.
func (in *problem) fitting(f *form, t Turns) Turns {
	for q := range 4 {
		if !in.holds(in.forms[f.turned[q]]) {
			t &^= 1 << q
		}
	}
	return t
}

// holds reports whether an empty sheet holds the form.
func (in *problem) holds(f *form) bool { return f.w+2*in.edge <= in.wide && f.h+2*in.edge <= in.high }

// placed is where a part lies whose box, in that form, has its lower left corner at a place of the sheet.
func (in *problem) placed(part, sheet int, f *form, at vector) Placed {
	o := f.origin[f.quarter]
	return Placed{Part: part, Sheet: sheet, Quarters: f.quarter, By: geom.Vec{X: geom.Nm(at.x-o.x) * micron, Y: geom.Nm(at.y-o.y) * micron}}
}
