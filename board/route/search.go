package route

import (
	"math"
	"slices"

	"lampblack/panel/work"
)

// Prices, in micrometres of track. They are ours, chosen by looking at boards; see DEVELOPERS.md.
const (
	signalVia   = 10_000 // a signal via must save a detour of 10 mm
	supplyVia   = 8_000
	shyVia      = 10  // times as dear while a net looks for a way without vias
	bend45      = 200 // a bend of 45 degrees
	bend90      = 700 // a bend of 90 degrees, never sharper
	comfort     = 350 // µm of room beyond the clearance that a track likes
	comfortPct  = 60  // dearer by this where there is none of it
	signalWrong = 2   // percent dearer on the side that a signal should not use
	supplyWrong = 50  // the same for supply and 0 V, which should keep their sides free for areas
	farAway     = math.MaxInt32 / 2
)

// dirs are the eight steps, counter-clockwise from right.
var dirs = [8][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}

// How a node was reached, and what else is known of it in a search.
const (
	byVia   = 8 // 0 to 7: by that step
	atStart = 9
	unmet   = 10
	how     = 15 // the bits that say it
	shut    = 16 // its steps have been taken
	barred  = 32 // no track may be here, or it is in the tree that the search comes from
	goal    = 64
	flooded = 128 // walled has been here
)

// label is what a search knows of a node. All of it is in one place, because a search jumps about the lattice.
type label struct {
	cost int32  // of the best way to it
	run  uint32 // the search that the label is of
	pct  uint16 // what a step to it costs, percent
	is   uint16
}

// searcher holds the state of searches over one lattice.
type searcher struct {
	watch  *work.Watch
	g      *grid
	labels []label
	tag    []int32 // 0, the number of the goal at the node, or of the start there, negative; both from 1
	run    uint32
	open   queue
	far    coarse
	work   int // nodes taken from the heap, over all searches
	flood  []int32

	// Of the search that is on.
	q       *query
	aim     aim
	need    int32 // half width and margin, µm
	most    int32 // no dearer way is looked for
	sidePct [2]int32
	delta   [8]int32 // what a step adds to a node
	length  [8]int64 // µm
	turns   [how + 1][8]int32
}

func newSearcher(w *work.Watch, g *grid) *searcher {
	s := &searcher{watch: w, g: g, labels: make([]label, 2*g.n), tag: make([]int32, 2*g.n), far: newCoarse(g), turns: turnTable()}
	for k, d := range dirs {
		s.delta[k] = int32(d[1]*g.nx + d[0])
		s.length[k] = int64(math.Round(float64(g.pitch) / 1000 * math.Hypot(float64(d[0]), float64(d[1]))))
	}
	return s
}

func tagPin(pin int) int32 { return int32(2*pin + 1) }
func tagLeg(leg int) int32 { return int32(2*leg + 2) }

// untag returns what a tag stands for: a pin, or a leg of the net.
func untag(t int32) (pin, leg int) {
	if t%2 == 1 {
		return int(t / 2), -1
	}
	return -1, int(t/2) - 1
}

// end is a node where a search may start or finish, what it belongs to (see tagPin and tagLeg), and the price of the
// way from there to the pad's centre.
type end struct {
	node int32
	tag  int32
	cost int32
}

// query is one search. Of several ends at a node the last one counts.
type query struct {
	net    *net
	half   int32    // µm
	occ    []uint16 // other nets' copper that a track of this width would touch, by node
	via    []uint16 // the same for a via
	hist   []uint16 // percent, by node; may be nil
	press  int32    // percent for each net in the way; 0: nodes in use are barred
	greed  int32    // percent: how much the bound of what is still to go counts; 100 finds the cheapest way
	starts []end
	goals  []end
}

// found is the outcome of a search.
type found struct {
	ok    bool
	nodes []int32  // from start to goal
	tags  [2]int32 // of the start and of the goal
	at    int32    // without a way: the node reached that is nearest to a goal, or -1
}

const noTurn = -1

// turnTable returns the price of each step by how the node before it was reached, and noTurn where the bend would be too
// sharp.
func turnTable() (t [how + 1][8]int32) {
	for came := range int32(8) {
		for k := range int32(8) {
			switch (k - came + 8) % 8 {
			case 0:
			case 1, 7:
				t[came][k] = bend45
			case 2, 6:
				t[came][k] = bend90
			default:
				t[came][k] = noTurn
			}
		}
	}
	return t
}

// find returns the cheapest way from the starts to the goals.
//
// Sources: P. E. Hart, N. J. Nilsson, B. Raphael, "A Formal Basis for the Heuristic Determination of Minimum Cost
// Paths", IEEE Trans. Systems Science and Cybernetics SSC-4(2), 1968, doi:10.1109/TSSC.1968.300136, on the lattice of
// C. Y. Lee, "An Algorithm for Path Connections and Its Applications", IRE Trans. Electronic Computers EC-10(3), 1961,
// doi:10.1109/TEC.1961.5219222. We differ: a step costs its length, made dearer by nearness to obstacles, by the wrong
// side and by other nets; a bend is priced by the way the node was reached, which keeps one label a node (so a way may
// have a bend more than the best one; the clean-up takes it out). A node is left only once, though greed makes the bound
// inconsistent and a cheaper way to it may turn up later: the way found keeps the same guarantee (M. Likhachev, G. Gordon,
// S. Thrun, "ARA*: Anytime A* with Provable Bounds on Sub-Optimality", NIPS 2003), and a board half a metre wide takes a
// twentieth of the steps. Equal costs go to the way that is farther on, then
// to the lower node, so that the result does not depend on anything but the input.
func (s *searcher) find(q *query) found {
	s.begin(q)
	defer s.end()
	best := found{at: -1}
	if s.walled() {
		if len(q.goals) > 0 {
			best.at = q.goals[0].node
		}
		return best
	}
	g := s.g
	viaCost := int32(signalVia)
	if q.net.supply {
		viaCost = supplyVia
	}
	if q.net.shy {
		viaCost *= shyVia
	}
	s.seed()
	nearest := int32(math.MaxInt32)
	for s.open.n > 0 {
		s.watch.Step()
		it := s.open.pop()
		u := it.node
		lu := &s.labels[u]
		if it.cost != lu.cost || lu.is&shut != 0 {
			continue
		}
		s.work++
		if lu.is&goal != 0 {
			best.ok, best.nodes = true, s.trace(u)
			best.tags = [2]int32{q.starts[-s.tag[best.nodes[0]]-1].tag, q.goals[s.tag[u]-1].tag}
			return best
		}
		lu.is |= shut
		side, pos := 0, int(u)
		if pos >= g.n {
			side, pos = 1, pos-g.n
		}
		x, y := int32(pos%g.nx), int32(pos/g.nx)
		if h := s.aim.bound(x, y); h < nearest {
			nearest, best.at = h, u
		}
		came := lu.is & how
		for k, add := range &s.turns[came] {
			if add == noTurn {
				continue
			}
			v := u + s.delta[k]
			lv := &s.labels[v]
			if lv.run != s.run {
				s.meet(lv, v, side)
			}
			if lv.is&(shut|barred) == 0 {
				if cost := it.cost + add + int32(s.length[k]*int64(lv.pct)/100); cost < lv.cost {
					s.reach(lv, item{cost, v}, x+int32(dirs[k][0]), y+int32(dirs[k][1]), uint16(k))
				}
			}
		}
		// To the other side.
		if came == byVia || g.noVia[pos] || s.tag[u] != 0 {
			continue
		}
		v := int32(pos + (1-side)*g.n)
		if s.tag[v] != 0 {
			continue
		}
		k := int32(q.via[u]) + int32(q.via[v])
		if k > 0 && q.press == 0 {
			continue
		}
		lv := &s.labels[v]
		if lv.run != s.run {
			s.meet(lv, v, 1-side)
		}
		if lv.is&(shut|barred) == 0 {
			if cost := it.cost + viaCost + k*q.press*20; cost < lv.cost {
				s.reach(lv, item{cost, v}, x, y, byVia)
			}
		}
	}
	return best
}

// begin makes ready for a search; end takes its tags away again.
func (s *searcher) begin(q *query) {
	s.q = q
	s.run++
	for i, e := range q.goals {
		s.tag[e.node] = int32(i + 1)
	}
	for i, e := range q.starts {
		s.tag[e.node] = -int32(i + 1)
	}
	s.need = q.half + s.g.margin
	if s.most = q.net.budget; s.most == 0 {
		s.most = farAway
	}
	wrong := int32(signalWrong)
	if q.net.supply {
		wrong = supplyWrong
	}
	s.sidePct = [2]int32{}
	s.sidePct[q.net.prefer.Other()] = wrong
	s.aimAt(q)
}

func (s *searcher) end() {
	for _, e := range s.q.goals {
		s.tag[e.node] = 0
	}
	for _, e := range s.q.starts {
		s.tag[e.node] = 0
	}
	s.q = nil
}

// seed puts the starts into the queue.
func (s *searcher) seed() {
	q := s.q
	ahead := func(node int32) int32 {
		pos := int(node) % s.g.n
		return s.aim.bound(int32(pos%s.g.nx), int32(pos/s.g.nx)) * q.greed / 100
	}
	base := int32(math.MaxInt32)
	for _, e := range q.starts {
		base = min(base, e.cost+ahead(e.node))
	}
	s.open.reset(base)
	for _, e := range q.starts {
		l := &s.labels[e.node]
		if l.run != s.run {
			*l = label{cost: farAway, run: s.run, is: unmet | barred}
		}
		if l.cost <= e.cost || s.price(e.node, int(s.g.side(e.node))) == 0 {
			continue
		}
		l.cost, l.is = e.cost, atStart|barred
		s.open.push(e.cost+ahead(e.node), item{e.cost, e.node})
	}
}

// meet makes the label of a node that the search comes to for the first time.
func (s *searcher) meet(l *label, node int32, side int) {
	*l = label{cost: farAway, run: s.run, pct: s.price(node, side), is: unmet}
	switch t := s.tag[node]; {
	case l.pct == 0 || t < 0:
		l.is |= barred
	case t > 0:
		l.is |= goal
	}
}

// reach notes a cheaper way to the node at x and y, unless it cannot lead to a goal at the price allowed.
func (s *searcher) reach(l *label, it item, x, y int32, by uint16) {
	q := s.q
	togo, weighed := int32(0), int32(0)
	if l.is&goal != 0 {
		togo = q.goals[s.tag[it.node]-1].cost
		weighed = togo
	} else {
		togo = s.aim.bound(x, y)
		weighed = togo * q.greed / 100
	}
	if it.cost+togo > s.most {
		return
	}
	l.cost, l.is = it.cost, l.is&^how|by
	s.open.push(it.cost+weighed, it)
}

// price returns what a step of one micrometre to a node costs, in percent, or 0 where no track may be.
func (s *searcher) price(node int32, side int) uint16 {
	c := &s.g.room[node]
	room := int32(c.d1)
	if c.net == s.q.net.id {
		room = int32(c.d2)
	}
	spare := room - s.need
	if spare < 0 {
		return 0
	}
	pct := 100 + s.sidePct[side] + int32(s.g.soft[int(node)-side*s.g.n])
	if s.q.hist != nil {
		pct += int32(s.q.hist[node])
	}
	if k := int32(s.q.occ[node]); k > 0 {
		if s.q.press == 0 {
			return 0
		}
		pct += k * s.q.press
	}
	if spare < comfort {
		pct += comfortPct * (comfort - spare) / comfort
	}
	return uint16(min(pct, math.MaxUint16))
}

// walled reports whether the goals lie in a pocket of no more than pocket nodes that no start is in. It saves flooding
// the whole board when a pad is shut in.
func (s *searcher) walled() bool {
	if len(s.q.goals) == 0 {
		return true
	}
	if len(s.q.goals) > pocket/2 {
		return false
	}
	s.flood = s.flood[:0]
	visit := func(v int32) {
		l := &s.labels[v]
		if l.run != s.run {
			s.meet(l, v, int(s.g.side(v)))
		}
		if l.is&flooded == 0 && l.pct != 0 {
			l.is |= flooded
			s.flood = append(s.flood, v)
		}
	}
	for _, e := range s.q.goals {
		if s.tag[e.node] > 0 {
			visit(e.node)
		}
	}
	for i := 0; i < len(s.flood); i++ {
		u := s.flood[i]
		// Where a via fits the pocket has a way out to the other side, which need not be looked into.
		if len(s.flood) > pocket || s.tag[u] < 0 || s.tag[u] == 0 && !s.g.noVia[int(u)%s.g.n] {
			return false
		}
		for _, d := range s.delta {
			visit(u + d)
		}
	}
	return true
}

const pocket = 600 // nodes

// trace follows the way back from a node.
func (s *searcher) trace(u int32) []int32 {
	var out []int32
	n := int32(s.g.n)
	for {
		out = append(out, u)
		switch k := s.labels[u].is & how; {
		case k == atStart:
			slices.Reverse(out)
			return out
		case k == byVia && u >= n:
			u -= n
		case k == byVia:
			u += n
		default:
			u -= s.delta[k]
		}
	}
}
