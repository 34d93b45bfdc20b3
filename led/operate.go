package led

import (
	"fmt"
	"math"
)

// The operating point of a chain: the strings of every board, the feed's two conductors, and an ideal source.
//
// Feed out and return carry the same current, so that a segment counts once with the resistance of both. Values are
// plain SI floats in here, because voltages, currents and conductances meet in every line.

// stringLoad is a number of equal strings on one board.
type stringLoad struct {
	leds  int
	diode Diode
	ohms  float64
}

// at returns the current at voltage v, and its derivative.
//
// V = R·I + a·ln(I/IS + 1), with R of the resistor and all RS, and a = leds·N·Vt, is solved by I + IS = (a/R)·ω(y) with
// y = ln(IS·R/a) + (V + IS·R)/a, where ω(y) + ln ω(y) = y (Wright's omega function: Corless and Jeffrey, "The Wright ω
// Function", AISC 2002, LNCS 2385; a diode with a series resistance is solved so by Banwell and Jayakumar, Electronics
// Letters 36 (2000) 291). No start value, no divergence, at any voltage.
func (s stringLoad) at(v float64) (i, g float64) {
	r := s.ohms + float64(s.leds)*float64(s.diode.RS)
	if s.leds == 0 {
		return v / r, 1 / r
	}
	a, is := float64(s.leds)*s.diode.slope(), float64(s.diode.IS)
	w := omega(math.Log(is*r/a) + (v+float64(is*r))/a)
	return float64(a/r*w) - is, w / ((1 + w) * r)
}

// omega returns the w with w + ln w = y, to within a few units in the last place: Newton's iteration on w for large y,
// where w ≈ y - ln y, and on ln w otherwise.
func omega(y float64) float64 {
	if y < -40 {
		return math.Exp(y) // w is below 1e-17, and w - ln w = y differs from -ln w by less than one unit
	}
	if y > 1 {
		w := y - math.Log(y)
		for range 8 {
			step := (float64(w+math.Log(w)) - y) * w / (1 + w)
			w -= step
			if math.Abs(step) <= 2e-16*w {
				break
			}
		}
		return w
	}
	// f(u) = e^u + u - y rises and is convex: from above its root the iteration falls to it.
	u := min(y, 0)
	for range 12 {
		e := math.Exp(u)
		step := (e + u - y) / (1 + e)
		u -= step
		if math.Abs(step) < 1e-16*max(1, math.Abs(u)) {
			break
		}
	}
	return math.Exp(u)
}

// segment is one link of a chain for the solver: the loop resistance of the feed to it, and what the board draws.
type segment struct {
	ohms  float64
	loads []stringLoad
}

// draw returns the board's current at voltage v, and its derivative.
func (s segment) draw(v float64) (i, g float64) {
	for _, l := range s.loads {
		li, lg := l.at(v)
		i += li
		g += lg
	}
	return i, g
}

// leastOhms is the loop resistance below which a segment counts as none: 1 A drops 0.1 mV in it. With more, rounding
// alone stays below the residual that operate promises.
const leastOhms = 1e-4

// maxResidual is how well the currents of every node must add up.
const maxResidual = 1e-9 // A

// operate returns the voltage across each board of a chain fed with vs. The currents at every node add up to within
// maxResidual; if they cannot be brought to, it returns an error and no numbers.
//
// Method: Newton's iteration on the nodal equations, a tridiagonal system. The current of a board grows with its
// voltage and is convex in it, and the feed's conductances form an M-matrix, so that from the supply voltage everywhere
// each step stays above the solution and comes closer to it (monotone Newton: Ortega and Rheinboldt, Iterative Solution of
// Nonlinear Equations in Several Variables, 1970, theorem 13.3.4): no damping is needed.
func operate(vs float64, chain []segment) ([]float64, error) {
	// Boards joined without resistance form one node; node 0 is the supply itself.
	node := make([]int, len(chain))
	cond := []float64{0} // cond[k] joins node k-1 and node k
	for i, s := range chain {
		if s.ohms >= leastOhms {
			cond = append(cond, 1/s.ohms)
		}
		node[i] = len(cond) - 1
	}
	n := len(cond)
	v := make([]float64, n)
	for k := range v {
		v[k] = vs
	}
	diag, upper, f := make([]float64, n), make([]float64, n), make([]float64, n)
	last := math.Inf(1)
	for range 200 {
		for k := 1; k < n; k++ {
			diag[k] = cond[k]
			f[k] = cond[k] * (v[k] - v[k-1])
			if k+1 < n {
				diag[k] += cond[k+1]
				f[k] += cond[k+1] * (v[k] - v[k+1])
			}
		}
		for i, s := range chain {
			if k := node[i]; k > 0 {
				c, g := s.draw(v[k])
				f[k] += c
				diag[k] += g
			}
		}
		residual := 0.0
		for k := 1; k < n; k++ {
			residual = max(residual, math.Abs(f[k]))
		}
		if residual < maxResidual && (residual < 1e-13 || residual >= last/2) {
			out := make([]float64, len(chain))
			for i := range chain {
				out[i] = v[node[i]]
			}
			return out, nil
		}
		last = residual
		solveTridiagonal(diag, upper, cond, f)
		for k := 1; k < n; k++ {
			v[k] -= f[k]
		}
	}
	return nil, fmt.Errorf("currents still differ by %.3g A after 200 steps", last)
}

// solveTridiagonal solves the system with the given diagonal and -cond beside it for f, in place, from row 1 on
// (Thomas's elimination; the matrix is diagonally dominant).
func solveTridiagonal(diag, upper, cond, f []float64) {
	n := len(diag)
	for k := 1; k < n; k++ {
		d := diag[k]
		if k > 1 {
			d += cond[k] * upper[k-1]
			f[k] += cond[k] * f[k-1]
		}
		if k+1 < n {
			upper[k] = -cond[k+1] / d
		}
		f[k] /= d
	}
	for k := n - 2; k >= 1; k-- {
		f[k] -= upper[k] * f[k+1]
	}
}
