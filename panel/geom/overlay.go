package geom

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// overlay returns the border of the points that keep accepts, given how often the rings of a and of b wind round them.
// The rings returned are simple, the kept side to their left.
//
// Method: the edges are cut where they meet, at the crossing rounded to whole nanometres, and where they pass through the
// unit square round a vertex, again and again until no two of them share more than an end (iterated snap rounding:
// D. Halperin and E. Packer, "Iterated snap rounding", Computational Geometry 23(2), 2002,
// doi:10.1016/S0925-7721(01)00064-5; each pass only looks at edges that the one before moved). Equal edges are merged with their winding counts added up, windings spread from sector to sector round each
// vertex, and the edges with a kept side and another one are chained. All predicates are exact integers: there is no
// tolerance, no case that cannot happen, and no bit that depends on the machine. An edge may move by half a nanometre a
// pass.
func (k Knife) overlay(a, b []Ring, keep func(wa, wb int32) bool) []Ring {
	es := appendEdges(nil, a, 0)
	es = appendEdges(es, b, 1)
	k.look()
	es = k.arranged(es)
	if len(es) == 0 {
		return nil
	}
	s := k.subdivision(es)
	k.look()
	return s.border(keep)
}

const maxPasses = 500

// edge is an edge of the arrangement: p before q in comparePts order, and how many more rings of each operand run p→q than
// q→p.
type edge struct {
	p, q  Pt
	wind  [2]int32
	moved bool // cut at a rounded point in the last pass
}

func (e edge) seg() Segment { return Segment{e.p, e.q} }

func appendEdges(es []edge, rings []Ring, operand int) []edge {
	n := 0
	for _, r := range rings {
		n += len(r)
	}
	es = slices.Grow(es, n)
	for _, r := range rings {
		for i := range r {
			e := edge{p: r[i], q: r[(i+1)%len(r)], moved: true}
			e.wind[operand] = 1
			if e.p != e.q {
				es = append(es, e.ordered())
			}
		}
	}
	return es
}

// ordered returns the edge with p before q.
func (e edge) ordered() edge {
	if comparePts(e.p, e.q) > 0 {
		e.p, e.q = e.q, e.p
		e.wind[0], e.wind[1] = -e.wind[0], -e.wind[1]
	}
	return e
}

// arranged cuts the edges until they meet in ends only, and merges equal ones.
//
// A pass leaves fewer and shorter edges that moved, a handful of passes in practice; more than maxPasses would be a fault of
// ours.
func (k Knife) arranged(es []edge) []edge {
	for range maxPasses {
		k.look()
		es = k.merged(es)
		k.look()
		cuts := k.findCuts(es)
		if len(cuts) == 0 {
			return es
		}
		es = cutAt(es, cuts)
	}
	panic("geom: overlay does not settle")
}

// merged sorts the edges and adds up equal ones; those whose windings cancel vanish.
func (k Knife) merged(es []edge) []edge {
	step := k.steps()
	slices.SortFunc(es, func(a, b edge) int {
		step()
		if c := comparePts(a.p, b.p); c != 0 {
			return c
		}
		return comparePts(a.q, b.q)
	})
	out := es[:0]
	for i := 0; i < len(es); {
		e := es[i]
		for i++; i < len(es) && es[i].p == e.p && es[i].q == e.q; i++ {
			e.wind[0] += es[i].wind[0]
			e.wind[1] += es[i].wind[1]
			e.moved = e.moved || es[i].moved
		}
		if e.wind != ([2]int32{}) {
			out = append(out, e)
		}
	}
	return out
}

// cut is a point at which an edge must be split; exact when the edge already runs through it.
type cut struct {
	edge  int32
	at    Pt
	exact bool
}

// findCuts returns where the edges meet elsewhere than in common ends. Pairs of which neither moved are known to be
// good.
func (k Knife) findCuts(es []edge) []cut {
	var cuts []cut
	bands := k.newBands(es, func(e *edge) bool { return e.moved })
	var active []int32
	for i := range bands.edges {
		k.look()
		active = active[:0]
		for _, n := range bands.edges[i] {
			e := &es[n]
			lo := min(e.p.X, e.q.X)
			kept := active[:0]
			for _, j := range active {
				f := &es[j]
				if max(f.p.X, f.q.X) < lo-1 {
					continue
				}
				kept = append(kept, j)
				if !e.moved && !f.moved || f.p.Y > e.q.Y+1 || e.p.Y > f.q.Y+1 {
					continue
				}
				if bands.of(max(e.p.Y, f.p.Y)-1) == i { // each pair once, in the first band that both share
					cuts = meet(cuts, es, n, j)
				}
			}
			active = append(kept, n)
		}
	}
	return cuts
}

// bands divides the plane into horizontal bands; in each, the edges that come within a nanometre of it.
type bands struct {
	low    Nm
	height Nm
	edges  [][]int32
}

// newBands fills the bands that want picks an edge in, each in order of the edges' least X; all bands, in no such order, when want
// is nil.
func (k Knife) newBands(es []edge, want func(e *edge) bool) bands {
	box := EmptyBox()
	for i := range es {
		box = box.With(es[i].p).With(es[i].q)
	}
	n := min(1+int(math.Sqrt(float64(len(es)))), 2048)
	b := bands{low: box.Min.Y - 1, height: (box.H()+2)/Nm(n) + 1, edges: make([][]int32, n)}
	wanted := make([]bool, n)
	spans := make([][2]int32, len(es))
	for i := range es {
		lo, hi := b.span(&es[i])
		spans[i] = [2]int32{int32(lo), int32(hi)}
		if want == nil || want(&es[i]) {
			for j := lo; j <= hi; j++ {
				wanted[j] = true
			}
		}
	}
	k.look()
	order := make([]uint64, 0, len(es)) // least X from the left, 32 bits, then the index: as whole numbers these sort fast
	counts := make([]int, n)
	total := 0
	for i, s := range spans {
		found := false
		for j := s[0]; j <= s[1]; j++ {
			if wanted[j] {
				found = true
				counts[j]++
				total++
			}
		}
		if found {
			order = append(order, uint64(min(es[i].p.X, es[i].q.X)-box.Min.X)<<32|uint64(i))
		}
	}
	step := k.steps()
	if want != nil {
		slices.SortFunc(order, func(a, b uint64) int {
			step()
			return cmp.Compare(a, b)
		})
	}
	room := make([]int32, total)
	for j, c := range counts {
		b.edges[j], room = room[:0:c], room[c:]
	}
	for _, o := range order {
		step()
		i := int32(uint32(o))
		for j := spans[i][0]; j <= spans[i][1]; j++ {
			if wanted[j] {
				b.edges[j] = append(b.edges[j], i)
			}
		}
	}
	return b
}

// span returns the bands that e comes within a nanometre of.
func (b bands) span(e *edge) (lo, hi int) { return b.of(e.p.Y - 1), b.of(e.q.Y + 1) }

// of returns the band of height y.
func (b bands) of(y Nm) int { return int((y - b.low) / b.height) }

// meet appends the cuts that edges i and j make in each other: at ends that the other passes by within half a
// nanometre, else where they cross.
func meet(cuts []cut, es []edge, i, j int32) []cut {
	e, f := &es[i], &es[j]
	a, b := e.side(f.p), e.side(f.q)
	c, d := f.side(e.p), f.side(e.q)
	n := len(cuts)
	for _, t := range [4]struct {
		side int64
		pt   Pt
		edge int32
	}{{a, f.p, i}, {b, f.q, i}, {c, e.p, j}, {d, e.q, j}} {
		if es[t.edge].passes(t.pt, t.side) {
			cuts = append(cuts, cut{t.edge, t.pt, t.side == 0})
		}
	}
	if len(cuts) > n || !opposite(a, b) || !opposite(c, d) {
		return cuts
	}
	at := crossing(e.seg(), f.seg())
	return append(cuts, cut{i, at, false}, cut{j, at, false})
}

// side returns twice the signed area between the edge and p: 0 on its line.
func (e *edge) side(p Pt) int64 { return e.q.Sub(e.p).Cross(p.Sub(e.p)) }

func opposite(a, b int64) bool { return a < 0 && b > 0 || a > 0 && b < 0 }

// passes reports whether the edge runs through the unit square round p without ending there; side is e.side(p).
func (e *edge) passes(p Pt, side int64) bool {
	if p == e.p || p == e.q {
		return false
	}
	d, v := e.q.Sub(e.p), p.Sub(e.p)
	// The line leaves a corner of the square on either side when |d × v| < (|dx|+|dy|)/2, and touches one when they are
	// equal. Of its corners the square has only the lower left one, or two diagonals of one cell would cut each other
	// for ever: each touches the squares round the ends of the other.
	switch reach := uint64(max(d.X, -d.X) + max(d.Y, -d.Y)); {
	case 2*uint64(max(side, -side)) > reach:
		return false
	case 2*uint64(max(side, -side)) == reach && 2*side != int64(d.X-d.Y):
		return false
	}
	k := d.Dot(v)
	return k > 0 && k < d.Dot(d)
}

// crossing returns the point where the segments properly cross, rounded to whole nanometres.
func crossing(s, t Segment) Pt {
	d, e := s.B.Sub(s.A), t.B.Sub(t.A)
	den := d.Cross(e)
	num := t.A.Sub(s.A).Cross(e)
	if den < 0 {
		num, den = -num, -den
	}
	return Pt{s.A.X + scaled(d.X, num, den), s.A.Y + scaled(d.Y, num, den)}
}

// scaled returns v·num/den rounded half up, for 0 <= num <= den, without overflow: toward the square that owns the
// corner (see passes).
func scaled(v Nm, num, den int64) Nm {
	neg := v < 0
	if neg {
		v = -v
	}
	hi, lo := bits.Mul64(uint64(v), uint64(num))
	half := uint64(den) / 2
	if neg {
		half = uint64(den-1) / 2
	}
	lo, carry := bits.Add64(lo, half, 0)
	q, _ := bits.Div64(hi+carry, lo, uint64(den))
	if neg {
		return -Nm(q)
	}
	return Nm(q)
}

// cutAt splits the edges at their cuts.
func cutAt(es []edge, cuts []cut) []edge {
	slices.SortFunc(cuts, func(a, b cut) int {
		if a.edge != b.edge {
			return int(a.edge - b.edge)
		}
		// In order along the edge: by the projection on it, which the point's rounding cannot turn round by more than a nanometre.
		e := es[a.edge]
		dir := e.q.Sub(e.p)
		switch ka, kb := a.at.Sub(e.p).Dot(dir), b.at.Sub(e.p).Dot(dir); {
		case ka < kb:
			return -1
		case ka > kb:
			return 1
		}
		return comparePts(a.at, b.at)
	})
	out := make([]edge, 0, len(es)+len(cuts))
	next := 0
	for i, e := range es {
		e.moved = false
		first := next
		for next < len(cuts) && int(cuts[next].edge) == i {
			e.moved = e.moved || !cuts[next].exact
			next++
		}
		from := e.p
		for _, c := range cuts[first:next] {
			if c.at != from {
				piece := e
				piece.p, piece.q = from, c.at
				out = append(out, piece.ordered())
				from = c.at
			}
		}
		if from != e.q {
			e.p = from
			out = append(out, e.ordered())
		}
	}
	return out
}
