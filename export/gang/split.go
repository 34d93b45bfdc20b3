package gang

import (
	"cmp"
	"context"
	"slices"

	"lampblack/panel/work"
)

// Load is what one array holds, and how many such arrays there are.
type Load struct {
	Counts []int // of each piece
	Times  int
}

// Loads parts an order into as few arrays as are found, each of which fits; one that holds all where that fits, or where no parting
// helps: Make tells why.
//
// Boards are dealt by their area, the largest first, each to the array that holds least (longest processing time first, after R. L.
// Graham, "Bounds on Multiprocessing Timing Anomalies", 1969), into more arrays until all fit. An array that another holds with a few
// boards more becomes that one, since each further pack costs more than a few boards. Once ctx is done what it returns means nothing.
func Loads(ctx context.Context, pieces []Piece, opt Options) (out []Load) {
	work.Until(ctx, func(w *work.Watch) { out = loads(w, pieces, opt) })
	return out
}

func loads(w *work.Watch, pieces []Piece, opt Options) []Load {
	all := Load{Times: 1}
	whole := Plan{pieces: pieces, opt: opt}
	var order []int // pieces, one entry a board
	for i, q := range pieces {
		all.Counts = append(all.Counts, q.Count)
		outline, ok := outlineOf(q.Art)
		if !ok {
			return []Load{all}
		}
		whole.edges = append(whole.edges, outline)
		if !whole.alone(i) {
			return []Load{all}
		}
		order = append(order, slices.Repeat([]int{i}, q.Count)...)
	}
	if opt.Cut == Vcuts && (len(pieces) != 1 || !rectangular(whole.edges[0])) {
		return []Load{all}
	}
	area := func(i int) float64 {
		b := whole.edges[i].Box()
		return float64((b.W() + opt.Gap).MM() * (b.H() + opt.Gap).MM())
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(area(b), area(a)) })
	if whole.fits(w, all.Counts) {
		return []Load{all}
	}
	for n := 2; n <= len(order); n++ {
		dealt := make([][]int, n)
		held := make([]float64, n)
		for k := range dealt {
			dealt[k] = make([]int, len(pieces))
		}
		for _, i := range order {
			least := 0
			for k := range held {
				if held[k] < held[least]-tie {
					least = k
				}
			}
			dealt[least][i]++
			held[least] += area(i)
		}
		merged := likened(dealt)
		if !slices.ContainsFunc(merged, func(l Load) bool { return !whole.fits(w, l.Counts) }) {
			return merged
		}
	}
	return []Load{all}
}

// tie is by how much areas differ that are equal but for their rounding, mm².
const tie = 1e-6

// likened joins equal loads, and those that another one holds.
func likened(dealt [][]int) []Load {
	slices.SortStableFunc(dealt, func(a, b []int) int { return slices.Compare(b, a) })
	var out []Load
next:
	for _, counts := range dealt {
		for k := range out {
			if holds(out[k].Counts, counts) {
				out[k].Times++
				continue next
			}
		}
		out = append(out, Load{counts, 1})
	}
	return out
}

// holds reports whether a has at least as many of each piece as b.
func holds(a, b []int) bool {
	for i := range a {
		if a[i] < b[i] {
			return false
		}
	}
	return true
}

// fits reports whether so many of each piece fit on one array.
func (p *Plan) fits(w *work.Watch, counts []int) bool {
	one := Plan{opt: p.opt}
	for i, n := range counts {
		if n > 0 {
			q := p.pieces[i]
			q.Count = n
			one.pieces, one.edges = append(one.pieces, q), append(one.edges, p.edges[i])
		}
	}
	if p.opt.Cut == Vcuts {
		_, l := one.grid()
		return !l.HasErrors()
	}
	items, area, least := one.items()
	_, ok := one.arranged(w, items, area, least, true)
	return ok
}

// Quantities returns how often each of the loads is made where the order, which counts so many of each piece, is wanted so many times:
// no more often than it takes.
func Quantities(loads []Load, counts []int, times int) []int {
	out := make([]int, len(loads))
	spare := make([]int, len(counts))
	for i, n := range counts {
		spare[i] = -times * n
	}
	for k, l := range loads {
		out[k] = times * l.Times
		for i, n := range l.Counts {
			spare[i] += out[k] * n
		}
	}
	for k, l := range slices.Backward(loads) {
		for out[k] > 1 && holds(spare, l.Counts) {
			out[k]--
			for i, n := range l.Counts {
				spare[i] -= n
			}
		}
	}
	return out
}
