package group

import (
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/geom"
)

func scatter(seed uint64, n int) []geom.Pt {
	rng := rand.New(rand.NewPCG(seed, 9))
	pts := make([]geom.Pt, n)
	for i := range pts {
		pts[i] = geom.PtMM(rng.Float64()*200, rng.Float64()*120)
	}
	return pts
}

func totalLen(paths [][]int, pts []geom.Pt) int64 {
	sum := int64(0)
	for _, p := range paths {
		sum += pathLen(p, straight(pts))
	}
	return sum
}

// Every point is in one path, and the sizes are the fewest and evenest.
func TestStringsIsAPartition(t *testing.T) {
	for _, n := range []int{1, 2, 3, 4, 5, 13, 60, 101, 500} {
		for _, k := range []int{1, 2, 3, 4, 5, 6, 7, 9, 22, 1000} {
			if n > 60 && k > 4 && k != 22 {
				continue
			}
			pts := scatter(uint64(n), n)
			paths := Strings(nil, pts, k, nil)
			count := (n + min(k, n) - 1) / min(k, n)
			require.Len(t, paths, count, "%d by %d", n, k)
			var all []int
			least, most := n, 0
			for _, p := range paths {
				all = append(all, p...)
				least, most = min(least, len(p)), max(most, len(p))
			}
			slices.Sort(all)
			for i := range n {
				require.Equal(t, i, all[i])
			}
			require.Len(t, all, n)
			require.LessOrEqual(t, most, k)
			require.LessOrEqual(t, most-least, 1)
		}
	}
}

func TestStringsIsDeterministic(t *testing.T) {
	pts := scatter(7, 80)
	require.Equal(t, Strings(nil, pts, 4, nil), Strings(nil, pts, 4, nil))
}

// best is the slow exact answer: every partition into paths, by recursion over the points left.
func best(pts []geom.Pt, sizes []int) int64 {
	hop := straight(pts)
	var table subsets
	all := make([]int, len(pts))
	for i := range all {
		all[i] = i
	}
	table.fill(all, slices.Max(sizes), hop)
	type key struct{ left, a, b int }
	small := slices.Min(sizes)
	known := map[key]int64{}
	var solve func(left, a, b int) int64 // a paths of size small, b of size small+1
	solve = func(left, a, b int) int64 {
		if left == 0 {
			return 0
		}
		if v, ok := known[key{left, a, b}]; ok {
			return v
		}
		v := int64(math.MaxInt64)
		low := left & -left
		try := func(size, a, b int) {
			for s := range left + 1 { // every subset there is
				if s&^left == 0 && s&low != 0 && bits.OnesCount(uint(s)) == size {
					if rest := solve(left&^s, a, b); rest < math.MaxInt64 {
						v = min(v, table.best[s]+rest)
					}
				}
			}
		}
		if a > 0 {
			try(small, a-1, b)
		}
		if b > 0 {
			try(small+1, a, b-1)
		}
		known[key{left, a, b}] = v
		return v
	}
	a := 0
	for _, s := range sizes {
		if s == small {
			a++
		}
	}
	return solve(1<<len(pts)-1, a, len(sizes)-a)
}

// Against the exact optimum on small panels: never better, and near.
func TestStringsAgainstTheOptimum(t *testing.T) {
	sum, count, worst := 0.0, 0, 1.0
	for seed := range uint64(12) {
		for _, c := range []struct{ n, k int }{{8, 4}, {9, 3}, {12, 4}, {13, 4}, {14, 5}, {14, 2}} {
			pts := scatter(seed, c.n)
			paths := Strings(nil, pts, c.k, nil)
			var sizes []int
			for _, p := range paths {
				sizes = append(sizes, len(p))
			}
			opt := best(pts, sizes)
			got := totalLen(paths, pts)
			require.GreaterOrEqual(t, got, opt)
			ratio := float64(got) / float64(opt)
			sum, count, worst = sum+ratio, count+1, max(worst, ratio)
		}
	}
	t.Logf("mean %.4f, worst %.4f of the optimum over %d panels", sum/float64(count), worst, count)
	require.Less(t, sum/float64(count), 1.01)
	require.Less(t, worst, 1.15)
}

// A row of LEDs in order is the shortest string there is, and reads from the left; rows read from the top.
func TestStringsReadsFromTopLeft(t *testing.T) {
	var pts []geom.Pt
	for _, i := range []int{5, 0, 7, 2, 1, 6, 3, 4} {
		pts = append(pts, geom.PtMM(float64(i%4)*10, float64(i/4)*40))
	}
	paths := Strings(nil, pts, 4, nil)
	require.Len(t, paths, 2)
	for r, p := range paths {
		for i, q := range p {
			require.Equal(t, geom.PtMM(float64(i)*10, float64(1-r)*40), pts[q])
		}
	}
}

// Two columns beside a tall opening: pairs across it are near in a straight line, but copper cannot cross.
func TestStringsGoesRoundOpenings(t *testing.T) {
	var pts []geom.Pt
	for i := range 4 {
		pts = append(pts, geom.PtMM(0, float64(i)*14), geom.PtMM(10, float64(i)*14))
	}
	p := panel.Panel{Openings: []panel.Opening{{Contour: geom.Rect(geom.Box{Min: geom.PtMM(3, -100), Max: geom.PtMM(7, 100)})}}}
	crossing := func(paths [][]int) int {
		n := 0
		for _, path := range paths {
			for i := 1; i < len(path); i++ {
				if pts[path[i-1]].X != pts[path[i]].X {
					n++
				}
			}
		}
		return n
	}
	require.NotZero(t, crossing(Strings(nil, pts, 2, nil)))
	require.Zero(t, crossing(Strings(nil, pts, 2, Blocks(p))))
	require.Zero(t, crossing(Strings(nil, pts, 4, Blocks(p))))
}

// The detour is never shorter than the straight hop, and for a square between two points it is the way round it.
func TestDetour(t *testing.T) {
	b := Blocks(panel.Panel{Bodies: []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(-5, -20), Max: geom.PtMM(5, 20)})}})[0]
	pts := []geom.Pt{geom.PtMM(-10, 0), geom.PtMM(10, 0), geom.PtMM(10, 30), geom.PtMM(-10, 30)}
	hop := around(pts, []Block{b})
	want := geom.Polyline{pts[0], geom.PtMM(-5, 20), geom.PtMM(5, 20), pts[1]}.Len()
	require.InDelta(t, want, float64(hop(0, 1)), 2)
	require.Equal(t, straight(pts)(2, 3), hop(2, 3))
	require.Equal(t, hop(0, 1), hop(1, 0))
}

func TestNeighboursAreTheNearest(t *testing.T) {
	pts := scatter(3, 300)
	pts = append(pts, geom.PtMM(900, 900), geom.PtMM(900, 900)) // far off, twice
	near := neighbours(pts, 10)
	for i := range pts {
		var d []int64
		for j := range pts {
			if j != i {
				v := pts[j].Sub(pts[i])
				d = append(d, v.Dot(v))
			}
		}
		slices.Sort(d)
		for k, j := range near[i] {
			v := pts[j].Sub(pts[i])
			require.Equal(t, d[k], v.Dot(v))
		}
		require.Len(t, near[i], 10)
	}
}

// All LEDs in one place, or in a line, are no trouble.
func TestStringsOfDegenerateLayouts(t *testing.T) {
	same := make([]geom.Pt, 40)
	require.Len(t, Strings(nil, same, 4, nil), 10)
	line := make([]geom.Pt, 41)
	for i := range line {
		line[i] = geom.PtMM(float64(i)*3, 0)
	}
	paths := Strings(nil, line, 4, nil)
	require.Len(t, paths, 11)
	require.Equal(t, int64(3e6)*(41-11), totalLen(paths, line))
}

func BenchmarkStrings(b *testing.B) {
	for _, n := range []int{60, 500, 5000} {
		for _, k := range []int{4, 9} {
			b.Run(fmt.Sprintf("%d by %d", n, k), func(b *testing.B) {
				pts := scatter(1, n)
				var paths [][]int
				for b.Loop() {
					paths = Strings(nil, pts, k, nil)
				}
				total := float64(totalLen(paths, pts))
				b.ReportMetric(total/forest(pts, n-len(paths)), "hops/bound")
				b.ReportMetric(total/1e6, "mm")
			})
		}
	}
}
