package route

import (
	"slices"

	"lampblack/board"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// router is the state of one Route call.
type router struct {
	watch   *work.Watch
	b       board.Board
	g       *grid
	s       *searcher
	pins    []pin
	nets    []*net // in the order they are routed
	widths  []geom.Nm
	occ     [][]uint16 // by width: how many nets' copper a track of that width would touch at a node
	via     []uint16   // the same for a via
	hist    []uint16   // percent added for past quarrels
	stamp   []uint32
	mark    uint32
	rounds  int
	painted int   // nodes
	starts  []end // room for a search's ends
	goals   []end
}

// The schedule of the negotiation. Source of the scheme: L. McMurchie and C. Ebeling, "PathFinder: A
// Negotiation-Based Performance-Driven Router for FPGAs", Proc. ACM/SIGDA FPGA, 1995, doi:10.1145/201310.201328:
// nets may share room at first and pay for it more in each round, and a place that was fought over stays dear. We
// differ: only the legs in conflict are torn up, not every net in each round.
const (
	usualRounds  = 48
	firstPress   = 60  // percent, for each net in the way
	pressGrowth  = 145 // percent, each round
	mostPress    = 6000
	grudge       = 25 // percent added to a place that two nets claim, each round
	mostGrudge   = 2500
	demoteRounds = 9 // rounds that a net quarrels before it tries a narrower track

	// staleRounds is how many rounds may pass with no fewer nets in quarrel than ever before: those that come to terms do so
	// long before (in the test field within a third of it).
	staleRounds = 16
	// paintedStep is how many painted nodes cost as much as one that a search visits.
	paintedStep = 50
)

// Budget returns how many steps the negotiation of a board with so many pins may take, see Figures.Work, and again how many its
// last joints: more than the most crowded boards take that still come out (five eighths of it for 270 pins a square decimetre).
// Beyond it only what is open is joined, so that a hopeless board ends too. Steps are counted and grow with the board, so that
// every machine gives up at the same place; a step takes some 0.7 µs.
func Budget(pins int) int { return 2_000_000 + 6_000*pins }

// steps returns the work done so far.
func (r *router) steps() int { return r.s.work + r.painted/paintedStep }

// open returns how many connections all nets lack.
func (r *router) open() int {
	k := 0
	for _, n := range r.nets {
		k += n.open()
	}
	return k
}

func newRouter(w *work.Watch, b board.Board, opt Options) *router {
	r := &router{watch: w, b: b}
	r.pins, r.nets = collect(w, b)
	r.nets = order(r.nets)
	r.g = newGrid(w, b, r.pins, opt.Pitch)
	r.s = newSearcher(w, r.g)
	w.Look()
	r.via = make([]uint16, 2*r.g.n)
	r.hist = make([]uint16, 2*r.g.n)
	r.stamp = make([]uint32, 2*r.g.n)
	w.Look()
	return r
}

// class returns the index of a width among those in use. A new one is painted for all nets.
func (r *router) class(w geom.Nm) int {
	if i := slices.Index(r.widths, w); i >= 0 {
		return i
	}
	r.widths = append(r.widths, w)
	r.occ = append(r.occ, make([]uint16, 2*r.g.n))
	i := len(r.widths) - 1
	for _, n := range r.nets {
		if n.painted {
			r.paintFor(n, r.occ[i], w, r.b.Rules.Clearance, 1)
		}
	}
	return i
}

// paint adds the net's copper to the maps of what is in the way of others (or takes it off, with by -1).
func (r *router) paint(n *net, by int) {
	n.painted = by > 0
	for i, w := range r.widths {
		r.paintFor(n, r.occ[i], w, r.b.Rules.Clearance, by)
	}
	ru := r.b.Rules
	r.paintFor(n, r.via, ru.ViaPad, ru.Clearance, by)
}

// paintFor adds by to each node where a track of width w would come too near to the net's copper. A node counts a
// net once, however many legs pass it.
func (r *router) paintFor(n *net, occ []uint16, w, clear geom.Nm, by int) {
	r.mark++
	margin := chord(r.g.pitch, 600*geom.Micrometre)
	for i := range n.legs {
		r.watch.Look()
		l := &n.legs[i]
		r.strokes(l, func(side geom.Side, s geom.Segment, width geom.Nm) {
			base := int(side) * r.g.n
			r.g.rows(s, (w+width)/2+clear+margin, func(y, x0, x1 int) {
				r.painted += max(0, x1-x0+1)
				for k := base + y*r.g.nx + x0; k <= base+y*r.g.nx+x1; k++ {
					if r.stamp[k] != r.mark {
						r.stamp[k] = r.mark
						occ[k] += uint16(by)
					}
				}
			})
		})
	}
}

// strokes calls f with the straight pieces of a leg, its vias (on both sides, with no length) and its ways to the
// centres of pads.
func (r *router) strokes(l *leg, f func(side geom.Side, s geom.Segment, width geom.Nm)) {
	g := r.g
	if l.a >= 0 {
		f(g.side(l.end(0)), geom.Segment{A: r.pins[l.a].At, B: g.at(l.end(0))}, l.width)
	}
	if l.b >= 0 {
		f(g.side(l.end(1)), geom.Segment{A: g.at(l.end(1)), B: r.pins[l.b].At}, l.width)
	}
	for i := 0; i+1 < len(l.nodes); {
		d := l.nodes[i+1] - l.nodes[i]
		if abs32(d) >= int32(g.n) {
			p := g.at(l.nodes[i])
			for _, side := range geom.BothSides() {
				f(side, geom.Segment{A: p, B: p}, r.b.Rules.ViaPad)
			}
			i++
			continue
		}
		j := i + 1
		for j+1 < len(l.nodes) && l.nodes[j+1]-l.nodes[j] == d {
			j++
		}
		f(g.side(l.nodes[i]), geom.Segment{A: g.at(l.nodes[i]), B: g.at(l.nodes[j])}, l.width)
		i = j
	}
	if len(l.nodes) == 1 {
		p := g.at(l.nodes[0])
		f(g.side(l.nodes[0]), geom.Segment{A: p, B: p}, l.width)
	}
}

func abs32(v int32) int32 { return max(v, -v) }

// negotiate routes all nets and settles their quarrels; afterwards no two nets are in conflict on the lattice.
func (r *router) negotiate(rounds int) {
	press := int32(firstPress)
	for _, n := range r.nets {
		r.connect(n, press)
		r.paint(n, 1)
	}
	quarrels := make([]int, len(r.nets))
	fewest, since := len(r.nets)+1, 0
	for r.rounds = 1; r.rounds <= rounds; r.rounds++ {
		bad := r.conflicts()
		if len(bad) < fewest {
			fewest, since = len(bad), r.rounds
		}
		if len(bad) == 0 || r.steps() > Budget(len(r.pins)) || r.rounds-since > staleRounds {
			break
		}
		press = min(press*pressGrowth/100, mostPress)
		for _, k := range bad {
			n := r.nets[k]
			if quarrels[k]++; quarrels[k]%demoteRounds == 0 {
				n.demote()
			}
			r.paint(n, -1)
			// Its own copper is off the map now, so what is left is others'.
			r.tear(n, 1)
			r.connect(n, press)
			r.paint(n, 1)
		}
	}
	r.rounds = min(r.rounds, rounds)
	// What still quarrels gives way, the shortest last; then each takes what room is left.
	for i := len(r.nets) - 1; i >= 0; i-- {
		n := r.nets[i]
		r.paint(n, -1)
		r.tear(n, 1)
		r.paint(n, 1)
	}
	r.complete()
}

// complete joins what is still open without touching what others have. A net that finds no way at its width tries
// the narrower ones; one that still finds none may push others aside, if they find another way.
func (r *router) complete() {
	for _, n := range r.nets {
		r.joinHard(n)
	}
	limit := r.steps() + Budget(len(r.pins))
	for range 3 {
		open := 0
		for _, n := range r.nets {
			if n.hopeful() && r.steps() < limit {
				open++
				r.shove(n)
			}
		}
		if open == 0 {
			return
		}
	}
}

// joinHard connects the net round what others have, at its widest width that works.
func (r *router) joinHard(n *net) {
	if !n.hopeful() {
		return
	}
	r.paint(n, -1)
	for {
		r.connect(n, 0)
		if n.open() == 0 || !n.demote() {
			break
		}
	}
	r.paint(n, 1)
}

// shove routes an open net through others, tears those up and routes them anew; it takes all back if no fewer
// connections are open afterwards.
func (r *router) shove(n *net) {
	r.displace(n, nil, 400, func(open, wasOpen, _, _ int) bool { return open < wasOpen })
}

// displace lets n, less the legs that drop picks, find its way through others at a price, tears those up and routes them
// anew. It takes all back unless better says yes to the connections left open and the price of the copper of all that took
// part, afterwards and before.
func (r *router) displace(n *net, drop func(*leg) bool, press int32, better func(open, wasOpen, price, was int) bool) {
	type saved struct {
		n     *net
		legs  []leg
		level int
	}
	keep := []saved{{n, slices.Clone(n.legs), n.level}}
	before, was := n.open(), r.length(n)
	undo := func() {
		for _, k := range keep {
			r.paint(k.n, -1)
		}
		for _, k := range keep {
			k.n.legs, k.n.level = k.legs, k.level
			r.paint(k.n, 1)
		}
	}
	r.paint(n, -1)
	if drop != nil {
		n.legs = slices.DeleteFunc(slices.Clone(n.legs), func(l leg) bool { return drop(&l) })
		n.prune()
	}
	r.connect(n, press)
	r.paint(n, 1)
	if n.budget > 0 && n.open() > before {
		undo() // too dear even if all others made room
		return
	}
	// Who is in the way?
	var victims []*net
	for _, m := range r.nets {
		if m == n {
			continue
		}
		if slices.ContainsFunc(m.legs, func(l leg) bool { return r.clash(&l, 2) }) {
			victims = append(victims, m)
			keep = append(keep, saved{m, slices.Clone(m.legs), m.level})
			before += m.open()
			was += r.length(m)
		}
	}
	for _, m := range victims {
		r.paint(m, -1)
		r.tear(m, 1)
		r.paint(m, 1)
	}
	// A clash that only n's own nodes see is still n's to give up.
	r.paint(n, -1)
	r.tear(n, 1)
	r.paint(n, 1)
	after, price := 0, 0
	for _, m := range victims {
		r.joinHard(m)
		after += m.open()
		price += r.length(m)
	}
	r.joinHard(n)
	if better(after+n.open(), before, price+r.length(n), was) {
		return
	}
	undo()
}

// demote makes the net try the next narrower width and reports whether there is one.
func (n *net) demote() bool {
	ok := false
	if n.level+1 < len(n.ladder) {
		n.level++
		ok = true
	}
	if n.tlevel+1 < len(n.trunk) {
		n.tlevel++
		ok = true
	}
	return ok
}

// open returns how many connections the net lacks.
func (n *net) open() int {
	k := -1
	for _, c := range n.components() {
		if len(c.pins) > 0 {
			k++
		}
	}
	return k
}

// hopeful reports whether the net has parts left that may yet be joined.
func (n *net) hopeful() bool {
	k := 0
	for _, c := range n.components() {
		if len(c.pins) > 0 && !n.walled[c.pins[0]] {
			k++
		}
	}
	return k > 1
}

// conflicts returns the nets that others are in the way of, and makes the places they fight over dearer.
func (r *router) conflicts() []int {
	var bad []int
	for k, n := range r.nets {
		r.watch.Look()
		clash := false
		for i := range n.legs {
			l := &n.legs[i]
			occ := r.occ[r.class(l.width)]
			for j, u := range l.nodes {
				hit := occ[u] >= 2
				if j > 0 && abs32(u-l.nodes[j-1]) >= int32(r.g.n) {
					hit = hit || r.via[u] >= 2 || r.via[l.nodes[j-1]] >= 2
				}
				if hit {
					clash = true
					r.hist[u] = min(r.hist[u]+grudge, mostGrudge)
				}
			}
		}
		if clash {
			bad = append(bad, k)
		}
	}
	return bad
}

// clash reports whether at least min nets have copper in the way of the leg.
func (r *router) clash(l *leg, least uint16) bool {
	occ := r.occ[r.class(l.width)]
	for j, u := range l.nodes {
		if occ[u] >= least {
			return true
		}
		if j > 0 && abs32(u-l.nodes[j-1]) >= int32(r.g.n) && (r.via[u] >= least || r.via[l.nodes[j-1]] >= least) {
			return true
		}
	}
	return false
}

// tear removes the legs of n that at least least nets are in the way of, and what then leads nowhere. A trunk that
// goes takes the whole net with it, because the branches hang on it.
func (r *router) tear(n *net, least uint16) {
	all := false
	kept := n.legs[:0:0]
	for i := range n.legs {
		l := &n.legs[i]
		if r.clash(l, least) {
			all = all || l.trunk
			continue
		}
		kept = append(kept, *l)
	}
	if all {
		kept = nil
	}
	n.legs = kept
	n.prune()
}
