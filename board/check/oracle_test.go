package check

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// slowReach is reaches in rational numbers: the least squared distance of the segments against (widths/2)².
func slowReach(a, b geom.Segment, widths geom.Nm) bool {
	if a.Crosses(b) {
		return true
	}
	limit := big.NewRat(int64(widths)*int64(widths), 4)
	for _, c := range []struct {
		s geom.Segment
		p geom.Pt
	}{{a, b.A}, {a, b.B}, {b, a.A}, {b, a.B}} {
		if slowDist2(c.s, c.p).Cmp(limit) <= 0 {
			return true
		}
	}
	return false
}

func slowDist2(s geom.Segment, p geom.Pt) *big.Rat {
	d, v := s.B.Sub(s.A), p.Sub(s.A)
	sq := func(v geom.Vec) *big.Rat {
		x, y := big.NewInt(int64(v.X)), big.NewInt(int64(v.Y))
		return new(big.Rat).SetInt(x.Mul(x, x).Add(x, y.Mul(y, y)))
	}
	dot, l2 := big.NewInt(d.Dot(v)), big.NewInt(d.Dot(d))
	switch {
	case l2.Sign() == 0 || dot.Sign() <= 0:
		return sq(v)
	case dot.Cmp(l2) >= 0:
		return sq(p.Sub(s.B))
	}
	c := big.NewInt(d.Cross(v))
	return new(big.Rat).SetFrac(c.Mul(c, c), l2)
}

// TestReachesIsExact tries segments that miss or meet by a nanometre or less, small and as large as coordinates go.
func TestReachesIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	both := [2]int{}
	for k := range 20000 {
		size := []int64{10, 1000, 1e6, int64(geom.MaxCoord)}[k%4]
		pt := func() geom.Pt {
			return geom.Pt{X: geom.Nm(r.Int64N(2*size+1) - size), Y: geom.Nm(r.Int64N(2*size+1) - size)}
		}
		a, b := geom.Segment{A: pt(), B: pt()}, geom.Segment{A: pt(), B: pt()}
		if k%7 == 0 {
			a.B = a.A
		}
		w := geom.Nm(math.Round(2*a.Dist(b))) + geom.Nm(r.IntN(5)-2)
		if w < 0 || w > geom.MaxCoord {
			continue
		}
		want := slowReach(a, b, w)
		require.Equal(t, want, reaches(a, b, w), "%v %v %d", a, b, w)
		gap := segGap(a, b, w)
		require.Equal(t, want, gap <= 0, "%v %v %d: gap %g", a, b, w, gap)
		if want {
			both[0]++
		} else {
			both[1]++
		}
	}
	require.Greater(t, both[0], 2000)
	require.Greater(t, both[1], 2000)
}

// TestNearAgainstAllPairs compares the index with trying every pair, on random discs, strokes and polygons.
func TestNearAgainstAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	pt := func() geom.Pt { return geom.Pt{X: geom.Nm(r.IntN(30e6)), Y: geom.Nm(r.IntN(30e6))} }
	var shapes []shape
	for k := range 75 {
		switch p := pt(); k % 3 {
		case 0:
			shapes = append(shapes, disc(p, geom.Nm(r.IntN(3e6))))
		case 1:
			shapes = append(shapes, stroke(geom.Polyline{p, p.Add(geom.Vec{X: geom.Nm(r.IntN(4e6)), Y: geom.Nm(r.IntN(4e6))}), pt()}, geom.Nm(r.IntN(1e6))))
		case 2:
			d := geom.Nm(r.IntN(8e6) + 1e6)
			ring := geom.Rect(geom.Box{Min: p, Max: p.Add(geom.Vec{X: d, Y: d})}).Ring(1)
			hole := geom.Circle(p.Add(geom.Vec{X: d / 2, Y: d / 2}), d*3/4).Ring(2000).Oriented(geom.CW)
			shapes = append(shapes, solid(geom.Polygon{Outer: ring, Holes: []geom.Ring{hole}}))
		}
	}
	x := newIndex(shapes)
	const limit = geom.Millimetre / 2
	pairs := 0
	for i, s := range shapes {
		got := map[int]float64{}
		x.near(s, limit, func(j int) bool { return j != i }, func(j int, m meeting) { got[j] = m.gap })
		for j, u := range shapes {
			if i == j {
				continue
			}
			want, _ := s.gapTo(u)
			g, ok := got[j]
			require.Equal(t, want < float64(limit) || want <= 0, ok, "%d %d: %g", i, j, want)
			if ok {
				pairs++
				require.Equal(t, want, g, "%d %d", i, j)
			}
			require.Equal(t, want <= 0, x.meets(s, j), "%d %d", i, j)
		}
	}
	require.Greater(t, pairs, 200)
}
