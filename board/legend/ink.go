package legend

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// thing is something that ink must keep away from: a disc, a rectangle or a line, all convex.
type thing struct {
	what  kind
	box   geom.Box
	line  geom.Segment
	r     geom.Nm // of the disc or round the line
	ink   bool    // printed: text keeps some air from it, lest the two be read together
	print bool    // one of the items: text keeps off it where it can
}

type kind uint8

const (
	disc kind = iota
	slab
	wall
)

// toPoint returns the distance to p, 0 inside.
func (t thing) toPoint(p geom.Pt) float64 {
	switch t.what {
	case disc:
		return max(0, p.Dist(t.box.Centre())-float64(t.r))
	case wall:
		return max(0, t.line.DistTo(p)-float64(t.r))
	}
	return t.box.Dist(geom.BoxOf(p))
}

// toBox returns the distance to the box.
func (t thing) toBox(b geom.Box) float64 {
	switch t.what {
	case disc:
		return max(0, b.Dist(geom.BoxOf(t.box.Centre()))-float64(t.r))
	case wall:
		return max(0, b.DistTo(t.line)-float64(t.r))
	}
	return b.Dist(t.box)
}

// bodyOf returns the part's body: a disc when it is round, else its box.
func bodyOf(p board.Part) thing {
	box := p.Body.Box()
	if len(p.Body) <= 8 {
		return slabOf(box)
	}
	r := 0.0
	for _, q := range p.Body {
		r = max(r, q.Dist(p.At))
	}
	return discOf(p.At, geom.Nm(2*r))
}

func discOf(c geom.Pt, d geom.Nm) thing {
	return thing{what: disc, r: d / 2, box: geom.Box{Min: c, Max: c}.Grown(d / 2)}
}

func slabOf(b geom.Box) thing { return thing{what: slab, box: b} }

func wallOf(s geom.Segment, width geom.Nm) thing {
	return thing{what: wall, line: s, r: width / 2, box: s.Box().Grown(width / 2)}
}

// slack is added to LegendClear: the board's edge is flattened, and the true one may be nearer by the tolerance; points are
// rounded to whole nanometres.
const slack = geom.FlattenTolerance + 2

// face is one side of the board for ink.
type face struct {
	watch *work.Watch
	side  geom.Side
	rules board.Rules
	area  geom.Region
	hard  rtree.RTreeG[thing] // where no ink may be: mask openings, holes, edges
	soft  rtree.RTreeG[thing] // where text would not be seen or read: bodies, other ink
	ink   []board.Stroke

	words []board.Word
	last  geom.Box            // of the text written last
	mine  func(geom.Box) bool // if not nil, what text must be taken for besides being free

	marked   int                 // so many strokes of ink are the parts' own lines
	large    []geom.Region       // items that do not fill their boxes
	reserved bool                // there are items
	over     bool                // text may stand on the items, which then are cut
	barred   func(geom.Box) bool // if not nil, where no item may be
}

func newFace(w *work.Watch, b board.Board, side geom.Side) *face {
	f := &face{watch: w, side: side, rules: b.Rules, area: b.Material()}
	for _, r := range f.area.Rings() {
		for _, e := range r.Segments() {
			add(&f.hard, wallOf(e, 0))
		}
	}
	b.Pads(func(i, k int) bool {
		if p := b.Parts[i].Pads[k]; p.OnSide(side) {
			open := p.Contour(p.Mask).Box()
			switch {
			case p.Slant: // its sides, and its inside, as far as that could hold ink
				for _, e := range p.Contour(p.Mask).Ring(geom.FlattenTolerance).Segments() {
					add(&f.hard, wallOf(e, 0))
				}
				add(&f.hard, discOf(p.At, min(p.W, p.H)+2*p.Mask))
			case p.Shape == board.Round:
				add(&f.hard, discOf(p.At, open.W()))
			default:
				add(&f.hard, slabOf(open)) // of oblong pads the corners too
			}
		}
		return true
	})
	for _, s := range b.Spots {
		if s.On == side {
			add(&f.hard, discOf(s.At, s.D+2*s.Mask))
		}
	}
	for _, h := range b.Holes {
		add(&f.hard, discOf(h.At, h.D))
		if h.What == board.MountHole { // under the screw's head nobody can read
			add(&f.soft, discOf(h.At, h.D+2*b.Rules.ScrewClear))
		}
	}
	for _, v := range b.Vias {
		add(&f.hard, discOf(v.At, v.D+2*b.Rules.MaskMargin))
	}
	for _, p := range b.Parts {
		if p.On == side {
			add(&f.soft, bodyOf(p))
		}
	}
	return f
}

func add(t *rtree.RTreeG[thing], o thing) {
	t.Insert([2]float64{float64(o.box.Min.X), float64(o.box.Min.Y)}, [2]float64{float64(o.box.Max.X), float64(o.box.Max.Y)}, o)
}

// near calls fn with what lies within d of the box until it returns false.
func near(t *rtree.RTreeG[thing], b geom.Box, d geom.Nm, fn func(thing) bool) {
	b = b.Grown(d)
	t.Search([2]float64{float64(b.Min.X), float64(b.Min.Y)}, [2]float64{float64(b.Max.X), float64(b.Max.Y)},
		func(_, _ [2]float64, o thing) bool { return fn(o) })
}

// air is how far text stands from other ink: before and behind it, where a line reads as one more letter, and above and
// below it.
type air struct{ ends, sides geom.Nm }

// free reports whether text, turned by quarter turns, may fill the box: clear of all that is hard, of bodies, and by air of
// other ink.
func (f *face) free(b geom.Box, a air, turn int) bool {
	ok := true
	clear := f.rules.LegendClear + slack
	sides := max(a.sides, clear)
	long := geom.Vec{X: max(0, a.ends-sides)}.Quarter(turn)
	wide := geom.Box{Min: b.Min.Add(long.Neg()), Max: b.Max.Add(long)}
	test := func(o thing) bool {
		if o.ink {
			ok = o.toBox(wide) >= float64(sides)
		} else {
			ok = o.toBox(b) >= float64(clear)
		}
		return ok
	}
	near(&f.hard, b, clear, test)
	if ok {
		near(&f.soft, wide, sides, func(o thing) bool { return o.print && f.over || test(o) })
	}
	if ok && !f.over {
		ok = !slices.ContainsFunc(f.large, func(g geom.Region) bool { return g.Locate(b.Centre()) != geom.Outside })
	}
	return ok && f.area.Locate(b.Centre()) == geom.Inside
}

// draw adds strokes and keeps later text off them.
func (f *face) draw(paths []geom.Polyline, width geom.Nm) {
	for _, p := range paths {
		f.ink = append(f.ink, board.Stroke{On: f.side, Width: width, Path: p})
		for _, s := range p.Segments() {
			line := wallOf(s, width)
			line.ink = true
			add(&f.soft, line)
		}
	}
}

// clipped returns what of the stroke may be printed: at least LegendClear from all that is hard. Bits too short to
// mean anything are left out.
func (f *face) clipped(s board.Stroke) []geom.Polyline {
	keep := f.rules.LegendClear + slack + (s.Width+1)/2
	var out []geom.Polyline
	var run geom.Polyline
	flush := func() {
		if run.Len() >= float64(leastBit) {
			out = append(out, run)
		}
		run = nil
	}
	for _, g := range s.Path.Segments() {
		for _, part := range f.openParts(g, keep) {
			if len(run) > 0 && run[len(run)-1] == part.A {
				run = append(run, part.B)
				continue
			}
			flush()
			run = geom.Polyline{part.A, part.B}
		}
	}
	flush()
	// A closed outline that was entered in its middle is put together again at its start.
	if n := len(out); n > 1 && out[0][0] == out[n-1][len(out[n-1])-1] {
		out[0] = append(out[n-1], out[0][1:]...)
		out = out[:n-1]
	}
	return out
}

// openParts returns the parts of the segment that keep their distance, in order.
func (f *face) openParts(g geom.Segment, keep geom.Nm) []geom.Segment {
	if g.A == g.B {
		return nil
	}
	type span struct{ lo, hi float64 }
	open := []span{{0, 1}}
	near(&f.hard, g.Box(), keep, func(o thing) bool {
		lo, hi, hit := shadow(o, g, float64(keep))
		if !hit {
			return true
		}
		var next []span
		for _, s := range open {
			if lo > s.lo {
				next = append(next, span{s.lo, min(s.hi, lo)})
			}
			if hi < s.hi {
				next = append(next, span{max(s.lo, hi), s.hi})
			}
		}
		open = next
		return len(open) > 0
	})
	var out []geom.Segment
	for _, s := range open {
		p := geom.Segment{A: along(g, s.lo), B: along(g, s.hi)}
		mid := along(g, (s.lo+s.hi)/2)
		if p.A != p.B && f.area.Locate(mid) == geom.Inside {
			out = append(out, p)
		}
	}
	return out
}

func along(g geom.Segment, t float64) geom.Pt {
	switch t {
	case 0:
		return g.A
	case 1:
		return g.B
	}
	d := g.B.Sub(g.A)
	return g.A.Add(geom.Vec{X: geom.Nm(math.Round(float64(t * float64(d.X)))), Y: geom.Nm(math.Round(float64(t * float64(d.Y))))})
}

// shadow returns where the segment comes nearer to o than keep. The distance to a convex thing is a convex function
// along a line, so that this is one interval: its deepest point is found by ternary search, its ends by bisection.
func shadow(o thing, g geom.Segment, keep float64) (lo, hi float64, hit bool) {
	dist := func(t float64) float64 { return o.toPoint(along(g, t)) }
	a, b := 0.0, 1.0
	for range 40 {
		m, n := a+(b-a)/3, b-(b-a)/3
		if dist(m) <= dist(n) {
			b = n
		} else {
			a = m
		}
	}
	deep := (a + b) / 2
	for _, t := range []float64{0, 1} {
		if dist(t) < dist(deep) {
			deep = t
		}
	}
	if dist(deep) >= keep {
		return 0, 0, false
	}
	edge := func(in, out float64) float64 {
		if dist(out) < keep {
			return out
		}
		for range 40 {
			m := (in + out) / 2
			if dist(m) < keep {
				in = m
			} else {
				out = m
			}
		}
		return out
	}
	return edge(deep, 0), edge(deep, 1), true
}
