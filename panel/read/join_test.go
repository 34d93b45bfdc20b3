package read

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/dxf"
)

// scattered takes closed paths to pieces: each edge an entity of its own, shuffled, half of them turned round.
func scattered(rng *rand.Rand, paths ...dxf.Path) []*dxf.Entity {
	var out []*dxf.Entity
	for _, p := range paths {
		for _, e := range p.Edges() {
			if rng.IntN(2) == 0 {
				e = e.Reversed()
			}
			out = append(out, &dxf.Entity{Type: "LINE", Layer: "OUTLINE", Path: dxf.Path{Vertices: []dxf.Vertex{{XY: e.From, Bulge: e.Bulge}, {XY: e.To}}}})
		}
	}
	rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// cog is a closed path of n teeth of lines and arcs round c.
func cog(c dxf.XY, r float64, n int) dxf.Path {
	p := dxf.Path{Closed: true}
	for i := range 2 * n {
		s, k := math.Sincos(math.Pi * float64(i) / float64(n))
		q := r * (1 + 0.1*float64(i%2))
		p.Vertices = append(p.Vertices, dxf.Vertex{XY: dxf.XY{X: c.X + q*k, Y: c.Y + q*s}, Bulge: float64(i%2) * 0.1})
	}
	return p
}

// TestJoinAnyOrder: in whatever order and direction the pieces come, the loops are the ones that were taken apart.
func TestJoinAnyOrder(t *testing.T) {
	for seed := range uint64(50) {
		rng := rand.New(rand.NewPCG(seed, 1))
		a, b := cog(dxf.XY{X: 300, Y: -20}, 20, 3+int(seed)%7), cog(dxf.XY{X: 400, Y: 7}, 30, 5)
		j := join(nil, scattered(rng, a, b), 0.1, false)
		require.Empty(t, j.open, "seed %d", seed)
		require.Empty(t, j.gaps)
		require.Len(t, j.loops, 2)
		require.InDelta(t, a.SignedArea()+b.SignedArea(), j.loops[0].area+j.loops[1].area, 1e-9)
		require.InDelta(t, a.Perimeter()+b.Perimeter(), j.loops[0].path.Perimeter()+j.loops[1].path.Perimeter(), 1e-9)
	}
}

// TestJoinGaps: within 10 µm silently, to the tolerance with a word, beyond not at all.
func TestJoinGaps(t *testing.T) {
	for gap, want := range map[float64]struct{ loops, gaps, ends int }{0.009: {1, 0, 0}, 0.011: {1, 1, 0}, 0.099: {1, 1, 0}, 0.101: {0, 0, 2}} {
		p := dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{}}, {XY: dxf.XY{X: 10}}, {XY: dxf.XY{X: 10, Y: 10}}, {XY: dxf.XY{Y: 10}}, {XY: dxf.XY{Y: gap}}}}
		j := join(nil, []*dxf.Entity{{Path: p}}, 0.1, false)
		require.Len(t, j.loops, want.loops, "gap %v", gap)
		require.Len(t, j.gaps, want.gaps, "gap %v", gap)
		require.Len(t, j.ends, want.ends, "gap %v", gap)
	}
}

// TestFaces: a square with a cross in it, a spur and a bridge to a second square gives four faces, one way round each
// square, and the spur and the bridge left over.
func TestFaces(t *testing.T) {
	var es []*dxf.Entity
	line := func(x0, y0, x1, y1 float64) {
		es = append(es, &dxf.Entity{Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x0, Y: y0}}, {XY: dxf.XY{X: x1, Y: y1}}}}})
	}
	for i := range 2 {
		f := float64(2 * i)
		line(f, 0, f, 1)
		line(f, 1, f, 2)
		line(0, f, 1, f)
		line(1, f, 2, f)
	}
	line(1, 0, 1, 1)
	line(1, 1, 1, 2)
	line(0, 1, 1, 1)
	line(1, 1, 2, 1)
	line(2, 2, 3, 3) // bridge
	line(0, 0, -1, -1)
	line(3, 3, 4, 3)
	line(4, 3, 4, 4)
	line(4, 4, 3, 4)
	line(3, 4, 3, 3)
	j := join(nil, es, 0.1, false)
	areas := 0.0
	for _, l := range j.loops {
		require.InDelta(t, 1, l.area, 1e-12)
		areas += l.area
	}
	require.InDelta(t, 5, areas, 1e-12)
	outer := 0.0
	for _, l := range j.outers {
		outer += l.area
	}
	require.InDelta(t, 5, outer, 1e-12, "the big square of 4 and the small one")
	require.Len(t, j.open, 2)
	require.NotEmpty(t, j.branches)
}

// TestCircular: what is a hole, and what only looks like one.
func TestCircular(t *testing.T) {
	ngon := func(n int, r float64) dxf.Path {
		p := dxf.Path{Closed: true}
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			p.Vertices = append(p.Vertices, dxf.Vertex{XY: dxf.XY{X: 1e5 + r*c, Y: r * s}})
		}
		return p
	}
	for _, n := range []int{12, 30, 60, 361} {
		_, d, ok := circular(ngon(n, 1.5))
		require.True(t, ok, "%d chords", n)
		require.InDelta(t, 3, d, 1e-6)
	}
	for _, n := range []int{3, 4, 6, 8} {
		_, _, ok := circular(ngon(n, 1.5))
		require.False(t, ok, "a polygon of %d sides is meant as one", n)
	}
	oval := ngon(60, 1.5)
	for i := range oval.Vertices {
		oval.Vertices[i].Y *= 1.05
	}
	_, _, ok := circular(oval)
	require.False(t, ok)
	half := dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: -1}, Bulge: 1}, {XY: dxf.XY{X: 1}}}}
	_, _, ok = circular(half)
	require.False(t, ok, "half a disc")
	ring := dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{X: -1}, Bulge: 1}, {XY: dxf.XY{X: 1}, Bulge: 1}}}
	_, d, ok := circular(ring)
	require.True(t, ok)
	require.InDelta(t, 2, d, 1e-12)
}

// TestCrossing compares the sweep with the plain look at every pair.
func TestCrossing(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 7))
		n := 4 + rng.IntN(8)
		r := make([]dxf.XY, n)
		for i := range r {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			k := 10 * (0.3 + rng.Float64())
			r[i] = dxf.XY{X: k * c, Y: k * s}
		}
		if seed%2 == 0 {
			i, j := rng.IntN(n), rng.IntN(n)
			r[i], r[j] = r[j], r[i]
		}
		slow := false
		for i := range n {
			for j := i + 2; j < n; j++ {
				if i == 0 && j == n-1 {
					continue
				}
				if _, ok := meet(r[i], r[(i+1)%n], r[j], r[(j+1)%n]); ok {
					slow = true
				}
			}
		}
		_, fast := crossingOf(nil, r)
		require.Equal(t, slow, fast, "seed %d", seed)
	}
}

func BenchmarkJoin(b *testing.B) {
	for _, n := range []int{20_000, 200_000, 1_000_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, 1))
			var paths []dxf.Path
			for i := range n / 40 {
				paths = append(paths, cog(dxf.XY{X: float64(i%100) * 30, Y: float64(i/100) * 30}, 10, 20))
			}
			es := scattered(rng, paths...)
			b.ReportAllocs()
			for b.Loop() {
				if j := join(nil, es, 0.1, false); len(j.loops) != n/40 {
					b.Fatal(len(j.loops))
				}
			}
			b.ReportMetric(float64(n), "entities")
		})
	}
}

// TestSplit: sides that run past a corner close all the same, lines and arcs; what sticks out is a spur.
func TestSplit(t *testing.T) {
	piece := func(x0, y0, x1, y1, bulge float64) *dxf.Entity {
		return &dxf.Entity{Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: x0, Y: y0}, Bulge: bulge}, {XY: dxf.XY{X: x1, Y: y1}}}}}
	}
	j := join(nil, []*dxf.Entity{piece(0, 0, 100, 0, 0), piece(90, 0, 90, 50, 0), piece(90, 50, 0, 50, 0), piece(0, 50, 0, 0, 0)}, 0.1, false)
	require.Len(t, j.loops, 1)
	require.InDelta(t, 90*50, j.loops[0].area, 1e-9)
	require.Len(t, j.open, 1)
	require.True(t, j.open[0].spur)
	// A half circle of radius 10 over a chord that stands on it at 60° and 120°.
	h := 10 * math.Sin(math.Pi/3)
	j = join(nil, []*dxf.Entity{piece(10, 0, -10, 0, 1), piece(5, h, -5, h, 0)}, 0.1, false)
	require.Len(t, j.loops, 1)
	require.InDelta(t, 100*(math.Pi/3-math.Sin(math.Pi/3))/2, j.loops[0].area, 1e-9, "the segment of a circle over 60°")
	require.Len(t, j.open, 2)
}

// strokes makes lines of "x0 y0 x1 y1" and arcs of "x0 y0 x1 y1 bulge".
func strokes(list ...[]float64) []*dxf.Entity {
	var out []*dxf.Entity
	for _, v := range list {
		e := &dxf.Entity{Type: "LINE", Layer: "OUTLINE", Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: v[0], Y: v[1]}}, {XY: dxf.XY{X: v[2], Y: v[3]}}}}}
		if len(v) > 4 {
			e.Path.Vertices[0].Bulge = v[4]
		}
		out = append(out, e)
	}
	return out
}

// TestOverlaps: sides drawn in overlapping pieces, wholly or in part twice, straight or round, are one edge each.
func TestOverlaps(t *testing.T) {
	rest := [][]float64{{100, 0, 100, 50}, {100, 50, 0, 50}, {0, 50, 0, 0}}
	for name, base := range map[string][][]float64{
		"overlap":            {{0, 0, 60, 0}, {40, 0, 100, 0}},
		"overlap, turned":    {{60, 0, 0, 0}, {40, 0, 100, 0}},
		"part twice":         {{0, 0, 100, 0}, {0, 0, 60, 0}},
		"inner part twice":   {{0, 0, 100, 0}, {20, 0, 60, 0}},
		"whole and in parts": {{0, 0, 40, 0}, {40, 0, 100, 0}, {0, 0, 100, 0}},
		"near twice":         {{0, 0, 100, 0}, {0.004, 0.003, 99.995, -0.004}},
	} {
		j := join(nil, strokes(append(base, rest...)...), 0.1, false)
		require.Len(t, j.loops, 1, name)
		require.InDelta(t, 5000, j.loops[0].area, 1, name)
		require.Empty(t, j.open, name)
		require.Empty(t, j.branches, name)
		require.NotEmpty(t, j.same, name)
	}
	// A half circle drawn whole and as two overlapping arcs of 120°: tan(120°/4) and tan(180°/4).
	k := math.Sqrt(3) / 2
	j := join(nil, strokes([]float64{10, 0, -5, 10 * k, math.Tan(math.Pi / 6)}, []float64{5, 10 * k, -10, 0, math.Tan(math.Pi / 6)}, []float64{-10, 0, 10, 0}), 0.1, false)
	require.Len(t, j.loops, 1)
	require.InDelta(t, 50*math.Pi, j.loops[0].area, 1e-9)
	require.Empty(t, j.open)
	// A closed polyline of which one side is drawn once more, in part.
	es := strokes([]float64{20, 0, 60, 0})
	es = append(es, &dxf.Entity{Path: dxf.Path{Closed: true, Vertices: []dxf.Vertex{{XY: dxf.XY{}}, {XY: dxf.XY{X: 100}}, {XY: dxf.XY{X: 100, Y: 50}}, {XY: dxf.XY{Y: 50}}}}})
	j = join(nil, es, 0.1, false)
	require.Len(t, j.loops, 1)
	require.Empty(t, j.open)
	require.Len(t, j.same, 1)
}

// TestCrossingSides: four sides that all run past the corners close when they may be cut where they cross, and centre
// lines that cross once close nothing.
func TestCrossingSides(t *testing.T) {
	es := strokes([]float64{-5, 0, 105, 0}, []float64{100, -5, 100, 55}, []float64{105, 50, -5, 50}, []float64{0, 55, 0, -5})
	j := join(nil, es, 0.1, false)
	require.Empty(t, j.loops)
	j = joinOf(nil, es, 0.1, false, true)
	require.Len(t, j.loops, 1)
	require.InDelta(t, 5000, j.loops[0].area, 1e-9)
	j = joinOf(nil, strokes([]float64{-5, 0, 5, 0}, []float64{0, -5, 0, 5}), 0.1, false, true)
	require.Empty(t, j.loops)
	require.Len(t, j.open, 2)
	// A line through a circle's arc: x = 3 meets the arc of radius 5 at (3, ±4); two arcs of radius 5 about (0,0) and
	// (6,0) meet there too.
	right := dxf.Edge{From: dxf.XY{Y: -5}, To: dxf.XY{Y: 5}, Bulge: 1}
	left := dxf.Edge{From: dxf.XY{X: 6, Y: 5}, To: dxf.XY{X: 6, Y: -5}, Bulge: 1}
	for _, other := range []dxf.Edge{{From: dxf.XY{X: 3, Y: -9}, To: dxf.XY{X: 3, Y: 9}}, left} {
		pts := meetings(right, other)
		require.Len(t, pts, 2)
		for _, p := range pts {
			require.InDelta(t, 3, p.X, 1e-12)
			require.InDelta(t, 4, math.Abs(p.Y), 1e-12)
		}
	}
	ps, l := Panels(t.Context(), drawn(t, `
		OUTLINE line -5 0 105 0
		OUTLINE line 100 -5 100 55
		OUTLINE line 105 50 -5 50
		OUTLINE line 0 55 0 -5
		LED circle 30 20 3`), Options{})
	require.Len(t, ps, 1)
	require.Contains(t, codes(l), "warning dxf-crossing-lines")
	require.False(t, l.HasErrors())
}
