package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// scatter returns rings of discs and rotated bars on a half-millimetre grid, so that edges often coincide.
func scatter(r *rand.Rand, n int) []Ring {
	var out []Ring
	for i := range n {
		c := PtMM(float64(r.IntN(120))*0.5, float64(r.IntN(80))*0.5)
		if i%2 == 0 {
			out = append(out, Circle(c, MM(2.4)).Ring(FlattenTolerance))
			continue
		}
		l := MM(float64(3 + r.IntN(20)))
		turn := float64(r.IntN(8)) * math.Pi / 4
		var bar Ring
		for _, v := range []Vec{{0, 0}, {l, 0}, {l, Millimetre}, {0, Millimetre}} {
			bar = append(bar, c.Add(v.Rotated(turn)))
		}
		out = append(out, bar)
	}
	return out
}

func covered(rings []Ring, p Pt) (in, edge bool) {
	for _, r := range rings {
		switch r.Locate(p) {
		case Inside:
			in = true
		case OnEdge:
			edge = true
		}
	}
	return in, edge
}

// Booleans must agree with membership of random points, and areas must add up.
func TestBooleansAgainstPoints(t *testing.T) {
	for seed := range uint64(25) {
		r := rand.New(rand.NewPCG(seed, 1))
		rings := scatter(r, 4+r.IntN(120))
		sheet := NewRegion(Rect(Box{PtMM(0, 0), PtMM(60, 40)}).Ring(FlattenTolerance))
		u := UnionOf(rings...)
		cut, keep := sheet.Minus(u), sheet.And(u)
		require.InDelta(t, 2400, cut.Area()+keep.Area(), 1e-3, "seed %d", seed)
		for range 400 {
			p := PtMM(r.Float64()*60, r.Float64()*40)
			in, edge := covered(rings, p)
			if edge || nearEdge(rings, p, 10) {
				continue
			}
			require.Equal(t, in, u.Locate(p) == Inside, "seed %d point %v", seed, p)
			require.Equal(t, !in, cut.Locate(p) == Inside, "seed %d point %v", seed, p)
		}
	}
}

func nearEdge(rings []Ring, p Pt, d float64) bool {
	for _, r := range rings {
		if r.DistTo(p) < d {
			return true
		}
	}
	return false
}

// Grown and Shrunk are the points by distance from the border: that is what random points are asked.
func TestOffsetsAgainstDistances(t *testing.T) {
	const d = 300 * Micrometre
	const play = 3 * Micrometre // flattening
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 2))
		g := NewRegion(Rect(Box{PtMM(0, 0), PtMM(60, 40)}).Ring(FlattenTolerance)).Minus(UnionOf(scatter(r, 4+r.IntN(80))...))
		small, big := g.Shrunk(d), g.Grown(d)
		for range 500 {
			p := PtMM(r.Float64()*64-2, r.Float64()*44-2)
			dist := g.DistTo(p)
			if math.Abs(dist-float64(d)) < float64(play) || dist < 10 {
				continue
			}
			in := g.Locate(p) == Inside
			require.Equal(t, in && dist > float64(d), small.Locate(p) == Inside, "shrunk, seed %d point %v dist %v", seed, p, dist)
			require.Equal(t, in || dist < float64(d), big.Locate(p) == Inside, "grown, seed %d point %v dist %v", seed, p, dist)
		}
		opened := g.Opened(d)
		require.Less(t, opened.Minus(g.Grown(play)).Area(), 1e-6, "opening must not add, seed %d", seed)
	}
}

func TestOffsetsClosedForm(t *testing.T) {
	sq := NewRegion(Ring{PtMM(0, 0), PtMM(10, 0), PtMM(10, 10), PtMM(0, 10)})
	require.InDelta(t, 64, sq.Shrunk(MM(1)).Area(), 1e-9)
	// Steiner: A + P·d + π·d².
	require.InDelta(t, 100+40+math.Pi, sq.Grown(MM(1)).Area(), 1e-2)
	require.InDelta(t, 100-(4-math.Pi), sq.Opened(MM(1)).Area(), 1e-2)
	require.Empty(t, sq.Shrunk(MM(5)))

	// A neck 1 mm wide between two squares falls to an opening of 2 mm and survives one of 0.8 mm.
	neck := sq.Or(NewRegion(Ring{PtMM(20, 0), PtMM(30, 0), PtMM(30, 10), PtMM(20, 10)})).
		Or(NewRegion(Ring{PtMM(10, 4), PtMM(20, 4), PtMM(20, 5), PtMM(10, 5)}))
	require.Len(t, neck, 1)
	require.Len(t, neck.Opened(MM(1)), 2)
	require.Len(t, neck.Opened(MM(0.4)), 1)
}

func TestHolesAreGrouped(t *testing.T) {
	ring := func(lo, hi float64) Ring { return Rect(Box{PtMM(lo, lo), PtMM(hi, hi)}).Ring(FlattenTolerance) }
	g := NewRegion(ring(0, 40), ring(5, 35), ring(10, 30), ring(15, 25))
	require.Len(t, g, 2)
	require.Len(t, g[0].Holes, 1)
	require.Len(t, g[1].Holes, 1)
	require.InDelta(t, 1600-900+400-100, g.Area(), 1e-9)
	require.Equal(t, Inside, g.Locate(PtMM(2, 2)))
	require.Equal(t, Outside, g.Locate(PtMM(7, 7)))
	require.Equal(t, Inside, g.Locate(PtMM(12, 12)))
	require.Equal(t, Outside, g.Locate(PtMM(20, 20)))
	require.Equal(t, OnEdge, g.Locate(PtMM(5, 20)))
}

func TestRegionMoved(t *testing.T) {
	rect := func(b Box) Region { return UnionOf(Rect(b).Ring(FlattenTolerance)) }
	g := rect(Box{Max: PtMM(10, 10)}).Minus(rect(Box{Min: PtMM(2, 3), Max: PtMM(4, 5)}))
	require.Len(t, g.Rings(), 2)
	rings := g.Moved(Vec{MM(7), MM(-1)}).Rings()
	require.Equal(t, Box{PtMM(7, -1), PtMM(17, 9)}, rings[0].Box())
	require.Equal(t, Box{PtMM(9, 2), PtMM(11, 4)}, rings[1].Box())
	require.Equal(t, Box{Max: PtMM(10, 10)}, g.Rings()[0].Box(), "the one moved stays")
}

func TestStadium(t *testing.T) {
	s := Segment{PtMM(1, 1), PtMM(7, 9)} // 10 mm long
	require.InDelta(t, 10*2+math.Pi, Stadium(s, MM(1)).Area(), 1e-2)
	require.InDelta(t, math.Pi, Stadium(Segment{s.A, s.A}, MM(1)).Area(), 1e-2)
}

func FuzzRegion(f *testing.F) {
	f.Add([]byte{0, 0, 10, 0, 10, 10, 0, 10, 5, 5, 15, 5, 15, 15, 5, 15}, uint8(4))
	f.Add([]byte{0, 0, 10, 10, 10, 0, 0, 10}, uint8(4))
	f.Fuzz(func(t *testing.T, data []byte, k uint8) {
		n := int(k%8) + 3
		var rings []Ring
		var r Ring
		for i := 0; i+1 < len(data) && i < 200; i += 2 {
			r = append(r, Pt{Nm(data[i]) * 250_000, Nm(data[i+1]) * 250_000})
			if len(r) == n {
				rings, r = append(rings, r), nil
			}
		}
		g, u := NewRegion(rings...), UnionOf(rings...)
		both, only := g.And(u), g.Minus(u)
		if d := math.Abs(both.Area() + only.Area() - g.Area()); d > 1e-3 {
			t.Errorf("and %v + minus %v != %v", both.Area(), only.Area(), g.Area())
		}
	})
}

func BenchmarkUnion(b *testing.B) {
	rings := scatter(rand.New(rand.NewPCG(1, 1)), 2000)
	for b.Loop() {
		UnionOf(rings...)
	}
}

func BenchmarkOpened(b *testing.B) {
	g := NewRegion(Rect(Box{PtMM(0, 0), PtMM(60, 40)}).Ring(FlattenTolerance)).Minus(UnionOf(scatter(rand.New(rand.NewPCG(1, 1)), 200)...))
	for b.Loop() {
		g.Opened(150 * Micrometre)
	}
}

// Sheets of stock reach beyond MaxCoord, and so do what is laid on them and what is drawn far from zero: booleans are right there too.
func TestRegionsFarFromZero(t *testing.T) {
	square := func(x, y, side float64) Ring {
		return Ring{PtMM(x, y), PtMM(x+side, y), PtMM(x+side, y+side), PtMM(x, y+side)}
	}
	for _, far := range []float64{-2700, -1100, 0, 1100, 2700} {
		whole := UnionOf(square(far, -far, 10), square(far+5, -far+5, 10), square(0, -far, 1))
		want := 175.0 + 1
		if far == 0 {
			want = 175 // the small one lies in the large
		}
		require.InDelta(t, want, whole.Area(), 1e-9, "%v mm away", far)
		require.InDelta(t, 25, NewRegion(square(far, -far, 10)).And(NewRegion(square(far+5, -far+5, 10))).Area(), 1e-9)
		require.Equal(t, Inside, whole.Locate(PtMM(far+14, -far+14)))
	}
}
