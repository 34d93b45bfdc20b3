package solve

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"lampblack/led"
)

// solver is a network made ready for solving many times. Several goroutines may not share one.
//
// Method: Newton's iteration on the nodal equations. Their matrix is symmetric, and positive definite while every load
// draws more at more voltage. The unknowns are ordered by reverse Cuthill and McKee ("Reducing the bandwidth of sparse
// symmetric matrices", 24th ACM National Conference, 1969), which turns chains, rings and branches into a narrow band,
// solved by gonum's banded Cholesky factorization; the supply's terminal, which may touch every chain, is kept out of the
// band as a border. Work and memory grow with the number of boards.
//
// The equations are the gradient of a convex function (the network's co-content), so that the angle between step and
// gradient tells whether a step went too far; it is then halved. See solve.
type solver struct {
	row        []int // of each node; given ones are negative
	n, band    int   // unknowns within the band, and how far the band reaches from its diagonal
	border     int   // row of the terminal: n, or -1 where it is the EMF itself
	live       []int // rows that conductors alone join to the supply's plus
	conductors []stamp
	taps       [][2]int // rows
	others     []led.Load

	matrix, factor []float64 // upper band by rows
	edge           []float64 // the border's column
	corner         float64   // the border's own element
	f, step, prev  []float64
	rhs            []float64
	steps          int // of Newton's iteration when solve ran last, those that were halved too
}

// stamp is a conductor between two rows.
type stamp struct {
	a, b int
	g    float64
}

// Rows of the nodes whose voltage is given.
const (
	rowGround = -1
	rowEMF    = -2
)

// reach widens the band to hold an element.
func (s *solver) reach(a, b int) {
	if a >= 0 && b >= 0 && a < s.n && b < s.n {
		s.band = max(s.band, max(a, b)-min(a, b))
	}
}

// room makes the matrices.
func (s *solver) room() {
	s.matrix, s.factor = make([]float64, s.n*(s.band+1)), make([]float64, s.n*(s.band+1))
	s.edge, s.rhs = make([]float64, s.n), make([]float64, 2*s.n)
	s.f, s.step, s.prev = make([]float64, s.n+1), make([]float64, s.n+1), make([]float64, s.n+1)
}

// volts returns the voltage of a row.
func volts(v []float64, e float64, row int) float64 {
	switch row {
	case rowGround:
		return 0
	case rowEMF:
		return e
	}
	return v[row]
}

// errCollapse is the error of loads that draw more the less voltage they get, and so bring the supply down.
type errCollapse struct{}

func (errCollapse) Error() string { return "the supply's voltage breaks down under its load" }

// maxResidual is how well the currents of every node must add up.
const maxResidual = 1e-9 // A

// maxSteps is how often the iteration is repeated; it takes about six steps, from a solution nearby three.
const maxSteps = 200

// solve returns the voltages of all nodes at EMF e; loads are the strings of each tap. start, if not nil, is a solution
// nearby. The currents at every node add up to within maxResidual; if they cannot be brought to, it returns an error and no
// numbers.
func (s *solver) solve(e float64, loads [][]Branch, start []float64) ([]float64, error) {
	size := s.n
	if s.border >= 0 {
		size++
	}
	v := make([]float64, size)
	s.first(v, e, start)
	last, slope, t := math.Inf(1), 0.0, 1.0
	for s.steps = range maxSteps {
		s.assemble(v, e, loads)
		residual, ahead := 0.0, 0.0
		for k := range size {
			residual = max(residual, math.Abs(s.f[k]))
			ahead -= float64(s.f[k] * s.step[k])
		}
		switch {
		case math.IsNaN(residual):
			return nil, errCollapse{}
		case residual < maxResidual && (residual < 1e-13 || residual >= last/2):
			return s.nodes(v, e), nil
		case residual >= maxResidual && slope < 0 && ahead > -slope/2 && t > 1e-6:
			// The valley's floor lies behind: go back half of the way.
			t /= 2
			for k := range size {
				v[k] = s.prev[k] - float64(t*s.step[k])
			}
			continue
		}
		last = residual
		if !s.refactor() || !s.apply(s.f, s.step) {
			return nil, errCollapse{}
		}
		slope, t = 0, 1
		for k := range size {
			slope -= float64(s.f[k] * s.step[k])
			s.prev[k] = v[k]
			v[k] -= s.step[k]
		}
	}
	return nil, fmt.Errorf("currents still differ by %.3g A after %d steps", last, maxSteps)
}

// first sets the voltages that the iteration starts from: those of start, or full supply on all that hangs on it.
func (s *solver) first(v []float64, e float64, start []float64) {
	clear(s.step)
	if start != nil {
		for i, r := range s.row {
			if r >= 0 {
				v[r] = start[i]
			}
		}
		return
	}
	// What conductors alone join to the supply's plus has its voltage without load.
	for _, r := range s.live {
		v[r] = e
	}
}

func (s *solver) nodes(v []float64, e float64) []float64 {
	out := make([]float64, len(s.row))
	for i, r := range s.row {
		out[i] = volts(v, e, r)
	}
	return out
}

// assemble sets f, what flows out of each node, and its derivative.
func (s *solver) assemble(v []float64, e float64, loads [][]Branch) {
	clear(s.matrix)
	clear(s.edge)
	clear(s.f)
	s.corner = 0
	for _, c := range s.conductors {
		s.stamp(c.a, c.b, c.g*(volts(v, e, c.a)-volts(v, e, c.b)), c.g)
	}
	for k, t := range s.taps {
		u := volts(v, e, t[0]) - volts(v, e, t[1])
		i, g := draws(loads[k], u)
		s.stamp(t[0], t[1], i, g)
	}
	if s.border < 0 {
		return // what else hangs on a supply that holds its voltage does not matter to the rest
	}
	u := v[s.border]
	for _, l := range s.others {
		i, g := float64(l.Amps), 0.0
		if l.Watts > 0 {
			i += float64(l.Watts) / u
			g -= float64(l.Watts) / u / u
			if u <= 0 {
				i = math.NaN()
			}
		}
		if l.Ohms > 0 {
			i += u / float64(l.Ohms)
			g += 1 / float64(l.Ohms)
		}
		s.stamp(s.border, rowGround, i, g)
	}
}

// draws returns what the branches draw at voltage u, and its derivative.
func draws(loads []Branch, u float64) (i, g float64) {
	for _, l := range loads {
		li, lg := l.At(u)
		i += float64(l.times * li)
		g += float64(l.times * lg)
	}
	return i, g
}

// stamp adds a branch from row a to row b that carries i and whose conductance is g.
func (s *solver) stamp(a, b int, i, g float64) {
	if a == b {
		return
	}
	if a >= 0 {
		s.f[a] += i
		s.own(a, g)
	}
	if b >= 0 {
		s.f[b] -= i
		s.own(b, g)
	}
	switch {
	case a < 0 || b < 0:
	case a == s.border:
		s.edge[b] -= g
	case b == s.border:
		s.edge[a] -= g
	default:
		lo, hi := min(a, b), max(a, b)
		s.matrix[lo*(s.band+1)+hi-lo] -= g
	}
}

func (s *solver) own(k int, g float64) {
	if k == s.border {
		s.corner += g
		return
	}
	s.matrix[k*(s.band+1)] += g
}

// refactor factors the band; false when it is not positive definite.
func (s *solver) refactor() bool {
	if s.n == 0 {
		return true
	}
	copy(s.factor, s.matrix)
	_, ok := lapack64.Pbtrf(blas64.SymmetricBand{Uplo: blas.Upper, N: s.n, K: s.band, Data: s.factor, Stride: s.band + 1})
	return ok
}

// apply solves the factored system, with its border, for f.
func (s *solver) apply(f, out []float64) bool {
	if s.n > 0 {
		for k := range s.n {
			s.rhs[2*k], s.rhs[2*k+1] = f[k], s.edge[k]
		}
		t := blas64.TriangularBand{Uplo: blas.Upper, Diag: blas.NonUnit, N: s.n, K: s.band, Data: s.factor, Stride: s.band + 1}
		lapack64.Pbtrs(t, blas64.General{Rows: s.n, Cols: 2, Data: s.rhs, Stride: 2})
	}
	at := 0.0
	if s.border >= 0 {
		// The band's unknowns eliminated, one equation is left.
		pivot, right := s.corner, f[s.border]
		for k := range s.n {
			pivot -= float64(s.edge[k] * s.rhs[2*k+1])
			right -= float64(s.edge[k] * s.rhs[2*k])
		}
		if !(pivot > 0) {
			return false
		}
		at = right / pivot
		out[s.border] = at
	}
	for k := range s.n {
		out[k] = s.rhs[2*k] - float64(s.rhs[2*k+1]*at)
	}
	return true
}
