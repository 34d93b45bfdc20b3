package copper

import (
	"math"

	"lampblack/panel/work"
)

// matrix is the conductance matrix of the free nodes, symmetric and positive definite but for pieces of copper that reach no
// electrode, which keep 0 V. Rows hold what is off the diagonal, in ascending columns.
type matrix struct {
	start []int32
	col   []int32
	val   []float64
	diag  []float64
	rhs   []float64 // what flows in from the electrode at 1 V
}

func newMatrix(n int, links []link) *matrix {
	m := &matrix{start: make([]int32, n+1), diag: make([]float64, n), rhs: make([]float64, n)}
	free := func(l link) bool { return l.a >= 0 && l.b >= 0 }
	for _, l := range links {
		if free(l) {
			m.start[l.a+1]++
			m.start[l.b+1]++
		}
	}
	for i := range n {
		m.start[i+1] += m.start[i]
	}
	m.col = make([]int32, m.start[n])
	m.val = make([]float64, m.start[n])
	fill := append([]int32(nil), m.start[:n]...)
	put := func(i, j int32, g float64) {
		// Insertion keeps the row in order: rows have four entries or a few more.
		k := fill[i]
		for k > m.start[i] && m.col[k-1] > j {
			m.col[k], m.val[k] = m.col[k-1], m.val[k-1]
			k--
		}
		m.col[k], m.val[k] = j, -g
		fill[i]++
	}
	for _, l := range links {
		for _, e := range [2][2]int32{{l.a, l.b}, {l.b, l.a}} {
			if e[0] < 0 {
				continue
			}
			m.diag[e[0]] += l.g
			if e[1] == held1 {
				m.rhs[e[0]] += l.g
			}
		}
		if free(l) {
			put(l.a, l.b, l.g)
			put(l.b, l.a, l.g)
		}
	}
	return m
}

// times puts the product of m and x into y.
func (m *matrix) times(y, x []float64) {
	for i := range y {
		sum := float64(m.diag[i] * x[i])
		for k := m.start[i]; k < m.start[i+1]; k++ {
			sum += float64(m.val[k] * x[m.col[k]])
		}
		y[i] = sum
	}
}

// factor returns 1 over the pivots of the modified incomplete Cholesky factor with no fill: what the full factor would fill
// in goes, by 97 %, to the diagonal, which brings the steps of the conjugate gradients down to about the root of the grid's
// side.
//
// Source: I. Gustafsson, "A class of first order factorization methods", BIT 18, 1978, doi:10.1007/BF01931691; the share of
// 97 % and the guard against small pivots are common practice with grids that have holes.
func (m *matrix) factor() []float64 {
	const share, guard = 0.97, 0.25
	n := len(m.diag)
	inv := make([]float64, n)
	after := make([]float64, n) // sum of row i right of the diagonal
	for i := range n {
		for k := m.start[i]; k < m.start[i+1]; k++ {
			if int(m.col[k]) > i {
				after[i] += m.val[k]
			}
		}
	}
	for i := range n {
		e := m.diag[i]
		for k := m.start[i]; k < m.start[i+1] && int(m.col[k]) < i; k++ {
			c, a := m.col[k], m.val[k]
			e -= float64(float64(a*a) * inv[c])
			e -= float64(share * float64(float64(a*(after[c]-a))*inv[c]))
		}
		if e < guard*m.diag[i] {
			e = m.diag[i]
		}
		if e > 0 {
			inv[i] = 1 / e
		}
	}
	return inv
}

// precondition puts the solution of (L+D) D⁻¹ (L+D)ᵀ z = r into z, L being what is left of the diagonal and 1/D inv.
func (m *matrix) precondition(z, r, inv []float64) {
	for i := range z {
		sum := r[i]
		for k := m.start[i]; k < m.start[i+1] && int(m.col[k]) < i; k++ {
			sum -= float64(m.val[k] * z[m.col[k]])
		}
		z[i] = float64(sum * inv[i])
	}
	for i := len(z) - 1; i >= 0; i-- {
		sum := 0.0
		for k := m.start[i+1] - 1; k >= m.start[i] && int(m.col[k]) > i; k-- {
			sum += float64(m.val[k] * z[m.col[k]])
		}
		z[i] -= float64(sum * inv[i])
	}
}

// solve returns the voltages, by preconditioned conjugate gradients. They end when the error, as far as the preconditioner
// tells it, is the given part of what it was; the error of the heat is about its square.
//
// Source: M. R. Hestenes and E. Stiefel, "Methods of Conjugate Gradients for Solving Linear Systems", J. Res. Nat. Bur.
// Standards 49(6), 1952, doi:10.6028/jres.049.044.
func (m *matrix) solve(w *work.Watch, tolerance float64) []float64 {
	const most = 4000
	n := len(m.diag)
	x, r, z, p, q := make([]float64, n), append([]float64(nil), m.rhs...), make([]float64, n), make([]float64, n), make([]float64, n)
	inv := m.factor()
	m.precondition(z, r, inv)
	copy(p, z)
	rz := dot(r, z)
	goal := float64(tolerance * tolerance * rz)
	for step := 0; step < most && rz > goal && rz > 0; step++ {
		w.Look()
		m.times(q, p)
		pq := dot(p, q)
		if !(pq > 0) || math.IsInf(pq, 0) {
			break
		}
		a := rz / pq
		for i := range x {
			x[i] += float64(a * p[i])
			r[i] -= float64(a * q[i])
		}
		m.precondition(z, r, inv)
		next := dot(r, z)
		b := next / rz
		for i := range p {
			p[i] = z[i] + float64(b*p[i])
		}
		rz = next
	}
	return x
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += float64(a[i] * b[i])
	}
	return sum
}
