package light

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// A lower bound of the LEDs that an evenness takes, and the places that its relaxed problem would choose.
//
// With LEDs at sites S the light at place i is Σ l_si, s in S, and its mean µ = Σ m_s, where m_s is what an LED at s adds to the
// mean. Wanted is that every place has e·µ or more, and that LEDs light the lettering: µ >= floor·|S|. Relaxed, sites hold
// fractions of LEDs, x_s >= 0, and only some of the places ask for their light:
//
//	Σ x_s (l_si - e·m_s) >= 0, for each place i
//	Σ x_s (m_s - floor)  >= 0, unless no floor is asked for
//	Σ x_s min(l_si, e·µ') >= e·µ', for each place i and whatever µ' is known to be no more than µ
//
// The first two rows alone are fulfilled by fractions as small as one likes; it is the third that counts whole LEDs, since an LED
// that gives a place more than it needs is counted there as what the place needs: the coefficients of a row of a program in whole
// numbers may be cut to its right side (H. Crowder, E. L. Johnson and M. Padberg, "Solving large-scale zero-one linear
// programming problems", Operations Research 31(5), 1983, 803-834, doi:10.1287/opre.31.5.803, section 2.1, coefficient
// reduction). µ' begins with the least that one LED gives and is raised to the least Σ m_s x_s of these rows, as often as that
// gains something. What then is the least Σ x_s is the bound, rounded up; each step's is certified by its prices (simplex.go).
//
// It is one of the search's own model: sites on its grid, light by radial profiles. e is taken lower by slack, which is more than
// the model and the field computed in full differ by.
type bound struct {
	least int       // LEDs, the fixed ones included
	share []float64 // LEDs of the relaxed problem at each site
	mean  float64   // of the lettering, at least
}

// Bounds of the relaxed problem's size, and how often µ' is raised.
const (
	boundPoints = 80
	boundRaises = 8
	slack       = 0.02
)

// relaxed is the relaxed problem for an evenness.
type relaxed struct {
	*search
	program
	even  float64
	means []float64 // that an LED at each site adds
	base  float64   // mean of the fixed LEDs
	unit  float64   // about what an LED gives: light is counted in it
	rows  int       // places that ask
}

func (s *search) relax(even float64) (r relaxed, ok bool) {
	r = relaxed{search: s, even: even, means: make([]float64, len(s.sites)), base: dot(s.weight, s.base), rows: min(len(s.points), boundPoints)}
	for c, l := range s.light {
		r.means[c] = dot(s.weight, l)
		r.unit = max(r.unit, r.means[c])
	}
	if !(r.unit > 0) || !(even > 0) {
		return r, false
	}
	n := r.rows
	r.cost, r.cols, r.need = make([]float64, len(s.sites)), make([][]float64, len(s.sites)), make([]float64, 2*n+1)
	for c, l := range s.light {
		col := make([]float64, 2*n+1)
		for k := range n {
			col[n+k] = (l[r.place(k)] - float64(even*r.means[c])) / r.unit
		}
		if !s.lenient {
			col[2*n] = (r.means[c] - float64(dimmest/enough*s.apiece)) / r.unit
		}
		r.cols[c] = col
	}
	for k := range n {
		r.need[n+k] = (float64(even*r.base) - s.base[r.place(k)]) / r.unit
	}
	return r, true
}

// place is the k-th place that asks, as an index into the points.
func (r *relaxed) place(k int) int { return k * len(r.points) / r.rows }

// known sets what the mean is known to be, at least.
func (r *relaxed) known(mean float64) {
	for k := range r.rows {
		i := r.place(k)
		lacks := float64(r.even*mean) - r.search.base[i]
		r.need[k] = 0
		if lacks > 1e-9*r.unit {
			r.need[k] = 1
		}
		for c, l := range r.light {
			r.cols[c][k] = 0
			if r.need[k] > 0 {
				r.cols[c][k] = min(l[i]/lacks, 1)
			}
		}
	}
}

// count makes the number of LEDs what is to be least; else it is their mean.
func (r *relaxed) count(on bool) {
	for c, m := range r.means {
		r.cost[c] = 1
		if !on {
			r.cost[c] = m / r.unit
		}
	}
}

// bound returns a lower bound of the LEDs that reach the evenness, and where the relaxed problem has them.
func (s *search) bound(even float64) bound {
	none := bound{least: max(len(s.fixed), 1)}
	r, ok := s.relax(even - slack)
	if !ok {
		return none
	}
	mean := r.base
	if len(s.fixed) == 0 {
		mean = slices.Min(r.means)
	}
	r.count(false)
	for range boundRaises {
		r.known(mean)
		y, _ := r.solve(s.watch)
		now := r.base + float64(r.unit*r.program.bound(y))
		gained := now > mean*1.003
		if mean = max(mean, now); !gained {
			break
		}
	}
	r.count(true)
	r.known(mean)
	y, x := r.solve(s.watch)
	return bound{max(none.least, len(s.fixed)+int(math.Ceil(r.program.bound(y)-1e-6))), x, mean}
}

// ranged is the ratio of the ends of the ranges of the mean that a bound is made for one by one.
const ranged = 1.1

// raised returns the bound raised, for an answer of n LEDs, the fixed ones included.
//
// For all means at once the rows that count whole LEDs know little. So the means that n LEDs can give are parted into ranges
// (branching on a continuous quantity: A. H. Land and A. G. Doig, "An automatic method of solving discrete programming problems",
// Econometrica 28(3), 1960, 497-520, doi:10.2307/1910129). Within one, from a to z, each place needs e·a, Σ m_s x_s is no less than
// a and no more than z, and no LED may stand where it alone makes a place brighter than hottest times z. The least of all
// ranges' bounds is one of the whole.
func (s *search) raised(b bound, n int) int {
	r, ok := s.relax(s.o.Even - slack)
	if !ok || !(b.mean > 0) {
		return b.least
	}
	r.count(true)
	most := slices.Max(r.means)
	least := float64(n - len(s.fixed))
	for a := b.mean; a-r.base < least*most; a *= ranged {
		least = min(least, r.between(a, a*ranged))
	}
	return max(b.least, len(s.fixed)+int(math.Ceil(least-1e-6)))
}

// between returns the bound, of the LEDs to be placed, for means from a to z.
func (r *relaxed) between(a, z float64) float64 {
	r.known(a)
	p := program{need: append(slices.Clone(r.need), (a-r.base)/r.unit, (r.base-z)/r.unit)}
	for c, l := range r.light {
		if slices.Max(l) <= (hottest+slack)*z {
			p.cost = append(p.cost, 1)
			p.cols = append(p.cols, append(slices.Clone(r.cols[c]), r.means[c]/r.unit, -r.means[c]/r.unit))
		}
	}
	if len(p.cols) == 0 {
		return math.Inf(1)
	}
	y, _ := p.solve(r.watch)
	return p.bound(y)
}

// relaxedStart returns n places where the relaxed problem has its LEDs for light that is as bright as n should give, and even.
func (s *search) relaxedStart(n int) []geom.Pt {
	const even = 0.8
	r, ok := s.relax(even)
	if !ok {
		return nil
	}
	r.count(true)
	r.known(s.floor(n))
	_, x := r.solve(s.watch)
	return s.rounded(x, n)
}

// rounded returns n places for whole LEDs where the relaxed problem has its fractions: each takes the place round which most is
// left, and as much of that as an LED stands for, from the nearest on.
func (s *search) rounded(share []float64, n int) []geom.Pt {
	left, all := make([]float64, len(share)), 0.0
	for c, v := range share {
		left[c], all = v, all+v
	}
	if all <= 0 {
		return nil
	}
	each := all / float64(n)
	var at []geom.Pt
	for range n {
		best, most := -1, -1.0
		for c, q := range s.sites {
			if !s.clear(q, at, -1) {
				continue
			}
			sum := 0.0
			for d, v := range left {
				if v > 0 {
					r := s.sites[d].Dist(q) / s.reach
					sum += v / (1 + float64(r*r))
				}
			}
			if sum = settled(sum); sum > most {
				best, most = c, sum
			}
		}
		if best < 0 {
			break
		}
		at = append(at, s.sites[best])
		for take := each; take > 1e-9; {
			near, d := -1, math.Inf(1)
			for c, v := range left {
				if e := s.sites[c].Dist(s.sites[best]); v > 1e-9 && e < d {
					near, d = c, e
				}
			}
			if near < 0 {
				break
			}
			t := min(take, left[near])
			left[near] -= t
			take -= t
		}
	}
	return at
}
