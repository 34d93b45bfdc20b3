package read

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
)

// star is a ragged outline of n corners about the origin, each 50 to 100 mm from it; comb has n/2 teeth 90 mm deep.
func star(rng *rand.Rand, n int) []dxf.XY {
	out := make([]dxf.XY, n)
	for i := range out {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := 50 + 50*rng.Float64()
		out[i] = dxf.XY{X: r * c, Y: r * s}
	}
	return out
}

func comb(n int) []dxf.XY {
	out := []dxf.XY{{X: 100, Y: -100}}
	for i := range n {
		out = append(out, dxf.XY{X: 100 - 200*float64(i)/float64(n), Y: 90 * float64(i%2)})
	}
	return append(out, dxf.XY{X: -100, Y: -100})
}

// TestBorder asks the tree of boxes and every edge the same questions.
func TestBorder(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 14))
	for _, pts := range [][]dxf.XY{star(rng, 3), star(rng, 8), star(rng, 9), star(rng, 64), star(rng, 65), star(rng, 700), comb(7), comb(1000)} {
		b := newBorder(pts)
		n := len(pts)
		for range 400 {
			p := dxf.XY{X: 220*rng.Float64() - 110, Y: 220*rng.Float64() - 110}
			if rng.IntN(4) == 0 { // at a corner's height the half-open rule counts
				p.Y = pts[rng.IntN(n)].Y
			}
			in, dist := false, math.Inf(1)
			for i := range pts {
				a, c := pts[i], pts[(i+1)%n]
				if (a.Y > p.Y) != (c.Y > p.Y) && p.X < a.X+(c.X-a.X)*(p.Y-a.Y)/(c.Y-a.Y) {
					in = !in
				}
				dist = min(dist, segmentDistance(a, c, p))
			}
			require.Equal(t, in, b.holds(p), "%d corners, %v", n, p)
			require.Equal(t, dist, b.distance(p, math.Inf(1)), "%d corners, %v", n, p)
			require.Equal(t, min(dist, 3), b.distance(p, 3))
			q := p.Add(dxf.XY{X: 4 * rng.Float64(), Y: 4 * rng.Float64()})
			box := dxf.EmptyBox().With(p).With(q)
			want, got := 0, 0
			for i := range pts {
				if overlap(dxf.EmptyBox().With(pts[i]).With(pts[(i+1)%n]), box) {
					want++
				}
			}
			b.meets(box, func(_, _ dxf.XY) bool { got++; return false })
			require.Equal(t, want, got)
		}
	}
}

// TestBorderLooksAtFew: what is asked of one place of a large outline must not look at all of it.
func TestBorderLooksAtFew(t *testing.T) {
	for _, pts := range [][]dxf.XY{star(rand.New(rand.NewPCG(1, 1)), 5000), comb(5000)} {
		b := newBorder(pts)
		looks := 0
		box := dxf.Box{Min: dxf.XY{X: 60, Y: 10}, Max: dxf.XY{X: 63, Y: 13}}
		b.walk(func(k, i int) bool { looks++; return overlap(b.boxes[k][i], box) }, func(int) { looks++ })
		require.Less(t, looks, 400)
	}
}
