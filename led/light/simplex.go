package light

import (
	"math"

	"lampblack/panel/work"
)

// program is a linear program: the least Σ cost·x with x >= 0 and, for every row r, Σ cols[s][r]·x_s >= need[r].
type program struct {
	cost []float64
	cols [][]float64
	need []float64
}

// Bounds of the simplex method: its steps, and the price of a row that no column serves.
const (
	mostPivots = 3000
	unserved   = 1000
)

// solve returns prices y >= 0 of the rows and quantities x of the columns.
//
// Method: the revised simplex method with an explicit inverse of the basis (G. B. Dantzig and W. Orchard-Hays, "The product form
// for the inverse in the simplex method", Mathematical Tables and Other Aids to Computation 8(46), 1954, 64-67,
// doi:10.1090/S0025-5718-1954-0061469-8), from a basis of surpluses and of artificial columns that cost unserved each. Needs
// are raised by tiny amounts that differ from row to row, so that it doesn't go round in circles (A. Charnes, "Optimality and
// degeneracy in linear programming", Econometrica 20(2), 1952, 160-170, doi:10.2307/1907845). It ends after mostPivots steps
// at the latest; whatever prices it then has, bound makes a true bound of them. (gonum's simplex returns no prices, and cannot be
// stopped.)
func (p program) solve(w *work.Watch) (y, x []float64) {
	m := len(p.need)
	need := make([]float64, m)
	inverse := make([][]float64, m)
	basis := make([]int, m) // a column, or len(cols)+r the surplus of row r, or -1 an artificial one
	value, price := make([]float64, m), make([]float64, m)
	for r := range m {
		inverse[r] = make([]float64, m)
		need[r] = p.need[r] + 1e-7*float64(1+r%97)/97
		inverse[r][r], basis[r], value[r] = 1, -1, need[r]
		if p.need[r] <= 0 {
			need[r] = p.need[r] - 1e-7*float64(1+r%97)/97
			inverse[r][r], basis[r], value[r] = -1, len(p.cols)+r, -need[r]
		} else {
			price[r] = unserved
		}
	}
	y = make([]float64, m)
	reduced, way := make([]float64, len(p.cols)), make([]float64, m)
	var prices, column nonzeros
	for range mostPivots {
		clear(y)
		for k, c := range price {
			if c != 0 {
				for r, v := range inverse[k] {
					y[r] += float64(c * v)
				}
			}
		}
		w.Look()
		prices.of(y)
		work.Bands(len(p.cols), func(from, to int) {
			prices.dots(reduced[from:to], p.cols[from:to])
			for s := from; s < to; s++ {
				reduced[s] = p.cost[s] - reduced[s]
			}
		})
		enter, least := -1, -1e-7
		for s, d := range reduced {
			if d < least {
				enter, least = s, d
			}
		}
		for r, d := range y {
			if d < least {
				enter, least = len(p.cols)+r, d
			}
		}
		if enter < 0 {
			break
		}
		if enter < len(p.cols) {
			column.of(p.cols[enter])
			column.dots(way, inverse)
		} else {
			for k := range way {
				way[k] = -inverse[k][enter-len(p.cols)]
			}
		}
		leave, step := -1, math.Inf(1)
		for k, v := range way {
			if v > 1e-9 {
				if t := max(value[k], 0) / v; t < step {
					leave, step = k, t
				}
			}
		}
		if leave < 0 {
			break // cannot be: costs are not negative
		}
		pivot := inverse[leave]
		f := 1 / way[leave]
		for r := range pivot {
			pivot[r] *= f
		}
		for k, v := range way {
			if k == leave {
				continue
			}
			value[k] -= float64(v * step)
			if v != 0 {
				row := inverse[k]
				for r, q := range pivot {
					row[r] -= float64(v * q)
				}
			}
		}
		basis[leave], value[leave], price[leave] = enter, step, 0
		if enter < len(p.cols) {
			price[leave] = p.cost[enter]
		}
	}
	x = make([]float64, len(p.cols))
	for k, b := range basis {
		if b >= 0 && b < len(p.cols) {
			x[b] = max(value[k], 0)
		}
	}
	return y, x
}

// bound returns what the program's least cost is no lower than, by weak duality: with prices y >= 0 for which no column is worth
// more than it costs, Σ y·need is a lower bound of every solution's cost. Prices for which that does not hold are lowered until it
// does, all by one factor, so that the bound is true whatever y is.
func (p program) bound(y []float64) float64 {
	sum := 0.0
	for r, v := range y {
		sum += float64(max(v, 0) * p.need[r])
	}
	if sum <= 0 {
		return 0
	}
	lower := 1.0
	for s, col := range p.cols {
		worth := 0.0
		for r, v := range y {
			worth += float64(max(v, 0) * col[r])
		}
		if worth > p.cost[s] {
			lower = min(lower, p.cost[s]/worth)
		}
	}
	return settled(sum * lower * (1 - 1e-9))
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// nonzeros is a vector without its zeros, in order.
type nonzeros struct {
	at []int
	v  []float64
}

func (s *nonzeros) of(a []float64) {
	s.at, s.v = s.at[:0], s.v[:0]
	for i, v := range a {
		if v != 0 {
			s.at, s.v = append(s.at, i), append(s.v, v)
		}
	}
}

// dots puts the product of each row with b: the sums of dot, to the last bit, but four side by side, since a processor could begin the
// next addition long before one ends, and without the zeros that most of b is.
func (s *nonzeros) dots(out []float64, rows [][]float64) {
	k := 0
	for ; k+4 <= len(rows); k += 4 {
		r0, r1, r2, r3 := rows[k], rows[k+1], rows[k+2], rows[k+3]
		s0, s1, s2, s3 := 0.0, 0.0, 0.0, 0.0
		for n, i := range s.at {
			v := s.v[n]
			s0 += float64(v * r0[i])
			s1 += float64(v * r1[i])
			s2 += float64(v * r2[i])
			s3 += float64(v * r3[i])
		}
		out[k], out[k+1], out[k+2], out[k+3] = s0, s1, s2, s3
	}
	for ; k < len(rows); k++ {
		sum := 0.0
		for n, i := range s.at {
			sum += float64(s.v[n] * rows[k][i])
		}
		out[k] = sum
	}
}
