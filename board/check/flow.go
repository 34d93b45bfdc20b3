package check

// pipes is a network whose pipes carry up to their capacity either way.
type pipes struct {
	arcs  []arc
	from  [][]int // arcs out of each node; arc i runs back as i^1
	level []int
	next  []int
}

// arc is one way through a pipe.
type arc struct {
	to   int
	left int64 // of its capacity
	cap  int64
	of   int // the copper that it is, -1: none that can be too narrow
	at   joint
}

func (f *pipes) node() int {
	f.from = append(f.from, nil)
	return len(f.from) - 1
}

func (f *pipes) pipe(a, b int, capacity int64, of int, at joint) {
	f.from[a] = append(f.from[a], len(f.arcs))
	f.from[b] = append(f.from[b], len(f.arcs)+1)
	f.arcs = append(f.arcs, arc{b, capacity, capacity, of, at}, arc{a, capacity, capacity, of, at})
}

// most sends as much as it can from s to t and returns how much that is.
//
// Source: E. A. Dinic, "Algorithm for solution of a problem of maximum flow in networks with power estimation", Soviet
// Mathematics Doklady 11, 1970: rounds of levels by breadth first, each filled along shortest ways until none is left.
func (f *pipes) most(s, t int) int64 {
	total := int64(0)
	for f.spread(s); f.level[t] >= 0; f.spread(s) {
		f.next = make([]int, len(f.from))
		for {
			sent := f.send(s, t)
			if sent == 0 {
				break
			}
			total += sent
		}
	}
	return total
}

// spread finds how many pipes with something left lie between s and each node; -1: no way leads there.
func (f *pipes) spread(s int) {
	f.level = make([]int, len(f.from))
	for i := range f.level {
		f.level[i] = -1
	}
	f.level[s] = 0
	queue := []int{s}
	for k := 0; k < len(queue); k++ {
		for _, i := range f.from[queue[k]] {
			if a := f.arcs[i]; a.left > 0 && f.level[a.to] < 0 {
				f.level[a.to] = f.level[queue[k]] + 1
				queue = append(queue, a.to)
			}
		}
	}
}

// send fills one shortest way from s to t and returns how much it took, 0 where none is left. Levels bound its length; it walks
// with a stack of its own, since a track may have many joints.
func (f *pipes) send(s, t int) int64 {
	var way []int
	at := s
	for at != t {
		moved := false
		for ; f.next[at] < len(f.from[at]); f.next[at]++ {
			i := f.from[at][f.next[at]]
			if a := f.arcs[i]; a.left > 0 && f.level[a.to] == f.level[at]+1 {
				way, at, moved = append(way, i), a.to, true
				break
			}
		}
		if moved {
			continue
		}
		if len(way) == 0 {
			return 0
		}
		last := way[len(way)-1]
		way = way[:len(way)-1]
		at = f.arcs[last^1].to
		f.next[at]++
	}
	least := f.arcs[way[0]].left
	for _, i := range way {
		least = min(least, f.arcs[i].left)
	}
	for _, i := range way {
		f.arcs[i].left -= least
		f.arcs[i^1].left += least
	}
	return least
}

// narrowest returns of the copper where most has filled all ways on the widest, since that is the one to mend; nil where nothing
// is too narrow: what is missing then cannot be reached at all.
func (f *pipes) narrowest() *arc {
	var worst *arc
	for a := range f.from {
		for _, i := range f.from[a] {
			x := &f.arcs[i]
			if f.level[a] >= 0 && f.level[x.to] < 0 && x.of >= 0 && (worst == nil || x.cap > worst.cap) {
				worst = x
			}
		}
	}
	return worst
}
