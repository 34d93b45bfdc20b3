package gang

import (
	"math"
	"slices"

	"lampblack/export"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Measures of tabs, as board houses publish them (common practice): 5 mm wide, one for each 80 mm of edge; five holes of
// 0.5 mm, 0.8 mm apart, let it be broken.
const (
	tabWidth    = 5 * geom.Millimetre
	tabEach     = 80 * geom.Millimetre
	holes       = 5
	holeD       = 500 * geom.Micrometre
	holePitch   = 800 * geom.Micrometre
	betweenTabs = 2 * geom.Millimetre // beside the other tab's own width
	fewestTabs  = 3
	mostTabs    = 60
)

// tabStep is by what a tab is lengthened until both ends lie in what is solid, and what an edge may bend over it and be straight.
const tabStep = 20 * geom.Micrometre

// Tab is a bridge over a slot, from a board's edge outward.
type Tab struct {
	Board int     // index into Plan.Boards
	Other int     // the board at its other end, or -1 for waste and frame
	At    geom.Pt // on the board's edge, in the middle of the tab
	X, Y  float64 // outward, a unit vector
	Long  geom.Nm // how far the other end is

	deep, otherDeep geom.Nm // how far the perforation reaches into the board, and into the other one
}

// to returns the point so far along the edge (to the left, seen outward) and so far outward.
func (t Tab) to(along, out geom.Nm) geom.Pt {
	x := float64(t.X*float64(out)) - float64(t.Y*float64(along))
	y := float64(t.Y*float64(out)) + float64(t.X*float64(along))
	return t.At.Add(geom.Vec{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))})
}

// Far returns where the tab ends.
func (t Tab) Far() geom.Pt { return t.to(0, t.Long) }

// strip returns the tab's laminate: a strip over the slot, hollowed on both sides as the round bit leaves it.
func (t Tab) strip(gap geom.Nm) []geom.Ring {
	const over = geom.Millimetre / 2 // into what is solid anyway
	r := gap/2 - geom.Micrometre
	half := tabWidth/2 + gap/2
	strip := geom.NewRegion(geom.Ring{t.to(-half, -over), t.to(-half, t.Long+over), t.to(half, t.Long+over), t.to(half, -over)}.Oriented(geom.CCW))
	for _, side := range [2]geom.Nm{-half, half} {
		strip = strip.Minus(geom.NewRegion(geom.Stadium(geom.Segment{A: t.to(side, gap/2), B: t.to(side, max(gap/2, t.Long-gap/2))}, r).Ring(geom.FlattenTolerance)))
	}
	return strip.Rings()
}

// perforation returns the middles of the holes along the board's edge, and along the other board's.
func (t Tab) perforation() []geom.Pt {
	var out []geom.Pt
	row := func(at geom.Nm) {
		for k := range holes {
			out = append(out, t.to((geom.Nm(k)-(holes-1)/2)*holePitch, at))
		}
	}
	row(holeD/2 - t.deep)
	if t.Other >= 0 {
		row(t.Long - holeD/2 + t.otherDeep)
	}
	return out
}

// tabs chooses the places of the tabs: evenly along each board's edge, moved to where the edge is straight and something
// solid lies across the slot. A tab between two boards serves both.
//
// First only straight places are taken; a board that finds fewer than three of them, as a round one, or that they hold on one
// side alone, so that it would swing under the router, gets tabs on its curves too.
func (p *Plan) tabs(w *work.Watch, rings []geom.Ring, waste geom.Region) {
	ink := p.inks()
	for i := range rings {
		p.tabsOf(w, i, rings, waste, ink, tabStep)
	}
	for i := range rings {
		if at := p.heldAt(i); len(at) < fewestTabs || oneSided(at, p.Boards[i].Box.Centre()) {
			p.tabsOf(w, i, rings, waste, ink, bent)
		}
	}
}

// heldAt returns where tabs meet the edge of a board.
func (p *Plan) heldAt(i int) []geom.Pt {
	var out []geom.Pt
	for _, t := range p.Tabs {
		if t.Board == i {
			out = append(out, t.At)
		}
		if t.Other == i {
			out = append(out, t.Far())
		}
	}
	return out
}

// oneSided reports whether a straight line through the centre has all places on one side.
func oneSided(at []geom.Pt, centre geom.Pt) bool {
	for _, p := range at {
		left, right := true, true
		for _, q := range at {
			turn := p.Sub(centre).Cross(q.Sub(centre))
			left, right = left && turn >= 0, right && turn <= 0
		}
		if left || right {
			return true
		}
	}
	return false
}

// tabsOf chooses the tabs of one board, on edges that bend at most so far over a tab: each at the place nearest to the even one
// where it cuts no silkscreen, or else where it can be.
func (p *Plan) tabsOf(w *work.Watch, i int, rings []geom.Ring, waste geom.Region, ink [][]stroke, bend geom.Nm) {
	r := rings[i]
	around := r.Perimeter() * 1e6
	n := min(mostTabs, max(fewestTabs, int(math.Ceil(around/float64(tabEach)))))
	spacing := around / float64(n)
	for k := range n {
		var chosen Tab
		found := false
		target := float64((float64(k) + 0.5) * spacing)
		for step := range int(0.45*spacing/1e6) * 2 {
			off := float64((step+1)/2) * 1e6
			if step%2 == 1 {
				off = -off
			}
			w.Look()
			t, ok := p.tabAt(i, rings, target+off, waste, bend)
			if !ok || p.crowded(t) {
				continue
			}
			free := !p.overInk(t, ink)
			if free || !found {
				chosen, found = t, true
			}
			if free {
				break
			}
		}
		if found {
			p.Tabs = append(p.Tabs, chosen)
		}
	}
}

// inks are the strokes and borders of silkscreen that lie so near to the edge of their board that perforation may meet them, of each piece, in
// its frame.
func (p *Plan) inks() [][]stroke {
	out := make([][]stroke, len(p.pieces))
	for k, q := range p.pieces {
		edge := p.edges[k].Ring(geom.FlattenTolerance)
		for _, l := range q.Art.Layers {
			if !l.Function.Silkscreen() {
				continue
			}
			for _, o := range l.Objects {
				var lines []stroke
				switch {
				case o.Op != export.Region:
					lines = []stroke{strokeOf(l, o)}
				case !o.Clear: // an area is met at its border first
					for _, e := range o.Contour.Ring(geom.FlattenTolerance).Segments() {
						lines = append(lines, stroke{e, 0})
					}
				}
				for _, s := range lines {
					if reach := float64(holeD + bent + q.InkClear + s.half); edge.DistTo(s.A) < reach || edge.DistTo(s.B) < reach {
						out[k] = append(out[k], s)
					}
				}
			}
		}
	}
	return out
}

// overInk reports whether the perforation of a tab would cut silkscreen.
func (p *Plan) overInk(t Tab, ink [][]stroke) bool {
	for _, i := range [2]int{t.Board, t.Other} {
		if i < 0 {
			continue
		}
		b := p.Boards[i]
		undo, clear := b.undo(), p.pieces[b.Piece].InkClear
		for _, h := range t.perforation() {
			q := undo.pt(h)
			if slices.ContainsFunc(ink[b.Piece], func(s stroke) bool { return s.DistTo(q) < float64(holeD/2+clear+s.half) }) {
				return true
			}
		}
	}
	return false
}

// keepsOff reports whether the perforation of a tab keeps off the copper of a board: no hole reaches farther into it than copper's
// way to the edge leaves for its way to a hole. On a straight edge deep sees to it; one that curves outward comes nearer.
func (p *Plan) keepsOff(t Tab, i int, r geom.Ring) bool {
	q := p.pieces[p.Boards[i].Piece]
	most := float64(max(0, q.EdgeClear-q.HoleClear) + geom.Micrometre)
	return !slices.ContainsFunc(t.perforation(), func(h geom.Pt) bool {
		into := r.DistTo(h)
		if r.Locate(h) == geom.Outside {
			into = -into
		}
		return into+float64(holeD/2) > most
	})
}

// crowded reports whether another tab is near, on whichever board.
func (p *Plan) crowded(t Tab) bool {
	far := float64(2*tabWidth + betweenTabs)
	for _, o := range p.Tabs {
		if o.At.Dist(t.At) < far || o.Far().Dist(t.At) < far || o.At.Dist(t.Far()) < far {
			return true
		}
	}
	return false
}

// tabAt returns the tab at a length along a board's edge, if one can be there.
func (p *Plan) tabAt(board int, rings []geom.Ring, at float64, waste geom.Region, bend geom.Nm) (Tab, bool) {
	gap := p.opt.Gap
	place, dir, ok := along(rings[board], at)
	if !ok {
		return Tab{}, false
	}
	// The right of a counter-clockwise edge is outside.
	t := Tab{Board: board, Other: -1, At: place, X: float64(dir.Y) / dir.Len(), Y: -float64(dir.X) / dir.Len()}
	half := tabWidth/2 + gap/2
	// The edge must be straight as far as the tab and the bit go.
	if !straight(rings[board], t, half, bend) {
		return Tab{}, false
	}
	t.deep = deep(p.pieces[p.Boards[board].Piece])
	wide := half // on curves the other end need only hold the tab itself
	if bend == bent {
		wide = tabWidth / 2
	}
	for t.Long = gap - tabStep; t.Long <= gap*9/4; t.Long += tabStep {
		in := tabStep / 2
		all := func(solid func(geom.Pt) bool) bool {
			return solid(t.to(0, t.Long+in)) && solid(t.to(-wide, t.Long+in)) && solid(t.to(wide, t.Long+in))
		}
		if all(func(q geom.Pt) bool { return waste.Locate(q) == geom.Inside }) {
			return t, p.keepsOff(t, board, rings[board])
		}
		for j, r := range rings {
			if j == board || !p.Boards[j].Box.Grown(geom.Micrometre).Contains(t.to(0, t.Long+in)) {
				continue
			}
			if all(func(q geom.Pt) bool { return r.Locate(q) == geom.Inside }) {
				t.Other, t.otherDeep = j, deep(p.pieces[p.Boards[j].Piece])
				return t, p.keepsOff(t, board, rings[board]) && p.keepsOff(t, j, rings[j])
			}
		}
	}
	return Tab{}, false
}

// deep is how far perforation may reach into a board: to the middle of its holes, so that little of the tab is left
// standing, but never nearer to copper than an unplated hole may be.
func deep(q Piece) geom.Nm { return max(0, min(holeD/2, q.EdgeClear-q.HoleClear)) }

// along returns the point at a length along a ring, and the direction of the edge there.
func along(r geom.Ring, at float64) (geom.Pt, geom.Vec, bool) {
	total := float64(r.Perimeter() * 1e6)
	at = math.Mod(at+total, total)
	for _, s := range r.Segments() {
		n := s.Len()
		if at <= n && n > 0 {
			d := s.B.Sub(s.A)
			f := at / n
			return s.A.Add(geom.Vec{X: geom.Nm(math.Round(float64(d.X) * f)), Y: geom.Nm(math.Round(float64(d.Y) * f))}), d, true
		}
		at -= n
	}
	return geom.Pt{}, geom.Vec{}, false
}

// bent is how far the edge may leave the straight line over a tab: the round board of a small knob still gets tabs.
const bent = 600 * geom.Micrometre

func straight(r geom.Ring, t Tab, half, bend geom.Nm) bool {
	for _, side := range [2]geom.Nm{-half, half} {
		if r.DistTo(t.to(side, 0)) > float64(bend) {
			return false
		}
	}
	// Neither may the edge turn outward in front of the tab.
	return r.Locate(t.to(-half, bend)) == geom.Outside && r.Locate(t.to(half, bend)) == geom.Outside &&
		r.Locate(t.to(-half, -bend-geom.Micrometre)) == geom.Inside && r.Locate(t.to(half, -bend-geom.Micrometre)) == geom.Inside
}

// breakout is the tool that perforates.
func breakout() export.Tool { return export.Tool{D: holeD, Function: "MechanicalDrill,Breakout"} }
