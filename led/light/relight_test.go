package light

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
	"lampblack/panel/read"
)

// testPanels reads the ten panels of testdata, which say in their first line what they are.
func testPanels(t testing.TB) []panel.Panel {
	t.Helper()
	names, err := filepath.Glob("testdata/*.dxf")
	require.NoError(t, err)
	require.Len(t, names, 10)
	var out []panel.Panel
	for _, n := range names {
		src, err := os.ReadFile(n)
		require.NoError(t, err)
		d, l := dxf.Read(t.Context(), src, n)
		require.False(t, l.HasErrors(), "%v", l)
		ps, l := read.Panels(t.Context(), d, read.Options{Name: strings.TrimSuffix(filepath.Base(n), ".dxf")})
		require.False(t, l.HasErrors(), "%v", l)
		require.Len(t, ps, 1)
		out = append(out, ps[0])
	}
	return out
}

// roomOf is where LEDs may be, as a board with usual rules leaves it: 1 mm from the panel's edge, bodies and openings to the
// board's edge, 2.67 mm from there to an LED however it is turned, and 5.5 mm from the middle of an M3 screw.
func roomOf(p panel.Panel) geom.Region {
	room := geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance)).Shrunk(geom.MM(3.67))
	var rings []geom.Ring
	for _, b := range p.Bodies {
		rings = append(rings, b.Ring(geom.FlattenTolerance))
	}
	for _, o := range p.Openings {
		rings = append(rings, o.Ring(geom.FlattenTolerance))
	}
	room = room.Minus(geom.UnionOf(rings...).Grown(geom.MM(3.67)))
	for _, m := range p.Mounts {
		room = room.Minus(geom.NewRegion(geom.Circle(m.At, m.D+2*geom.MM(3.9)).Ring(geom.FlattenTolerance)))
	}
	return room
}

func usual(p panel.Panel) Options {
	return Options{
		Stack: UsualStack(), Hole: geom.MM(3), Spacing: geom.MM(5.5), Room: roomOf(p), Current: 0.008, Seed: 1,
		Kind: part.LED{Name: "red-3mm", Curve: []part.VfPoint{{I: 0.020, V: 2}}, HalfAngle: 30, Candela: 0.25},
	}
}

// keepsRules checks what every placement must keep, whatever it was made for.
func keepsRules(t *testing.T, o Options, holes []panel.Hole, fixed int) {
	t.Helper()
	for i, h := range holes {
		if i < fixed {
			continue
		}
		require.NotEqual(t, geom.Outside, o.Room.Locate(h.At), "%v", h.At)
		for _, g := range holes[:i] {
			require.GreaterOrEqual(t, h.At.Dist(g.At), float64(o.Spacing))
		}
	}
}

// tiny returns a strip with a few letters and little room, so that all placements can be tried.
func tiny(text string, w, h float64) panel.Panel {
	return panel.Panel{
		Name: "tiny", Outline: geom.Rect(geom.Box{Max: geom.PtMM(w, h)}),
		Lettering: []panel.Text{{Text: text, At: geom.PtMM(w/2, h/2), Height: geom.MM(5), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}}},
	}
}

// The fewest LEDs are within one of what trying all subsets of sites finds, on three tiny panels.
func TestFewestAgainstExhaustive(t *testing.T) {
	for _, c := range []struct {
		text string
		w, h float64
		even float64
	}{{"ON", 24, 14, 0.8}, {"LOCK", 34, 16, 0.8}, {"SHUT", 44, 16, 0.62}} {
		p := tiny(c.text, c.w, c.h)
		o := usual(p)
		o.Even = c.even
		plan, l := Place(context.Background(), p, o)
		require.Empty(t, l)
		require.GreaterOrEqual(t, plan.After.MinToMean, c.even)
		keepsRules(t, o, plan.LEDs, 0)
		// All subsets of every second site in rows and columns.
		s := newSearch(nil, p, o, nil)
		var sites []int
		for i, q := range s.sites {
			if x, y := q.X/siteStep, q.Y/siteStep; x%2 == 0 && y%2 == 0 {
				sites = append(sites, i)
			}
		}
		require.Greater(t, len(sites), 6)
		fewest := 0
		light := make([]float64, len(s.points))
		var try func(n, from int, at []geom.Pt) bool
		try = func(n, from int, at []geom.Pt) bool {
			if n == 0 {
				least, mean := math.Inf(1), 0.0
				for i, v := range light {
					least = min(least, v)
					mean += v * s.weight[i]
				}
				return least/mean > c.even-0.02 && s.full(at).MinToMean >= c.even
			}
			for k := from; k < len(sites); k++ {
				q := sites[k]
				if !s.clear(s.sites[q], at, -1) {
					continue
				}
				for i, v := range s.light[q] {
					light[i] += v
				}
				ok := try(n-1, k+1, append(at[:len(at):len(at)], s.sites[q]))
				for i, v := range s.light[q] {
					light[i] -= v
				}
				if ok {
					return true
				}
			}
			return false
		}
		for n := 1; n <= len(plan.LEDs)+1 && fewest == 0; n++ {
			if try(n, 0, nil) {
				fewest = n
			}
		}
		t.Logf("%s: %d LEDs reach %.2f; exhaustive search of %d sites: %d", c.text, len(plan.LEDs), c.even, len(sites), fewest)
		require.Positive(t, fewest, "the sites of the exhaustive search are too coarse to judge by")
		require.LessOrEqual(t, len(plan.LEDs), fewest+1, c.text)
		require.Positive(t, plan.Least)
		require.LessOrEqual(t, plan.Least, fewest, "a bound is below what there is")
	}
}

func TestRelightKeeps(t *testing.T) {
	p := testPanels(t)[6] // status or so: any with LEDs
	o := usual(p)
	o.Keep, o.Count = true, len(p.LEDs)+3
	plan, l := Place(context.Background(), p, o)
	require.Empty(t, l)
	require.Equal(t, p.LEDs, plan.LEDs[:len(p.LEDs)])
	require.Len(t, plan.LEDs, o.Count)
	keepsRules(t, o, plan.LEDs, len(p.LEDs))
	require.Greater(t, plan.After.MinToMean, plan.Before.MinToMean)
	o.Count = len(p.LEDs) - 1
	_, l = Place(context.Background(), p, o)
	require.Equal(t, "light-keep-count", l[0].Code)
}

func TestRelightRefuses(t *testing.T) {
	p := tiny("ON", 24, 14)
	for code, change := range map[string]func(*Options){
		"light-no-aim":   func(o *Options) {},
		"light-too-many": func(o *Options) { o.Count = 5000 },
		"light-crowded":  func(o *Options) { o.Count = 30 },
		"light-no-room":  func(o *Options) { o.Count = 3; o.Room = nil },
		"light-no-kind":  func(o *Options) { o.Count = 3; o.Kind = part.LED{} },
		"light-not-even": func(o *Options) { o.Even = 0.999 },
	} {
		o := usual(p)
		change(&o)
		_, l := Place(context.Background(), p, o)
		paneltest.Subjects(t, l)
		require.Len(t, l, 1, code)
		require.Equal(t, code, l[0].Code)
		require.NotEmpty(t, l[0].Advice)
	}
	_, l := Place(context.Background(), panel.Panel{}, func() Options { o := usual(p); o.Count = 2; return o }())
	require.Equal(t, "light-no-lettering", l[0].Code)
}

func TestRelightIsReproducible(t *testing.T) {
	p := testPanels(t)[3]
	o := usual(p)
	o.Count = 6
	a, _ := Place(context.Background(), p, o)
	b, _ := Place(context.Background(), p, o)
	require.Equal(t, a, b)
}

func BenchmarkRelight(b *testing.B) {
	for _, p := range testPanels(b) {
		if p.Name != "desk" {
			continue
		}
		b.Run(fmt.Sprintf("%d LEDs", len(p.LEDs)), func(b *testing.B) {
			for b.Loop() {
				o := usual(p)
				o.Count = len(p.LEDs)
				plan, _ := Place(context.Background(), p, o)
				b.ReportMetric(plan.After.MinToMean, "min/mean")
			}
		})
	}
}
