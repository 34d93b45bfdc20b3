package group

import (
	"cmp"
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// What Apart may spend. With a tenth of all hops a third of the words of a full panel get a second string, for a twentieth of its track.
const (
	apartLonger = 0.1         // of the length of all hops, and of the longest
	apartNear   = 24          // neighbours whose strings an LED may move to
	apartRounds = 40          // each but the last brings a word more than it had
	apartWork   = 150_000_000 // sums, as exchange has
)

// Apart exchanges points between paths so that words are lit by several strings, and keep some light when one is dark: of[i] is the
// word, from 0, that point i lights most, -1 for none. A word keeps the part of its points that is not in the path that holds most
// of them. Two points change places where their words together keep more, what is got for the least length first (Kernighan and Lin,
// "An Efficient Heuristic Procedure for Partitioning Graphs", Bell System Technical Journal 49(2), 1970, one exchange at a time), as
// long as all hops together grow by no more than a tenth, and none is longer by more than that than the longest was. Each path keeps its number of
// points, and its shortest order.
func Apart(w *work.Watch, paths [][]int, pts []geom.Pt, of []int, blocks []Block) [][]int {
	if len(paths) < 2 {
		return paths
	}
	length := around(pts, blocks)
	a := &apart{
		word: of, paths: slices.Clone(paths), string: make([]int, len(pts)), near: neighbours(pts, apartNear), work: apartWork,
		hop: func(i, j int) int64 {
			w.Step()
			return length(i, j)
		},
	}
	sum, longest := int64(0), int64(0)
	for s, p := range paths {
		sum += pathLen(p, a.hop)
		longest = max(longest, longestHop(p, a.hop))
		for _, i := range p {
			a.string[i] = s
		}
	}
	a.words = make([][]int, max(slices.Max(of), 0)+1)
	for i, k := range of {
		if k >= 0 {
			a.words[k] = append(a.words[k], i)
		}
	}
	left := int64(float64(sum) * apartLonger)
	a.longest = int64(float64(longest) * (1 + apartLonger))
	any := false
	for range apartRounds {
		more, ok := a.round(left)
		if !ok {
			break
		}
		left -= more
		any = true
	}
	if !any {
		return paths
	}
	for i := range a.paths {
		a.paths[i] = headFirst(slices.Clone(a.paths[i]), pts)
	}
	return ReadingOrder(a.paths, pts)
}

// apart is the state of Apart.
type apart struct {
	word    []int // of each point, -1 for none
	words   [][]int
	paths   [][]int
	string  []int // of each point
	near    [][]int
	hop     metric
	longest int64 // that a hop may be
	work    int   // sums left to do
}

// trade is an exchange of point i of path s for point j of path t.
type trade struct {
	i, j, s, t int
	p, q       []int   // what the paths become
	more       int64   // length
	gain       float64 // of words that are kept
}

// round does what trades there are, the cheapest first and one a path and a word, within the length left. It returns what they took.
func (a *apart) round(left int64) (took int64, any bool) {
	path, word := make([]bool, len(a.paths)), make([]bool, len(a.words))
	for _, t := range a.trades() {
		k, m := a.word[t.i], a.word[t.j]
		if path[t.s] || path[t.t] || word[k] || m >= 0 && word[m] || took+t.more > left {
			continue
		}
		path[t.s], path[t.t], word[k], any = true, true, true, true
		if m >= 0 {
			word[m] = true
		}
		a.paths[t.s], a.paths[t.t] = t.p, t.q
		a.string[t.i], a.string[t.j] = t.t, t.s
		took += t.more
	}
	return took, any
}

// trades returns every exchange that helps and is allowed by itself, the least length for what is gained first.
func (a *apart) trades() (out []trade) {
	tried := make([]int, len(a.word)) // the last point, from 1, that was tried against this one
	for i, k := range a.word {
		if k < 0 || len(a.words[k]) < 2 {
			continue
		}
		s := a.string[i]
		for _, n := range a.near[i] {
			for _, j := range a.paths[a.string[n]] {
				t := a.string[j]
				if t == s || tried[j] == i+1 || a.work <= 0 {
					continue
				}
				tried[j] = i + 1
				if x, ok := a.trade(i, j); ok {
					out = append(out, x)
				}
			}
		}
	}
	price := func(t trade) float64 { return float64(max(t.more, 1)) / t.gain }
	slices.SortFunc(out, func(x, y trade) int {
		return cmp.Or(cmp.Compare(price(x), price(y)), cmp.Compare(x.i, y.i), cmp.Compare(x.j, y.j))
	})
	return out
}

// trade returns the exchange of two points of different paths, false where it does not help or asks for a hop that is too long.
func (a *apart) trade(i, j int) (trade, bool) {
	k, m := a.word[i], a.word[j]
	t := trade{i: i, j: j, s: a.string[i], t: a.string[j]}
	if k == m {
		return t, false
	}
	before := a.lost(k) + a.lost(m)
	a.string[i], a.string[j] = t.t, t.s
	t.gain = before - a.lost(k) - a.lost(m)
	a.string[i], a.string[j] = t.s, t.t
	if t.gain < 1e-9 {
		return t, false
	}
	replaced := func(path []int, old, new int) []int {
		p := slices.Clone(path)
		p[slices.Index(p, old)] = new
		a.work -= len(p) * len(p) << min(len(p), exactPoints)
		return improvePath(p, a.hop)
	}
	t.p, t.q = replaced(a.paths[t.s], i, j), replaced(a.paths[t.t], j, i)
	t.more = pathLen(t.p, a.hop) + pathLen(t.q, a.hop) - pathLen(a.paths[t.s], a.hop) - pathLen(a.paths[t.t], a.hop)
	return t, max(longestHop(t.p, a.hop), longestHop(t.q, a.hop)) <= a.longest
}

// lost returns the part of a word's points that is in the path that holds most of them; 0 for no word.
func (a *apart) lost(k int) float64 {
	if k < 0 {
		return 0
	}
	most := 0
	for n, i := range a.words[k] {
		held := 1
		for _, j := range a.words[k][:n] {
			if a.string[j] == a.string[i] {
				held++
			}
		}
		most = max(most, held)
	}
	return float64(most) / float64(len(a.words[k]))
}

// longestHop returns the longest hop of the path.
func longestHop(path []int, hop metric) (out int64) {
	for i := 1; i < len(path); i++ {
		out = max(out, hop(path[i-1], path[i]))
	}
	return out
}
