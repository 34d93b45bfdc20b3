package solve

import "math"

// ports returns for each tap by how many volts the voltage across it falls for each ampere more that it draws, near the
// solution found last, of which refactor has made the factors; NaN where the supply would break down.
//
// Of the inverse only what lies within the band is needed, and that follows row by row from the factor (Takahashi, Fagan and
// Chin, "Formation of a sparse bus impedance matrix", 8th PICA Conference, 1973), so that all taps together take about the
// work of one factorization.
func (s *solver) ports() []float64 {
	z := s.inverse()
	out := make([]float64, len(s.taps))
	pivot := s.corner
	if s.border >= 0 {
		clear(s.f)
		if !s.apply(s.f, s.step) {
			for t := range out {
				out[t] = math.NaN()
			}
			return out
		}
		for k := range s.n {
			pivot -= float64(s.edge[k] * s.rhs[2*k+1])
		}
	}
	// With the border eliminated, the inverse of the whole is that of the band plus what goes by way of the terminal.
	by := func(k int) float64 {
		switch {
		case k < 0 || s.border < 0:
			return 0
		case k == s.border:
			return -1
		}
		return s.rhs[2*k+1]
	}
	at := func(a, b int) float64 {
		if a < 0 || b < 0 || a == s.border || b == s.border {
			return 0
		}
		lo, hi := min(a, b), max(a, b)
		return z[lo*(s.band+1)+hi-lo]
	}
	for k, t := range s.taps {
		p, n := t[0], t[1]
		if p == n {
			continue
		}
		out[k] = at(p, p) + at(n, n) - 2*at(p, n)
		if s.border >= 0 {
			d := by(p) - by(n)
			out[k] += d * d / pivot
		}
	}
	return out
}

// inverse returns the inverse of the factored band, as far as it lies within the band, stored like it.
func (s *solver) inverse() []float64 {
	w := s.band + 1
	z := make([]float64, s.n*w)
	for i := s.n - 1; i >= 0; i-- {
		u := s.factor[i*w : i*w+w]
		reach := min(s.band, s.n-1-i)
		for j := reach; j >= 0; j-- { // the diagonal last: it needs the others
			sum := 0.0
			if j == 0 {
				sum = 1 / u[0]
			}
			for k := 1; k <= reach; k++ {
				lo, hi := min(k, j), max(k, j)
				sum -= float64(u[k] * z[(i+lo)*w+hi-lo])
			}
			z[i*w+j] = sum / u[0]
		}
	}
	return z
}
