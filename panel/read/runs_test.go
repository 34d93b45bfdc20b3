package read

import (
	"math"
	"math/rand/v2"
	"slices"
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

// TestField and TestGrid ask the index and every thing the same questions.
func TestField(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 71))
	for _, n := range []int{0, 1, 8, 9, 63, 65, 1000} {
		boxes := make([]dxf.Box, n)
		for i := range boxes {
			p := dxf.XY{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}
			boxes[i] = dxf.Box{Min: p, Max: p.Add(dxf.XY{X: 10 * rng.Float64(), Y: rng.Float64()})}
		}
		f := fieldOf(nil, n, func(i int) dxf.Box { return boxes[i] })
		for range 50 {
			p := dxf.XY{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}
			at := dxf.Box{Min: p, Max: p.Add(dxf.XY{X: 5, Y: 5})}
			var want, got []int
			for i := range boxes {
				if overlap(boxes[i], at) {
					want = append(want, i)
				}
			}
			f.near(at, func(i int) bool { got = append(got, i); return true })
			slices.Sort(got)
			require.Equal(t, want, got)
			few := 0
			f.near(at, func(int) bool { few++; return few < 2 })
			require.Equal(t, min(2, len(want)), few, "it stops when told to")
		}
	}
}

func TestGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(57, 7))
	g := newGrid(nil, 1, 500)
	var pts []dxf.XY
	for range 500 {
		p := dxf.XY{X: 20*rng.Float64() - 10, Y: 20*rng.Float64() - 10}
		pts = append(pts, p)
		g.add(p)
	}
	for range 200 {
		p := dxf.XY{X: 20*rng.Float64() - 10, Y: 20*rng.Float64() - 10}
		got := map[int]bool{}
		g.near(p, 0.4, func(i int) { got[i] = true })
		for i, q := range pts {
			if math.Abs(q.X-p.X) <= 0.4 && math.Abs(q.Y-p.Y) <= 0.4 {
				require.True(t, got[i], "%v near %v", q, p)
			}
		}
		require.Less(t, len(got), 100)
	}
}
