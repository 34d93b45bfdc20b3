package group

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// mostOf returns how many points of word k are in the path that holds most of them.
func mostOf(paths [][]int, of []int, k int) (most int) {
	for _, p := range paths {
		n := 0
		for _, i := range p {
			if of[i] == k {
				n++
			}
		}
		most = max(most, n)
	}
	return most
}

// rows are words of n LEDs each, one over the other, so far apart.
func rows(words, n int, step, down float64) (pts []geom.Pt, of []int) {
	for k := range words {
		for i := range n {
			pts, of = append(pts, geom.PtMM(float64(i)*step, -float64(k)*down)), append(of, k)
		}
	}
	return pts, of
}

// Two words of two LEDs, strings of two: where the words are near each keeps half its light with either string dark.
func TestApartSharesNearWords(t *testing.T) {
	pts, of := rows(2, 2, 10, 10.4)
	before := Strings(nil, pts, 2, nil)
	require.Equal(t, 2, mostOf(before, of, 0))
	after := Apart(nil, before, pts, of, nil)
	require.Equal(t, 1, mostOf(after, of, 0))
	require.Equal(t, 1, mostOf(after, of, 1))
}

// Words far from each other stay as they are: one string for both would be all way. So do points of one word, or of none.
func TestApartLeavesFarWords(t *testing.T) {
	pts, of := rows(2, 2, 10, 40)
	before := Strings(nil, pts, 2, nil)
	require.Equal(t, before, Apart(nil, before, pts, of, nil))
	near, _ := rows(2, 2, 10, 10.4)
	before = Strings(nil, near, 2, nil)
	require.Equal(t, before, Apart(nil, before, near, []int{-1, -1, -1, -1}, nil))
	require.Equal(t, before, Apart(nil, before, near, []int{0, 0, 0, 0}, nil))
}

// On any layout: every point stays in one path, sizes stay, all hops grow by a tenth at most, none beyond the longest there was by more, and
// words keep no less than they had. The same points give the same paths.
func TestApartKeepsItsBounds(t *testing.T) {
	better := 0
	for seed := range uint64(12) {
		pts := scatter(seed, 40+int(seed)*5)
		of := make([]int, len(pts))
		for i := range pts { // words are fields of 20 x 20 mm
			of[i] = int(pts[i].X.MM()/20) + 10*int(pts[i].Y.MM()/20)
		}
		for _, k := range []int{2, 4, 9} {
			before := Strings(nil, pts, k, nil)
			was := slices.Clone(before)
			after := Apart(nil, before, pts, of, nil)
			require.Equal(t, was, before)
			require.Equal(t, after, Apart(nil, before, pts, of, nil))
			sizes := func(paths [][]int) (out []int) {
				for _, p := range paths {
					out = append(out, len(p))
				}
				slices.Sort(out)
				return out
			}
			require.Equal(t, sizes(before), sizes(after))
			all := slices.Concat(after...)
			slices.Sort(all)
			for i, j := range all {
				require.Equal(t, i, j)
			}
			require.LessOrEqual(t, float64(totalLen(after, pts)), 1.1*float64(totalLen(before, pts)))
			longest := func(paths [][]int) (out int64) {
				for _, p := range paths {
					out = max(out, longestHop(p, straight(pts)))
				}
				return out
			}
			require.LessOrEqual(t, float64(longest(after)), 1.1*float64(longest(before)))
			for _, p := range after {
				require.LessOrEqual(t, pathLen(p, straight(pts)), pathLen(improvePath(slices.Clone(p), straight(pts)), straight(pts)))
			}
			lost := func(paths [][]int) (sum float64) {
				for k := range slices.Max(of) + 1 {
					if n := len(slices.DeleteFunc(slices.Clone(of), func(w int) bool { return w != k })); n > 0 {
						sum += float64(mostOf(paths, of, k)) / float64(n)
					}
				}
				return sum
			}
			require.LessOrEqual(t, lost(after), lost(before)+1e-9)
			if lost(after) < lost(before)-1e-9 {
				better++
			}
		}
	}
	require.Equal(t, 36, better)
}
