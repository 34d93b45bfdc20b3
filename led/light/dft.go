package light

import "math"

// dft is a discrete Fourier transform of n = 2^a·3^b·5^c complex values, a ≥ 1, and room to work in; not for two goroutines at
// a time.
//
// Method: the self-sorting transform of T. G. Stockham, "High-speed convolution and correlation", AFIPS Spring Joint Computer
// Conference, 1966, doi:10.1145/1464182.1464209, in steps of 4, 2, 3 and 5. It is our own because its bits reach the files:
// every product is rounded before it is added, so that a processor with a fused multiply-add finds the same bits.
type dft struct {
	n    int
	w    []complex128 // w[k] = exp(-2πik/n)
	room []complex128
}

func newDFT(n int) dft {
	t := dft{n, make([]complex128, n), make([]complex128, n)}
	for k := range t.w {
		c, s := turn(k, n)
		t.w[k] = complex(c, -s)
	}
	return t
}

// turn returns cosine and sine of 2πk/n, 0 ≤ k < n, to the last bit or two, and the same bits on every processor, which
// math.Cos and math.Sin are not.
func turn(k, n int) (cos, sin float64) {
	// The angle is an eighth of a turn times q plus r/n of an eighth; odd eighths are looked at from their end.
	q, r := 8*k/n, 8*k%n
	if q%2 == 1 {
		r = n - r
	}
	x := float64(math.Pi/4*float64(r)) / float64(n)
	x2 := float64(x * x)
	// Taylor's series; the next term is below 1e-17 at π/4.
	c, s := 1.0, 1.0
	for i := 16; i > 0; i -= 2 {
		c = 1 - float64(x2*c)/float64(i*(i-1))
		s = 1 - float64(x2*s)/float64(i*(i+1))
	}
	s *= x
	switch q {
	case 0:
		return c, s
	case 1:
		return s, c
	case 2:
		return -s, c
	case 3:
		return -c, s
	case 4:
		return -c, -s
	case 5:
		return -s, -c
	case 6:
		return s, -c
	}
	return c, -s
}

// mul is a product of complex numbers, each of its products rounded.
func mul(a, b complex128) complex128 {
	return complex(float64(real(a)*real(b))-float64(imag(a)*imag(b)), float64(real(a)*imag(b))+float64(imag(a)*real(b)))
}

// by is a product with a real number.
func by(a complex128, f float64) complex128 {
	return complex(float64(real(a)*f), float64(imag(a)*f))
}

// right is a turned clockwise by a quarter: -i·a.
func right(a complex128) complex128 { return complex(imag(a), -real(a)) }

// forward replaces v by its transform, Σ v[j]·exp(-2πijk/n).
func (t dft) forward(v []complex128) {
	x, y := v, t.room
	for n, s := t.n, 1; n > 1; {
		r := 5
		switch {
		case n%4 == 0:
			r = 4
		case n%2 == 0:
			r = 2
		case n%3 == 0:
			r = 3
		}
		t.pass(y, x, n, s, r)
		x, y, n, s = y, x, n/r, s*r
	}
	if &x[0] != &v[0] {
		copy(v, x)
	}
}

// backward replaces v by Σ v[j]·exp(2πijk/n).
func (t dft) backward(v []complex128) {
	t.forward(v)
	for i, j := 1, t.n-1; i < j; i, j = i+1, j-1 {
		v[i], v[j] = v[j], v[i]
	}
}

// Sines and cosines of fifths and thirds of a turn.
const (
	cos72  = 0.30901699437494742410229341718281906
	cos144 = -0.80901699437494742410229341718281906
	sin72  = 0.95105651629515357211643933337938214
	sin144 = 0.58778525229247312916870595463907277
	sin120 = 0.86602540378443864676372317075293618
)

// pass takes s transforms of length n one factor r down, from x to y.
func (t dft) pass(y, x []complex128, n, s, r int) {
	m := n / r
	for p := range m {
		at := x[s*p:]
		to := y[s*r*p : s*r*(p+1)]
		k := s * p // w[k·j] is exp(-2πi·pj/n)
		switch r {
		case 2:
			w := t.w[k]
			a, b := at[:s], at[s*m:s*m+s]
			for q := range s {
				u, v := a[q], b[q]
				to[q], to[s+q] = u+v, mul(u-v, w)
			}
		case 3:
			w1, w2 := t.w[k], t.w[2*k]
			a, b, c := at[:s], at[s*m:s*m+s], at[2*s*m:2*s*m+s]
			for q := range s {
				sum, dif := b[q]+c[q], right(by(b[q]-c[q], sin120))
				mid := a[q] - by(sum, 0.5)
				to[q], to[s+q], to[2*s+q] = a[q]+sum, mul(mid+dif, w1), mul(mid-dif, w2)
			}
		case 4:
			w1, w2, w3 := t.w[k], t.w[2*k], t.w[3*k]
			a, b, c, d := at[:s], at[s*m:s*m+s], at[2*s*m:2*s*m+s], at[3*s*m:3*s*m+s]
			for q := range s {
				ac, bd := a[q]+c[q], b[q]+d[q]
				ca, db := a[q]-c[q], right(b[q]-d[q])
				to[q], to[s+q], to[2*s+q], to[3*s+q] = ac+bd, mul(ca+db, w1), mul(ac-bd, w2), mul(ca-db, w3)
			}
		case 5:
			w1, w2, w3, w4 := t.w[k], t.w[2*k], t.w[3*k], t.w[4*k]
			a, b, c, d, e := at[:s], at[s*m:s*m+s], at[2*s*m:2*s*m+s], at[3*s*m:3*s*m+s], at[4*s*m:4*s*m+s]
			for q := range s {
				be, cd := b[q]+e[q], c[q]+d[q]
				eb, dc := right(b[q]-e[q]), right(c[q]-d[q])
				near, far := a[q]+by(be, cos72)+by(cd, cos144), a[q]+by(be, cos144)+by(cd, cos72)
				u, v := by(eb, sin72)+by(dc, sin144), by(eb, sin144)-by(dc, sin72)
				to[q] = a[q] + be + cd
				to[s+q], to[4*s+q] = mul(near+u, w1), mul(near-u, w4)
				to[2*s+q], to[3*s+q] = mul(far+v, w2), mul(far-v, w3)
			}
		}
	}
}
