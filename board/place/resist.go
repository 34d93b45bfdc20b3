package place

import (
	"cmp"
	"math"
	"slices"

	"lampblack/board/footprint"
	"lampblack/panel/geom"
)

// seat is a small part looking for its place on the bottom.
type seat struct {
	fp     footprint.Footprint
	to     geom.Pt // the pad that its second pin should be near: the string's first anode
	from   geom.Pt // where its first pin is fed from
	string int
	over   geom.Box // the goal's copper, where it lies on the other side and takes a via to reach; else empty
	at     geom.Pt
	turn   int
	placed bool
	ripped int // how often it had to give way
}

// level is one try: what gap to keep from other copper, and how far to look.
type level struct {
	gap   geom.Nm
	reach geom.Nm
	step  geom.Nm
}

// levels returns the tries from good to just possible. A gap of 0.6 lets a track of 0.2 mm through with 0.2 mm on
// either side.
func levels() []level {
	mm := geom.MM
	return []level{
		{mm(0.6), mm(12), mm(0.5)},
		{mm(0.3), mm(12), mm(0.5)},
		{mm(0.6), mm(30), mm(1.0)},
		{mm(0.05), mm(12), mm(0.25)},
		{mm(0.05), mm(500), mm(2.0)},
	}
}

// offsets returns the grid points round the origin within reach, nearest first.
func offsets(l level) []geom.Vec {
	n := l.reach / l.step
	var out []geom.Vec
	for x := -n; x <= n; x++ {
		for y := -n; y <= n; y++ {
			if x*x+y*y <= n*n {
				out = append(out, geom.Vec{X: x * l.step, Y: y * l.step})
			}
		}
	}
	slices.SortFunc(out, func(a, b geom.Vec) int {
		return cmp.Or(cmp.Compare(a.Dot(a), b.Dot(b)), cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X))
	})
	return out
}

// spot is a place that was found.
type spot struct {
	at   geom.Pt
	turn int
	cost float64
	rips []int // owners that have to give way
}

// seatAll places the seats in order. One that finds no room makes others give way and they look again, for as long as
// no seat has given way too often. It returns the seats that found none.
func (s *site) seatAll(seats []seat) []int {
	grids := make([][]geom.Vec, len(levels()))
	var failed []int
	queue := make([]int, len(seats))
	for i := range queue {
		queue[i] = i
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		best, ok := s.find(&seats[i], grids, false)
		if !ok {
			best, ok = s.find(&seats[i], grids, true)
		}
		const patience = 8
		for _, owner := range best.rips {
			if owner < 0 || seats[owner].ripped >= patience {
				ok = false
			}
		}
		if !ok {
			failed = append(failed, i)
			continue
		}
		for _, owner := range best.rips {
			s.lift(owner)
			seats[owner].placed = false
			seats[owner].ripped++
			queue = append(queue, owner)
		}
		seats[i].at, seats[i].turn, seats[i].placed = best.at, best.turn, true
		s.stand(i, yard(seats[i].fp, best.at, best.turn))
	}
	slices.Sort(failed)
	return failed
}

// find looks for the cheapest free place, level by level; with rip other seats may be in the way, at a price.
func (s *site) find(t *seat, grids [][]geom.Vec, rip bool) (spot, bool) {
	for k, l := range levels() {
		if rip && (k == 0 || k == 2 || k == 4) {
			continue // where room is so short, wide gaps and far places are no answer
		}
		if l.reach > 100*geom.Millimetre {
			l.reach = min(l.reach, max(s.box.W(), s.box.H()))
		}
		if grids[k] == nil {
			grids[k] = offsets(l)
		}
		if best, ok := s.search(t, grids[k], l.gap, rip); ok {
			return best, true
		}
	}
	return spot{}, false
}

func (s *site) search(t *seat, grid []geom.Vec, gap geom.Nm, rip bool) (spot, bool) {
	best := spot{cost: math.Inf(1)}
	arm := t.fp.Pads[1].At.Dist(geom.Pt{})
	for _, off := range grid {
		s.watch.Step()
		if off.Len()-arm >= best.cost {
			break // no place farther out can be cheaper
		}
		at := t.to.Add(off)
		if !s.box.Contains(at) {
			continue
		}
		// The courtyards of a part that is turned by half a turn more are the same.
		for _, half := range quarters()[:2] {
			box := yard(t.fp, at, half)
			rips, ok := s.fits(t, at, half, box, gap, rip)
			if !ok {
				continue
			}
			for _, turn := range []int{half, half + 180} {
				c := s.price(t, at, turn, box) + ripped*float64(len(rips))
				if c < best.cost {
					best = spot{at, turn, c, rips}
				}
			}
		}
	}
	return best, !math.IsInf(best.cost, 1)
}

// fits reports whether a courtyard may stand there, and who is in the way.
func (s *site) fits(t *seat, at geom.Pt, turn int, box geom.Box, gap geom.Nm, rip bool) ([]int, bool) {
	// The courtyard is wider than the copper, so that the pads keep more than gap.
	if s.toLeads(box, gap) < float64(gap) {
		return nil, false
	}
	rips := s.inTheWay(box, gap)
	if len(rips) > 2 || len(rips) > 0 && (!rip || rips[0] < 0) {
		return nil, false
	}
	if !s.inside(box, s.rules.CopperToEdge+gap/2) || !s.offHoles(box) {
		return nil, false
	}
	if s.underLamp(t.fp, at, turn) {
		return nil, false
	}
	return rips, true
}

// viaRoom is the gap between two pads on different sides into which a via of 0.9 mm goes, clear of both, wherever the points of
// the lattice are that the router looks for ways on.
const viaRoom = 1700 * geom.Micrometre

// Prices of a resistor's place beside those of a berth, in nm of copper.
const (
	ripped     = 2e7  // for each resistor that must give way
	perViaRoom = 3.0  // per nm that is wanting to the room for a via beside its goal
	supplySide = 0.05 // per nm to the supply, which areas carry almost everywhere
)

// price is the copper that the place asks for, and what it spoils for others. It is never less than the distance from
// the second pin to its goal.
func (s *site) price(t *seat, at geom.Pt, turn int, box geom.Box) float64 {
	from, to := pinAt(t.fp, 0, at, turn), pinAt(t.fp, 1, at, turn)
	link := geom.Segment{A: to, B: t.to}
	crossed, covered := s.crossings(link, box, t.string)
	via := 0.0
	if !t.over.Empty() {
		// Right under the goal there is no room for the via: a track would have to go out and come back.
		own := t.fp.Pads[1].Turned(turn)
		own.At = to
		via = perViaRoom * max(0, float64(viaRoom)-own.Contour(0).Box().Dist(t.over))
	}
	return via + octile(to, t.to) + supplySide*octile(from, t.from) + onHop*float64(crossed) + onWay*float64(covered)
}

func pinAt(f footprint.Footprint, pin int, at geom.Pt, turn int) geom.Pt {
	p := f.Pads[pin].At
	return at.Add(geom.Vec(p).Turned(turn))
}

// yard returns the courtyard's box at a place.
func yard(fp footprint.Footprint, at geom.Pt, turn int) geom.Box {
	b := geom.EmptyBox()
	for _, q := range fp.Courtyard {
		b = b.With(at.Add(geom.Vec(q).Turned(turn)))
	}
	return b
}
