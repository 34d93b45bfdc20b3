package geom

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// closed requires of a polygon's triangles that they cover its area exactly, that each edge of its border belongs to one of them, run
// the border's way, and every other edge to two, run both ways.
func closed(t *testing.T, p Polygon) {
	t.Helper()
	whole, corners := p.Triangles()
	var pts []Pt
	for _, r := range (Region{whole}).Rings() {
		pts = append(pts, r...)
	}
	type edge struct{ a, b Pt }
	count := map[edge]int{}
	sum, want := int64(0), int64(0)
	for _, r := range (Region{p}).Rings() {
		want += r.SignedArea2()
	}
	for _, c := range corners {
		r := Ring{pts[c[0]], pts[c[1]], pts[c[2]]}
		require.Positive(t, r.SignedArea2(), "a triangle without area, or turned round")
		sum += r.SignedArea2()
		for i := range r {
			count[edge{r[i], r[(i+1)%3]}]++
		}
	}
	border := map[edge]int{}
	for _, r := range (Region{whole}).Rings() {
		for j, q := range r {
			border[edge{q, r[(j+1)%len(r)]}]++
		}
	}
	require.Equal(t, want, sum)
	for e, n := range count {
		require.Equal(t, 1, n, "an edge is used twice the same way")
		require.Equal(t, border[e] == 0, count[edge{e.b, e.a}] == 1, "an edge within belongs to two triangles, one of the border to one")
	}
	for e := range border {
		require.Equal(t, 1, count[e], "an edge of the border is missing")
	}
}

func TestTriangles(t *testing.T) {
	square := Rect(Box{PtMM(0, 0), PtMM(10, 10)}).Ring(FlattenTolerance)
	closed(t, Polygon{Outer: square})
	// Points on straight edges stay.
	closed(t, Polygon{Outer: Ring{PtMM(0, 0), PtMM(3, 0), PtMM(5, 0), PtMM(10, 0), PtMM(10, 5), PtMM(10, 10), PtMM(0, 10), PtMM(0, 4)}})
	closed(t, Polygon{Outer: Ring{PtMM(0, 0), PtMM(3, 0), PtMM(5, 0), PtMM(10, 0), PtMM(0, 10)}})
	// Holes in a row, whose bridges lie along one line, and one behind another.
	var holes []Ring
	for i := range 5 {
		holes = append(holes, Ring{PtMM(float64(i)*2+0.5, 4), PtMM(float64(i)*2+0.5, 6), PtMM(float64(i)*2+1.5, 6), PtMM(float64(i)*2+1.5, 4)})
	}
	closed(t, Polygon{Outer: square, Holes: holes})
	// A hole that touches a corner of the border, and two that touch each other.
	closed(t, Polygon{Outer: Ring{PtMM(0, 0), PtMM(10, 0), PtMM(10, 10), PtMM(0, 10), PtMM(0, 5)}, Holes: []Ring{
		{PtMM(0, 5), PtMM(2, 6), PtMM(2, 4)}, {PtMM(4, 5), PtMM(5, 6), PtMM(6, 5), PtMM(5, 4)}, {PtMM(6, 5), PtMM(7, 6), PtMM(8, 5), PtMM(7, 4)},
	}})
	// A corner on an edge of another ring becomes a corner of both.
	touching := Polygon{Outer: square, Holes: []Ring{{PtMM(0, 5), PtMM(2, 6), PtMM(2, 4)}}}
	closed(t, touching)
	whole, corners := touching.Triangles()
	require.Len(t, whole.Outer, 5)
	require.Len(t, corners, 6)
	whole, corners = Polygon{}.Triangles()
	require.Empty(t, whole)
	require.Empty(t, corners)
}

// Regions as sheets and copper have them: many holes, some of which meet.
func TestTrianglesOfRegions(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 1))
		g := NewRegion(Rect(Box{PtMM(0, 0), PtMM(60, 40)}).Ring(FlattenTolerance)).Minus(UnionOf(scatter(r, 4+r.IntN(80))...))
		for _, p := range g {
			closed(t, p)
		}
		for _, p := range UnionOf(scatter(r, 30)...) {
			closed(t, p)
		}
	}
}

func BenchmarkTriangles(b *testing.B) {
	g := NewRegion(Rect(Box{PtMM(0, 0), PtMM(60, 40)}).Ring(FlattenTolerance)).Minus(UnionOf(scatter(rand.New(rand.NewPCG(1, 1)), 200)...))
	n := 0
	for b.Loop() {
		n = 0
		for _, p := range g {
			_, c := p.Triangles()
			n += len(c)
		}
	}
	b.ReportMetric(float64(n), "triangles")
}
