package group

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// The bound is never beaten by the best of all groupings, found by trying every order of up to seven LEDs.
func TestEndsBound(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 40 {
		lengths := [][]int{{2, 2}, {3, 3}, {2, 2, 2}, {4, 2}, {3, 2, 1}, {1, 1}, {5, 2}}[r.IntN(7)]
		n := 0
		for _, k := range lengths {
			n += k
		}
		pts := make([]geom.Pt, n)
		for i := range pts {
			pts[i] = geom.PtMM(100*r.Float64(), 60*r.Float64())
		}
		best := math.Inf(1)
		var try func(order []int)
		try = func(order []int) {
			if len(order) == n {
				sum, at := 0.0, 0
				for _, k := range lengths {
					for i := 1; i < k; i++ {
						sum += pts[order[at+i-1]].Dist(pts[order[at+i]])
					}
					at += k
				}
				best = min(best, sum)
				return
			}
			for i := range n {
				used := false
				for _, o := range order {
					used = used || o == i
				}
				if !used {
					try(append(order[:len(order):len(order)], i))
				}
			}
		}
		try(nil)
		require.LessOrEqual(t, ends(pts, lengths), best+1e-6)
	}
	// Two pairs far from each other: exact.
	require.InDelta(t, 5e6, ends([]geom.Pt{geom.PtMM(0, 0), geom.PtMM(2, 0), geom.PtMM(50, 0), geom.PtMM(50, 3)}, []int{2, 2}), 1)
	// Two LEDs of a pair far apart: what the forest cannot see is that they must be joined.
	require.InDelta(t, 90e6, ends([]geom.Pt{geom.PtMM(0, 0), geom.PtMM(90, 0)}, []int{2}), 1)
	require.Zero(t, ends([]geom.Pt{geom.PtMM(0, 0)}, []int{2}))
}
