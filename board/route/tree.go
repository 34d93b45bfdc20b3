package route

import (
	"slices"

	"lampblack/panel/disjoint"
)

// A net's copper on the lattice is a tree of legs. Legs meet at pins and at junctions, and a junction is always an end
// of each leg in it: a leg that is joined in its middle is cut there.

// component is a connected part of a net: pins, and legs between them.
type component struct {
	pins []int
	legs []int // indices into net.legs
	size int   // nodes
}

// components returns the parts of the net, ordered by their first pin. Parts without a pin come last.
func (n *net) components() []component {
	sets := disjoint.New(len(n.pins) + len(n.legs))
	pinAt := make(map[int]int, len(n.pins))
	for i, p := range n.pins {
		pinAt[p] = i
	}
	joint := map[int32]int{} // end node without a pin → first leg there
	for i, l := range n.legs {
		me := len(n.pins) + i
		for e, p := range [2]int{l.a, l.b} {
			if p >= 0 {
				sets.Join(me, pinAt[p])
				continue
			}
			node := l.end(e)
			if k, ok := joint[node]; ok {
				sets.Join(me, k)
			} else {
				joint[node] = me
			}
		}
	}
	var out []component
	index := map[int]int{}
	for i := range sets {
		r := sets.Least(i)
		k, ok := index[r]
		if !ok {
			k = len(out)
			index[r] = k
			out = append(out, component{})
		}
		if i < len(n.pins) {
			out[k].pins = append(out[k].pins, n.pins[i])
			out[k].size++
		} else {
			out[k].legs = append(out[k].legs, i-len(n.pins))
			out[k].size += len(n.legs[i-len(n.pins)].nodes)
		}
	}
	return out
}

// end returns the node at the start (0) or the end (1) of the leg.
func (l *leg) end(e int) int32 {
	if e == 0 {
		return l.nodes[0]
	}
	return l.nodes[len(l.nodes)-1]
}

// prune drops legs that lead nowhere, and joins legs that meet end to end without a branch.
func (n *net) prune() {
	for {
		degree := map[int32]int{}
		for i := range n.legs {
			l := &n.legs[i]
			if l.a < 0 {
				degree[l.end(0)]++
			}
			if l.b < 0 {
				degree[l.end(1)]++
			}
		}
		before := len(n.legs)
		n.legs = slices.DeleteFunc(n.legs, func(l leg) bool {
			return l.a < 0 && degree[l.end(0)] < 2 || l.b < 0 && degree[l.end(1)] < 2
		})
		if len(n.legs) == before {
			break
		}
	}
	n.merge()
}

// merge joins legs of one width that meet end to end.
func (n *net) merge() {
	at := map[int32][]int{}
	note := func() {
		clear(at)
		for i := range n.legs {
			l := &n.legs[i]
			if l.a < 0 {
				at[l.end(0)] = append(at[l.end(0)], i)
			}
			if l.b < 0 {
				at[l.end(1)] = append(at[l.end(1)], i)
			}
		}
	}
	note()
	for i := 0; i < len(n.legs); i++ {
		for e := range 2 {
			l := &n.legs[i]
			if e == 0 && l.a >= 0 || e == 1 && l.b >= 0 {
				continue
			}
			node := l.end(e)
			both := at[node]
			if len(both) != 2 || both[0] == both[1] {
				continue
			}
			j := both[0] + both[1] - i
			m := &n.legs[j]
			if m.width != l.width || m.trunk != l.trunk {
				continue
			}
			// l runs to the node, m from it.
			x, y := l.oriented(e == 0), m.oriented(m.b < 0 && m.end(1) == node && !(m.a < 0 && m.end(0) == node))
			x.nodes = append(slices.Clone(x.nodes), y.nodes[1:]...)
			x.b = y.b
			n.legs[min(i, j)] = x
			n.legs = slices.Delete(n.legs, max(i, j), max(i, j)+1)
			note()
			i = min(i, j) - 1
			break
		}
	}
}

// oriented returns the leg, turned round if turn is set.
func (l *leg) oriented(turn bool) leg {
	if !turn {
		return *l
	}
	out := *l
	out.nodes = slices.Clone(l.nodes)
	slices.Reverse(out.nodes)
	out.a, out.b = l.b, l.a
	return out
}

// split cuts leg i at a node and returns whether the node lies in its middle.
func (n *net) split(i int, node int32) {
	l := n.legs[i]
	k := slices.Index(l.nodes, node)
	if k <= 0 || k == len(l.nodes)-1 {
		return
	}
	first, second := l, l
	first.nodes, first.b = slices.Clone(l.nodes[:k+1]), -1
	second.nodes, second.a = slices.Clone(l.nodes[k:]), -1
	n.legs[i] = first
	n.legs = append(n.legs, second)
}
