package light

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/dsp/fourier"
)

// The transform is the sum that it stands for, and gonum's, at lengths of every mix of factors; backward undoes it.
func TestDFT(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 5))
	for _, n := range []int{2, 4, 6, 8, 10, 12, 20, 30, 36, 50, 54, 120, 250, 256, 360, 450, 648, 1024, 1350} {
		v := make([]complex128, n)
		for i := range v {
			v[i] = complex(rng.NormFloat64(), rng.NormFloat64())
		}
		got := append([]complex128(nil), v...)
		d := newDFT(n)
		d.forward(got)
		off := func(a, b complex128) float64 { return cmplx.Abs(a - b) }
		want := fourier.NewCmplxFFT(n).Coefficients(nil, v)
		for k := range got {
			require.Less(t, off(want[k], got[k]), 1e-14*float64(n), "n %d, k %d", n, k)
			if n > 120 {
				continue
			}
			sum := complex128(0)
			for j, q := range v {
				s, c := math.Sincos(-2 * math.Pi * float64(j*k%n) / float64(n))
				sum += q * complex(c, s)
			}
			require.Less(t, off(sum, got[k]), 1e-14*float64(n), "n %d, k %d", n, k)
		}
		d.backward(got)
		for i := range got {
			require.Less(t, off(got[i]/complex(float64(n), 0), v[i]), 1e-14, "n %d, value %d", n, i)
		}
	}
}

func TestTurn(t *testing.T) {
	for _, n := range []int{1, 2, 3, 5, 7, 8, 360, 2048} {
		for k := range n {
			c, s := turn(k, n)
			a := 2 * math.Pi * float64(k) / float64(n)
			require.InDelta(t, math.Cos(a), c, 1e-15, "%d/%d", k, n)
			require.InDelta(t, math.Sin(a), s, 1e-15, "%d/%d", k, n)
			require.InDelta(t, 1, math.Hypot(c, s), 4e-16)
		}
	}
}

// A field of odd and even heights comes back from its spectrum, and its mean is the spectrum's first value.
func TestSpectrum(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 5))
	for _, h := range []int{1, 2, 7, 10} {
		v := make([]float64, 9*h)
		sum := 0.0
		for i := range v {
			v[i] = rng.Float64()
			sum += v[i]
		}
		s := transformed(nil, v, 9, h, 12, 20)
		require.InDelta(t, sum, real(s.c[0]), 1e-12)
		// One coefficient by the sum, where neither wave number is zero.
		var want complex128
		for j := range h {
			for i := range 9 {
				want += complex(v[j*9+i], 0) * cmplx.Exp(complex(0, -2*math.Pi*(float64(3*i)/12+float64(4*j)/20)))
			}
		}
		require.Less(t, cmplx.Abs(want-s.c[3*20+4]), 1e-12)
		require.InDeltaSlice(t, v, s.field(9, h), 1e-14)
	}
}

// Settled values do not depend on the last bits, and are within 1e-9.
func TestSettled(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for range 1000 {
		v := math.Exp(40 * (rng.Float64() - 0.5))
		require.InEpsilon(t, v, settled(v), 5e-10)
		require.Equal(t, settled(v), settled(settled(v)*(1+1e-14)))
		require.Equal(t, -settled(v), settled(-v))
	}
	require.Equal(t, 1.0, settled(math.Nextafter(1, 0)))
	require.True(t, math.IsNaN(settled(math.NaN())) && math.IsInf(settled(math.Inf(-1)), -1))
}

// No product is fused with a sum: compiled for a processor that could, the code has no such instruction. (Addition of floats
// that come out of other packages' code is theirs: what reaches a figure from there is settled.)
func TestNoFusedProducts(t *testing.T) {
	if testing.Short() || runtime.GOARCH != "amd64" {
		t.Skip("compiles the package for another processor")
	}
	for _, dir := range []string{"led", "led/part", "led/group", "led/solve", "led/design", "led/judge", "led/chance", "led/light", "export/picture"} {
		c := exec.Command("go", "build", "-gcflags=-S", "./"+dir)
		c.Dir = "../.."
		c.Env = append(os.Environ(), "GOAMD64=v3")
		out, err := c.CombinedOutput()
		require.NoError(t, err)
		require.Contains(t, string(out), "MULSD", "this is not the code of "+dir)
		var fused []string
		for line := range strings.Lines(string(out)) {
			if strings.Contains(line, "VFM") || strings.Contains(line, "VFNM") {
				if i, j := strings.Index(line, "("), strings.Index(line, ")"); i >= 0 && j > i && strings.Contains(line[i:j], dir) {
					fused = append(fused, line[i:j+1])
				}
			}
		}
		require.Empty(t, fused, "write float64(a*b) + c")
	}
}

func BenchmarkBlurred(b *testing.B) {
	g := Grid{Step: gridStep, W: 601, H: 401, V: make([]float64, 601*401)}
	for i := range g.V {
		g.V[i] = float64(i % 97)
	}
	o := newOptics(nil, UsualStack())
	for b.Loop() {
		blurred(nil, g, UsualStack(), o.blur)
	}
}
