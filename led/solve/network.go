package solve

import (
	"slices"

	"lampblack/led"
	"lampblack/panel/disjoint"
)

// The console as an electrical network: conductors between nodes, strings that hang between two nodes each, and one supply.
//
// The supply conductors and 0 V have nodes of their own, so that chains, rings, branches and groups with a common 0 V are
// all the same to the solver.

// node is a point of the network.
type node int

// The nodes that every network has.
const (
	ground   node = 0 // 0 V at the supply's terminals: all voltages are against it
	emf      node = 1 // what the supply would have without load
	terminal node = 2 // the supply's positive terminal
)

// conductor is a resistance between two nodes.
type conductor struct {
	a, b node
	ohms float64
}

// tap is a place where strings hang: one group of one board.
type tap struct{ p, n node }

// network is the conductors of a console and where its strings hang.
type network struct {
	nodes      int
	conductors []conductor
	taps       []tap
	others     []led.Load // at the terminal
}

// add returns a new node.
func (n *network) add() node {
	n.nodes++
	return node(n.nodes - 1)
}

// join adds a conductor and returns its index.
func (n *network) join(a, b node, ohms float64) int {
	n.conductors = append(n.conductors, conductor{a, b, ohms})
	return len(n.conductors) - 1
}

// leastOhms is the resistance below which a conductor counts as none: 1 A drops 0.1 mV in it. With more, rounding
// alone stays below the residual that the solver promises.
const leastOhms = 1e-4

// merged returns for each node the one that stands for it: nodes joined without resistance are one, and the lowest stands
// for all, so that the given ones stay themselves.
func (n network) merged() []int {
	sets := disjoint.New(n.nodes)
	for _, c := range n.conductors {
		if c.ohms < leastOhms {
			sets.Join(int(c.a), int(c.b))
		}
	}
	root := make([]int, n.nodes)
	for i := range root {
		root[i] = sets.Least(i)
	}
	return root
}

// compile makes the network ready for solving.
func (n network) compile() *solver {
	root := n.merged()
	near := make([][]int, n.nodes)
	link := func(p, q node) {
		a, b := root[p], root[q]
		if a > int(terminal) && b > int(terminal) && a != b {
			near[a] = append(near[a], b)
			near[b] = append(near[b], a)
		}
	}
	for _, c := range n.conductors {
		link(c.a, c.b)
	}
	for _, t := range n.taps {
		link(t.p, t.n)
	}
	for i := range near {
		slices.Sort(near[i])
		near[i] = slices.Compact(near[i])
	}
	s := &solver{row: make([]int, n.nodes), border: -1, others: n.others}
	rowOf := make([]int, n.nodes)
	rowOf[ground], rowOf[emf] = rowGround, rowEMF
	for _, i := range narrowOrder(near, root) {
		rowOf[i] = s.n
		s.n++
	}
	if root[terminal] == int(terminal) {
		s.border = s.n
		rowOf[terminal] = s.n
	}
	for i := range s.row {
		s.row[i] = rowOf[root[i]]
	}
	for _, c := range n.conductors {
		if a, b := s.row[c.a], s.row[c.b]; c.ohms >= leastOhms && a != b {
			s.conductors = append(s.conductors, stamp{a, b, 1 / c.ohms})
			s.reach(a, b)
		}
	}
	for _, t := range n.taps {
		s.taps = append(s.taps, [2]int{s.row[t.p], s.row[t.n]})
		s.reach(s.row[t.p], s.row[t.n])
	}
	s.room()
	s.live = n.live(s.row)
	return s
}

// live returns the rows that conductors alone join to the supply's plus, each node visited once.
func (n network) live(row []int) []int {
	near := make([][]node, n.nodes)
	for _, c := range n.conductors {
		near[c.a], near[c.b] = append(near[c.a], c.b), append(near[c.b], c.a)
	}
	seen := make([]bool, n.nodes)
	seen[emf] = true
	queue := []node{emf}
	var out []int
	for i := 0; i < len(queue); i++ {
		if r := row[queue[i]]; r >= 0 {
			out = append(out, r)
		}
		for _, j := range near[queue[i]] {
			if !seen[j] && row[j] != rowGround {
				seen[j] = true
				queue = append(queue, j)
			}
		}
	}
	return out
}

// narrowOrder returns the free nodes that stand for themselves, ordered so that neighbours have numbers close by: reverse
// Cuthill and McKee.
func narrowOrder(near [][]int, root []int) []int {
	var order []int
	seen := make([]bool, len(near))
	mark := make([]int, len(near)) // by the start of the walk that came by
	walk := func(from, as int) []int {
		out := []int{from}
		mark[from] = as
		for i := 0; i < len(out); i++ {
			next := slices.Clone(near[out[i]])
			slices.SortStableFunc(next, func(a, b int) int { return len(near[a]) - len(near[b]) })
			for _, j := range next {
				if mark[j] != as {
					mark[j] = as
					out = append(out, j)
				}
			}
		}
		return out
	}
	for i := int(terminal) + 1; i < len(near); i++ {
		if seen[i] || root[i] != i {
			continue
		}
		// The last node reached from anywhere is at an end of the piece.
		piece := walk(i, 2*i)
		piece = walk(piece[len(piece)-1], 2*i+1)
		for _, j := range piece {
			seen[j] = true
		}
		order = append(order, piece...)
	}
	slices.Reverse(order)
	return order
}
