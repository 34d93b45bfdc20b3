package light

import (
	"math"

	"lampblack/panel/work"
)

// fast returns the smallest number of the form 2^a·3^b·5^c that is even and at least n: transforms of such lengths are fast.
func fast(n int) int {
	for n = max(n+n%2, 2); ; n += 2 {
		k := n
		for _, p := range []int{2, 3, 5} {
			for k%p == 0 {
				k /= p
			}
		}
		if k == 1 {
			return n
		}
	}
}

// spectrum is the Fourier transform of a real w × h field: w/2+1 complex columns, one after another, of h each.
type spectrum struct {
	watch *work.Watch
	w, h  int
	c     []complex128
}

// transformed returns the spectrum of a field of gw × gh values, made up with zeros to w × h.
func transformed(watch *work.Watch, v []float64, gw, gh, w, h int) spectrum {
	s := spectrum{watch, w, h, make([]complex128, (w/2+1)*h)}
	// Two rows at a time are the real and the imaginary part of one; their spectra are its even and its odd part.
	work.Bands((gh+1)/2, func(from, to int) {
		t := newDFT(w)
		z := make([]complex128, w)
		for j := 2 * from; j < min(2*to, gh); j += 2 {
			s.watch.Look()
			clear(z)
			if j+1 < gh {
				second := v[(j+1)*gw : (j+2)*gw]
				for i, q := range v[j*gw : (j+1)*gw] {
					z[i] = complex(q, second[i])
				}
			} else {
				for i, q := range v[j*gw : (j+1)*gw] {
					z[i] = complex(q, 0)
				}
			}
			t.forward(z)
			for i := range w/2 + 1 {
				p, q := z[i], z[(w-i)%w]
				s.c[i*h+j] = complex((real(p)+real(q))/2, (imag(p)-imag(q))/2)
				if j+1 < gh {
					s.c[i*h+j+1] = complex((imag(p)+imag(q))/2, (real(q)-real(p))/2)
				}
			}
		}
	})
	work.Bands(w/2+1, func(from, to int) {
		t := newDFT(h)
		for i := from; i < to; i++ {
			s.watch.Look()
			t.forward(s.c[i*h : (i+1)*h])
		}
	})
	return s
}

// field returns the first gw × gh values of the field of the spectrum, which is overwritten.
func (s spectrum) field(gw, gh int) []float64 {
	w, h := s.w, s.h
	work.Bands(w/2+1, func(from, to int) {
		t := newDFT(h)
		for i := from; i < to; i++ {
			s.watch.Look()
			t.backward(s.c[i*h : (i+1)*h])
		}
	})
	out := make([]float64, gw*gh)
	scale := 1 / float64(w*h)
	work.Bands((gh+1)/2, func(from, to int) {
		t := newDFT(w)
		z := make([]complex128, w)
		for j := 2 * from; j < min(2*to, gh); j += 2 {
			s.watch.Look()
			for i := range w/2 + 1 {
				p, q := s.c[i*h+j], complex128(0)
				if j+1 < gh {
					q = s.c[i*h+j+1]
				}
				if i == 0 || 2*i == w { // real by symmetry, but for what rounding left
					z[i] = complex(real(p), real(q))
					continue
				}
				z[i] = complex(real(p)-imag(q), imag(p)+real(q))
				z[w-i] = complex(real(p)+imag(q), real(q)-imag(p))
			}
			t.backward(z)
			for i := range gw {
				out[j*gw+i] = real(z[i]) * scale
				if j+1 < gh {
					out[(j+1)*gw+i] = imag(z[i]) * scale
				}
			}
		}
	})
	return out
}

// times multiplies the spectrum by a transfer function of the wave number alone, in radians per mm; step is the width of a
// cell, mm.
func (s spectrum) times(step float64, transfer func(k float64) float64) {
	// Tabled over k: transfer functions are smooth and cost much more than a line between two entries.
	const n = 2048
	most := math.Pi / step * math.Sqrt2
	table := make([]float64, n+2)
	for i := range table {
		table[i] = settled(transfer(most * float64(i) / n))
	}
	work.Bands(s.w/2+1, func(from, to int) {
		for i := from; i < to; i++ {
			s.watch.Look()
			kx := 2 * math.Pi * float64(i) / (float64(s.w) * step)
			for j := range s.h {
				ky := 2 * math.Pi * float64(min(j, s.h-j)) / (float64(s.h) * step)
				x := math.Sqrt(float64(kx*kx)+float64(ky*ky)) / most * n
				k := min(int(x), n)
				f := x - float64(k)
				t := float64(table[k]*(1-f)) + float64(table[k+1]*f)
				q := s.c[i*s.h+j]
				s.c[i*s.h+j] = complex(real(q)*t, imag(q)*t)
			}
		}
	})
}

// by multiplies two spectra of one size.
func (s spectrum) by(t spectrum) {
	for i, q := range t.c {
		s.c[i] = mul(s.c[i], q)
	}
}
