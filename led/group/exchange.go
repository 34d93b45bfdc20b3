package group

import (
	"math"
	"math/bits"
	"slices"
)

// exactPoints is how many points the recursion over subsets is used for: 2^12 sets of 12 last points are 50 000 sums.
const exactPoints = 12

// subsets is Held and Karp's recursion for open paths among a few points: cost[set*m+last] is the shortest path through
// all of set that ends in last, for sets of up to largest points.
type subsets struct {
	points []int
	dist   []int64
	cost   []int64
	best   []int64 // of any last point, by set
	sums   int     // that the last fill took
}

// fill computes the table for the points; buffers are used again.
func (t *subsets) fill(points []int, largest int, hop metric) {
	m := len(points)
	t.points, t.sums = points, 0
	t.dist = slices.Grow(t.dist[:0], m*m)[:m*m]
	for i := range points {
		for j := range points {
			t.dist[i*m+j] = hop(points[i], points[j])
		}
	}
	t.cost = slices.Grow(t.cost[:0], m<<m)[:m<<m]
	t.best = slices.Grow(t.best[:0], 1<<m)[:1<<m]
	t.best[0] = 0
	for set := 1; set < 1<<m; set++ {
		size := bits.OnesCount(uint(set))
		if size > largest {
			continue
		}
		best := int64(math.MaxInt64)
		for rest := set; rest != 0; rest &= rest - 1 {
			last := bits.TrailingZeros(uint(rest))
			before := set &^ (1 << last)
			c := int64(math.MaxInt64)
			if before == 0 {
				c = 0
			}
			for r := before; r != 0; r &= r - 1 {
				j := bits.TrailingZeros(uint(r))
				c = min(c, t.cost[before*m+j]+t.dist[j*m+last])
			}
			t.cost[set*m+last] = c
			t.sums += size
			best = min(best, c)
		}
		t.best[set] = best
	}
}

// path returns the shortest path through the set.
func (t *subsets) path(set int) []int {
	m := len(t.points)
	var out []int
	want := t.best[set]
	for set != 0 {
		for r := set; r != 0; r &= r - 1 {
			last := bits.TrailingZeros(uint(r))
			tail := int64(0)
			if len(out) > 0 {
				tail = t.dist[last*m+out[len(out)-1]]
			}
			if t.cost[set*m+last]+tail == want {
				want -= tail
				out = append(out, last)
				set &^= 1 << last
				break
			}
		}
	}
	for i := range out {
		out[i] = t.points[out[i]]
	}
	return out
}

// shortestPath returns the shortest open path through the points.
func shortestPath(points []int, hop metric) []int {
	var t subsets
	t.fill(points, len(points), hop)
	return t.path(1<<len(points) - 1)
}

// exchange improves neighbouring paths together. The number of paths and the sizes of all paths as a whole stay.
func exchange(paths [][]int, near [][]int, hop metric) [][]int {
	e := &exchanger{paths: paths, near: near, hop: hop, budget: 150_000_000}
	e.of = make([]int, len(near))
	e.version = make([]int, len(paths))
	for s, p := range paths {
		for _, a := range p {
			e.of[a] = s
		}
	}
	longest := 0
	for _, p := range paths {
		longest = max(longest, len(p))
	}
	if 2*longest > exactPoints+2 {
		e.run(e.swaps, false)
		return e.paths
	}
	e.run(e.exactly, false)
	if 3*longest <= exactPoints+3 && len(paths) > 2 {
		e.run(e.exactly, true)
	}
	return e.paths
}

// exchanger is the state of exchange.
type exchanger struct {
	paths   [][]int
	near    [][]int
	hop     metric
	of      []int // path of each point
	version []int // of each path, grows with every change
	tried   map[[3]int][3]int
	table   subsets
	budget  int // sums left to do
}

// run applies improve to all pairs, or triples, of neighbouring paths until none helps or the budget is spent.
func (e *exchanger) run(improve func([]int) bool, triples bool) {
	e.tried = map[[3]int][3]int{}
	for better := true; better && e.budget > 0; {
		better = false
		for s := range e.paths {
			beside := e.beside(s)
			if triples {
				beside = beside[:min(len(beside), 6)]
			}
			for i, t := range beside {
				if !triples {
					better = e.try(improve, s, t) || better
					continue
				}
				for _, u := range beside[i+1:] {
					better = e.try(improve, s, t, u) || better
				}
			}
		}
	}
}

// try improves the group unless it has been tried since any of it changed.
func (e *exchanger) try(improve func([]int) bool, group ...int) bool {
	if e.budget <= 0 {
		return false
	}
	slices.Sort(group)
	key, stamp := [3]int{-1, -1, -1}, [3]int{}
	for i, s := range group {
		key[i], stamp[i] = s, e.version[s]
	}
	if old, ok := e.tried[key]; ok && old == stamp {
		return false
	}
	ok := improve(group)
	for i, s := range group {
		if ok {
			e.version[s]++
			for _, a := range e.paths[s] {
				e.of[a] = s
			}
		}
		stamp[i] = e.version[s]
	}
	e.tried[key] = stamp
	return ok
}

// beside returns the paths that hold near neighbours of path s, most of them first.
func (e *exchanger) beside(s int) []int {
	var out, count []int
	for _, a := range e.paths[s] {
		for _, b := range e.near[a] {
			t := e.of[b]
			if t == s {
				continue
			}
			i := slices.Index(out, t)
			if i < 0 {
				out, count = append(out, t), append(count, 0)
				i = len(out) - 1
			}
			count[i]++
		}
	}
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return count[b] - count[a] })
	sorted := make([]int, len(out))
	for i, j := range order {
		sorted[i] = out[j]
	}
	return sorted
}

// exactly cuts the points of two or three paths anew in the best way there is.
func (e *exchanger) exactly(group []int) bool {
	var points []int
	total := int64(0)
	largest := 0
	for _, s := range group {
		points = append(points, e.paths[s]...)
		total += pathLen(e.paths[s], e.hop)
		largest = max(largest, len(e.paths[s]))
	}
	m := len(points)
	e.table.fill(points, largest, e.hop)
	full := 1<<m - 1
	best, cuts := total, [3]int{}
	sizes := make([]int, len(group))
	for i, s := range group {
		sizes[i] = len(e.paths[s])
	}
	// Sizes differ by one at most, so that which path is the big one is free as long as their number stays: the set with
	// point 0 takes each size there is in turn.
	for i, first := range sizes {
		if slices.Contains(sizes[:i], first) {
			continue
		}
		rest := slices.Delete(slices.Clone(sizes), i, i+1)
		walk := choose(full&^1, first-1)
		for set, ok := walk.step(); ok; set, ok = walk.step() {
			e.budget--
			set |= 1
			c := e.table.best[set]
			if c >= best {
				continue
			}
			left := full &^ set
			if len(rest) == 1 {
				if c += e.table.best[left]; c < best {
					best, cuts = c, [3]int{set, left}
				}
				continue
			}
			low := left & -left
			for j, second := range rest {
				if j > 0 && second == rest[0] {
					continue
				}
				inner := choose(left&^low, second-1)
				for two, ok := inner.step(); ok; two, ok = inner.step() {
					two |= low
					three := left &^ two
					if d := c + e.table.best[two] + e.table.best[three]; d < best {
						best, cuts = d, [3]int{set, two, three}
					}
				}
			}
		}
	}
	e.budget -= e.table.sums
	if best >= total {
		return false
	}
	for i, s := range group {
		e.paths[s] = e.table.path(cuts[i])
	}
	return true
}

// choice walks the subsets of a set that have k members.
type choice struct {
	at   [16]uint8 // the set's members
	n    int
	next int // the next subset, as bits of at
	done bool
}

// choose returns the walk over the subsets of set with k members.
func choose(set, k int) choice {
	var c choice
	for r := set; r != 0; r &= r - 1 {
		c.at[c.n] = uint8(bits.TrailingZeros(uint(r)))
		c.n++
	}
	c.next, c.done = 1<<k-1, k > c.n
	return c
}

// step returns the next subset, or false after the last.
func (c *choice) step() (int, bool) {
	if c.done {
		return 0, false
	}
	set := 0
	for r := c.next; r != 0; r &= r - 1 {
		set |= 1 << c.at[bits.TrailingZeros(uint(r))]
	}
	if c.next == 0 {
		c.done = true
		return set, true
	}
	// The next larger number of as many bits (Gosper; HAKMEM, MIT AI Memo 239, 1972, item 175).
	low := c.next & -c.next
	up := c.next + low
	c.next = (c.next^up)>>2/low | up
	c.done = c.next >= 1<<c.n
	return set, true
}

// swaps exchanges single points between two long paths, and gives one from the longer to the shorter.
func (e *exchanger) swaps(group []int) bool {
	s, t := group[0], group[1]
	any := false
	for better := true; better && e.budget > 0; {
		better = false
		p, q := e.paths[s], e.paths[t]
		total := pathLen(p, e.hop) + pathLen(q, e.hop)
		try := func(np, nq []int) bool {
			e.budget -= len(np) + len(nq)
			if pathLen(np, e.hop)+pathLen(nq, e.hop) >= total {
				return false
			}
			e.paths[s], e.paths[t] = improvePath(np, e.hop), improvePath(nq, e.hop)
			any, better = true, true
			return true
		}
		if e.tails(p, q, try) || e.singles(p, q, try) {
			continue
		}
	}
	return any
}

// tails tries every exchange of ends of equal length, either way round; and of ends that differ by one where the paths do.
func (e *exchanger) tails(p, q []int, try func(np, nq []int) bool) bool {
	for _, u := range [2][]int{p, reversed(p)} {
		for _, v := range [2][]int{q, reversed(q)} {
			for i := 1; i < len(u); i++ {
				for _, j := range [2]int{len(v) - (len(u) - i), i} { // equal tails, or equal heads
					if j < 1 || j >= len(v) {
						continue
					}
					if try(slices.Concat(u[:i], v[j:]), slices.Concat(v[:j], u[i:])) {
						return true
					}
				}
			}
		}
	}
	return false
}

// singles tries to swap each point of p with each of q.
func (e *exchanger) singles(p, q []int, try func(np, nq []int) bool) bool {
	for i, a := range p {
		for j, b := range q {
			np, nq := slices.Delete(slices.Clone(p), i, i+1), slices.Delete(slices.Clone(q), j, j+1)
			x, _ := insertion(np, b, e.hop)
			y, _ := insertion(nq, a, e.hop)
			if try(slices.Insert(np, x, b), slices.Insert(nq, y, a)) {
				return true
			}
		}
	}
	return false
}

func reversed(p []int) []int {
	out := slices.Clone(p)
	slices.Reverse(out)
	return out
}
