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

// Part is one piece to cut. Coordinates count to the micrometre, and what is finer is rounded.
type Part struct {
	Outline geom.Ring   // simple
	Windows []geom.Ring // holes that smaller parts may lie in; may be nil
	Turns   Turns       // in which it may be laid
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
	Gap  geom.Nm // between two parts, and between a part and the sheet's edge
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
	Used   geom.Nm // of the last sheet's W, the gap at its end not counted
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
	wide, high, gap int64
	parts           []*form // of each part, its form as drawn
	turns           []Turns
	left            []int // parts that no sheet can hold
	laid            []int // the others
	forms           []*form
}

// form is a shape in one turn, its box's lower left corner at the origin.
type form struct {
	w, h    int64
	area    int64     // twice
	pieces  []convex  // whose union it is
	turned  [4]int    // the forms that it becomes by quarters, in problem.forms
	quarter int       // the turn from the drawn part
	origin  [4]vector // where the drawn part's box has its lower left corner, by quarters
}

func newProblem(w *work.Watch, parts []Part, stock Stock) *problem {
	in := &problem{wide: int64(stock.W / micron), high: int64(stock.H / micron), gap: int64((stock.Gap + micron - 1) / micron)}
	least := int64(1) << 62 // the shorter side of the smallest box
	for _, p := range parts {
		b := p.Outline.Box()
		least = min(least, int64(b.W()/micron), int64(b.H()/micron))
	}
	type drawn struct {
		part Part
		form int
	}
	var seen []drawn
	for i, p := range parts {
		w.Look()
		k := slices.IndexFunc(seen, func(d drawn) bool { return same(d.part, p) })
		if k < 0 {
			seen = append(seen, drawn{p, in.add(w, p, least)})
			k = len(seen) - 1
		}
		f := in.forms[seen[k].form]
		in.parts, in.turns = append(in.parts, f), append(in.turns, p.Turns)
		if in.fits(f, p.Turns) {
			in.laid = append(in.laid, i)
		} else {
			in.left = append(in.left, i)
		}
	}
	return in
}

// same reports whether two parts are one shape in one place.
func same(a, b Part) bool {
	return slices.Equal(a.Outline, b.Outline) && slices.EqualFunc(a.Windows, b.Windows, func(x, y geom.Ring) bool { return slices.Equal(x, y) })
}

// add makes the four forms of a part and returns the first. Windows too small for any part, whose shorter side is least, count
// as filled.
func (in *problem) add(w *work.Watch, p Part, least int64) int {
	first := len(in.forms)
	var origin [4]vector
	for q := range 4 {
		outer := turned(p.Outline, q)
		lo, hi := outer.box()
		origin[q] = lo
		f := &form{w: hi.x - lo.x, h: hi.y - lo.y, quarter: q}
		outer = outer.moved(vector{-lo.x, -lo.y})
		var windows []ring
		for _, r := range p.Windows {
			a, b := turned(r, q).box()
			if min(b.x-a.x, b.y-a.y) >= least+2*in.gap {
				windows = append(windows, turned(r, q).moved(vector{-lo.x, -lo.y}))
			}
		}
		f.pieces = pieces(w, outer, windows)
		for _, c := range f.pieces {
			f.area += ring(c).area2()
		}
		for k := range 4 {
			f.turned[k] = first + (q+k)%4
		}
		in.forms = append(in.forms, f)
	}
	for q := range 4 {
		in.forms[first+q].origin = origin
	}
	return first
}

// fits reports whether an empty sheet holds the form in one of the turns.
func (in *problem) fits(f *form, t Turns) bool {
	for q := range 4 {
		g := in.forms[f.turned[q]]
		if t&(1<<q) != 0 && g.w+2*in.gap <= in.wide && g.h+2*in.gap <= in.high {
			return true
		}
	}
	return false
}

// placed is where a part lies whose box, in that form, has its lower left corner at a place of the sheet.
func (in *problem) placed(part, sheet int, f *form, at vector) Placed {
	o := f.origin[f.quarter]
	return Placed{Part: part, Sheet: sheet, Quarters: f.quarter, By: geom.Vec{X: geom.Nm(at.x-o.x) * micron, Y: geom.Nm(at.y-o.y) * micron}}
}
