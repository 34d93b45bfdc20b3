package led

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
)

// omega against the equation that defines it, over all of its range.
func TestOmega(t *testing.T) {
	for y := -700.0; y < 3000; y += 0.37 {
		w := omega(y)
		if y < -30 {
			require.InEpsilon(t, math.Exp(y), w, 1e-12, y)
			continue
		}
		require.InDelta(t, y, w+math.Log(w), 1e-13*max(1, math.Abs(y)), y)
	}
	require.InDelta(t, 0.5671432904097838, omega(0), 1e-15) // the omega constant
	require.InDelta(t, 1.0, omega(1), 1e-15)
}

// The current of a string must give its voltage back.
func TestStringCurrent(t *testing.T) {
	d := Diode{1e-10, 4.09, 0.1}
	for _, n := range []int{1, 4, 20} {
		for _, r := range []float64{1, 470, 1e6} {
			for _, i := range []float64{1e-12, 1e-9, 1e-6, 1e-3, 0.008, 0.1} {
				s := stringLoad{n, d, r}
				v := i*r + float64(n)*float64(d.Volts(part.Amp(i)))
				got, g := s.at(v)
				require.InDelta(t, i, got, 1e-9*i+1e-22)
				h := 1e-6
				up, _ := s.at(v + h)
				down, _ := s.at(v - h)
				require.InEpsilon(t, (up-down)/(2*h), g, 1e-4)
			}
		}
	}
	i, _ := stringLoad{4, d, 470}.at(0)
	require.InDelta(t, 0, i, 1e-12)
	i, _ = stringLoad{0, d, 100}.at(12)
	require.InDelta(t, 0.12, i, 1e-15)
}

// A ladder of equal resistive loads has a closed form: with r a segment's loop resistance, R the load and
// x = acosh(1 + r/2R), the voltage across board k of n is V·cosh((n-k+½)x)/cosh((n+½)x).
func TestLadderClosedForm(t *testing.T) {
	for _, n := range []int{1, 2, 7, 40} {
		for _, r := range []float64{0.01, 0.5, 30} {
			const load, vs = 100.0, 12.0
			chain := make([]segment, n)
			for i := range chain {
				chain[i] = segment{r, []stringLoad{{ohms: load}}}
			}
			v, err := operate(vs, chain)
			require.NoError(t, err)
			x := math.Acosh(1 + r/(2*load))
			for k := 1; k <= n; k++ {
				want := vs * math.Cosh((float64(n-k)+0.5)*x) / math.Cosh((float64(n)+0.5)*x)
				require.InDelta(t, want, v[k-1], 1e-9, "%d boards, %g Ω, board %d", n, r, k)
			}
		}
	}
}

// Two equal boards on one wire have the voltage of one with half the load; on one wire without length they share it.
func TestTwoEqualBoards(t *testing.T) {
	load := []stringLoad{{4, Diode{1e-10, 4.09, 0.1}, 560}}
	both, err := operate(12, []segment{{2, load}, {0, load}})
	require.NoError(t, err)
	require.Equal(t, both[0], both[1])
	double, err := operate(12, []segment{{2, []stringLoad{load[0], load[0]}}})
	require.NoError(t, err)
	require.InDelta(t, double[0], both[0], 1e-12)
}

// Kirchhoff at every node, on chains of all sorts, absurd ones too.
func TestOperateResidual(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n := 1 + rng.IntN(40)
		chain := make([]segment, n)
		for i := range chain {
			chain[i].ohms = math.Pow(10, rng.Float64()*9-5)
			for range rng.IntN(30) {
				chain[i].loads = append(chain[i].loads, stringLoad{1 + rng.IntN(6), Diode{part.Amp(math.Pow(10, -6-rng.Float64()*20)), 1 + 6*rng.Float64(), part.Ohm(10 * rng.Float64())}, math.Pow(10, rng.Float64()*5)})
			}
		}
		vs := rng.Float64() * float64(MaxSupply)
		v, err := operate(vs, chain)
		require.NoError(t, err)
		for i := range chain {
			if chain[i].ohms < leastOhms || i+1 < n && chain[i+1].ohms < leastOhms {
				continue // joined nodes are checked by their sum elsewhere
			}
			before := vs
			if i > 0 {
				before = v[i-1]
			}
			in := (before - v[i]) / chain[i].ohms
			out, _ := chain[i].draw(v[i])
			if i+1 < n {
				out += (v[i] - v[i+1]) / chain[i+1].ohms
			}
			require.InDelta(t, in, out, maxResidual)
			require.LessOrEqual(t, v[i], before+1e-9)
		}
	}
}

// consoleOf returns a chain of boards with strings of their own resistors, for the benchmarks.
func consoleOf(boards, strings int) []segment {
	rng := rand.New(rand.NewPCG(3, 4))
	chain := make([]segment, boards)
	for i := range chain {
		chain[i].ohms = 0.02 + 0.02*rng.Float64()
		for range strings {
			chain[i].loads = append(chain[i].loads, stringLoad{4, Diode{1e-10, 4.09, 0.1}, 500 + 100*rng.Float64()})
		}
	}
	return chain
}

// 40 boards with 2,000 strings.
func BenchmarkOperate(b *testing.B) {
	for _, boards := range []int{10, 40, 160} {
		b.Run(fmt.Sprint(boards), func(b *testing.B) {
			chain := consoleOf(boards, 50)
			for b.Loop() {
				if _, err := operate(24, chain); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
