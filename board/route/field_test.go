package route

import (
	"context"
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/place"
	derive "lampblack/board/shape"
	"lampblack/led"
)

// placed returns the board of the test field with that seed, and whether shape and place made it without an error.
func placed(seed uint64, n int) (board.Board, bool) {
	p := boardtest.Panel(seed, n)
	w := boardtest.Wiring(p)
	b, l := derive.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	if l.HasErrors() {
		return b, false
	}
	b, _, l = place.Place(context.Background(), b, p, w, place.Options{})
	return b, !l.HasErrors()
}

// FIELD=1-40 (seeds) runs that part of the test field and prints its figures; SVG=dir writes pictures.
func TestField(t *testing.T) {
	lo, hi, sizes := 1, 4, []int{8, 14, 30}
	if s := os.Getenv("FIELD"); s != "" {
		_, err := fmt.Sscanf(s, "%d-%d", &lo, &hi)
		require.NoError(t, err)
		sizes = []int{6, 12, 24, 40, 60, 90, 140}
	}
	var ratios []float64
	done := 0
	for seed := lo; seed <= hi; seed++ {
		n := sizes[seed%len(sizes)]
		b, ok := placed(uint64(seed), n)
		if !ok {
			t.Logf("seed %d: not placed", seed)
			continue
		}
		got, f, l := Route(context.Background(), b, Options{})
		t.Logf("seed %d, %d LEDs: open %d of %d, signal ratio %.3f, all %.3f, vias %d (signal %d), rounds %d, work %.1f M", seed, n,
			f.Unrouted, f.Connections, f.SignalRatio, f.Ratio, f.Vias, f.SignalVias, f.Iterations, float64(f.Work)/1e6)
		for _, x := range l {
			t.Log(x.Text, x.Advice, *x.Place.At)
		}
		if dir := os.Getenv("SVG"); dir != "" {
			dumpSVG(got, fmt.Sprintf("%s/f%d.svg", dir, seed))
		}
		requireClear(t, got)
		requireNeat(t, got)
		require.Zero(t, f.Unrouted, "seed %d", seed)
		require.Zero(t, opens(got), "seed %d", seed)
		require.LessOrEqual(t, f.SignalRatio, 1.6) // our aim
		ratios = append(ratios, f.SignalRatio)
		done++
	}
	require.Positive(t, done)
	slices.Sort(ratios)
	require.LessOrEqual(t, ratios[len(ratios)/2], 1.25) // our aim, the median
}

func benchmark(b *testing.B, n int) {
	in, ok := placed(1, n)
	if !ok {
		b.Skip("the board of the test field could not be placed")
	}
	var f Figures
	for b.Loop() {
		_, f, _ = Route(context.Background(), in, Options{})
	}
	b.ReportMetric(float64(f.Unrouted), "unrouted")
	b.ReportMetric(f.TrackMM, "track_mm")
	b.ReportMetric(f.Ratio, "track/mst")
	b.ReportMetric(f.SignalRatio, "signal/mst")
	b.ReportMetric(float64(f.Vias), "vias")
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/board")
}

func BenchmarkRoute60(b *testing.B)  { benchmark(b, 60) }
func BenchmarkRoute500(b *testing.B) { benchmark(b, 500) }
