package excellon_test

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/export"
	"lampblack/export/excellon"
	"lampblack/export/exporttest"
	"lampblack/panel/geom"
)

// The example of references.md section 7, written there from the command list of XNC 2021.11: three hits, a slot
// 0.9 mm wide whose centre line is 2.0 mm long. Ours sorts tools, so the via tool is first.
func TestExample(t *testing.T) {
	d := export.Drill{
		Plated: true,
		Tools:  []export.Tool{{D: geom.MM(0.9), Function: "ComponentDrill"}, {D: geom.MM(0.3), Function: "ViaDrill"}},
		Hits:   []export.Hit{{Tool: 0, At: geom.PtMM(5, 8)}, {Tool: 0, At: geom.PtMM(7.54, 8)}, {Tool: 1, At: geom.PtMM(9, 3)}},
		Slots:  []export.Slot{{Tool: 0, Path: geom.Polyline{geom.PtMM(12, 2), geom.PtMM(14, 2)}}},
	}
	got := string(excellon.Drill(export.Artwork{Drills: []export.Drill{d}}, 0, excellon.Meta{Version: "1.0"}))
	require.Equal(t, `M48
; #@! TF.GenerationSoftware,Lampblack,lampblack,1.0
; #@! TF.ProjectId,,9674be1b-bae8-49e3-930d-64dbdab316df,1
; #@! TF.Part,Single
; #@! TF.SameCoordinates,9674be1b-bae8-49e3-930d-64dbdab316df
; #@! TF.FileFunction,Plated,1,2,PTH
; #@! TF.FilePolarity,Positive
METRIC
; #@! TA.AperFunction,ViaDrill
T01C0.300
; #@! TA.AperFunction,ComponentDrill
T02C0.900
%
G05
T01
X9.000Y3.000
T02
X7.540Y8.000
X5.000Y8.000
G00X12.000Y2.000
M15
G01X14.000Y2.000
M16
G05
M30
`, got)
}

// Every line is one of XNC's (numbers with a point, tools of two digits), tools come before use and grow, and each hole of
// the artwork is there once.
func TestGrammar(t *testing.T) {
	const number = `[+-]?(\d+(\.\d*)?|\.\d+)`
	line := regexp.MustCompile(`^(;.*|M48|METRIC|T\d\dC` + number + `|%|G05|T\d\d|X` + number + `Y` + number + `|M30)$`)
	for _, a := range []export.Artwork{export.Lower(exporttest.Desk()), export.Lower(exporttest.Grid(200))} {
		for i, d := range a.Drills {
			src := string(excellon.Drill(a, i, excellon.Meta{Version: "1,\n0", Date: time.Unix(1.8e9, 0).UTC()}))
			lines := strings.Split(strings.TrimSuffix(src, "\n"), "\n")
			require.Equal(t, "M48", lines[0])
			require.Equal(t, "M30", lines[len(lines)-1])
			require.Contains(t, src, "; #@! TF.CreationDate,2027-01-15T08:00:00+00:00\n")
			var got []string
			tool := ""
			for _, l := range lines {
				require.Regexp(t, line, l)
				if l[0] == 'T' && !strings.Contains(l, "C") {
					require.Greater(t, l, tool)
					tool = l
				}
				if l[0] == 'X' {
					got = append(got, tool+l)
				}
			}
			var want []string
			for _, h := range d.Hits {
				want = append(want, fmt.Sprintf("T%02dX%.3fY%.3f", h.Tool+1, h.At.X.MM(), h.At.Y.MM()))
			}
			slices.Sort(got)
			slices.Sort(want)
			require.Equal(t, want, got)
		}
	}
}

func TestOrdered(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 3))
		pts := make([]geom.Pt, r.IntN(120))
		for i := range pts {
			pts[i] = geom.PtMM(float64(r.IntN(60)), float64(r.IntN(60)))
		}
		got := excellon.Ordered(pts, geom.Pt{})
		shuffled := slices.Clone(pts)
		r.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		require.Equal(t, got, excellon.Ordered(shuffled, geom.Pt{}), "seed %d: the order given does not matter", seed)
		require.ElementsMatch(t, pts, got)
		// No single exchange may shorten it: the slow oracle of 2-opt among all pairs finds little left.
		require.Less(t, walk(got), 1.08*walk(allPairs(got))+1, "seed %d", seed)
	}
}

// allPairs is 2-opt over all pairs, until nothing helps.
func allPairs(pts []geom.Pt) []geom.Pt {
	p := append([]geom.Pt{{}}, pts...)
	for better := true; better; {
		better = false
		for i := 1; i < len(p); i++ {
			for j := i + 1; j < len(p); j++ {
				q := slices.Clone(p)
				slices.Reverse(q[i : j+1])
				if walk(q[1:]) < walk(p[1:])-1 {
					p, better = q, true
				}
			}
		}
	}
	return p[1:]
}

func walk(pts []geom.Pt) float64 {
	sum, at := 0.0, geom.Pt{}
	for _, p := range pts {
		sum += at.Dist(p)
		at = p
	}
	return sum
}

// The best order of up to seven hits is found by trying all.
func TestOrderedAgainstAllOrders(t *testing.T) {
	worst := 1.0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 9))
		pts := make([]geom.Pt, 2+r.IntN(6))
		for i := range pts {
			pts[i] = geom.PtMM(r.Float64()*50, r.Float64()*50)
		}
		best := walk(pts)
		var try func(k int)
		p := slices.Clone(pts)
		try = func(k int) {
			if k == len(p) {
				best = min(best, walk(p))
				return
			}
			for i := k; i < len(p); i++ {
				p[k], p[i] = p[i], p[k]
				try(k + 1)
				p[k], p[i] = p[i], p[k]
			}
		}
		try(0)
		worst = max(worst, walk(excellon.Ordered(pts, geom.Pt{}))/best)
	}
	require.Less(t, worst, 1.25)
}

// Large, crowded and equal points stay within bounds.
func TestOrderedLarge(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{5000, 30000} {
		pts := make([]geom.Pt, n)
		for i := range pts {
			pts[i] = geom.PtMM(r.Float64()*400, r.Float64()*300)
		}
		got := excellon.Ordered(pts, geom.Pt{})
		require.Len(t, got, n)
		require.Less(t, walk(got), walk(pts)/10)
	}
	same := make([]geom.Pt, 3000)
	require.Equal(t, same, excellon.Ordered(same, geom.Pt{}))
}

func TestTravel(t *testing.T) {
	for _, d := range export.Lower(exporttest.Grid(500)).Drills {
		plain, short := excellon.Travel(d)
		require.Less(t, short, plain)
	}
}

func BenchmarkDrill(b *testing.B) {
	a := export.Lower(exporttest.Grid(500))
	plain, short := excellon.Travel(a.Drills[0])
	for b.Loop() {
		excellon.Drill(a, 0, excellon.Meta{})
	}
	b.ReportMetric(plain.MM(), "plain-mm")
	b.ReportMetric(short.MM(), "short-mm")
}
