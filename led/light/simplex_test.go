package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A problem solved by hand: 2x + y >= 4, x + 3y >= 6 at least x + y is 2.8, at (1.2, 1.6), with prices 0.4 and 0.2.
func TestSimplexByHand(t *testing.T) {
	p := program{cost: []float64{1, 1}, cols: [][]float64{{2, 1}, {1, 3}}, need: []float64{4, 6}}
	y, x := p.solve(nil)
	require.InDeltaSlice(t, []float64{0.4, 0.2}, y, 1e-6)
	require.InDeltaSlice(t, []float64{1.2, 1.6}, x, 1e-6)
	require.InDelta(t, 2.8, p.bound(y), 1e-6)
	require.LessOrEqual(t, p.bound(y), 2.8)
	// Any prices give a bound, if a worse one: never above the least.
	for _, wrong := range [][]float64{{1, 1}, {0.1, 0.1}, {5, 0}, {0, 0}, {-1, 0.3}, {1000, 1000}} {
		require.LessOrEqual(t, p.bound(wrong), 2.8, "%v", wrong)
	}
	// A row that no column serves has no solution: its bound is as high as prices go.
	p = program{cost: []float64{1}, cols: [][]float64{{1, 0}}, need: []float64{1, 1}}
	y, _ = p.solve(nil)
	require.Greater(t, p.bound(y), 100.0)
}

// On problems by chance the prices prove the quantities: both cost the same, and no need is left.
func TestSimplexProvesItself(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 13))
	for range 200 {
		rows, cols := 1+r.IntN(12), 1+r.IntN(30)
		p := program{cost: make([]float64, cols), cols: make([][]float64, cols), need: make([]float64, rows)}
		for i := range p.need {
			p.need[i] = float64(r.IntN(3)) // some nothing
		}
		for s := range cols {
			p.cost[s] = 0.5 + r.Float64()
			p.cols[s] = make([]float64, rows)
			for i := range rows {
				p.cols[s][i] = max(r.Float64()-0.4, -0.1)
			}
		}
		everything := make([]float64, rows) // so that there is a solution
		for i := range everything {
			everything[i] = 1
		}
		p.cost, p.cols = append(p.cost, 3), append(p.cols, everything)
		y, x := p.solve(nil)
		cost := dot(p.cost, x)
		for i, n := range p.need {
			got := 0.0
			for s, c := range p.cols {
				got += c[i] * x[s]
			}
			require.GreaterOrEqual(t, got, n-1e-5)
		}
		require.LessOrEqual(t, p.bound(y), cost+1e-9)
		require.InDelta(t, cost, p.bound(y), 1e-4*math.Max(1, cost))
	}
}
