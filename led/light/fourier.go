package light

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
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
	w, h int
	c    []complex128
}

// transformed returns the spectrum of a field of gw × gh values, made up with zeros to w × h.
func transformed(v []float64, gw, gh, w, h int) spectrum {
	s := spectrum{w, h, make([]complex128, (w/2+1)*h)}
	bands(gh, func(from, to int) {
		t := fourier.NewFFT(w)
		row := make([]float64, w)
		coeff := make([]complex128, w/2+1)
		for j := from; j < to; j++ {
			copy(row, v[j*gw:(j+1)*gw])
			t.Coefficients(coeff, row)
			for i, q := range coeff {
				s.c[i*h+j] = q
			}
		}
	})
	bands(w/2+1, func(from, to int) {
		t := fourier.NewCmplxFFT(h)
		for i := from; i < to; i++ {
			col := s.c[i*h : (i+1)*h]
			t.Coefficients(col, col)
		}
	})
	return s
}

// field returns the first gw × gh values of the field of the spectrum, which is overwritten.
func (s spectrum) field(gw, gh int) []float64 {
	w, h := s.w, s.h
	bands(w/2+1, func(from, to int) {
		t := fourier.NewCmplxFFT(h)
		for i := from; i < to; i++ {
			col := s.c[i*h : (i+1)*h]
			t.Sequence(col, col)
		}
	})
	out := make([]float64, gw*gh)
	scale := 1 / float64(w*h)
	bands(gh, func(from, to int) {
		t := fourier.NewFFT(w)
		row := make([]float64, w)
		coeff := make([]complex128, w/2+1)
		for j := from; j < to; j++ {
			for i := range coeff {
				coeff[i] = s.c[i*h+j]
			}
			t.Sequence(row, coeff)
			for i := range gw {
				out[j*gw+i] = row[i] * scale
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
		table[i] = transfer(most * float64(i) / n)
	}
	bands(s.w/2+1, func(from, to int) {
		for i := from; i < to; i++ {
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
		p := s.c[i]
		re := float64(real(p)*real(q)) - float64(imag(p)*imag(q))
		im := float64(real(p)*imag(q)) + float64(imag(p)*real(q))
		s.c[i] = complex(re, im)
	}
}
