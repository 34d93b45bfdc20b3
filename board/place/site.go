package place

import (
	"slices"

	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// site is the bare board with all that stands on it, ready for "does this fit" questions.
//
// The board's edges, the holes, the pads of LEDs and the courtyards of what stands on the bottom lie in spatial
// indices, so that a question costs about log n.
type site struct {
	watch  *work.Watch
	board  board.Board // bare
	rules  board.Rules
	edges  rtree.RTreeG[geom.Segment]
	rim    rtree.RTreeG[geom.Segment] // of the outline alone
	keep   []blocked
	holes  []board.Hole
	leads  rtree.RTreeG[lead]     // pads of LEDs that show on the bottom
	stands rtree.RTreeG[int]      // courtyards on the bottom, by owner
	boxes  map[int]geom.Box       // owner's courtyard
	lamps  rtree.RTreeG[geom.Box] // courtyards of LEDs on the top
	hops   rtree.RTreeG[hop]      // straight lines between the pads of a string
	box    geom.Box
}

// lead is a pad that goes through the board.
type lead struct {
	box   geom.Box
	round bool
}

// gap returns the distance from the pad's copper to the box.
func (p lead) gap(b geom.Box) float64 {
	if p.round {
		return b.Dist(geom.BoxOf(p.box.Centre())) - float64(p.box.W()/2)
	}
	return b.Dist(p.box)
}

func leadOf(p board.Pad) lead {
	return lead{p.Contour(0).Box(), p.Shape == board.Round}
}

// hop is a straight line that a track of a string will roughly follow.
type hop struct {
	geom.Segment
	string int
}

// blocked is a body or an opening.
type blocked struct {
	ring geom.Ring
	box  geom.Box
}

func newSite(w *work.Watch, b board.Board) *site {
	s := &site{watch: w, board: b, rules: b.Rules, holes: b.Holes, boxes: map[int]geom.Box{}}
	area := b.Material()
	for _, r := range area.Rings() {
		for _, e := range r.Segments() {
			lo, hi := corners(e.Box())
			s.edges.Insert(lo, hi, e)
		}
	}
	for _, e := range b.Outline.Ring(geom.FlattenTolerance).Oriented(geom.CCW).Segments() {
		lo, hi := corners(e.Box())
		s.rim.Insert(lo, hi, e)
	}
	for _, k := range b.Keepout {
		r := k.Ring(geom.FlattenTolerance)
		s.keep = append(s.keep, blocked{r, r.Box()})
	}
	s.box = area.Box()
	return s
}

func corners(b geom.Box) (lo, hi [2]float64) {
	return [2]float64{float64(b.Min.X), float64(b.Min.Y)}, [2]float64{float64(b.Max.X), float64(b.Max.Y)}
}

// toEdge returns how far the box is from the board's edge, at most limit; 0 when it touches or crosses it.
func (s *site) toEdge(b geom.Box, limit geom.Nm) float64 {
	best := float64(limit)
	lo, hi := corners(b.Grown(limit))
	s.edges.Search(lo, hi, func(_, _ [2]float64, e geom.Segment) bool {
		best = min(best, b.DistTo(e))
		return best > 0
	})
	return best
}

// inside reports whether the box lies on the board, at least clear from its edge.
func (s *site) inside(b geom.Box, clear geom.Nm) bool {
	s.watch.Step()
	if clear > 0 && s.toEdge(b, clear) < float64(clear) {
		return false
	}
	return s.onBoard(b.Centre()) && !s.inKeepout(b.Centre())
}

// onBoard reports whether p lies on the board: it does when a ray to the left crosses an odd number of edges.
func (s *site) onBoard(p geom.Pt) bool {
	in := false
	lo, hi := corners(geom.Box{Min: geom.Pt{X: s.box.Min.X - 1, Y: p.Y}, Max: p})
	s.edges.Search(lo, hi, func(_, _ [2]float64, e geom.Segment) bool {
		a, b := e.A, e.B
		if a.Y > b.Y {
			a, b = b, a
		}
		// Half-open in Y, so that a vertex counts once.
		if a.Y <= p.Y && p.Y < b.Y && geom.Orient(a, b, p) == geom.CW {
			in = !in
		}
		return true
	})
	return in
}

// inKeepout matters only where a user's own board edge runs over a body.
func (s *site) inKeepout(p geom.Pt) bool {
	for _, k := range s.keep {
		if k.box.Contains(p) && k.ring.Locate(p) == geom.Inside {
			return true
		}
	}
	return false
}

// offHoles reports whether the box is clear of all holes: of mount holes by the room for a screw head.
func (s *site) offHoles(b geom.Box) bool {
	for _, h := range s.holes {
		if b.Dist(geom.BoxOf(h.At)) < float64(h.D/2+s.board.HoleClear(h)) {
			return false
		}
	}
	return true
}

// toLeads returns the smallest gap between the box and the pads of LEDs, at most limit.
func (s *site) toLeads(b geom.Box, limit geom.Nm) float64 {
	best := float64(limit)
	lo, hi := corners(b.Grown(limit))
	s.leads.Search(lo, hi, func(_, _ [2]float64, p lead) bool {
		best = min(best, p.gap(b))
		return best > 0
	})
	return best
}

// inTheWay returns the owners of courtyards nearer to the box than gap, in ascending order.
func (s *site) inTheWay(b geom.Box, gap geom.Nm) []int {
	var out []int
	lo, hi := corners(b.Grown(gap))
	s.stands.Search(lo, hi, func(_, _ [2]float64, owner int) bool {
		if b.Dist(s.boxes[owner]) < float64(gap) {
			out = append(out, owner)
		}
		return true
	})
	slices.Sort(out)
	return out
}

// stand puts a courtyard on the bottom.
func (s *site) stand(owner int, b geom.Box) {
	lo, hi := corners(b)
	s.stands.Insert(lo, hi, owner)
	s.boxes[owner] = b
}

// lift takes it away again.
func (s *site) lift(owner int) {
	lo, hi := corners(s.boxes[owner])
	s.stands.Delete(lo, hi, owner)
	delete(s.boxes, owner)
}

// addLead indexes a pad.
func (s *site) addLead(p lead) {
	lo, hi := corners(p.box)
	s.leads.Insert(lo, hi, p)
}

// underLamp reports whether a joint or a hole of the part would lie under an LED on the top.
func (s *site) underLamp(f footprint.Footprint, at geom.Pt, turn int) bool {
	return s.joints(f, at, turn, func(b geom.Box, gap geom.Nm) (hit bool) {
		lo, hi := corners(b.Grown(gap))
		s.lamps.Search(lo, hi, func(_, _ [2]float64, yard geom.Box) bool {
			hit = yard.Dist(b) <= float64(gap)
			return !hit
		})
		return hit
	})
}

// joints calls hit with what of the part comes through to the top, and the gap that it keeps from LEDs there, until one hits.
func (s *site) joints(f footprint.Footprint, at geom.Pt, turn int, hit func(b geom.Box, gap geom.Nm) bool) bool {
	for k, p := range f.Pads {
		q := pinAt(f, k, at, turn)
		if p.Through && hit(geom.Box{Min: q, Max: q}.Grown(max(p.W, p.H)/2), 0) {
			return true
		}
	}
	if len(f.Holes) > 0 {
		for _, h := range f.PlacedHoles(at, turn) {
			if hit(geom.Box{Min: h.At, Max: h.At}.Grown(h.D/2), s.rules.CopperToHole) {
				return true
			}
		}
	}
	return false
}

// crossings returns how many hops of other strings the segment crosses, and over how many the box lies.
func (s *site) crossings(g geom.Segment, b geom.Box, own int) (crossed, covered int) {
	lo, hi := corners(b.Union(g.Box()))
	s.hops.Search(lo, hi, func(_, _ [2]float64, h hop) bool {
		if h.string != own && g.Crosses(h.Segment) {
			crossed++
		}
		if b.DistTo(h.Segment) == 0 {
			covered++
		}
		return true
	})
	return crossed, covered
}
