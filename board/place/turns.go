package place

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// turns is how many ways an LED can be turned, and upright how many of them, the first of board.Turns, are quarter turns.
const (
	turns   = 8
	upright = 4
)

// lamp is an LED at its hole, with what each turn of board.Turns would make of it.
type lamp struct {
	at     geom.Pt
	pose   [turns]pose
	ways   int   // so many of them are tried
	row    int   // the turn of the row aslant that it stands in, or -1
	near   []int // LEDs so close that turns matter
	grudge []int // by neighbour: how often their pads have touched
	prev   int   // the LED before it in its string, or -1
	next   int
	turn   int // index into pose; -1 not decided
}

// pose is an LED at one turn.
type pose struct {
	part    board.Part
	anode   int // index into part.Pads
	cathode int
	yard    geom.Box
	slant   geom.Box // the courtyard's extent along X+Y and X-Y
	legal   bool     // clear of edges, holes and keepout
	barred  bool     // in the way of a connector that must stand where it is told
}

// Prices, in nm of copper that one would rather spend.
const (
	clash    = 1e12 // pads touch: never, if anything else is possible
	crowd    = 1e11 // courtyards overlap: nor that
	tight    = 2e6  // no track fits between the pads
	foreign  = 1e9  // not the common turn, when one is wanted
	aslant   = 1e8  // turned by an odd multiple of 45 degrees: only where quarter turns find no room
	outOfRow = 1e9  // not turned as the row aslant that it stands in
	tieBreak = 1e4  // equal ways are turned alike
)

// trackRoom is the room that lets one usual track pass between two pads.
const trackRoom = 600 * geom.Micrometre

// reach is beyond which the courtyards of two lamps of 5 mm cannot meet, however they are turned.
const reach = 8 * geom.Millimetre

// newLamps returns the LEDs of the wiring, their turns open; pose returns LED i at a turn.
func newLamps(w led.Wiring, holes []geom.Pt, at func(i, turn int) pose) []lamp {
	out := make([]lamp, len(w.LEDs))
	var index rtree.RTreeG[int]
	for i := range out {
		out[i] = lamp{at: holes[i], ways: upright, row: -1, prev: -1, next: -1, turn: -1}
		lo, hi := corners(geom.Box{Min: out[i].at, Max: out[i].at})
		index.Insert(lo, hi, i)
		for t, degrees := range board.Turns() {
			out[i].pose[t] = at(i, degrees)
		}
	}
	for i := range out {
		lo, hi := corners(geom.Box{Min: out[i].at, Max: out[i].at}.Grown(reach))
		index.Search(lo, hi, func(_, _ [2]float64, j int) bool {
			if j != i && len(out[i].near) < 64 {
				out[i].near = append(out[i].near, j)
				out[i].grudge = append(out[i].grudge, 0)
			}
			return true
		})
	}
	for _, str := range w.Strings {
		for k := 1; k < len(str.LEDs); k++ {
			out[str.LEDs[k-1]].next = str.LEDs[k]
			out[str.LEDs[k]].prev = str.LEDs[k-1]
		}
	}
	return out
}

func (s *site) poseOf(part board.Part) pose {
	p := pose{part: part, yard: part.Courtyard.Box(), slant: slanted(part.Courtyard), legal: true}
	clear := s.board.EdgeClear(part)
	for k, pad := range part.Pads {
		switch pad.Function {
		case "A":
			p.anode = k
		case "K":
			p.cathode = k
		}
		if part.Turn%geom.QuarterDegrees != 0 {
			p.legal = p.legal && s.slantedFits(pad, clear)
			continue
		}
		box := pad.Contour(0).Box()
		if !s.inside(box, clear) || !s.offHoles(box) {
			p.legal = false
		}
	}
	return p
}

// clears reports whether all pads of the part are clear of edges and holes, exactly.
func (s *site) clears(part board.Part) bool {
	clear := s.board.EdgeClear(part)
	return !slices.ContainsFunc(part.Pads, func(p board.Pad) bool { return !s.slantedFits(p, clear) })
}

// slantedFits reports whether a pad of a part aslant is clear of edges and holes, a round one too: its box would take more room
// toward an edge aslant than it needs.
func (s *site) slantedFits(p board.Pad, clear geom.Nm) bool {
	ring := p.Contour(0).Ring(geom.FlattenTolerance)
	fits := s.onBoard(p.At) && !s.inKeepout(p.At)
	lo, hi := corners(ring.Box().Grown(clear))
	s.edges.Search(lo, hi, func(_, _ [2]float64, e geom.Segment) bool {
		for _, g := range ring.Segments() {
			fits = fits && g.Dist(e) >= float64(clear)
		}
		return fits
	})
	for _, h := range s.holes {
		fits = fits && ring.Locate(h.At) == geom.Outside && ring.DistTo(h.At) >= float64(h.D/2+s.board.HoleClear(h))
	}
	return fits
}

func (p pose) anodeAt() geom.Pt   { return p.part.Pads[p.anode].At }
func (p pose) cathodeAt() geom.Pt { return p.part.Pads[p.cathode].At }

// pairPrice says what it costs to have the two poses beside each other.
func (s *site) pairPrice(a, b pose) float64 {
	price := 0.0
	if a.crowds(b) {
		price += crowd
	} else if !overlap(a.yard.Grown(geom.Millimetre), b.yard) {
		return 0
	}
	for _, p := range a.part.Pads {
		for _, q := range b.part.Pads {
			gap := padGap(p, q)
			switch {
			case gap < float64(s.rules.Clearance) || p.Through && q.Through && p.At.Dist(q.At) < float64((p.Drill+q.Drill)/2+s.rules.BetweenHoles):
				price += clash
			case gap < float64(trackRoom):
				price += tight
			}
		}
	}
	return price
}

// slanted returns the ring's extent along X+Y and X-Y.
func slanted(r geom.Ring) geom.Box {
	b := geom.EmptyBox()
	for _, p := range r {
		b = b.With(geom.Pt{X: p.X + p.Y, Y: p.X - p.Y})
	}
	return b
}

// crowds reports whether the courtyards of two LEDs overlap. All courtyards have edges along the axes and the diagonals only,
// so that these four directions tell (separating axes).
func (p pose) crowds(q pose) bool { return overlap(p.yard, q.yard) && overlap(p.slant, q.slant) }

// meets reports whether the bodies of two LEDs share more than a border. Courtyards that overlap alone give way: shape tells that.
func (p pose) meets(q pose) bool {
	return geom.NewRegion(p.part.Body).And(geom.NewRegion(q.part.Body)).Area() > 1e-6
}

// overlap reports whether the boxes share more than a border.
func overlap(a, b geom.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// padGap returns the distance between the copper of two pads; of oblong pads the distance of their boxes, which is
// never too large.
func padGap(p, q board.Pad) float64 {
	switch {
	case p.Slant || q.Slant:
		return slantedGap(p, q)
	case p.Shape == board.Round && q.Shape == board.Round:
		return p.At.Dist(q.At) - float64(p.W+q.W)/2
	case p.Shape == board.Round:
		return q.Contour(0).Box().Dist(geom.BoxOf(p.At)) - float64(p.W/2)
	case q.Shape == board.Round:
		return padGap(q, p)
	}
	return p.Contour(0).Box().Dist(q.Contour(0).Box())
}

// slantedGap is the exact distance of two pads' copper, 0 where they touch.
func slantedGap(p, q board.Pad) float64 {
	if q.Shape == board.Round {
		p, q = q, p
	}
	b := q.Contour(0).Ring(geom.FlattenTolerance)
	if p.Shape == board.Round {
		if b.Locate(p.At) != geom.Outside {
			return 0
		}
		return b.DistTo(p.At) - float64(p.W)/2
	}
	a := p.Contour(0).Ring(geom.FlattenTolerance)
	if a.Locate(q.At) != geom.Outside || b.Locate(p.At) != geom.Outside {
		return 0
	}
	best := math.Inf(1)
	for _, g := range a.Segments() {
		for _, h := range b.Segments() {
			best = min(best, g.Dist(h))
		}
	}
	return best
}

// octile is the length of the shortest way in 45-degree style.
func octile(a, b geom.Pt) float64 {
	dx, dy := math.Abs(float64(a.X-b.X)), math.Abs(float64(a.Y-b.Y))
	return max(dx, dy) + float64((math.Sqrt2-1)*min(dx, dy))
}

// chooseTurns turns all LEDs. Each string in turn gets the turns that make its hops shortest while the others stand
// still: dynamic programming along the string over the states of each LED, exact for a string by itself. Rounds go on
// until nothing changes; the price of a round never rises but for the first, so that they end.
//
// Where LEDs still touch then, the pairs that do are made dearer, again and again, until they give way: the breakout
// method of P. Morris, "The Breakout Method For Escaping From Local Minima", Proc. AAAI 1993, p. 40-45.
func (s *site) chooseTurns(lamps []lamp, strings []led.String, common int) {
	const breakouts = 60
	for range breakouts {
		s.sweep(lamps, strings, common)
		if !s.breakOut(lamps) {
			return
		}
	}
}

// giveWay lets LEDs turn by odd multiples of 45 degrees, with their neighbours, where quarter turns have no room for them, and
// turns all anew; nothing where all have room. Those turns count as well at which an LED's pads, but not the boxes round them, are
// clear of an edge or a hole.
func (s *site) giveWay(lamps []lamp, strings []led.String, common int) {
	any := false
	widen := func(i int) {
		any = any || lamps[i].ways < turns
		lamps[i].ways = turns
	}
	for i := range lamps {
		l := &lamps[i]
		if l.turn < 0 {
			continue
		}
		stuck := !l.pose[l.turn].legal
		for t := range turns {
			if p := &l.pose[t]; stuck && !p.legal && !p.barred && s.clears(p.part) {
				p.legal, any = true, true
			}
		}
		for _, j := range l.near {
			stuck = stuck || lamps[j].turn >= 0 && s.pairPrice(l.pose[l.turn], lamps[j].pose[lamps[j].turn]) >= crowd
		}
		if stuck {
			widen(i)
			for _, j := range l.near {
				widen(j)
			}
		}
	}
	if !any {
		return
	}
	for i := range lamps {
		clear(lamps[i].grudge)
	}
	s.chooseTurns(lamps, strings, common)
}

func (s *site) sweep(lamps []lamp, strings []led.String, common int) {
	const rounds = 12
	for range rounds {
		changed := false
		for _, str := range strings {
			if s.turnString(lamps, str.LEDs, common) {
				changed = true
			}
		}
		if !changed {
			return
		}
	}
}

// breakOut makes the pairs dearer that touch, and reports whether there are any.
func (s *site) breakOut(lamps []lamp) bool {
	any := false
	for i := range lamps {
		l := &lamps[i]
		for k, j := range l.near {
			if l.turn < 0 || lamps[j].turn < 0 || s.pairPrice(l.pose[l.turn], lamps[j].pose[lamps[j].turn]) < crowd {
				continue
			}
			any = true
			l.grudge[k]++ // the other one finds the pair among its own neighbours
		}
	}
	return any
}

// beside is the price of turn t of LED i next to its neighbour k, turned u, with what breakOut has put on it.
func (s *site) beside(lamps []lamp, i, t, k, u int) float64 {
	l := &lamps[i]
	price := s.pairPrice(l.pose[t], lamps[l.near[k]].pose[u])
	if price >= crowd {
		price += clash * float64(l.grudge[k])
	}
	return price
}

func (s *site) turnString(lamps []lamp, path []int, common int) bool {
	if len(path) == 0 {
		return false
	}
	type state struct {
		cost float64
		from int
	}
	table := make([][turns]state, len(path))
	for k, i := range path {
		s.watch.Look()
		l := &lamps[i]
		for t := range l.ways {
			own := s.ownPrice(lamps, i, t, common)
			best := state{math.Inf(1), 0}
			if k == 0 {
				best = state{own, 0}
			} else {
				prev := &lamps[path[k-1]]
				back := slices.Index(l.near, path[k-1])
				for u := range prev.ways {
					c := table[k-1][u].cost + own + octile(prev.pose[u].cathodeAt(), l.pose[t].anodeAt())
					if back >= 0 {
						c += s.beside(lamps, i, t, back, u)
					}
					if c < best.cost {
						best = state{c, u}
					}
				}
			}
			table[k][t] = best
		}
	}
	last := len(path) - 1
	t := 0
	for u := range lamps[path[last]].ways {
		if table[last][u].cost < table[last][t].cost {
			t = u
		}
	}
	changed := false
	for k := last; k >= 0; k-- {
		l := &lamps[path[k]]
		changed = changed || l.turn != t
		l.turn, t = t, table[k][t].from
	}
	return changed
}

// ownPrice is what turn t of LED i costs by itself and beside the neighbours that are not next to it in its string.
func (s *site) ownPrice(lamps []lamp, i, t, common int) float64 {
	l := &lamps[i]
	price := float64(t) * tieBreak
	if common >= 0 && t != common {
		price += foreign
	}
	if l.row >= 0 && t != l.row {
		price += outOfRow
	}
	if t >= upright && l.row < 0 {
		price += aslant
	}
	if !l.pose[t].legal {
		price += 4 * clash
	}
	for k, j := range l.near {
		if j == l.prev || j == l.next || lamps[j].turn < 0 {
			continue
		}
		price += s.beside(lamps, i, t, k, lamps[j].turn)
	}
	return price
}

// commonTurn returns the turn that serves best when all LEDs must stand one way: the fewest that cannot, then the
// shortest hops.
func (s *site) commonTurn(lamps []lamp) int {
	best, at := math.Inf(1), 0
	for t := range upright {
		price := 0.0
		for i, l := range lamps {
			if !l.pose[t].legal {
				price += 4 * clash
			}
			for _, j := range l.near {
				if j > i {
					price += s.pairPrice(l.pose[t], lamps[j].pose[t])
				}
			}
			if l.next >= 0 {
				price += octile(l.pose[t].cathodeAt(), lamps[l.next].pose[t].anodeAt())
			}
		}
		if price < best {
			best, at = price, t
		}
	}
	return at
}
