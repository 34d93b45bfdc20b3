package read

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// TestClearlyClosed: what lacks little against its size closes to what it looks like, corners sharp and sides straight.
func TestClearlyClosed(t *testing.T) {
	for _, c := range []struct {
		name string
		es   []*dxf.Entity
		area float64
	}{
		{"a side that ends short of the corner", strokes([]float64{0, 1, 0, 50}, []float64{0, 50, 100, 50}, []float64{100, 50, 100, 0}, []float64{100, 0, 0, 0}), 5000},
		{"a side with a piece missing", strokes([]float64{0, 0, 49, 0}, []float64{50.5, 0, 100, 0}, []float64{100, 0, 100, 50}, []float64{100, 50, 0, 50}, []float64{0, 50, 0, 0}), 5000},
		{"every corner short", strokes([]float64{0.4, 0, 59.5, 0}, []float64{60, 0.5, 60, 39.7}, []float64{59.6, 40, 0.3, 40}, []float64{0, 39.5, 0, 0.5}), 2400},
		{"every corner a bit long", strokes([]float64{-0.4, 0, 60.4, 0}, []float64{60, -0.3, 60, 40.3}, []float64{60.4, 40, -0.3, 40}, []float64{0, 40.4, 0, -0.5}), 2400},
		{"a circle of which 3° lack", []*dxf.Entity{missing(dxf.XY{X: 20, Y: 30}, 12, 12*math.Sin(math.Pi/120))}, 36 * math.Pi},
	} {
		j := join(nil, c.es, 0.1, false)
		require.Empty(t, j.loops, c.name)
		j = closedNearly(nil, j, false)
		require.Len(t, j.loops, 1, c.name)
		require.Empty(t, j.open, c.name)
		require.Empty(t, j.ends, c.name)
		require.Len(t, j.meant, 1, c.name)
		require.InDelta(t, c.area, j.loops[0].area, 1e-6, c.name)
	}
}

// TestNotClearlyClosed: what may be meant open stays open; named is what lacks an eighth of its length at most.
func TestNotClearlyClosed(t *testing.T) {
	for _, c := range []struct {
		name  string
		es    []*dxf.Entity
		named bool
	}{
		{"3 mm of an opening of 30 x 20", strokes([]float64{0, 0, 14, 0}, []float64{17, 0, 30, 0}, []float64{30, 0, 30, 20}, []float64{30, 20, 0, 20}, []float64{0, 20, 0, 0}), true},
		{"a slot of 1 mm, open at its end", strokes([]float64{0, 0, 60, 0}, []float64{60, 0, 60, 1}, []float64{60, 1, 0, 1}), false},
		{"two strokes beside each other", strokes([]float64{0, 0, 60, 0}, []float64{0, 1, 60, 1}), false},
		{"a U", strokes([]float64{0, 20, 0, 0}, []float64{0, 0, 20, 0}, []float64{20, 0, 20, 20}), false},
		{"a letter C, three quarters of a turn", strokes([]float64{0, 5, 5, 0, math.Tan(3 * math.Pi / 8)}), false},
		{"two openings that point at each other: which end belongs to which?", append(
			strokes([]float64{20, 9.6, 20, 0}, []float64{20, 0, 0, 0}, []float64{0, 0, 0, 20}, []float64{0, 20, 20, 20}, []float64{20, 20, 20, 10.4}),
			strokes([]float64{20.5, 9.6, 20.5, 0}, []float64{20.5, 0, 40, 0}, []float64{40, 0, 40, 20}, []float64{40, 20, 20.5, 20}, []float64{20.5, 20, 20.5, 10.4})...), false},
	} {
		j := closedNearly(nil, join(nil, c.es, 0.1, false), false)
		require.Empty(t, j.loops, c.name)
		require.Len(t, j.open, map[bool]int{true: 2, false: 1}[len(c.es) == 2 || len(c.es) == 10], c.name)
		require.Equal(t, c.named, len(j.nearly) > 0, c.name)
	}
}

// TestNearlyClosedInAnyOrder: pieces in any order and direction give the same.
func TestNearlyClosedInAnyOrder(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 9))
		es := strokes([]float64{0.4, 0, 59.5, 0}, []float64{60, 0.5, 60, 39.7}, []float64{59.6, 40, 0.3, 40}, []float64{0, 39.5, 0, 0.5})
		for _, e := range es {
			if rng.IntN(2) == 0 {
				e.Path = e.Path.Reversed()
			}
		}
		rng.Shuffle(len(es), func(i, k int) { es[i], es[k] = es[k], es[i] })
		j := closedNearly(nil, join(nil, es, 0.1, false), false)
		require.Len(t, j.loops, 1, "seed %d", seed)
		require.InDelta(t, 2400, j.loops[0].area, 1e-9)
	}
}

// TestNearlyClosedTold: a gap of 2 mm in the edge of an opening is closed and told; of 3 mm it is told with its place and
// the join that does it, and with that join it is closed. The panel knows where no LED may be placed.
func TestNearlyClosedTold(t *testing.T) {
	const panel = `
		0 rect 0 0 120 80
		0 line 40 20 54 20
		0 line 70 20 70 40
		0 line 70 40 40 40
		0 line 40 40 40 20
		0 line %s 20 70 20`
	ps, l := Panels(t.Context(), drawn(t, strings.ReplaceAll(panel, "%s", "56")), Options{})
	require.Len(t, ps, 1)
	require.Len(t, ps[0].Openings, 1)
	require.InDelta(t, 600, ps[0].Openings[0].Area(), 1e-6)
	require.Empty(t, ps[0].Unclosed)
	f := l[slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "dxf-nearly-closed" })]
	require.Equal(t, "a line on the drawing's layers misses closing by 2.000 mm at (55.000, 20.000), little for its size of 30 x 20 mm, and is closed", f.Text)

	open := drawn(t, strings.ReplaceAll(panel, "%s", "57"))
	ps, l = Panels(t.Context(), open, Options{})
	require.Empty(t, ps[0].Openings)
	require.Len(t, ps[0].Unclosed, 1)
	require.InDelta(t, 600, ps[0].Unclosed[0].Area(), 1e-6)
	f = l[slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == "dxf-nearly-closed" })]
	require.Equal(t, diag.Warning, f.Severity)
	require.Equal(t, diag.Point{X: 55.5, Y: 20}, *f.Place.At)
	require.Contains(t, f.Text, "3.000 mm")
	require.Contains(t, f.Advice, "join: 3.1 mm")
	for _, said := range codes(l) { // and nothing else says it again
		require.NotContains(t, said, "dxf-open-line")
		require.NotContains(t, said, "panel-layer-ignored")
	}
	ps, l = Panels(t.Context(), open, Options{Join: 3100 * geom.Micrometre})
	require.Len(t, ps[0].Openings, 1)
	require.InDelta(t, 600, ps[0].Openings[0].Area(), 1e-6)
	require.NotContains(t, codes(l), "warning dxf-nearly-closed")

	// What the project says of open lines goes before; and its own join is the limit.
	ps, l = Panels(t.Context(), open, Options{Rules: []Rule{{Role: "lettering", Kind: LineRule}, {Role: "outline", Kind: LargestRule}}})
	require.Empty(t, ps[0].Unclosed)
	require.NotContains(t, codes(l), "warning dxf-nearly-closed")
	ps, _ = Panels(t.Context(), drawn(t, strings.ReplaceAll(panel, "%s", "56")), Options{Join: 100 * geom.Micrometre})
	require.Empty(t, ps[0].Openings)
	require.Len(t, ps[0].Unclosed, 1)
}
