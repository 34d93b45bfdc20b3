package solve

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
)

// portBySolving is the oracle of ports: one ampere drawn at the tap, and the whole system solved for it.
func (s *solver) portBySolving(t *testing.T, k int) float64 {
	f, out := make([]float64, s.n+1), make([]float64, s.n+1)
	for side, r := range s.taps[k] {
		if r >= 0 {
			f[r] += float64(1 - 2*side)
		}
	}
	require.True(t, s.apply(f, out))
	return volts(out, 0, s.taps[k][0]) - volts(out, 0, s.taps[k][1])
}

// The resistance seen from every tap, on networks of all sorts: chains, trees and meshes, supplies stiff and soft, boards
// right at the terminals.
func TestPorts(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 9))
	borders, bands := 0, 0
	for range 200 {
		n := network{nodes: 3}
		n.join(emf, terminal, []float64{0, 0.1, 5}[rng.IntN(3)])
		ohms := func() float64 { return []float64{0, 1, 1}[rng.IntN(3)] * math.Pow(10, rng.Float64()*4-3) }
		p, m := []node{terminal}, []node{ground}
		var loads [][]Branch
		for range 1 + rng.IntN(30) {
			np, nm := n.add(), n.add()
			n.join(p[rng.IntN(len(p))], np, ohms())
			n.join(m[rng.IntN(len(m))], nm, ohms())
			p, m = append(p, np), append(m, nm)
			if rng.IntN(4) == 0 {
				n.join(p[rng.IntN(len(p))], p[rng.IntN(len(p))], ohms())
			}
			n.taps = append(n.taps, tap{np, nm})
			loads = append(loads, []Branch{String{4, part.Diode{IS: 1e-10, N: 4.09, RS: 0.1}, 500 + 100*rng.Float64()}.Branch(1 + rng.IntN(20))})
		}
		s := n.compile()
		_, err := s.solve(24, loads, nil)
		require.NoError(t, err)
		require.True(t, s.refactor())
		if s.border >= 0 {
			borders++
		}
		bands = max(bands, s.band)
		got := s.ports()
		for k := range s.taps {
			require.InDelta(t, s.portBySolving(t, k), got[k], 1e-9)
			require.GreaterOrEqual(t, got[k], 0.0)
		}
	}
	require.NotZero(t, borders)
	require.Greater(t, bands, 4)
}

// One string's tap behind r in each conductor and ri in the supply sees all three in series, with what it carries itself in
// parallel.
func TestPortByHand(t *testing.T) {
	n := network{nodes: 3}
	n.join(emf, terminal, 0.5)
	p, m := n.add(), n.add()
	n.join(terminal, p, 2)
	n.join(ground, m, 1.5)
	n.taps = []tap{{p, m}}
	s := n.compile()
	_, err := s.solve(12, [][]Branch{{String{Ohms: 12}.Branch(1)}}, nil)
	require.NoError(t, err)
	require.True(t, s.refactor())
	require.InDelta(t, 1/(1.0/4+1.0/12), s.ports()[0], 1e-12)
}
