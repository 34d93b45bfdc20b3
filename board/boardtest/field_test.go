package boardtest_test

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/bare"
	"lampblack/board/boardtest"
	"lampblack/board/check"
	"lampblack/board/fill"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/led/group"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// outcome is what became of one panel of the field.
type outcome struct {
	boardtest.Case
	wiring  led.Wiring
	board   board.Board
	stage   string // that refused it; empty: completed
	refusal diag.List
	told    diag.List // of the stages
	found   diag.List // of the checker
	placed  place.Figures
	routed  route.Figures
	filled  fill.Figures
	seconds [6]float64 // shape, place, route, fill, legend, check
}

func (o outcome) total() float64 {
	sum := 0.0
	for _, s := range o.seconds {
		sum += s
	}
	return sum
}

// make1 takes a panel through all stages.
func make1(c boardtest.Case, opt place.Options, least board.Floors) (o outcome) {
	o.Case = c
	w, l := c.Wiring()
	o.wiring = w
	if l.HasErrors() {
		o.stage, o.refusal = "led", l
		return o
	}
	stages := []struct {
		name string
		do   func() diag.List
	}{
		{"shape", func() (l diag.List) {
			o.board, l = shape.Derive(c.Panel, w, board.UsualRules(), least, board.UsualLaminate())
			return l
		}},
		{"place", func() (l diag.List) {
			o.board, o.placed, l = place.Place(context.Background(), o.board, c.Panel, w, opt)
			return l
		}},
		{"route", func() (l diag.List) {
			o.board, o.routed, l = route.Route(context.Background(), o.board, route.Options{})
			return l
		}},
		{"fill", func() (l diag.List) {
			o.board, l = bare.Fiducials(context.Background(), o.board)
			o.told = append(o.told, l...)
			o.board = bare.TestPoints(context.Background(), o.board, w.Probes())
			o.board, o.filled, l = fill.Fill(context.Background(), o.board, fill.Usual())
			return l
		}},
		{"legend", func() diag.List {
			o.board, _ = legend.Print(context.Background(), o.board, legend.Options{Name: c.Panel.Name, Supply: w.Label})
			for i := range o.board.Parts {
				o.board.Parts[i].Marks = nil // legend.Print has printed what there is room for
			}
			return nil
		}},
		{"check", func() diag.List { o.found = check.Audit(context.Background(), o.board, w); return nil }},
	}
	for i, s := range stages {
		start := time.Now()
		l := s.do()
		o.told = append(o.told, l...)
		o.seconds[i] = time.Since(start).Seconds()
		if l.HasErrors() {
			o.stage, o.refusal = s.name, l
			return o
		}
	}
	return o
}

// firm are limits of which none gives way.
func firm() board.Floors { return board.FloorsOf(board.UsualRules(), nil) }

// seeds returns the seeds that FIELD_SEEDS names, as 3, 1-40 or 1,4,9-12; without it the usual ones.
func seeds(t testing.TB, usual []uint64) []uint64 {
	s := os.Getenv("FIELD_SEEDS")
	if s == "" {
		return usual
	}
	var out []uint64
	for _, f := range strings.Split(s, ",") {
		a, b, ok := strings.Cut(f, "-")
		if !ok {
			b = a
		}
		lo, err := strconv.ParseUint(a, 10, 32)
		require.NoError(t, err)
		hi, err := strconv.ParseUint(b, 10, 32)
		require.NoError(t, err)
		for i := lo; i <= hi; i++ {
			out = append(out, i)
		}
	}
	return out
}

func all() []uint64 {
	var out []uint64
	for i := range uint64(boardtest.FieldSize) {
		out = append(out, i+1)
	}
	return out
}

// runField makes the panels side by side, results in the order of the seeds.
func runField(seeds []uint64) []outcome {
	out := make([]outcome, len(seeds))
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				out[i] = make1(boardtest.FieldCase(seeds[i]), place.Options{}, firm())
				if os.Getenv("FIELD_LIVE") != "" {
					fmt.Fprintln(os.Stderr, out[i].line())
				}
			}
		})
	}
	for i := range seeds {
		next <- i
	}
	close(next)
	wg.Wait()
	return out
}

// short are seeds with few LEDs, of all shapes.
func short() []uint64 {
	var out []uint64
	for _, s := range all() {
		if boardtest.FieldCase(s).Want <= 20 {
			out = append(out, s)
		}
	}
	return out[:min(len(out), 20)]
}

// Every panel ends proven or is refused for a reason that holds. FIELD_SEEDS=1-200 runs other seeds, FIELD_LIVE=1 tells each
// as it is done.
func TestField(t *testing.T) {
	runs := runField(seeds(t, short()))
	done := 0
	for _, o := range runs {
		t.Run(fmt.Sprint("seed ", o.Seed), func(t *testing.T) {
			t.Log(o.line())
			if o.stage != "" {
				for _, f := range o.refusal {
					if f.Severity == diag.Error {
						t.Logf("%s: %s %v: %s (%s)", o.stage, f.Code, place2(f), f.Text, f.Advice)
						require.NoError(t, confirm(o, f))
					}
				}
				return
			}
			done++
			for _, f := range o.found {
				if f.Severity == diag.Error {
					t.Errorf("%s %v: %s (%s)", f.Code, place2(f), f.Text, f.Advice)
				}
			}
		})
	}
	report(t, runs)
	require.Greater(t, 2*done, len(runs))
}

func place2(f diag.Finding) string {
	if f.Place.At == nil {
		return "-"
	}
	return fmt.Sprintf("(%.2f, %.2f)", f.Place.At.X, f.Place.At.Y)
}

// BenchmarkField makes the whole field: go test -run '^$' -bench 'Field$' -benchtime 1x ./board/boardtest
func BenchmarkField(b *testing.B) {
	var runs []outcome
	for b.Loop() {
		runs = runField(seeds(b, all()))
	}
	f := report(b, runs)
	for _, m := range f {
		b.ReportMetric(m.value, m.unit)
	}
}

// BenchmarkField500 makes the largest panel of the field alone.
func BenchmarkField500(b *testing.B) {
	var big uint64
	for _, s := range all() {
		if boardtest.FieldCase(s).Want == 500 {
			big = s
		}
	}
	var o outcome
	for b.Loop() {
		o = make1(boardtest.FieldCase(big), place.Options{}, firm())
	}
	b.Log(o.line())
	b.ReportMetric(float64(len(o.Panel.LEDs)), "LEDs")
	b.ReportMetric(o.total(), "s/board")
	b.ReportMetric(peakMB(), "peak-MB")
}

// line is the outcome in one line.
func (o outcome) line() string {
	box := o.Panel.Outline.Box()
	s := fmt.Sprintf("seed %3d %-13s %3d LEDs %3.0fx%-3.0f %-10s %-11s %-13s strings %3d", o.Seed, o.Shape, len(o.Panel.LEDs), box.W().MM(), box.H().MM(),
		o.Request.Defaults.Kind.Name, o.Request.Defaults.ResistorPackage, o.Request.Defaults.ConnectorPackage, len(o.wiring.Strings))
	if o.stage != "" {
		var codes []string
		for _, f := range o.refusal {
			if f.Severity == diag.Error && !slices.Contains(codes, f.Code) {
				codes = append(codes, f.Code)
			}
		}
		s += fmt.Sprintf(" REFUSED by %s %v", o.stage, codes)
	}
	s += fmt.Sprintf(" areas %d (pockets %d stitches %d antennas %d)", o.filled.Pieces, o.filled.Pockets, o.filled.Stitches, o.filled.Antennas)
	s += fmt.Sprintf(" errors %d signal %.3f hops %.3f vias %d+%d 45 %.4f s", o.found.Count(diag.Error), o.routed.SignalRatio, o.hops(), o.routed.SignalVias,
		o.routed.Vias-o.routed.SignalVias, o.routed.Share45)
	for _, v := range o.seconds {
		s += fmt.Sprintf(" %.2f", v)
	}
	return s
}

// hops is the length from LED to LED over what no grouping and order could beat.
func (o outcome) hops() float64 {
	if len(o.wiring.Strings) == 0 {
		return 0
	}
	length, bound := group.Hops(o.wiring, func(i int) geom.Pt { return o.Panel.LEDs[i].At })
	if bound == 0 {
		return 1
	}
	return float64(length) / float64(bound)
}

// metric is one figure of the field.
type metric struct {
	unit  string
	value float64
}

// report sums the field up, and writes FIELD_LOG (a line a panel) and FIELD_SHEET (the worst twenty) when they are asked for.
func report(t testing.TB, runs []outcome) []metric {
	var signal, track, hops, vias, share, leds, took []float64
	var done, refused, opens, proven int
	slowest, seconds := 0.0, 0.0
	for _, o := range runs {
		seconds += o.total()
		slowest = max(slowest, o.total())
		opens += o.routed.Unrouted
		if o.stage != "" {
			refused++
			continue
		}
		done++
		if !o.found.HasErrors() {
			proven++
		}
		if o.routed.SignalBoundMM > 0 {
			signal = append(signal, o.routed.SignalRatio)
		}
		track = append(track, o.routed.Ratio)
		leds, took = append(leds, float64(len(o.Panel.LEDs))), append(took, o.total())
		hops = append(hops, o.hops())
		vias = append(vias, 10*float64(o.routed.SignalVias)/float64(len(o.Panel.LEDs)))
		share = append(share, o.routed.Share45)
	}
	out := []metric{
		{"completed", float64(done)}, {"proven", float64(proven)}, {"refused", float64(refused)}, {"unrouted", float64(opens)},
		{"signal/mst-median", quantile(signal, 0.5)}, {"signal/mst-worst", quantile(signal, 1)},
		{"track/mst-median", quantile(track, 0.5)}, {"track/mst-worst", quantile(track, 1)},
		{"hops/bound-median", quantile(hops, 0.5)}, {"hops/bound-worst", quantile(hops, 1)},
		{"vias/10LEDs-median", quantile(vias, 0.5)}, {"vias/10LEDs-worst", quantile(vias, 1)},
		{"share45-least", quantile(share, 0)}, {"s-slowest", slowest}, {"s-all", seconds}, {"time-exponent", exponent(leds, took)}, {"peak-MB", peakMB()},
	}
	for _, m := range out {
		t.Logf("%-20s %.4g", m.unit, m.value)
	}
	if file := os.Getenv("FIELD_LOG"); file != "" {
		var s strings.Builder
		for _, o := range runs {
			fmt.Fprintln(&s, o.line())
			for _, f := range append(o.refusal[:len(o.refusal):len(o.refusal)], o.found...) {
				if f.Severity != diag.Note {
					fmt.Fprintf(&s, "      %s %s %s: %s\n", f.Severity, f.Code, place2(f), f.Text)
				}
			}
		}
		require.NoError(t, os.WriteFile(file, []byte(s.String()), 0o644))
	}
	if file := os.Getenv("FIELD_SHEET"); file != "" {
		worst := slices.Clone(runs)
		slices.SortStableFunc(worst, func(a, b outcome) int { return cmp.Compare(b.badness(), a.badness()) })
		require.NoError(t, os.WriteFile(file, contactSheet(worst[:min(20, len(worst))]), 0o644))
	}
	return out
}

// badness orders outcomes: errors of the checker, then refusals by the router, then what copper was wasted.
func (o outcome) badness() float64 {
	v := o.routed.SignalRatio + 0.3*float64(o.routed.SignalVias)/float64(max(1, len(o.Panel.LEDs)))
	if o.found.HasErrors() {
		v += 100
	}
	if o.stage == "route" {
		v += 50
	}
	if o.stage == "place" {
		v += 20
	}
	return v
}

func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Sorted(slices.Values(v))
	return v[min(len(v)-1, int(q*float64(len(v))))]
}

// exponent returns the power of n with which v grows, by least squares of the logarithms.
func exponent(n, v []float64) float64 {
	var x, y, xx, xy float64
	for i := range n {
		a, b := math.Log(n[i]), math.Log(max(v[i], 1e-3))
		x, y, xx, xy = x+a, y+b, xx+a*a, xy+a*b
	}
	k := float64(len(n))
	if d := k*xx - x*x; d > 0 {
		return (k*xy - x*y) / d
	}
	return 0
}

// peakMB is the most memory the process has held so far, in MB; from the heap alone where the system does not tell.
func peakMB() float64 {
	src, err := os.ReadFile("/proc/self/status")
	if err == nil {
		for line := range strings.Lines(string(src)) {
			if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
				if kb, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 64); err == nil {
					return kb / 1024
				}
			}
		}
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.Sys) / (1 << 20)
}
