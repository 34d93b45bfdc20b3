package frame

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// plate is w x h mm with n LEDs by chance, in stripes of groups.
func plate(r *rand.Rand, w, h float64, n, groups int) (p panel.Panel, group []int) {
	p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(w, h)})
	stripe := w / float64(groups)
	for k := range n {
		g := k % groups
		x, y := stripe*(float64(g)+0.2+float64(0.6*r.Float64())), 2+float64((h-4)*r.Float64())
		p.LEDs, group = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3)}), append(group, g)
	}
	return p, group
}

// nearest returns the LED that is nearest to a place and how far it is, and how far the next is, in nm: by asking all.
func nearest(p panel.Panel, q geom.Pt) (k int, d, next float64) {
	d, next = 1e18, 1e18
	for i, h := range p.LEDs {
		switch e := q.Dist(h.At); {
		case e < d:
			k, d, next = i, e, d
		case e < next:
			next = e
		}
	}
	return k, d, next
}

// Against asking all LEDs at many places: walls are where the two nearest are as far, and of two groups; and where in steps of 0.5 mm the
// nearest LED's group changes, a wall is near, but where only a short piece of one would be.
func TestBetween(t *testing.T) {
	const seed = 20261130
	r := rand.New(rand.NewPCG(seed, 0))
	for try := range 6 {
		p, group := plate(r, 120, 80, 16+12*try, 2+try/2)
		lines := between(nil, p, group)
		require.NotEmpty(t, lines)
		for _, s := range lines {
			for k := range 5 {
				f := float64(k+1) / 6
				q := s.A.Add(geom.Vec{X: geom.Nm(f * float64(s.B.X-s.A.X)), Y: geom.Nm(f * float64(s.B.Y-s.A.Y))})
				_, d, next := nearest(p, q)
				require.InDelta(t, d, next, 10, "seed %d, try %d: %v", seed, try, q)
			}
		}
		missed, crossed := 0, 0
		for y := 0.5; y < 80; y += 0.5 {
			for x := 0.5; x < 119; x += 0.5 {
				q, n := geom.PtMM(x, y), geom.PtMM(x+0.5, y)
				a, _, _ := nearest(p, q)
				b, _, _ := nearest(p, n)
				if group[a] == group[b] {
					continue
				}
				crossed++
				near := 1e18
				for _, s := range lines {
					near = min(near, s.Dist(geom.Segment{A: q, B: n}))
				}
				if near > 1e6 {
					missed++
				}
			}
		}
		require.Positive(t, crossed)
		require.Zero(t, missed, "seed %d, try %d, of %d", seed, try, crossed)
	}
}

// Whoever waits no more gets his processor back; and nobody's walls are taken for some.
func TestStopped(t *testing.T) {
	p, group := plate(rand.New(rand.NewPCG(1, 0)), 120, 80, 40, 2)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	require.Empty(t, Of(ctx, p, geom.MM(4), group))
	require.NotEmpty(t, Of(t.Context(), p, geom.MM(4), group))
}

// 500 LEDs, and eight times as many, in eight groups: time is to grow as the number to 1.5.
func BenchmarkBetween(b *testing.B) {
	for _, n := range []int{500, 4000} {
		p, group := plate(rand.New(rand.NewPCG(1, 0)), 400, 300, n, 8)
		b.Run(map[int]string{500: "500", 4000: "4000"}[n], func(b *testing.B) {
			for b.Loop() {
				between(nil, p, group)
			}
		})
	}
}

// The whole frame of 500 LEDs in eight groups.
func BenchmarkOf500(b *testing.B) {
	p, group := plate(rand.New(rand.NewPCG(1, 0)), 400, 300, 500, 8)
	for b.Loop() {
		Of(b.Context(), p, geom.MM(4), group)
	}
}
