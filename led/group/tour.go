package group

import (
	"math"
	"slices"
)

// tourRounds bounds the passes of improveTour; it hardly ever needs ten.
const tourRounds = 30

// improveTour shortens the closed tour with 2-opt and or-opt moves among near neighbours until none helps.
func improveTour(tour []int, near [][]int, hop metric) []int {
	n := len(tour)
	if n < 4 {
		return tour
	}
	t := slices.Clone(tour)
	pos := make([]int, n)
	place := func(from, to int) {
		for i := from; i <= to; i++ {
			pos[t[i]] = i
		}
	}
	place(0, n-1)
	next := func(i int) int { return t[(pos[i]+1)%n] }
	prev := func(i int) int { return t[(pos[i]+n-1)%n] }
	reverse := func(i, j int) { // positions i..j, i <= j
		slices.Reverse(t[i : j+1])
		place(i, j)
	}
	for range tourRounds {
		better := false
		for a := range n {
			for _, c := range near[a] {
				// 2-opt: edges a-next(a) and c-next(c) become a-c and next(a)-next(c).
				b, d := next(a), next(c)
				if hop(a, c) < hop(a, b) && a != d && b != c &&
					hop(a, c)+hop(b, d) < hop(a, b)+hop(c, d) {
					i, j := pos[a], pos[c]
					if i < j {
						reverse(i+1, j)
					} else {
						reverse(j+1, i)
					}
					better = true
					continue
				}
				// or-opt: a alone moves between c and one of its neighbours.
				p, q := prev(a), next(a)
				gain := hop(p, a) + hop(a, q) - hop(p, q)
				if gain <= hop(a, c) {
					continue
				}
				for _, e := range [2]int{next(c), prev(c)} {
					if c == p && e == q || c == q && e == p || c == a || e == a {
						continue
					}
					if hop(c, a)+hop(a, e)-hop(c, e) < gain {
						move(t, pos, a, c, e)
						better = true
						break
					}
				}
			}
		}
		if !better {
			break
		}
	}
	return t
}

// move takes a out of the tour and puts it between its neighbours-to-be c and e.
func move(t, pos []int, a, c, e int) {
	n := len(t)
	from := pos[a]
	t = slices.Delete(t, from, from+1)
	// Positions shift by one after the gap.
	ic := pos[c]
	if ic > from {
		ic--
	}
	ie := pos[e]
	if ie > from {
		ie--
	}
	at := max(ic, ie)
	if min(ic, ie) == 0 && at == n-2 && n > 3 {
		at = n - 1 // between the last and the first
	}
	t = slices.Insert(t, at, a)
	for i, p := range t {
		pos[p] = i
	}
}

// cutTour cuts the closed tour into count pieces, big of them with size+1 points and the others with size, so that the edges
// cut out are as long as can be together.
func cutTour(tour []int, size, count, big int, hop metric) [][]int {
	n := len(tour)
	if count <= 1 {
		// Cut at the longest edge.
		at, longest := 0, int64(-1)
		for i := range tour {
			if d := hop(tour[i], tour[(i+1)%n]); d > longest {
				at, longest = (i+1)%n, d
			}
		}
		return [][]int{slices.Concat(tour[at:], tour[:at])}
	}
	cut := make([]int64, n) // before position i
	for i := range tour {
		cut[i] = hop(tour[(i+n-1)%n], tour[i])
	}
	// Where the first piece starts matters: every start within one piece, unless that were too much work.
	starts := size
	if big > 0 {
		starts = size + 1
	}
	const work = 20_000_000
	states := (count + 1) * (big + 1)
	starts = max(1, min(starts, work/states))
	var best []int
	bestGain := int64(-1)
	for s := range min(starts, n) {
		sizes, gain := cutFrom(cut, s, size, count, big)
		if gain > bestGain {
			bestGain, best = gain, append([]int{s}, sizes...)
		}
	}
	out := make([][]int, 0, count)
	at := best[0]
	for _, k := range best[1:] {
		piece := make([]int, k)
		for i := range piece {
			piece[i] = tour[(at+i)%n]
		}
		out = append(out, piece)
		at += k
	}
	return out
}

// cutFrom returns the sizes of the pieces from position s on, and the length of the edges cut out. A state is the number of
// pieces and how many of them are big; together they tell the position.
func cutFrom(cut []int64, s, size, count, big int) (sizes []int, gain int64) {
	n := len(cut)
	w := big + 1
	best := make([]int64, w)
	next := make([]int64, w)
	wasBig := make([]bool, (count+1)*w)
	for b := range best {
		best[b] = math.MinInt64
	}
	best[0] = 0
	for p := 1; p <= count; p++ {
		for b := range next {
			next[b] = math.MinInt64
			// A piece p that ends at this position cuts the edge before the next one.
			edge := cut[(s+p*size+b)%n]
			if p-b <= count-big && best[b] > math.MinInt64 {
				next[b] = best[b] + edge
			}
			if b > 0 && best[b-1] > math.MinInt64 && best[b-1]+edge > next[b] {
				next[b] = best[b-1] + edge
				wasBig[p*w+b] = true
			}
		}
		best, next = next, best
	}
	gain = best[big]
	sizes = make([]int, count)
	for p, b := count, big; p > 0; p-- {
		sizes[p-1] = size
		if wasBig[p*w+b] {
			sizes[p-1]++
			b--
		}
	}
	return sizes, gain
}

// pathLen returns the length of the path.
func pathLen(path []int, hop metric) int64 {
	sum := int64(0)
	for i := 1; i < len(path); i++ {
		sum += hop(path[i-1], path[i])
	}
	return sum
}

// improvePath shortens an open path: exactly up to exactPoints, else by reversing pieces and moving single points until
// nothing helps.
func improvePath(path []int, hop metric) []int {
	if len(path) <= 2 {
		return path
	}
	if len(path) <= exactPoints {
		return shortestPath(path, hop)
	}
	p := slices.Clone(path)
	n := len(p)
	d := func(i, j int) int64 { // positions; off the ends costs nothing
		if i < 0 || j >= n {
			return 0
		}
		return hop(p[i], p[j])
	}
	for range tourRounds {
		better := false
		for i := range n - 1 {
			for j := i + 1; j < n; j++ {
				before := d(i-1, i) + d(j, j+1)
				after := int64(0)
				if i > 0 {
					after += hop(p[i-1], p[j])
				}
				if j+1 < n {
					after += hop(p[i], p[j+1])
				}
				if after < before {
					slices.Reverse(p[i : j+1])
					better = true
				}
			}
		}
		for i := range n {
			q := slices.Delete(slices.Clone(p), i, i+1)
			at, _ := insertion(q, p[i], hop)
			if at != i {
				q = slices.Insert(q, at, p[i])
				if pathLen(q, hop) < pathLen(p, hop) {
					p, better = q, true
				}
			}
		}
		if !better {
			break
		}
	}
	return p
}

// insertion returns where a fits into the path at the least cost, and that cost.
func insertion(path []int, a int, hop metric) (at int, cost int64) {
	cost = math.MaxInt64
	for i := 0; i <= len(path); i++ {
		c := int64(0)
		if i > 0 {
			c += hop(path[i-1], a)
		}
		if i < len(path) {
			c += hop(a, path[i])
		}
		if i > 0 && i < len(path) {
			c -= hop(path[i-1], path[i])
		}
		if c < cost {
			at, cost = i, c
		}
	}
	return at, cost
}
