package light

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/panel/geom"
)

// Counted steps of the search for the fewest.
const (
	brighter = 6  // LEDs that are added for the brightness of light that is even already
	spared   = 4  // LEDs whose removal is tried, the least missed first
	hurried  = 20 // steps of a climb while LEDs are added yet
	turns    = 2  // orders in which the LEDs of a start are moved
	kicks    = 4  // LEDs moved from where they are least missed to where it is darkest, when all else fails
)

// fewest returns the places of the fewest LEDs found that reach the wanted evenness, and a lower bound of their number; false when
// even the most do not.
//
// Method: from the relaxed problem's solution, rounded, LEDs are added where they help most until the evenness is reached, and
// then taken away again one at a time, each time with all others moved to where they help most (V. V. Fedorov's exchange, "Theory
// of Optimal Experiments", Academic Press 1972, chapter 3, is one such move). Where no removal leaves it reached, the other starts
// with one LED fewer are tried, and from the best of all those that fail LEDs are moved from where they are least missed to where
// it is darkest (iterated local search: H. R. Lourenço, O. C. Martin and T. Stützle, "Iterated local search", Handbook of
// Metaheuristics, 2003, 320-353, doi:10.1007/0-306-48056-5_11).
func (s *search) fewest() (at []geom.Pt, least int, reached bool) {
	b := s.bound(s.o.Even)
	fixed := len(s.fixed)
	if fixed > 0 && s.reached(s.full(nil), 0) {
		return nil, min(b.least, fixed), true
	}
	most := max(s.o.Most-fixed, 1)
	sum := 0.0
	for _, v := range b.share {
		sum += v
	}
	start := min(max(int(math.Ceil(sum)), b.least-fixed, 1), most)
	s.total = 40 * rounds
	l := s.layoutOf(s.rounded(b.share, start))
	if len(l.at) == 0 {
		l = s.layoutOf(s.greedy(start))
	}
	s.improve(&l)
	var even layout // the first that is even, but dim
	for more := 0; ; {
		f := s.full(l.at)
		if s.reached(f, len(l.at)) {
			break
		}
		if s.even(f) {
			if len(even.at) == 0 {
				even = l
			}
			more++
		}
		if more <= brighter && s.addSome(&l, most) {
			s.climb(&l, 1, hurried)
			s.climb(&l, 2, hurried)
			s.step(1)
			continue
		}
		if len(even.at) > 0 {
			s.lenient, l = true, even
			b = s.bound(s.o.Even)
			break
		}
		// The other starts may reach it yet.
		if at := s.place(len(l.at) + fixed); len(at) == len(l.at) && s.worth(s.full(at), len(at)) > s.worth(f, len(at)) {
			l = s.layoutOf(at)
		}
		if !s.reached(s.full(l.at), len(l.at)) {
			return l.at, b.least, false
		}
		break
	}
	for len(l.at) > 8 { // what was added too much at once
		less := s.layoutOf(l.at)
		for range len(l.at) / 16 {
			less = s.without(less, s.leastMissed(&less)[0])
		}
		if s.improve(&less); len(less.at) == len(l.at) || !s.reached(s.full(less.at), len(less.at)) {
			break
		}
		l = less
	}
	for len(l.at) > 1 && len(l.at)+fixed > b.least {
		less, ok := s.oneLess(l, b)
		if !ok {
			break
		}
		l = less
	}
	return l.at, min(s.raised(b, len(l.at)+fixed), len(l.at)+fixed), true
}

// oneLess returns a layout of one LED fewer that reaches the evenness.
func (s *search) oneLess(l layout, b bound) (layout, bool) {
	best, most := layout{}, math.Inf(-1)
	// try works out some layouts side by side, and returns the first of them that reaches it.
	try := func(some []layout) (layout, bool) {
		s.bands(len(some), func(from, to int) {
			for k := from; k < to; k++ {
				s.improve(&some[k])
			}
		})
		s.step(len(some))
		for _, c := range some {
			f := s.full(c.at)
			if s.reached(f, len(c.at)) {
				return c, true
			}
			if v := s.worth(f, len(c.at)); v > most {
				best, most = c, v
			}
		}
		return layout{}, false
	}
	missed := s.leastMissed(&l)
	for k := 0; k < min(spared, len(missed)); k += 2 {
		some := []layout{s.without(l, missed[k])}
		if k+1 < len(missed) {
			some = append(some, s.without(l, missed[k+1]))
		}
		if less, ok := try(some); ok {
			return less, true
		}
	}
	n := len(l.at) - 1
	for turn := range turns {
		var some []layout
		for k, q := range [][]geom.Pt{s.rounded(b.share, n), s.seated(s.words(n))} {
			if len(q) == n {
				// By no seed: how few LEDs do is not to be a matter of luck.
				c := s.layoutOf(q)
				s.exchange(&c, 0, rand.New(rand.NewPCG(uint64(turn), uint64(k))))
				some = append(some, c)
			}
		}
		if less, ok := try(some); ok {
			return less, true
		}
	}
	for k := 0; k < kicks; k += 2 {
		var some []layout
		for t := range 2 {
			if c := s.layoutOf(best.at); s.kicked(&c, k+t) {
				some = append(some, c)
			}
		}
		if less, ok := try(some); ok {
			return less, true
		}
	}
	return layout{}, false
}

// kicked moves the k-th least missed LED to where one more is worth most; false where none has room.
func (s *search) kicked(l *layout, k int) bool {
	missed := s.leastMissed(l)
	*l = s.without(*l, missed[k%len(missed)])
	return s.add(l)
}

// leastMissed returns the LEDs of a layout, those first without which the rest is worth most.
func (s *search) leastMissed(l *layout) []int {
	value, order := make([]float64, len(l.at)), make([]int, len(l.at))
	s.bands(len(l.at), func(from, to int) {
		rest := make([]float64, len(s.points))
		for k := from; k < to; k++ {
			for i := range rest {
				rest[i] = max(l.light[i]-l.own[k][i], 0)
			}
			value[k] = s.merit(rest, nil, len(l.at)-1, 1)
		}
	})
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(value[b], value[a]) })
	return order
}

// without returns the layout less one LED.
func (s *search) without(l layout, k int) layout {
	return s.layoutOf(slices.Delete(slices.Clone(l.at), k, k+1))
}

// addSome adds an eighth of the LEDs there are, one at least; false where none has room or there are most of them.
func (s *search) addSome(l *layout, most int) bool {
	n := len(l.at)
	for k := 0; k == 0 || k < n/8; k++ {
		if len(l.at) >= most || !s.add(l) {
			break
		}
	}
	return len(l.at) > n
}

// add puts one LED more where the layout is then worth most; false where none has room.
func (s *search) add(l *layout) bool {
	value := make([]float64, len(s.sites))
	s.bands(len(s.sites), func(from, to int) {
		for c := from; c < to; c++ {
			value[c] = math.Inf(-1)
			if s.clear(s.sites[c], l.at, -1) {
				value[c] = s.merit(l.light, s.light[c], len(l.at)+1, 1)
			}
		}
	})
	best := -1
	for c, v := range value {
		if !math.IsInf(v, -1) && (best < 0 || v > value[best]) {
			best = c
		}
	}
	if best < 0 {
		return false
	}
	*l = s.layoutOf(append(slices.Clone(l.at), s.sites[best]))
	return true
}
