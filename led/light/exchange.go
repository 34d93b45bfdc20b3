package light

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/panel/geom"
)

// rounds is how often the exchange goes round at most; it ends when no LED moves.
const rounds = 4

// place returns the best places found for n LEDs, the fixed ones counted; fewer when there is no room.
func (s *search) place(n int) []geom.Pt {
	n -= len(s.fixed)
	if n <= 0 {
		return nil
	}
	var starts [][]geom.Pt
	for k, q := range [][]geom.Pt{s.greedy(n), s.relaxedStart(n), s.plainGrid(n), s.seated(s.words(n)), s.drawn(n)} {
		if k == 0 || len(q) == n {
			starts = append(starts, q)
		}
	}
	if len(starts[0]) < n {
		return starts[0]
	}
	kicks := min(max(kickWork/(n*len(s.points)), fewestKicks), mostKicks)
	s.total = s.done + len(starts) + kicks
	ends := make([]end, len(starts))
	s.bands(len(starts), func(from, to int) {
		for k := from; k < to; k++ {
			l := s.layoutOf(starts[k])
			s.exchange(&l, 0, s.chance(k))
			s.improve(&l)
			ends[k] = s.ended(l)
		}
	})
	s.step(len(starts))
	slices.SortStableFunc(ends, func(a, b end) int { return cmp.Compare(b.merit, a.merit) })
	top := ends[0]
	for k, failed := 0, 0; k < kicks; k += together {
		tries := make([]end, min(together, kicks-k))
		s.bands(len(tries), func(from, to int) {
			for t := from; t < to; t++ {
				c := s.layoutOf(top.at)
				tries[t].merit = math.Inf(-1)
				if s.kicked(&c, failed+t) {
					s.improve(&c)
					tries[t] = s.ended(c)
				}
			}
		})
		failed += len(tries)
		for _, c := range tries {
			if c.merit > top.merit+1e-4 {
				top, failed = c, 0
			}
		}
		s.step(len(tries))
	}
	// Nobody wants light that is worse than with the LEDs as they are, along the words, or on a plain grid.
	second := s.layoutOf(top.at)
	s.strict(&second)
	best, most := top.at, math.Inf(-1)
	for _, q := range append([][]geom.Pt{top.at, second.at, ends[0].at}, starts[1:]...) {
		if v := s.worth(s.full(q), n); v > most {
			best, most = q, v
		}
	}
	return best
}

// end is a layout that no small move makes better.
type end struct {
	layout
	merit float64
}

func (s *search) ended(l layout) end {
	return end{l, s.merit(l.light, nil, len(l.at), len(exponents)-1)}
}

// Counted steps of the search: kicks of a layout, which cost as the LEDs times the points, and how many start from the same.
const (
	kickWork    = 400_000
	fewestKicks = 4
	mostKicks   = 24
	together    = 4
)

// chance returns a source of chance for the k-th of several searches.
func (s *search) chance(k int) *rand.Rand {
	return rand.New(rand.NewPCG(s.o.Seed, 0x6c616d70+uint64(k)))
}

// improve brings a layout to where no small move of its LEDs makes it better.
func (s *search) improve(l *layout) {
	for rank := range exponents {
		s.climb(l, rank, climbs)
	}
}

// greedy takes places one by one.
func (s *search) greedy(n int) []geom.Pt {
	most := 0.0
	for _, v := range s.light {
		most = max(most, slices.Max(v))
	}
	// Full light at a point is worth a little more than a tenth of it at ten.
	tau := max(most/8, math.SmallestNonzeroFloat64)
	now := slices.Clone(s.base)
	var at []geom.Pt
	free := make([]bool, len(s.sites))
	for i := range free {
		free[i] = true
	}
	gain := make([]float64, len(s.sites))
	for range n {
		s.bands(len(s.sites), func(from, to int) {
			for c := from; c < to; c++ {
				gain[c] = math.Inf(-1)
				if !free[c] {
					continue
				}
				// Logarithms are dear: of the product of ratios only now and then is one taken.
				sum := 0.0
				for i, v := range s.light[c] {
					if v > 0 {
						sum += float64(s.weight[i] * math.Log1p(v/(now[i]+tau)))
					}
				}
				gain[c] = settled(sum) // equal places are equal, and the first is taken
			}
		})
		best := -1
		for c, g := range gain {
			if free[c] && (best < 0 || g > gain[best]) {
				best = c
			}
		}
		if best < 0 {
			break
		}
		at = append(at, s.sites[best])
		for i, v := range s.light[best] {
			now[i] += v
		}
		for c, q := range s.sites {
			if q.Dist(s.sites[best]) < float64(s.o.Spacing) {
				free[c] = false
			}
		}
	}
	return at
}

// exchange moves one LED after the other to the best free site, until none moves. Later rounds look only round each LED.
func (s *search) exchange(l *layout, rank int, chance *rand.Rand) {
	merit := s.merit(l.light, nil, len(l.at), rank)
	values := make([]float64, len(s.sites))
	rest := make([]float64, len(s.points))
	for round := range rounds {
		moved := false
		for _, k := range chance.Perm(len(l.at)) {
			for i := range rest {
				rest[i] = max(l.light[i]-l.own[k][i], 0)
			}
			reach := math.Inf(1)
			if round > 0 || rank > 0 || len(l.at)*len(s.sites) > 200_000 {
				reach = 10e6
			}
			s.bands(len(s.sites), func(from, to int) {
				for c := from; c < to; c++ {
					values[c] = math.Inf(-1)
					if s.sites[c].Dist(l.at[k]) <= reach && s.clear(s.sites[c], l.at, k) {
						values[c] = s.merit(rest, s.light[c], len(l.at), rank)
					}
				}
			})
			best, site := merit+1e-9, -1
			for c, v := range values {
				if v > best {
					best, site = v, c
				}
			}
			if site >= 0 {
				s.move(l, k, s.sites[site], s.light[site])
				merit, moved = s.merit(l.light, nil, len(l.at), rank), true
			}
		}
		if !moved {
			break
		}
	}
}

// move puts LED k elsewhere.
func (s *search) move(l *layout, k int, to geom.Pt, light []float64) {
	for i := range l.light {
		l.light[i] = max(l.light[i]-l.own[k][i], 0) + light[i]
	}
	l.at[k], l.own[k] = to, light
}

// plainGrid returns n places in even rows over the lettering's box, each moved to the nearest free site.
func (s *search) plainGrid(n int) []geom.Pt {
	if n <= 0 {
		return nil
	}
	box := geom.BoxOf(s.points...)
	w, h := float64(max(box.W(), geom.Millimetre)), float64(max(box.H(), geom.Millimetre))
	rows := min(max(int(math.Round(math.Sqrt(float64(n)*h/w))), 1), n)
	var at []geom.Pt
	left := n
	for j := range rows {
		k := (left + rows - j - 1) / (rows - j)
		left -= k
		for i := range k {
			q := geom.Pt{
				X: box.Min.X + geom.Nm(w*(float64(i)+0.5)/float64(k)),
				Y: box.Min.Y + geom.Nm(h*(float64(j)+0.5)/float64(rows)),
			}
			if c, ok := s.nearest(q, at); ok {
				at = append(at, s.sites[c])
			}
		}
	}
	return at
}

// drawn returns the panel's own LEDs if there are n of them to be moved and each stands where one may.
func (s *search) drawn(n int) []geom.Pt {
	if s.o.Keep || len(s.p.LEDs) != n {
		return nil
	}
	var at []geom.Pt
	for _, h := range s.p.LEDs {
		if s.o.Room.Locate(h.At) == geom.Outside || !s.clear(h.At, at, -1) {
			return nil
		}
		at = append(at, h.At)
	}
	return at
}
