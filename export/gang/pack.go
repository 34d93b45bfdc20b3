package gang

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// method names the heuristic, for people.
const method = "maximal rectangles, best short side fit"

// rect is an axis-parallel rectangle by its lower left corner.
type rect struct{ x, y, w, h geom.Nm }

func (r rect) meets(s rect) bool {
	return r.x < s.x+s.w && s.x < r.x+r.w && r.y < s.y+s.h && s.y < r.y+r.h
}

func (r rect) holds(s rect) bool {
	return s.x >= r.x && s.y >= r.y && s.x+s.w <= r.x+r.w && s.y+s.h <= r.y+r.h
}

// item is a board to pack: its size with the gap.
type item struct {
	piece int
	w, h  geom.Nm
}

// spot is where an item went.
type spot struct {
	rect
	turned bool
}

// packed places all boards in the smallest array within the options.
//
// Of the widths tried, and for each the least height, four orders of the boards: the smallest area wins, then the squarer
// one, then what was tried first.
func (p *Plan) packed(watch *work.Watch) diag.List {
	var l diag.List
	gap, frame := p.opt.Gap, 2*p.opt.Rail+p.opt.Gap
	for i, q := range p.pieces {
		if !p.alone(i) {
			b := p.edges[i].Box()
			l.Add(diag.Error, "gang-too-large", "the board %s of %.1f x %.1f mm does not fit on a manufacturing panel of %v x %v with its frame",
				q.Art.Name, b.W().MM(), b.H().MM(), p.opt.Width, p.opt.Height).
				About(p.opt.keys("width", "height", "boards")...).Fix("order it alone, or make width and height of the order larger, if your board house takes that")
		}
	}
	items, area, least := p.items()
	if l.HasErrors() || len(items) == 0 {
		return l
	}
	won, ok := p.arranged(watch, items, area, least, false)
	if !ok {
		wide, high := p.opt.Width-frame, p.opt.Height-frame
		l.Add(diag.Error, "gang-no-room", "the %d boards do not fit on one manufacturing panel of %v x %v", len(items), p.opt.Width, p.opt.Height).
			About(p.opt.keys("boards", "width", "height")...).
			Fix("order fewer of them, or make width and height of the order larger, if your board house takes that; the boards with their gaps take %.0f mm² of %.0f mm²",
				area, wide.MM()*high.MM())
		return l
	}
	for k, s := range won.spots {
		i := won.order[k].piece
		at := geom.Vec{X: p.opt.Rail + gap + s.x, Y: p.opt.Rail + gap + s.y}
		p.Boards = append(p.Boards, p.placed(i, s.turned, at))
	}
	// Numbered as one reads the array: by the piece, then from below, then from the left.
	slices.SortStableFunc(p.Boards, func(a, b Placed) int {
		return cmp.Or(cmp.Compare(a.Piece, b.Piece), cmp.Compare(a.Box.Min.Y, b.Box.Min.Y), cmp.Compare(a.Box.Min.X, b.Box.Min.X))
	})
	p.Art.Size = geom.Box{Max: geom.Pt{X: won.w + frame, Y: won.h + frame}}
	return l
}

// alone reports whether a board fits on an array by itself.
func (p *Plan) alone(piece int) bool {
	b, frame := p.edges[piece].Box(), 2*(p.opt.Rail+p.opt.Gap)
	return min(b.W(), b.H())+frame <= min(p.opt.Width, p.opt.Height) && max(b.W(), b.H())+frame <= max(p.opt.Width, p.opt.Height)
}

// items are the boards to pack with their gaps, the area in mm² that these take, and what no array can be narrower than.
func (p *Plan) items() (items []item, area float64, least geom.Nm) {
	for i, q := range p.pieces {
		b := p.edges[i].Box()
		w, h := b.W()+p.opt.Gap, b.H()+p.opt.Gap
		for range q.Count {
			items = append(items, item{i, w, h})
			area += float64(w.MM() * h.MM())
		}
		least = max(least, min(w, h))
	}
	return items, area, least
}

// arrangement is how the items lie, in the order in which they were packed.
type arrangement struct {
	spots []spot
	order []item
	w, h  geom.Nm
}

// arranged searches the smallest array that holds the items, which take that area and are nowhere narrower than least; or any that
// does.
func (p *Plan) arranged(watch *work.Watch, items []item, area float64, least geom.Nm, anyone bool) (won arrangement, ok bool) {
	frame := 2*p.opt.Rail + p.opt.Gap
	wide, high := p.opt.Width-frame, p.opt.Height-frame
	steps := geom.Nm(32)
	if len(items) > 50 {
		steps = 12
	}
	better := func(w, h geom.Nm) bool {
		if !ok {
			return true
		}
		a, b := (w+frame).MM()*(h+frame).MM(), (won.w+frame).MM()*(won.h+frame).MM()
		if a != b {
			return a < b
		}
		return max(w, h) < max(won.w, won.h)
	}
	orders := sorted(items)
	for k := range steps {
		w := wide - k*(wide-least)/max(1, steps-1)
		low := max(geom.MM(math.Floor(area/w.MM())), least)
		step := max((high-low)/12, geom.Millimetre)
		for h := low; h <= high; h += step {
			if h+step > high {
				h = high // the last try is all that there is
			}
			found := false
			for _, turns := range [][]bool{{false, true}, {false}, {true}} { // all one way is what a person tries first
				for _, order := range orders {
					spots, fits := maxRects(watch, order, turns, w, h)
					if !fits {
						continue
					}
					found = true
					usedW, usedH := extent(spots)
					if better(usedW, usedH) {
						won, ok = arrangement{spots, order, usedW, usedH}, true
					}
					if anyone {
						return won, ok
					}
				}
			}
			if found {
				break
			}
		}
	}
	return won, ok
}

// placed returns a board whose box's lower left corner comes to lie at a place.
func (p *Plan) placed(piece int, turned bool, at geom.Vec) Placed {
	pose := Pose{}
	if turned {
		pose.Turn = 1
	}
	b := pose.contour(p.edges[piece]).Box()
	pose.Move = at.Plus(b.Min.Sub(geom.Pt{}).Neg())
	return Placed{Piece: piece, Pose: pose, Box: pose.contour(p.edges[piece]).Box()}
}

func extent(spots []spot) (w, h geom.Nm) {
	for _, s := range spots {
		w, h = max(w, s.x+s.w), max(h, s.y+s.h)
	}
	return w, h
}

// sorted returns the items in the orders that are tried: by area, longer side, shorter side, and half the perimeter, the
// largest first.
func sorted(items []item) [][]item {
	var out [][]item
	for _, key := range []func(item) float64{
		func(i item) float64 { return i.w.MM() * i.h.MM() },
		func(i item) float64 { return max(i.w, i.h).MM() },
		func(i item) float64 { return min(i.w, i.h).MM() },
		func(i item) float64 { return (i.w + i.h).MM() },
	} {
		o := slices.Clone(items)
		slices.SortStableFunc(o, func(a, b item) int { return cmp.Or(cmp.Compare(key(b), key(a)), cmp.Compare(a.piece, b.piece)) })
		out = append(out, o)
	}
	return out
}

// maxRects packs the items in their order into a bin, turned in the ways allowed, or reports that they do not fit.
//
// Source: J. Jylänki, "A Thousand Ways to Pack the Bin: A Practical Approach to Two-Dimensional Rectangle Bin Packing",
// 2010, section 2.4 (MAXRECTS-BSSF): the free area is kept as all maximal free rectangles; an item goes where the shorter
// left-over side is shortest. We differ: equal fits go to the lower, then to the left one, and upright before turned, so
// that the result does not depend on chance.
func maxRects(watch *work.Watch, items []item, turns []bool, w, h geom.Nm) ([]spot, bool) {
	free := []rect{{0, 0, w, h}}
	var out []spot
	for _, it := range items {
		watch.Look()
		var best spot
		short, long, found := geom.Nm(0), geom.Nm(0), false
		for _, f := range free {
			for _, turned := range turns {
				iw, ih := it.w, it.h
				if turned {
					if iw == ih && len(turns) > 1 {
						continue
					}
					iw, ih = ih, iw
				}
				if iw > f.w || ih > f.h {
					continue
				}
				a, b := min(f.w-iw, f.h-ih), max(f.w-iw, f.h-ih)
				if found && cmp.Or(cmp.Compare(a, short), cmp.Compare(b, long), cmp.Compare(f.y, best.y), cmp.Compare(f.x, best.x)) >= 0 {
					continue
				}
				short, long, found = a, b, true
				best = spot{rect{f.x, f.y, iw, ih}, turned}
			}
		}
		if !found {
			return nil, false
		}
		out = append(out, best)
		free = split(free, best.rect)
	}
	return out, true
}

// split takes r out of the free rectangles and keeps the maximal ones.
func split(free []rect, r rect) []rect {
	var out, cut []rect
	for _, f := range free {
		if !f.meets(r) {
			out = append(out, f)
			continue
		}
		if r.x > f.x {
			cut = append(cut, rect{f.x, f.y, r.x - f.x, f.h})
		}
		if r.x+r.w < f.x+f.w {
			cut = append(cut, rect{r.x + r.w, f.y, f.x + f.w - r.x - r.w, f.h})
		}
		if r.y > f.y {
			cut = append(cut, rect{f.x, f.y, f.w, r.y - f.y})
		}
		if r.y+r.h < f.y+f.h {
			cut = append(cut, rect{f.x, r.y + r.h, f.w, f.y + f.h - r.y - r.h})
		}
	}
	for i, c := range cut {
		inside := slices.ContainsFunc(out, func(o rect) bool { return o.holds(c) })
		for j, o := range cut {
			inside = inside || j != i && o.holds(c) && !(c.holds(o) && j > i)
		}
		if !inside {
			out = append(out, c)
		}
	}
	return out
}
