package check

import (
	"cmp"
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// index finds the shapes near a shape. Large areas are indexed edge by edge.
type index struct {
	watch  *work.Watch // nil where it does not take long
	shapes []shape
	pieces rtree.RTreeGN[int64, piece]
	solids rtree.RTreeGN[int64, int32] // shapes with an inside
	best   []meeting                   // scratch of near, one for each shape
	hit    []int32
}

type piece struct{ shape, seg int32 }

// meeting is the narrowest place between two shapes.
type meeting struct {
	gap  float64
	at   geom.Pt
	seen bool
}

func newIndex(shapes []shape) *index {
	x := &index{shapes: shapes, best: make([]meeting, len(shapes))}
	for i, s := range shapes {
		for j, seg := range s.segs {
			lo, hi := corners(seg.Box().Grown((s.width + 1) / 2))
			x.pieces.Insert(lo, hi, piece{int32(i), int32(j)})
		}
		if s.poly != nil {
			lo, hi := corners(s.box)
			x.solids.Insert(lo, hi, int32(i))
		}
	}
	return x
}

func corners(b geom.Box) (lo, hi [2]int64) {
	return [2]int64{int64(b.Min.X), int64(b.Min.Y)}, [2]int64{int64(b.Max.X), int64(b.Max.Y)}
}

// near calls f once for every shape of the index that want accepts and that lies nearer to s than limit or touches it,
// in the index's order.
func (x *index) near(s shape, limit geom.Nm, want func(i int) bool, f func(i int, m meeting)) {
	x.hit = x.hit[:0]
	note := func(i int32, gap float64, at func() geom.Pt) {
		b := &x.best[i]
		if !b.seen {
			*b = meeting{gap: math.Inf(1), seen: true}
			x.hit = append(x.hit, i)
		}
		if gap < b.gap {
			b.gap, b.at = gap, at()
		}
	}
	for _, seg := range s.segs {
		x.watch.Step()
		lo, hi := corners(seg.Box().Grown((s.width+1)/2 + limit))
		x.pieces.Search(lo, hi, func(_, _ [2]int64, p piece) bool {
			if !want(int(p.shape)) {
				return true
			}
			t := &x.shapes[p.shape]
			if gap := segGap(seg, t.segs[p.seg], s.width+t.width); gap < float64(limit) || gap <= 0 {
				note(p.shape, gap, func() geom.Pt { return midway(seg, t.segs[p.seg]) })
			}
			return true
		})
	}
	swallow := func(i int32) {
		if !want(int(i)) {
			return
		}
		if gap, at, ok := s.swallows(x.shapes[i]); ok {
			note(i, gap, func() geom.Pt { return at })
		}
	}
	if len(s.segs) > 0 {
		a := s.segs[0].A
		lo, hi := corners(geom.Box{Min: a, Max: a})
		x.solids.Search(lo, hi, func(_, _ [2]int64, i int32) bool { swallow(i); return true })
	}
	if s.poly != nil { // shapes wholly inside s
		lo, hi := corners(s.box)
		last := int32(-1)
		x.pieces.Search(lo, hi, func(_, _ [2]int64, p piece) bool {
			if p.seg == 0 && p.shape != last {
				last = p.shape
				swallow(p.shape)
			}
			return true
		})
	}
	// The tree's order is its own affair: report in ours.
	sortInts(x.hit)
	for _, i := range x.hit {
		m := x.best[i]
		x.best[i] = meeting{}
		f(int(i), m)
	}
}

// meets reports whether s shares a point with shape i of the index. Unlike near it may be called while near runs.
func (x *index) meets(s shape, i int) bool {
	t := &x.shapes[i]
	if _, _, ok := s.swallows(*t); ok {
		return true
	}
	found := false
	for _, seg := range s.segs {
		lo, hi := corners(seg.Box().Grown((s.width + 1) / 2))
		x.pieces.Search(lo, hi, func(_, _ [2]int64, p piece) bool {
			found = found || int(p.shape) == i && reaches(seg, t.segs[p.seg], s.width+t.width)
			return !found
		})
	}
	return found
}

// covering returns a shape that want accepts and that holds p; -1 for none.
func (x *index) covering(p geom.Pt, want func(i int) bool) int {
	found := -1
	lo, hi := corners(geom.Box{Min: p, Max: p})
	x.pieces.Search(lo, hi, func(_, _ [2]int64, q piece) bool {
		t := &x.shapes[q.shape]
		if t.poly == nil && want(int(q.shape)) && reaches(t.segs[q.seg], geom.Segment{A: p, B: p}, t.width) {
			found = int(q.shape)
		}
		return found < 0
	})
	if found >= 0 {
		return found
	}
	x.solids.Search(lo, hi, func(_, _ [2]int64, i int32) bool {
		if want(int(i)) && x.shapes[i].poly.Locate(p) != geom.Outside {
			found = int(i)
		}
		return found < 0
	})
	return found
}

func sortInts(s []int32) { slices.Sort(s) }

func sortPlaces(s []place) {
	slices.SortFunc(s, func(a, b place) int { return cmp.Or(cmp.Compare(a.ring, b.ring), cmp.Compare(a.i, b.i)) })
}
