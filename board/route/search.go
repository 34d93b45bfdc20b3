package route

import (
	"math"

	"lampblack/panel/geom"
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

// How a node was reached: by a step (0 to 7), from the other side, or as the start of the search.
const (
	byVia   = 8
	atStart = 9
	how     = 15 // the bits that say it
	shut    = 16 // the node's steps have been taken
)

// searcher holds the state of searches over one lattice.
type searcher struct {
	g     *grid
	cost  []int32  // of the best way to a node, valid when seen is the search's number
	seen  []uint32 //
	from  []uint8
	tag   []int32 // 0, or what the node belongs to: see tagPin and tagLeg; negative where the search starts
	run   uint32
	open  queue
	far   coarse
	work  int // nodes taken from the heap, over all searches
	flood []int32
	none  []uint16 // an empty map, made when first asked for
}

func newSearcher(g *grid) *searcher {
	return &searcher{
		g: g, cost: make([]int32, 2*g.n), seen: make([]uint32, 2*g.n), from: make([]uint8, 2*g.n), tag: make([]int32, 2*g.n),
		far: newCoarse(g),
	}
}

func tagPin(pin int) int32 { return int32(2*pin + 1) }
func tagLeg(leg int) int32 { return int32(2*leg + 2) }

// untag returns what a tag stands for: a pin, or a leg of the net.
func untag(t int32) (pin, leg int) {
	if t < 0 {
		t = -t
	}
	if t%2 == 1 {
		return int(t / 2), -1
	}
	return -1, int(t/2) - 1
}

// end is a node where a search may start or finish, and the price of the way from there to the pad's centre.
type end struct {
	node int32
	tag  int32
	cost int32
}

// query is one search.
type query struct {
	net    *net
	half   int32    // µm
	occ    []uint16 // other nets' copper that a track of this width would touch, by node
	via    []uint16 // the same for a via
	hist   []uint16 // percent, by node
	press  int32    // percent for each net in the way; 0: nodes in use are barred
	greed  int32    // percent: how much the bound of what is still to go counts; 100 finds the cheapest way
	starts []end
	goals  []end
}

// found is the outcome of a search.
type found struct {
	ok     bool
	nodes  []int32 // from start to goal
	cost   int32
	at     int32 // without a way: the node reached that is nearest to a goal
	closed bool  // nothing but the start was reached
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
func (s *searcher) find(q query) found {
	g := s.g
	s.run++
	for _, e := range q.goals {
		s.tag[e.node] = e.tag
	}
	for _, e := range q.starts {
		s.tag[e.node] = -e.tag
	}
	defer func() {
		for _, e := range q.goals {
			s.tag[e.node] = 0
		}
		for _, e := range q.starts {
			s.tag[e.node] = 0
		}
	}()
	extra := map[int32]int32{}
	for _, e := range q.goals {
		if e.cost > 0 && s.tag[e.node] > 0 {
			extra[e.node] = e.cost
		}
	}
	h := s.heuristic(q.goals)
	need := q.half + g.margin
	id := q.net.id
	straight := int32(g.pitch / geom.Micrometre)
	diagonal := int32(math.Round(float64(g.pitch) * math.Sqrt2 / 1000))
	length := [8]int32{straight, diagonal, straight, diagonal, straight, diagonal, straight, diagonal}
	var delta [8]int32
	for k, d := range dirs {
		delta[k] = int32(d[1]*g.nx + d[0])
	}
	wrong := int32(signalWrong)
	viaCost := int32(signalVia)
	if q.net.supply {
		wrong, viaCost = supplyWrong, supplyVia
	}
	if q.net.shy {
		viaCost *= shyVia
	}
	var sidePct [2]int32
	sidePct[q.net.prefer.Other()] = wrong

	// price returns what a step of one micrometre to a node costs, in percent, or 0 where no track may be.
	price := func(node int32) int32 {
		c := &g.room[node]
		room := int32(c.d1)
		if c.net == id {
			room = int32(c.d2)
		}
		if room < need {
			return 0
		}
		pct := 100 + int32(q.hist[node])
		if k := int32(q.occ[node]); k > 0 {
			if q.press == 0 {
				return 0
			}
			pct += k * q.press
		}
		if spare := room - need; spare < comfort {
			pct += comfortPct * (comfort - spare) / comfort
		}
		pos, side := int(node), 0
		if pos >= g.n {
			pos, side = pos-g.n, 1
		}
		return pct + int32(g.soft[pos]) + sidePct[side]
	}

	if s.walled(q.goals, delta[:], price) {
		out := found{at: -1}
		if len(q.goals) > 0 {
			out.at = q.goals[0].node
		}
		return out
	}
	base := int32(math.MaxInt32)
	for _, e := range q.starts {
		base = min(base, e.cost+h(e.node)*q.greed/100)
	}
	s.open.reset(base)
	best := found{at: -1, closed: true}
	bestH := int32(math.MaxInt32)
	for _, e := range q.starts {
		if s.tag[e.node] > 0 || price(e.node) == 0 {
			continue
		}
		if s.seen[e.node] == s.run && s.cost[e.node] <= e.cost {
			continue
		}
		s.seen[e.node], s.cost[e.node], s.from[e.node] = s.run, e.cost, atStart
		s.open.push(e.cost+h(e.node)*q.greed/100, item{e.cost, e.node})
	}
	for s.open.n > 0 {
		it := s.open.pop()
		u := it.node
		if it.cost != s.cost[u] || s.from[u]&shut != 0 {
			continue
		}
		s.work++
		if s.tag[u] > 0 {
			best.ok, best.cost = true, it.cost
			best.nodes = s.trace(u, delta[:])
			return best
		}
		if hu := h(u); hu < bestH {
			bestH, best.at = hu, u
		}
		came := s.from[u]
		s.from[u] |= shut
		try := func(v, cost int32, by uint8) {
			if cost >= farAway {
				return
			}
			if s.seen[v] == s.run && (s.cost[v] <= cost || s.from[v]&shut != 0) {
				return
			}
			s.seen[v], s.cost[v], s.from[v] = s.run, cost, by
			f := cost
			if s.tag[v] > 0 {
				f += extra[v]
			} else {
				f += h(v) * q.greed / 100
			}
			s.open.push(f, item{cost, v})
		}
		for k := range 8 {
			add := int32(0)
			if came < 8 {
				switch turn := (k - int(came) + 8) % 8; turn {
				case 0:
				case 1, 7:
					add = bend45
				case 2, 6:
					add = bend90
				default:
					continue
				}
			}
			v := u + delta[k]
			if s.tag[v] < 0 {
				continue // back into the tree it comes from
			}
			p := price(v)
			if p == 0 {
				continue
			}
			best.closed = false
			try(v, it.cost+add+int32(int64(length[k])*int64(p)/100), uint8(k))
		}
		// To the other side.
		pos := int(u)
		v := u + int32(g.n)
		if pos >= g.n {
			pos -= g.n
			v = u - int32(g.n)
		}
		if came == byVia || g.noVia[pos] || s.tag[u] != 0 || s.tag[v] != 0 || price(v) == 0 {
			continue
		}
		k := int32(q.via[u]) + int32(q.via[v])
		if k > 0 && q.press == 0 {
			continue
		}
		try(v, it.cost+viaCost+k*q.press*20, byVia)
	}
	return best
}

// walled reports whether the goals lie in a pocket of no more than pocket nodes that no start is in. It saves flooding
// the whole board when a pad is shut in.
func (s *searcher) walled(goals []end, delta []int32, price func(int32) int32) bool {
	if len(goals) == 0 {
		return true
	}
	if len(goals) > pocket/2 {
		return false
	}
	s.flood = s.flood[:0]
	for _, e := range goals {
		if s.tag[e.node] > 0 && price(e.node) != 0 && s.seen[e.node] != s.run {
			s.seen[e.node] = s.run
			s.flood = append(s.flood, e.node)
		}
	}
	done := false
	for i := 0; i < len(s.flood) && !done; i++ {
		u := s.flood[i]
		if len(s.flood) > pocket {
			done = true
		}
		for k := 0; k < 8 && !done; k++ {
			v := u + delta[k]
			if s.seen[v] == s.run || price(v) == 0 {
				continue
			}
			if s.tag[v] < 0 {
				done = true
			}
			s.seen[v] = s.run
			s.flood = append(s.flood, v)
		}
		// Where a via fits the pocket has a way out to the other side, which need not be looked into.
		if pos := int(u) % s.g.n; !s.g.noVia[pos] && s.tag[u] == 0 {
			done = true
		}
	}
	s.run++ // the marks of the flood are no costs
	return !done
}

const pocket = 600 // nodes

// trace follows the way back from a node.
func (s *searcher) trace(u int32, delta []int32) []int32 {
	var out []int32
	n := int32(s.g.n)
	for {
		out = append(out, u)
		switch k := s.from[u] & how; {
		case k == atStart:
			for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
				out[i], out[j] = out[j], out[i]
			}
			return out
		case k == byVia && u >= n:
			u -= n
		case k == byVia:
			u += n
		default:
			u -= delta[k]
		}
	}
}

// heuristic returns a lower bound, in µm, of the way from a node to the nearest goal: to the box of the goals when
// that is small, else by a coarse map of distances.
func (s *searcher) heuristic(goals []end) func(int32) int32 {
	g := s.g
	nx, n := g.nx, g.n
	x0, y0, x1, y1 := math.MaxInt, math.MaxInt, -1, -1
	for _, e := range goals {
		i := int(e.node) % n
		x0, x1 = min(x0, i%nx), max(x1, i%nx)
		y0, y1 = min(y0, i/nx), max(y1, i/nx)
	}
	p := int32(g.pitch / geom.Micrometre)
	if (x1-x0)+(y1-y0) > 2*coarseStep {
		s.far.fill(goals)
		return func(node int32) int32 {
			i := int(node)
			if i >= n {
				i -= n
			}
			return s.far.bound(i%nx, i/nx)
		}
	}
	return func(node int32) int32 {
		i := int(node)
		if i >= n {
			i -= n
		}
		x, y := i%nx, i/nx
		dx, dy := int32(max(x0-x, x-x1, 0)), int32(max(y0-y, y-y1, 0))
		return octile(dx, dy) * p / 1000
	}
}

// octile returns the length of the shortest way of straight and diagonal steps, in thousandths of a step, rounded
// down.
func octile(dx, dy int32) int32 {
	if dx < dy {
		dx, dy = dy, dx
	}
	return dx*1000 + dy*414
}

// coarse is a map of distances to the goals over squares of coarseStep nodes.
type coarse struct {
	nx, ny int
	fine   int // nodes in a row
	n      int
	unit   int32 // µm across a square
	slack  int32 // µm by which a square's distance may exceed that of a node in it
	d      []int32
}

const coarseStep = 8

func newCoarse(g *grid) coarse {
	p := int32(g.pitch / geom.Micrometre)
	c := coarse{nx: g.nx/coarseStep + 1, ny: g.ny/coarseStep + 1, fine: g.nx, n: g.n, unit: coarseStep * p}
	// Two nodes differ from their squares' corners by up to 7 steps in X and in Y.
	c.slack = octile(coarseStep-1, coarseStep-1)*p/1000 + 1
	c.d = make([]int32, c.nx*c.ny)
	return c
}

// fill computes the map in two passes.
//
// Source: G. Borgefors, "Distance Transformations in Digital Images", CVGIP 34(3), 1986,
// doi:10.1016/S0734-189X(86)80047-0, with the octile weights 1 and 1.414, for which the two passes are exact.
func (c *coarse) fill(goals []end) {
	for i := range c.d {
		c.d[i] = farAway
	}
	for _, e := range goals {
		i := int(e.node) % c.n
		c.d[i/c.fine/coarseStep*c.nx+i%c.fine/coarseStep] = 0
	}
	a, b := c.unit, c.unit*1414/1000
	low := func(i, j int, w int32) {
		if v := c.d[j] + w; v < c.d[i] {
			c.d[i] = v
		}
	}
	for y := range c.ny {
		for x := range c.nx {
			i := y*c.nx + x
			if x > 0 {
				low(i, i-1, a)
			}
			if y > 0 {
				low(i, i-c.nx, a)
				if x > 0 {
					low(i, i-c.nx-1, b)
				}
				if x < c.nx-1 {
					low(i, i-c.nx+1, b)
				}
			}
		}
	}
	for y := c.ny - 1; y >= 0; y-- {
		for x := c.nx - 1; x >= 0; x-- {
			i := y*c.nx + x
			if x < c.nx-1 {
				low(i, i+1, a)
			}
			if y < c.ny-1 {
				low(i, i+c.nx, a)
				if x > 0 {
					low(i, i+c.nx-1, b)
				}
				if x < c.nx-1 {
					low(i, i+c.nx+1, b)
				}
			}
		}
	}
}

func (c *coarse) bound(x, y int) int32 {
	return max(0, c.d[y/coarseStep*c.nx+x/coarseStep]-c.slack)
}

// item is a node in the queue, with the cost it was reached at.
type item struct {
	cost, node int32
}

// queue hands out items by their rank f, which is the cost and the bound of what is still to go: lowest first, to
// within a bucket's width; in a bucket the last one in comes out first. Ranks below the bucket being emptied join it.
//
// Source: R. B. Dial, "Algorithm 360: Shortest-Path Forest with Topological Ordering", CACM 12(11), 1969,
// doi:10.1145/363269.363610. We differ: a bucket is bucketWidth wide, so an item may come out up to that too early.
type queue struct {
	buckets [][]item
	at, top int // lowest bucket that may hold items, highest used
	base    int32
	n       int
}

const (
	bucketWidth = 64      // µm
	bucketMax   = 1 << 17 // ranks beyond this many buckets share the last one
)

func (q *queue) reset(base int32) {
	for i := q.at; i <= q.top && i < len(q.buckets); i++ {
		q.buckets[i] = q.buckets[i][:0]
	}
	q.at, q.top, q.base, q.n = 0, 0, base, 0
}

func (q *queue) push(f int32, it item) {
	i := min(max(q.at, int(f-q.base)/bucketWidth), bucketMax)
	for i >= len(q.buckets) {
		q.buckets = append(q.buckets, nil)
	}
	q.buckets[i] = append(q.buckets[i], it)
	q.top = max(q.top, i)
	q.n++
}

func (q *queue) pop() item {
	for len(q.buckets[q.at]) == 0 {
		q.at++
	}
	b := q.buckets[q.at]
	it := b[len(b)-1]
	q.buckets[q.at] = b[:len(b)-1]
	q.n--
	return it
}
