package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Distance between segments against a dense walk along both.
func TestSegmentDistAgainstWalk(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	pt := func() Pt { return PtMM(r.Float64()*10, r.Float64()*10) }
	along := func(s Segment, k, n int) Pt {
		f := float64(k) / float64(n)
		return PtMM(s.A.X.MM()+(s.B.X-s.A.X).MM()*f, s.A.Y.MM()+(s.B.Y-s.A.Y).MM()*f)
	}
	for range 200 {
		s, u := Segment{pt(), pt()}, Segment{pt(), pt()}
		best := math.Inf(1)
		for i := range 101 {
			for j := range 101 {
				best = min(best, along(s, i, 100).Dist(along(u, j, 100)))
			}
		}
		d := s.Dist(u)
		require.Equal(t, d, u.Dist(s))
		require.LessOrEqual(t, d, best+2)
		require.GreaterOrEqual(t, d, best-(s.Len()+u.Len())/200)
	}
}

// The nearest point is as far as DistTo says, on the segment, and an end where the foot of the perpendicular is beyond it.
func TestSegmentNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	pt := func() Pt { return PtMM(r.Float64()*10, r.Float64()*10) }
	for range 200 {
		s, p := Segment{pt(), pt()}, pt()
		require.InDelta(t, s.DistTo(p), s.Nearest(p).Dist(p), 1)
		require.InDelta(t, 0, s.DistTo(s.Nearest(p)), 1)
	}
	s := Segment{PtMM(1, 1), PtMM(5, 4)}
	require.Equal(t, PtMM(1, 1), s.Nearest(PtMM(0, 1)))
	require.Equal(t, PtMM(5, 4), s.Nearest(PtMM(5, 9)))
	require.Equal(t, PtMM(2.6, 2.2), s.Nearest(PtMM(2, 3)), "two fifths along, 1 mm aside")
	require.Equal(t, PtMM(1, 1), Segment{PtMM(1, 1), PtMM(1, 1)}.Nearest(PtMM(2, 3)))
}

func TestBoxDistances(t *testing.T) {
	b := BoxOf(PtMM(0, 0), PtMM(10, 5))
	require.Equal(t, 5e6, b.Dist(BoxOf(PtMM(13, 9), PtMM(20, 20))), "3, 4, 5 from corner to corner")
	require.Equal(t, 2e6, b.Dist(BoxOf(PtMM(4, -9), PtMM(5, -2))))
	require.Zero(t, b.Dist(BoxOf(PtMM(10, 5), PtMM(11, 6))))
	require.Zero(t, b.DistTo(Segment{PtMM(2, 2), PtMM(3, 3)}), "inside")
	require.Zero(t, b.DistTo(Segment{PtMM(-1, 2), PtMM(11, 2)}), "right through")
	require.Equal(t, 5e6, b.DistTo(Segment{PtMM(13, 9), PtMM(20, 9)}))
}

func TestSegmentCrosses(t *testing.T) {
	s := Segment{Pt{0, 0}, Pt{10, 10}}
	for _, c := range []struct {
		u    Segment
		want bool
	}{
		{Segment{Pt{0, 10}, Pt{10, 0}}, true},
		{Segment{Pt{10, 10}, Pt{20, 0}}, true},   // end to end
		{Segment{Pt{5, 5}, Pt{20, 20}}, true},    // overlap
		{Segment{Pt{11, 11}, Pt{20, 20}}, false}, // collinear, apart
		{Segment{Pt{0, 1}, Pt{9, 10}}, false},    // parallel
		{Segment{Pt{5, 5}, Pt{5, 5}}, true},      // a point on it
		{Segment{Pt{5, 6}, Pt{5, 6}}, false},
	} {
		require.Equal(t, c.want, s.Crosses(c.u), "%v", c.u)
		require.Equal(t, c.want, c.u.Crosses(s), "%v", c.u)
	}
}

// The predicate is exact at the edge of the coordinate range, where float64 products are not.
func TestOrientExactAtRange(t *testing.T) {
	a, b := Pt{-MaxCoord, -MaxCoord}, Pt{MaxCoord, MaxCoord - 1}
	require.Equal(t, CCW, Orient(a, b, Pt{MaxCoord, MaxCoord}))
	require.Equal(t, CW, Orient(a, b, Pt{MaxCoord, MaxCoord - 2}))
	require.Equal(t, Collinear, Orient(a, b, b))
}

func TestRingLocate(t *testing.T) {
	star := Ring{PtMM(5, 0), PtMM(6, 4), PtMM(10, 4), PtMM(7, 6), PtMM(8, 10), PtMM(5, 7), PtMM(2, 10), PtMM(3, 6), PtMM(0, 4), PtMM(4, 4)}
	require.Equal(t, Inside, star.Locate(PtMM(5, 5)))
	require.Equal(t, Outside, star.Locate(PtMM(5, 8)))
	require.Equal(t, OnEdge, star.Locate(PtMM(8, 4)))
	require.Equal(t, OnEdge, star.Locate(PtMM(5, 7)))
	require.Equal(t, Outside, star.Locate(PtMM(-1, 4)))
	require.Equal(t, Outside, star.Locate(PtMM(11, 4)))
}

func TestQuarterAndRotated(t *testing.T) {
	v := Vec{3, 1}
	for n := -5; n < 6; n++ {
		require.Equal(t, v.Quarter(n+1), v.Quarter(n).Quarter(1))
		big := Vec{MM(3), MM(1)}
		got := big.Rotated(float64(n) * math.Pi / 2)
		require.InDelta(t, float64(big.Quarter(n).X), float64(got.X), 1)
		require.InDelta(t, float64(big.Quarter(n).Y), float64(got.Y), 1)
	}
}
