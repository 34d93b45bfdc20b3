package light

import (
	"cmp"
	"math"
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
	s.total = s.done + len(starts)*rounds + (promising+kicks)*(2*rounds+1)
	// Nobody wants less even light than with the LEDs as they are, or on a plain grid.
	least := s.full(s.plainGrid(n)).MinToMean
	if len(s.p.LEDs) == n+len(s.fixed) || len(s.fixed) > 0 {
		least = max(least, s.figures(s.p.LEDs).MinToMean)
	}
	var best []geom.Pt
	most, even := math.Inf(-1), false
	consider := func(at []geom.Pt) {
		f := s.full(at)
		e, v := f.MinToMean >= least, s.worth(f, n)
		if len(at) > len(best) || len(at) == len(best) && (e && !even || e == even && v > most) {
			best, most, even = at, v, e
		}
	}
	type end struct {
		layout
		merit float64
	}
	var ends []end
	for _, q := range starts {
		consider(q)
		l := s.layoutOf(q)
		s.exchange(&l, 0)
		ends = append(ends, end{l, s.merit(l.light, nil, n, 1)})
	}
	slices.SortStableFunc(ends, func(a, b end) int { return cmp.Compare(b.merit, a.merit) })
	for _, e := range ends[:min(promising, len(ends))] {
		s.improve(&e.layout)
		consider(e.at)
		s.step()
	}
	for k := range kicks {
		c := s.layoutOf(best)
		if !s.kicked(&c, k) {
			break
		}
		s.improve(&c)
		consider(c.at)
		s.step()
	}
	return best
}

// promising is how many of the starts are worked out to the end.
const promising = 3

// improve brings a layout to where no move of one LED makes it better.
func (s *search) improve(l *layout) {
	s.exchange(l, 1)
	s.exchange(l, 2)
	s.descend(l, 2)
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
func (s *search) exchange(l *layout, rank int) {
	merit := s.merit(l.light, nil, len(l.at), rank)
	values := make([]float64, len(s.sites))
	rest := make([]float64, len(s.points))
	for round := range rounds {
		moved := false
		for _, k := range s.rng.Perm(len(l.at)) {
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
		s.step()
		if !moved {
			break
		}
	}
}

// descend shifts LEDs by shrinking steps off the sites' grid while that helps.
func (s *search) descend(l *layout, rank int) {
	merit := s.merit(l.light, nil, len(l.at), rank)
	rest := make([]float64, len(s.points))
	for _, step := range []geom.Nm{siteStep / 2, siteStep / 4} {
		for range 2 {
			moved := false
			for k := range l.at {
				for i := range rest {
					rest[i] = max(l.light[i]-l.own[k][i], 0)
				}
				type try struct {
					at    geom.Pt
					light []float64
					merit float64
				}
				tries := make([]try, 8)
				s.bands(len(tries), func(from, to int) {
					for d := from; d < to; d++ {
						v := [8]geom.Vec{{X: 1}, {X: 1, Y: 1}, {Y: 1}, {X: -1, Y: 1}, {X: -1}, {X: -1, Y: -1}, {Y: -1}, {X: 1, Y: -1}}[d]
						q := l.at[k].Add(geom.Vec{X: v.X * step, Y: v.Y * step})
						tries[d] = try{q, nil, math.Inf(-1)}
						if s.clear(q, l.at, k) && s.o.Room.Locate(q) == geom.Inside {
							tries[d].light = s.from(q)
							tries[d].merit = s.merit(rest, tries[d].light, len(l.at), rank)
						}
					}
				})
				best := slices.MaxFunc(tries, func(a, b try) int { return cmp.Compare(a.merit, b.merit) })
				if best.merit > merit+1e-7 {
					s.move(l, k, best.at, best.light)
					merit, moved = s.merit(l.light, nil, len(l.at), rank), true
				}
			}
			if !moved {
				break
			}
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
