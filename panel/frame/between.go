package frame

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// between returns the middle lines of the walls between groups: all that is as far from an LED of one as from one of another, and no
// nearer to a third. Groups that stand behind the same words, their LEDs side by side, have none between them.
//
// They are edges of the LEDs' Voronoi cells.
func between(w *work.Watch, p panel.Panel, group []int) (out []geom.Segment) {
	if len(group) != len(p.LEDs) {
		return nil
	}
	cells := cellsOf(w, p)
	mixed := interleaved(cells, group)
	for i, c := range cells {
		for _, s := range c.sides {
			if j := s.beyond; i < j && group[i] != group[j] && !mixed[pairOf(group[i], group[j])] && s.a.dist(s.b) > least.MM() {
				out = append(out, geom.Segment{A: s.a.pt(), B: s.b.pt()})
			}
		}
	}
	return out
}

// pairOf is two groups, in whatever order they come.
func pairOf(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

// interleaved returns the pairs of groups of which a third of the LEDs of one, or more, have an LED of the other as their nearest.
func interleaved(cells []cell, group []int) map[[2]int]bool {
	all, beside := map[int]int{}, map[[2]int]int{}
	for i, c := range cells {
		all[group[i]]++
		if c.nearest >= 0 && group[c.nearest] != group[i] {
			beside[[2]int{group[i], group[c.nearest]}]++
		}
	}
	out := map[[2]int]bool{} // looked up only
	for pair, n := range beside {
		if 3*n >= all[pair[0]] {
			out[pairOf(pair[0], pair[1])] = true
		}
	}
	return out
}

// cell is what of a panel is nearer to one LED than to any other.
type cell struct {
	sides   []side // round it, counter-clockwise
	nearest int    // LED; -1: there is no other
}

// side is a straight piece of a cell's edge, from a to b; beyond it is the cell of another LED, or, where that is -1, nothing.
type side struct {
	a, b   xy
	beyond int
}

// xy is a place in mm.
type xy struct{ x, y float64 }

func at(p geom.Pt) xy { return xy{p.X.MM(), p.Y.MM()} }

func (p xy) pt() geom.Pt { return geom.PtMM(p.x, p.y) }

func (p xy) dist(q xy) float64 {
	x, y := p.x-q.x, p.y-q.y
	return math.Sqrt(float64(x*x) + float64(y*y))
}

// cellsOf returns the cells of all LEDs within the panel's box, which is cut by the bisector of an LED and each other in turn. These come
// by how far they are to either side: once they are twice as far as the cell's farthest corner no other cuts it, so that in an even
// field of n LEDs each is held against some √n. LEDs at one place have one cell.
func cellsOf(w *work.Watch, p panel.Panel) []cell {
	n := len(p.LEDs)
	order, rank := make([]int, n), make([]int, n) // by X
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.LEDs[a].At.X, p.LEDs[b].At.X) })
	for k, i := range order {
		rank[i] = k
	}
	box := p.Outline.Box()
	cells := make([]cell, n)
	for i := range cells {
		w.Look()
		own := at(p.LEDs[i].At)
		c := cell{whole(box), -1}
		reach, near := c.farthest(own), math.Inf(1)
		for l, r := rank[i]-1, rank[i]+1; ; {
			left, right := math.Inf(1), math.Inf(1)
			if l >= 0 {
				left = own.x - p.LEDs[order[l]].At.X.MM()
			}
			if r < n {
				right = p.LEDs[order[r]].At.X.MM() - own.x
			}
			if min(left, right) > 2*reach {
				break
			}
			var j int
			if left <= right {
				j, l = order[l], l-1
			} else {
				j, r = order[r], r+1
			}
			w.Step()
			q := at(p.LEDs[j].At)
			d := own.dist(q)
			if d < near || d == near && j < c.nearest {
				near, c.nearest = d, j
			}
			if d > 0 && d < 2*reach && c.cut(own, q, j) {
				reach = c.farthest(own)
			}
		}
		cells[i] = c
	}
	return cells
}

// whole is a box as a cell's sides.
func whole(b geom.Box) []side {
	lo, hi := at(b.Min), at(b.Max)
	corners := [4]xy{lo, {hi.x, lo.y}, hi, {lo.x, hi.y}}
	out := make([]side, 4)
	for k := range out {
		out[k] = side{corners[k], corners[(k+1)%4], -1}
	}
	return out
}

// farthest is how far the cell reaches from its LED.
func (c cell) farthest(own xy) float64 {
	far := 0.0
	for _, s := range c.sides {
		far = max(far, own.dist(s.a))
	}
	return far
}

// cut leaves of a cell what is nearer to its own LED than to q, that of index j, and reports whether that is less.
func (c *cell) cut(own, q xy, j int) bool {
	nx, ny := q.x-own.x, q.y-own.y
	mx, my := (q.x+own.x)/2, (q.y+own.y)/2
	over := func(p xy) float64 { return float64((p.x-mx)*nx) + float64((p.y-my)*ny) } // positive: nearer to q
	less := false
	for _, s := range c.sides {
		less = less || over(s.a) > 0
	}
	if !less {
		return false
	}
	var out []side
	var from, to xy // of the new side: where the edge leaves, and where it comes back
	for _, s := range c.sides {
		a, b := over(s.a), over(s.b)
		var x xy
		if (a > 0) != (b > 0) {
			k := a / (a - b)
			x = xy{s.a.x + float64((s.b.x-s.a.x)*k), s.a.y + float64((s.b.y-s.a.y)*k)}
		}
		switch {
		case a <= 0 && b <= 0:
			out = append(out, s)
		case a <= 0:
			from, out = x, append(out, side{s.a, x, s.beyond})
		case b <= 0:
			to, out = x, append(out, side{x, s.b, s.beyond})
		}
	}
	for k := range out { // the new side lies before the one that begins where it ends
		if out[k].a == to {
			out = slices.Insert(out, k, side{from, to, j})
			break
		}
	}
	c.sides = out
	return true
}
