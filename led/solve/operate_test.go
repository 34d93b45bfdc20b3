package solve

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
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
	d := part.Diode{IS: 1e-10, N: 4.09, RS: 0.1}
	for _, n := range []int{1, 4, 20} {
		for _, r := range []float64{1, 470, 1e6} {
			for _, i := range []float64{1e-12, 1e-9, 1e-6, 1e-3, 0.008, 0.1} {
				s := String{n, d, r}
				v := i*r + float64(n)*float64(d.Volts(part.Amp(i)))
				got, g := s.At(v)
				require.InDelta(t, i, got, 1e-9*i+1e-22)
				h := 1e-6
				up, _ := s.At(v + h)
				down, _ := s.At(v - h)
				require.InEpsilon(t, (up-down)/(2*h), g, 1e-4)
			}
		}
	}
	i, _ := String{4, d, 470}.At(0)
	require.InDelta(t, 0, i, 1e-12)
	i, _ = String{0, d, 100}.At(12)
	require.InDelta(t, 0.12, i, 1e-15)
}

// segment is one link of a chain: the loop resistance of the feed to it, and its strings.
type segment struct {
	ohms  float64
	loads []String
}

// operate returns the voltage across each board of a chain; share of the loop's resistance is in the supply conductor.
func operate(vs float64, chain []segment, share float64) ([]float64, error) {
	n, loads := chained([][]segment{chain}, share)
	v, err := n.compile().solve(vs, loads, nil)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(chain))
	for i, t := range n.taps {
		out[i] = v[t.p] - v[t.n]
	}
	return out, nil
}

// chained returns the network of chains that all start at one stiff supply, and the strings of each tap.
func chained(chains [][]segment, share float64) (n network, loads [][]Branch) {
	n = network{nodes: 3}
	n.join(emf, terminal, 0)
	for _, chain := range chains {
		p, m := terminal, ground
		for _, s := range chain {
			np, nm := n.add(), n.add()
			n.join(p, np, s.ohms*share)
			n.join(m, nm, s.ohms*(1-share))
			p, m = np, nm
			n.taps = append(n.taps, tap{p, m})
			on := make([]Branch, 0, len(s.loads))
			for _, l := range s.loads {
				on = append(on, l.Branch(1))
			}
			loads = append(loads, on)
		}
	}
	return n, loads
}

// The iteration starts with full supply on all that conductors alone join to it, whatever the order they were added in, and
// with none on 0 V's side.
func TestStartIsFullSupply(t *testing.T) {
	n := network{nodes: 3}
	const last = 50
	p, m := []node{terminal}, []node{ground}
	for range last {
		p, m = append(p, n.add()), append(m, n.add())
	}
	loose := n.add()
	n.join(loose, n.add(), 1)
	for i := last; i > 0; i-- { // the far end first
		n.join(p[i], p[i-1], float64(i%3))
		n.join(m[i-1], m[i], 1)
		n.taps = append(n.taps, tap{p[i], m[i]})
	}
	n.join(terminal, emf, 0.1)
	s := n.compile()
	v := make([]float64, s.n+1)
	s.first(v, 24, nil)
	for i := range last {
		require.Equal(t, 24.0, volts(v, 24, s.row[p[i+1]]))
		require.Zero(t, volts(v, 24, s.row[m[i+1]]))
	}
	require.Zero(t, v[s.row[loose]])
}

// A ladder of equal resistive loads has a closed form: with r a segment's loop resistance, R the load and
// x = acosh(1 + r/2R), the voltage across board k of n is V·cosh((n-k+½)x)/cosh((n+½)x).
func TestLadderClosedForm(t *testing.T) {
	for _, n := range []int{1, 2, 7, 40} {
		for _, r := range []float64{0.01, 0.5, 30} {
			const load, vs = 100.0, 12.0
			chain := make([]segment, n)
			for i := range chain {
				chain[i] = segment{r, []String{{Ohms: load}}}
			}
			v, err := operate(vs, chain, 0.5)
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
	load := []String{{4, part.Diode{IS: 1e-10, N: 4.09, RS: 0.1}, 560}}
	both, err := operate(12, []segment{{2, load}, {0, load}}, 0.5)
	require.NoError(t, err)
	require.Equal(t, both[0], both[1])
	double, err := operate(12, []segment{{2, []String{load[0], load[0]}}}, 0.5)
	require.NoError(t, err)
	require.InDelta(t, double[0], both[0], 1e-12)
}

// Kirchhoff at every node, on networks of all sorts, absurd ones too: trees and meshes of conductors over nine decades.
func TestSolveResidual(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n := network{nodes: 3}
		n.join(emf, terminal, []float64{0, 0.1, 5}[rng.IntN(3)])
		ohms := func() float64 { return math.Pow(10, rng.Float64()*9-5) }
		p, m := []node{terminal}, []node{ground}
		var loads [][]Branch
		for range 1 + rng.IntN(40) {
			np, nm := n.add(), n.add()
			n.join(p[rng.IntN(len(p))], np, ohms())
			n.join(m[rng.IntN(len(m))], nm, ohms())
			p, m = append(p, np), append(m, nm)
			if rng.IntN(4) == 0 {
				n.join(p[rng.IntN(len(p))], p[rng.IntN(len(p))], ohms())
			}
			n.taps = append(n.taps, tap{np, nm})
			var on []Branch
			for range rng.IntN(30) {
				on = append(on, String{1 + rng.IntN(6), part.Diode{IS: part.Amp(math.Pow(10, -6-rng.Float64()*20)), N: 1 + 6*rng.Float64(), RS: part.Ohm(10 * rng.Float64())}, math.Pow(10, rng.Float64()*5)}.Branch(1))
			}
			loads = append(loads, on)
		}
		if rng.IntN(2) == 0 {
			n.others = []led.Load{{Amps: 0.1}, {Ohms: 50}, {Watts: 0.01}}
		}
		e := 1 + rng.Float64()*float64(led.MaxSupply)
		v, err := n.compile().solve(e, loads, nil)
		require.NoError(t, err)
		// Summed up here from the voltages alone; joined nodes are one.
		root := n.merged()
		sum := make([]float64, n.nodes)
		flow := func(a, b node, i float64) {
			sum[root[a]] += i
			sum[root[b]] -= i
		}
		for _, c := range n.conductors {
			if c.ohms >= leastOhms {
				flow(c.a, c.b, (v[c.a]-v[c.b])/c.ohms)
			}
		}
		for k, x := range n.taps {
			i, _ := draws(loads[k], v[x.p]-v[x.n])
			flow(x.p, x.n, i)
		}
		for _, l := range n.others {
			flow(terminal, ground, float64(l.At(part.Volt(v[terminal]))))
		}
		for i := range sum {
			if root[i] == i && node(i) != ground && node(i) != emf {
				require.InDelta(t, 0, sum[i], 1.5*maxResidual)
			}
			require.LessOrEqual(t, v[i], e+1e-9)
			require.GreaterOrEqual(t, v[i], -1e-9)
		}
	}
}

// Whichever conductor has the resistance of a chain, the boards get the same.
func TestReturnCountsLikeSupply(t *testing.T) {
	chain := consoleOf(12, 5)
	want, err := operate(24, chain, 1)
	require.NoError(t, err)
	for _, share := range []float64{0, 0.3, 0.5} {
		got, err := operate(24, chain, share)
		require.NoError(t, err)
		require.InDeltaSlice(t, want, got, 1e-10)
	}
}

// A load of fixed power behind a resistance has a closed form: V = E/2 + sqrt(E²/4 - P·R), and none beyond E²/4R.
func TestConstantPower(t *testing.T) {
	n := network{nodes: 3, others: []led.Load{{Watts: 20}}}
	n.join(emf, terminal, 1)
	v, err := n.compile().solve(12, nil, nil)
	require.NoError(t, err)
	require.InDelta(t, 6+math.Sqrt(36-20), v[terminal], 1e-9)
	n.others = []led.Load{{Watts: 36.5}}
	_, err = n.compile().solve(12, nil, nil)
	require.ErrorIs(t, err, errCollapse{})
}

// consoleOf returns a chain of boards with strings of their own resistors, for the benchmarks.
func consoleOf(boards, strings int) []segment {
	rng := rand.New(rand.NewPCG(3, 4))
	chain := make([]segment, boards)
	for i := range chain {
		chain[i].ohms = 0.02 + 0.02*rng.Float64()
		for range strings {
			chain[i].loads = append(chain[i].loads, String{4, part.Diode{IS: 1e-10, N: 4.09, RS: 0.1}, 500 + 100*rng.Float64()})
		}
	}
	return chain
}

// 40 boards with 2,000 strings, none of which are alike; and the same per board with more and fewer boards, in chains of 10
// from one supply. One chain of 160 such boards would compare unlike things: the drop along a chain grows with the square of
// its boards, its far end would be left with 6 V of 24, where no LED burns, and a console that dark takes eight steps instead
// of four, each of them slower.
func BenchmarkSolve(b *testing.B) {
	for _, boards := range []int{10, 40, 160} {
		b.Run(fmt.Sprint(boards), func(b *testing.B) {
			all := consoleOf(boards, 50)
			var chains [][]segment
			for chain := range slices.Chunk(all, 10) {
				chains = append(chains, chain)
			}
			steps := 0
			for b.Loop() {
				n, loads := chained(chains, 0.5)
				s := n.compile()
				if _, err := s.solve(24, loads, nil); err != nil {
					b.Fatal(err)
				}
				steps = s.steps
			}
			b.ReportMetric(float64(steps), "steps")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(boards), "ns/board")
		})
	}
}

// Whatever curve passes Check, the fit is a diode that a string of it can be solved.
func FuzzFitted(f *testing.F) {
	f.Add(0.02, 2.0, 0.01, 1.9, 0.001, 1.7)
	f.Add(0.02, 2.0, 0.0199, 1.0, 0.001, 0.2)
	f.Add(0.02, 3.0, 0.021, 3.0000001, 0.022, 50.0)
	f.Fuzz(func(t *testing.T, i1, v1, i2, v2, i3, v3 float64) {
		k := part.LED{Name: "k", IMax: 0.03, Curve: []part.VfPoint{{I: part.Amp(i1), V: part.Volt(v1)}, {I: part.Amp(i2), V: part.Volt(v2)}, {I: part.Amp(i3), V: part.Volt(v3)}}}.Completed()
		if k.Check() != nil {
			t.Skip()
		}
		d, off := part.Fit(k)
		if !(d.IS > 0 && d.N > 0 && d.RS >= 0) || math.IsInf(d.N, 0) || math.IsInf(float64(d.RS), 0) || math.IsNaN(float64(off)) {
			t.Fatalf("%v gives %+v, off %v", k.Curve, d, off)
		}
		i, g := String{3, d, 100}.At(12)
		if math.IsNaN(i) || math.IsInf(i, 0) || !(g >= 0) {
			t.Fatalf("%v gives %+v: %g A, %g S", k.Curve, d, i, g)
		}
	})
}
