package compare

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/result"
)

const (
	placeTol = 0.002 // mm: figures in result.json are rounded
	holeTol  = 0.1   // mm that a screw or an LED's hole may be off and the part still goes in; common practice
	reach    = 6.0   // mm within which an LED is the same one, moved: further off it is another
)

// Shift is how far the new drawing of a panel lies beside the old one, mm.
func Shift(was, is result.Panel) [2]float64 {
	dx, dy := shift(was, is)
	return [2]float64{dx, dy}
}

// shift is how far the new drawing lies beside the old one: a panel drawn elsewhere is the same panel. Of panels of another
// size nobody can tell it, and places are taken as drawn.
func shift(was, is result.Panel) (dx, dy float64) {
	if size(was.BBox) != size(is.BBox) {
		return 0, 0
	}
	return is.BBox[0] - was.BBox[0], is.BBox[1] - was.BBox[1]
}

// frames are the places of both drawings from which shapes are measured: the same place of the panel.
type frames struct{ old, new [2]float64 }

func framesOf(was, is result.Panel) frames {
	dx, dy := shift(was, is)
	return frames{[2]float64{was.BBox[0], was.BBox[1]}, [2]float64{was.BBox[0] + dx, was.BBox[1] + dy}}
}

type matched struct {
	pairs       [][2]int
	gone, added []int
}

// placed are things as match takes them, by nothing but their places.
func placed[T any](all []T, at func(T) (x, y float64)) (out []result.Hole) {
	for _, t := range all {
		x, y := at(t)
		out = append(out, result.Hole{X: x, Y: y})
	}
	return out
}

// match pairs holes by place, the nearest first, so that one that stayed is never taken for one that moved.
func match(was, is []result.Hole, dx, dy float64) matched {
	type pair struct {
		a, b int
		far  float64
	}
	var all []pair
	for i, a := range was {
		for j, b := range is {
			if far := math.Hypot(b.X-dx-a.X, b.Y-dy-a.Y); far <= reach {
				all = append(all, pair{i, j, far})
			}
		}
	}
	slices.SortFunc(all, func(p, q pair) int { return cmp.Or(cmp.Compare(p.far, q.far), p.a-q.a, p.b-q.b) })
	var m matched
	from, to := make([]bool, len(was)), make([]bool, len(is))
	for _, p := range all {
		if !from[p.a] && !to[p.b] {
			from[p.a], to[p.b] = true, true
			m.pairs = append(m.pairs, [2]int{p.a, p.b})
		}
	}
	slices.SortFunc(m.pairs, func(p, q [2]int) int { return p[0] - q[0] })
	for i := range was {
		if !from[i] {
			m.gone = append(m.gone, i)
		}
	}
	for j := range is {
		if !to[j] {
			m.added = append(m.added, j)
		}
	}
	return m
}

// differ reports whether two figures differ by more than the rounding of result.json.
func differ(a, b float64) bool { return math.Abs(a-b) > 1e-6*max(math.Abs(a), math.Abs(b), 1e-3) }

// differBy reports whether two figures differ by so much of the larger.
func differBy(a, b, share float64) bool { return math.Abs(a-b) > share*max(math.Abs(a), math.Abs(b)) }

func near(a, b [4]float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > placeTol {
			return false
		}
	}
	return true
}

// apart sets two figures with as many digits as it takes to tell them apart, k at least and three more at most; ok is false where they
// read the same even so.
func apart(a, b float64, k int) (x, y string, ok bool) {
	for n := k; n <= k+3; n++ {
		p := math.Pow10(n)
		x, y = strconv.FormatFloat(math.Round(a*p)/p+0, 'f', -1, 64), strconv.FormatFloat(math.Round(b*p)/p+0, 'f', -1, 64)
		if x != y {
			return x, y, true
		}
	}
	return x, y, false
}

// now says that a figure was one and is another; nothing where both read the same.
func now(what string, a, b float64, k int, unit string) []string {
	x, y, ok := apart(a, b, k)
	if !ok {
		return nil
	}
	return []string{strings.TrimSpace(fmt.Sprintf("%s %s, now %s %s", what, x, y, unit))}
}

func figure(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000+0, 'f', -1, 64) }

func spot(x, y float64) string { return "(" + figure(x) + ", " + figure(y) + ")" }

func size(b [4]float64) string { return fmt.Sprintf("%s x %s", figure(b[2]-b[0]), figure(b[3]-b[1])) }

func middle(b [4]float64) string { return spot((b[0]+b[2])/2, (b[1]+b[3])/2) }
