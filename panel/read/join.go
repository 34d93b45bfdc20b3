package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// snap is the distance, in mm, below which two ends are one point without further words: a hundred times the
// precision that CAD programs write, and far below what a laser cuts.
const snap = 0.010

// piece is an open run of lines and arcs.
type piece struct {
	pose pose // as a loop's
	path dxf.Path
	from *dxf.Entity   // that it starts with
	to   *dxf.Entity   // that it ends with; nil: the same
	pens []*dxf.Entity // all that it consists of, where from does not tell how all of it is drawn; else nil
	spur bool          // it hangs on a closed line
}

// middle returns the middle of the piece's first edge, which says where the piece lies.
func (p *piece) middle() dxf.XY {
	a, b := p.path.Vertices[0], p.path.Vertices[1]
	return dxf.Edge{From: a.XY, To: b.XY, Bulge: a.Bulge}.Mid()
}

func (p *piece) end(last bool) dxf.XY {
	if last {
		return p.path.Vertices[len(p.path.Vertices)-1].XY
	}
	return p.path.Vertices[0].XY
}

// loose is an end that meets no other.
type loose struct {
	at   dxf.XY
	from *dxf.Entity
	of   int // index into joined.open
}

// gap is a joint that was closed.
type gap struct {
	at   dxf.XY
	size float64 // mm
	from *dxf.Entity
}

// joined is what join makes of the pieces.
type joined struct {
	loops    []loop
	outers   []loop // of networks with branches, the outermost way round; the faces are in loops
	open     []piece
	ends     []loose
	gaps     []gap
	branches []dxf.XY
	meant    []nearly      // of the loops, those that were closed since they are clearly meant so
	nearly   []nearly      // of the open pieces, those that may be
	same     []*dxf.Entity // duplicates that were dropped
	twins    []loop        // of these, the loops
	none     []*dxf.Entity // without length
	framed   []loop        // the lines of a drawing's frame, with the cells of its title block, which were taken off
}

// join puts open pieces together to closed loops, in whatever order and direction they come. Ends within snap are one
// point; ends that meet nothing are joined to the nearest such end within tol (mm). With keep, networks that branch
// are left as they are (lettering); else their faces are found. Cost: linear, but for sorting.
func join(w *work.Watch, es []*dxf.Entity, tol float64, keep bool) joined {
	return joinOf(w, es, tol, keep, false)
}

// joinOf is join; with cross, sides that were drawn too long are cut where they cross.
func joinOf(w *work.Watch, es []*dxf.Entity, tol float64, keep, cross bool) joined {
	j, ps := closedOf(w, es)
	j.put(w, ps, tol, keep, cross)
	return j
}

// closedOf takes what is closed already as loops, and returns the rest as pieces to be put together.
func closedOf(w *work.Watch, es []*dxf.Entity) (joined, []piece) {
	var j joined
	var ps []piece
	closed := 0
	for _, e := range es {
		if e.Path.Closed {
			closed++
		}
	}
	j.loops = make([]loop, 0, closed)
	for _, e := range es {
		w.Step()
		p := e.Path
		switch {
		case p.Closed && (len(p.Vertices) >= 3 || len(p.Vertices) == 2 && (p.Vertices[0].Bulge != 0 || p.Vertices[1].Bulge != 0)):
			if l := newLoop(tidy(p), e); l.box.W()+l.box.H() > snap && len(l.path.Vertices) > 1 {
				j.loops = append(j.loops, l)
				continue
			}
			j.none = append(j.none, e)
		case p.Box().W()+p.Box().H() < snap:
			j.none = append(j.none, e)
		default:
			p.Closed = false
			ps = append(ps, piece{path: p, from: e})
		}
	}
	return j, ps
}

// put puts pieces together to loops, and adds these to j's.
func (j *joined) put(w *work.Watch, ps []piece, tol float64, keep, cross bool) {
	g := network(w, ps)
	g.dropSame(j)
	if split, ok := g.split(cross, tol); ok {
		g = network(w, split)
		g.dropSame(j)
	}
	if !keep {
		g.dropAlong(j)
	}
	g.bridge(tol, j)
	g.trace(keep, j)
	j.dropSameLoops(w)
	j.dropCovered(w)
}

// dropCovered drops open pieces that run along a closed line all their way: parts of it that were drawn twice.
func (j *joined) dropCovered(w *work.Watch) {
	if len(j.open) == 0 || len(j.open) > maxSplits || len(j.loops) == 0 {
		return
	}
	find := newFinder(w, j.loops)
	drop := make([]bool, len(j.open))
	n := 0
	for i := range j.open {
		p := &j.open[i]
		if p.spur {
			continue
		}
		near := find.near(p.path.Box(), snap)
		for _, k := range near[:min(len(near), 100)] {
			l := &j.loops[k]
			covered := l.near(p.end(true), 2*snap)
			for _, e := range p.path.Edges() {
				covered = covered && l.near(e.From, 2*snap) && l.near(e.Mid(), 2*snap)
			}
			if covered {
				drop[i] = true
				n++
				j.same = append(j.same, p.from)
				break
			}
		}
	}
	if n == 0 {
		return
	}
	open, ends := j.open, j.ends
	j.open, j.ends = nil, nil
	index := make([]int, len(open))
	for i := range open {
		if index[i] = len(j.open); !drop[i] {
			j.open = append(j.open, open[i])
		}
	}
	for _, e := range ends {
		if !drop[e.of] {
			e.of = index[e.of]
			j.ends = append(j.ends, e)
		}
	}
}

// tidy drops vertices of a closed path that repeat the one before.
func tidy(p dxf.Path) dxf.Path {
	n := len(p.Vertices)
	if n < 2 {
		return p
	}
	repeats := false
	for i, v := range p.Vertices {
		if v.XY == p.Vertices[(i+1)%n].XY {
			repeats = true
		}
	}
	if !repeats {
		return p
	}
	var vs []dxf.Vertex
	for i, v := range p.Vertices {
		if v.XY != p.Vertices[(i+1)%n].XY {
			vs = append(vs, v)
		}
	}
	return dxf.Path{Vertices: vs, Closed: true}
}

// net is the pieces as a graph. End 2i is the start of piece i, 2i+1 its end.
type net struct {
	watch *work.Watch
	ps    []piece
	node  []int32  // of each end
	at    []dxf.XY // of each node: its first point
	deg   []int32  // ends at each node
	dead  []bool   // pieces out of the game
	ends  [][]int32
}

// network gives every end its node: the nearest one within snap, else a new one. A hash of cells ten times as wide
// as snap finds it; only points near a cell's border look into the next. The chains of the hash hold node numbers alone:
// what does not belong into a cell is too far away anyway.
func network(w *work.Watch, ps []piece) *net {
	g := &net{watch: w, ps: ps, node: make([]int32, 2*len(ps)), dead: make([]bool, len(ps))}
	bits := 4
	for 1<<bits < 2*len(ps) {
		bits++
	}
	first := make([]int32, 1<<bits) // node + 1; 0: none
	next := make([]int32, 0, len(ps)+1)
	slot := func(x, y float64) uint64 {
		// Multiplicative hashing with odd constants near 2^64 over the golden ratio and its square (D. E. Knuth, "The
		// Art of Computer Programming" vol. 3, section 6.4).
		return (uint64(int64(x))*0x9E3779B97F4A7C15 ^ uint64(int64(y))*0xC2B2AE3D27D4EB4F) * 0x9E3779B97F4A7C15 >> (64 - bits)
	}
	const size = 10 * snap
	g.at = make([]dxf.XY, 0, len(ps)+1)
	for i := range 2 * len(ps) {
		w.Step()
		p := ps[i/2].end(i%2 == 1)
		x0, x1 := math.Floor((p.X-snap)/size), math.Floor((p.X+snap)/size)
		y0, y1 := math.Floor((p.Y-snap)/size), math.Floor((p.Y+snap)/size)
		best, dist := int32(-1), snap
		look := func(x, y float64) {
			for n := first[slot(x, y)] - 1; n >= 0; n = next[n] - 1 {
				if math.Abs(g.at[n].X-p.X) > snap {
					continue
				}
				if d := g.at[n].Dist(p); d < dist || d == dist && best < 0 {
					best, dist = n, d
				}
			}
		}
		look(x0, y0)
		if x1 != x0 {
			look(x1, y0)
		}
		if y1 != y0 {
			look(x0, y1)
			if x1 != x0 {
				look(x1, y1)
			}
		}
		if best < 0 {
			best = int32(len(g.at))
			g.at = append(g.at, p)
			s := slot(math.Floor(p.X/size), math.Floor(p.Y/size))
			next = append(next, first[s])
			first[s] = best + 1
		}
		g.node[i] = best
	}
	g.recount()
	return g
}

// recount sets deg and ends from node and dead.
func (g *net) recount() {
	g.deg = make([]int32, len(g.at))
	for i, n := range g.node {
		if !g.dead[i/2] {
			g.deg[n]++
		}
	}
	store := make([]int32, len(g.node))
	g.ends = make([][]int32, len(g.at))
	for n, d := range g.deg {
		g.ends[n], store = store[:0:d], store[d:]
	}
	for i, n := range g.node {
		if !g.dead[i/2] {
			g.ends[n] = append(g.ends[n], int32(i))
		}
	}
}

// dropSame drops pieces that repeat an earlier one, in either direction. At a node where very many meet, only the
// earlier pieces between the same two nodes are looked at, of which a map keeps up to 16.
func (g *net) dropSame(j *joined) {
	const crowd = 16
	var kept map[[2]int32][]int32 // by the pair of nodes, for crowds
	n := len(j.same)
	for i := range g.ps {
		g.watch.Step()
		a, b := g.node[2*i], g.node[2*i+1]
		// The end with the fewer neighbours leads to all candidates.
		at := a
		if len(g.ends[b]) < len(g.ends[a]) {
			at = b
		}
		twin := func(o int32) bool {
			return int(o) < i && !g.dead[o] && samePath(g.ps[o].path, g.ps[i].path, g.node[2*o] != a)
		}
		same := false
		if len(g.ends[at]) <= crowd {
			for _, e := range g.ends[at] {
				o := e / 2
				if c, d := g.node[2*o], g.node[2*o+1]; c == a && d == b || c == b && d == a {
					same = same || twin(o)
				}
			}
		} else {
			if kept == nil {
				kept = map[[2]int32][]int32{}
			}
			k := [2]int32{min(a, b), max(a, b)}
			same = slices.ContainsFunc(kept[k], twin)
			if !same && len(kept[k]) < 16 { // more different ways between two points are no mistake of a hand
				kept[k] = append(kept[k], int32(i))
			}
		}
		if same {
			g.dead[i] = true
			j.same = append(j.same, g.ps[i].from)
		}
	}
	if len(j.same) > n {
		g.recount()
	}
}

// samePath reports whether two paths have the same corners and edges within snap; with turned, q runs the other way.
func samePath(p, q dxf.Path, turned bool) bool {
	if len(p.Vertices) != len(q.Vertices) {
		return false
	}
	if turned {
		q = q.Reversed()
	}
	a, b := p.Edges(), q.Edges()
	for i := range a {
		if a[i].From.Dist(b[i].From) > snap || a[i].To.Dist(b[i].To) > snap || a[i].Mid().Dist(b[i].Mid()) > snap {
			return false
		}
	}
	return true
}

// mostBent is the greatest gap, mm, whose ends are moved half way to each other; a wider one gets a straight piece, lest
// sides come out slanted.
const mostBent = 0.1

// link puts a straight piece between two loose ends.
func (g *net) link(a, b int32, from *dxf.Entity) {
	i := int32(len(g.ps))
	g.ps = append(g.ps, piece{path: dxf.Path{Vertices: []dxf.Vertex{{XY: g.at[a]}, {XY: g.at[b]}}}, from: from})
	g.dead = append(g.dead, false)
	g.node = append(g.node, a, b)
	g.ends[a], g.ends[b] = append(slices.Clip(g.ends[a]), 2*i), append(slices.Clip(g.ends[b]), 2*i+1)
	g.deg[a], g.deg[b] = 2, 2
}

// bridge joins ends that meet nothing to each other, nearest pairs first, when they are no more than tol apart.
func (g *net) bridge(tol float64, j *joined) {
	var free []int32
	for n, d := range g.deg {
		if d == 1 {
			free = append(free, int32(n))
		}
	}
	if len(free) < 2 || tol <= snap {
		return
	}
	type pair struct {
		a, b int32
		d    float64
	}
	// Cells as wide as tol; nodes lie at least snap apart, so that a cell holds few.
	type cell struct{ x, y int64 }
	cells := map[cell][]int32{}
	var pairs []pair
	for _, n := range free {
		g.watch.Step()
		x, y := int64(math.Floor(g.at[n].X/tol)), int64(math.Floor(g.at[n].Y/tol))
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for _, o := range cells[cell{x + dx, y + dy}] {
					if d := g.at[o].Dist(g.at[n]); d <= tol {
						pairs = append(pairs, pair{o, n, d})
					}
				}
			}
		}
		if c := (cell{x, y}); len(cells[c]) < 256 {
			cells[c] = append(cells[c], n)
		}
	}
	slices.SortFunc(pairs, func(p, q pair) int {
		g.watch.Step()
		return cmp.Or(cmp.Compare(p.d, q.d), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	for _, p := range pairs {
		if g.deg[p.a] != 1 || g.deg[p.b] != 1 {
			continue
		}
		e := g.ends[p.b][0]
		if g.ends[p.a][0]^1 == e && g.ps[e/2].path.Perimeter() < 4*tol {
			continue // a short stroke is not bent into a ring
		}
		if p.d > mostBent {
			g.link(p.a, p.b, g.ps[e/2].from)
			j.gaps = append(j.gaps, gap{g.at[p.a].Add(g.at[p.b]).Times(0.5), p.d, g.ps[e/2].from})
			continue
		}
		g.node[e] = p.a
		g.ends[p.a] = append(g.ends[p.a], e)
		g.ends[p.b] = nil
		g.deg[p.a], g.deg[p.b] = 2, 0
		j.gaps = append(j.gaps, gap{g.at[p.a].Add(g.at[p.b]).Times(0.5), p.d, g.ps[e/2].from})
	}
}

// dropSameLoops drops loops that repeat an earlier one.
func (j *joined) dropSameLoops(w *work.Watch) {
	const size = 1.0 // mm
	corners := newGrid(w, size, len(j.loops))
	kept := j.loops[:0] // the loops are join's own
	for i := range j.loops {
		w.Step()
		l := j.loops[i]
		twin := false
		corners.near(l.box.Min, snap, func(k int) {
			o := &kept[k]
			twin = twin || o.box.Min.Dist(l.box.Min) < snap && o.box.Max.Dist(l.box.Max) < snap &&
				math.Abs(o.area-l.area) <= snap*(o.box.W()+o.box.H()) && o.round == l.round
		})
		if twin {
			j.same, j.twins = append(j.same, l.from), append(j.twins, l)
			continue
		}
		corners.add(l.box.Min)
		kept = append(kept, l)
	}
	j.loops = kept
}
