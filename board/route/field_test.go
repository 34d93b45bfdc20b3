package route

import (
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/place"
	derive "lampblack/board/shape"
)

// placed returns the board of the test field with that seed, and whether shape and place made it without an error.
func placed(seed uint64, n int) (board.Board, bool) {
	p := boardtest.Panel(seed, n)
	w := boardtest.Wiring(p)
	b, l := derive.Derive(p, board.UsualRules())
	if l.HasErrors() {
		return b, false
	}
	b, _, l = place.Place(b, p, w, place.Options{})
	return b, !l.HasErrors()
}

func TestField(t *testing.T) {
	lo, hi := 1, 12
	if s := os.Getenv("SEEDS"); s != "" {
		fmt.Sscanf(s, "%d-%d", &lo, &hi)
	}
	sizes := []int{8, 20, 40, 60, 90}
	if s := os.Getenv("N"); s != "" {
		k, _ := strconv.Atoi(s)
		sizes = []int{k}
	}
	for seed := lo; seed <= hi; seed++ {
		n := sizes[seed%len(sizes)]
		b, ok := placed(uint64(seed), n)
		if !ok {
			fmt.Println(seed, "not placed")
			continue
		}
		t0 := time.Now()
		got, f, l := Route(b, Options{})
		bx := b.Outline.Box()
		fmt.Printf("seed %d n %d %.0fx%.0f: %.2fs open %d/%d sig %.3f sup %.0f ratio %.3f vias %d (sig %d) 45 %.3f it %d work %.1fM\n", seed, n, bx.W().MM(), bx.H().MM(), time.Since(t0).Seconds(), f.Unrouted, f.Connections, f.SignalRatio, f.SupplyMM, f.Ratio, f.Vias, f.SignalVias, f.Share45, f.Iterations, float64(f.Work)/1e6)
		for _, x := range l {
			fmt.Println("  ", x.Code, x.Text, *x.Place.At)
		}
		dumpSVG(got, fmt.Sprintf("/tmp/route/f%d.svg", seed))
		requireClear(t, got)
		requireNeat(t, got)
	}
}
