package light

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel/geom"
)

// rounds is how often the exchange goes round at most; it ends when no LED moves.
const rounds = 4

// place returns the best places found for n LEDs, the fixed ones counted; fewer when there is no room. Without thorough it
// starts from the greedy choice alone.
func (s *search) place(n int, thorough bool) []geom.Pt {
	n -= len(s.fixed)
	if n <= 0 {
		return nil
	}
	starts := [][]geom.Pt{s.greedy(n)}
	grid := s.plainGrid(n)
	s.setFloor(starts[0], grid, n)
	if thorough {
		for _, q := range [][]geom.Pt{grid, s.drawn(n)} {
			if len(q) == n {
				starts = append(starts, q)
			}
		}
		s.total = s.done + len(starts)*(rounds+2)
	}
	var best []geom.Pt
	most := math.Inf(-1)
	consider := func(at []geom.Pt) {
		e := s.even(at)
		if len(at) > len(best) || len(at) == len(best) && e > most {
			best, most = at, e
		}
	}
	for _, q := range starts {
		l := s.layoutOf(q)
		for rank := range 3 {
			s.exchange(&l, rank)
		}
		s.descend(&l, 1)
		s.descend(&l, 2)
		consider(l.at)
		if thorough {
			consider(q)
			s.step()
		}
	}
	return best
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
	merit := s.merit(l.light, nil, rank)
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
						values[c] = s.merit(rest, s.light[c], rank)
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
				merit, moved = s.merit(l.light, nil, rank), true
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
	merit := s.merit(l.light, nil, rank)
	rest := make([]float64, len(s.points))
	for _, step := range []geom.Nm{geom.Millimetre, geom.Millimetre / 2, geom.Millimetre / 4} {
		for range 4 {
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
							tries[d].merit = s.merit(rest, tries[d].light, rank)
						}
					}
				})
				best := slices.MaxFunc(tries, func(a, b try) int { return cmp.Compare(a.merit, b.merit) })
				if best.merit > merit+1e-7 {
					s.move(l, k, best.at, best.light)
					merit, moved = s.merit(l.light, nil, rank), true
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
			best, d := -1, math.Inf(1)
			for c, t := range s.sites {
				if e := t.Dist(q); e < d && s.clear(t, at, -1) {
					best, d = c, e
				}
			}
			if best >= 0 {
				at = append(at, s.sites[best])
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

// fewest returns the places of the fewest LEDs that reach the wanted evenness; false when even the most do not.
//
// It doubles the number until the evenness is reached and halves the interval: more LEDs are never less even in the optimum,
// though the search is not the optimum, so the number before the last is tried with all effort.
func (s *search) fewest() ([]geom.Pt, bool) {
	least := max(len(s.fixed), 1)
	s.total = 12 * (rounds + 2)
	found := map[int][]geom.Pt{}
	try := func(n int, thorough bool) (reached bool, got int) {
		at := s.place(n, thorough)
		got = len(at) + len(s.fixed)
		if got < n {
			return false, got
		}
		found[n] = at
		return s.even(at) >= s.o.Even, got
	}
	if len(s.fixed) > 0 && s.even(nil) >= s.o.Even {
		return nil, true
	}
	low, high, most := least-1, least, max(s.o.Most, least) // low fails, high is to be found
	for {
		ok, got := try(high, high <= 8)
		if !ok && got == high && high == most {
			ok, _ = try(high, true)
		}
		if ok {
			break
		}
		switch {
		case got < high && got <= low: // no more find room
			return found[low], false
		case got < high:
			most, high = got, got
		case high == most:
			return found[high], false
		default:
			low, high = high, min(high+max(1, high/2), most)
		}
	}
	for high-low > 1 {
		mid := (low + high) / 2
		if ok, _ := try(mid, high-low <= 3); ok {
			high = mid
		} else {
			low = mid
		}
	}
	for high > least {
		if ok, _ := try(high-1, true); !ok {
			break
		}
		high--
	}
	return found[high], true
}
