package route

import (
	"fmt"
	"os"
	"strings"
	"syscall"
	"testing"
	"crypto/sha256"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/panel/geom"
	"lampblack/board/place"
	derive "lampblack/board/shape"
)

func cpu() float64 {
	var u syscall.Rusage
	_ = syscall.Getrusage(0, &u)
	return float64(u.Utime.Sec) + float64(u.Utime.Usec)/1e6
}

func zzBoard(seed uint64) (board.Board, bool) {
	c := boardtest.FieldCase(seed)
	w, l := c.Wiring()
	if l.HasErrors() {
		return board.Board{}, false
	}
	b, l := derive.Derive(c.Panel, board.UsualRules())
	if l.HasErrors() {
		return b, false
	}
	b, _, l = place.Place(b, c.Panel, w, place.Options{})
	return b, !l.HasErrors()
}

func TestZZ(t *testing.T) {
	for _, f := range strings.Fields(os.Getenv("ZZ")) {
		var seed uint64
		fmt.Sscan(f, &seed)
		b, ok := zzBoard(seed)
		if !ok {
			continue
		}
		t0 := cpu()
		r := newRouter(b, Options{})
		t1 := cpu()
		s := []string{fmt.Sprintf("grid %.2f", t1-t0)}
		step := func(name string, f func()) {
			w, c := r.s.work, cpu()
			f()
			s = append(s, fmt.Sprintf("%s %.2f s %.1f M", name, cpu()-c, float64(r.s.work-w)/1e6))
		}
		step("neg", func() { r.negotiate(usualRounds) })
		step("refine", r.refine)
		step("spare", r.spare)
		step("refine", r.refine)
		var lay *layout
		step("lay", func() { lay = r.layOut(); })
		step("tidy", func() { lay.tidy(3)})
		step("rest", func() { lay.widen(); lay.prove() })
		var fg Figures
		lay.write(&b, &fg, r.nets)
		l := r.report(lay, &fg)
		fmt.Printf("%d: %.2f s, %s; nodes %d widths %d nets %d rounds %d open %d ratio %.4f all %.4f vias %d sig %d share45 %.5f %v %.8s\n", seed, cpu()-t0, strings.Join(s, "; "), r.g.n, len(r.widths), len(r.nets), r.rounds,
			fg.Unrouted, fg.SignalRatio, fg.Ratio, fg.Vias, fg.SignalVias, fg.Share45, l, zzSum(b))
	}
}

func zzSum(b board.Board) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(fmt.Sprint(b.Tracks, b.Vias)))) }

func TestZZOdd(t *testing.T) {
	for _, f := range strings.Fields(os.Getenv("ZZ")) {
		var seed uint64
		fmt.Sscan(f, &seed)
		b, ok := zzBoard(seed)
		if !ok {
			continue
		}
		r := newRouter(b, Options{})
		r.negotiate(usualRounds)
		r.refine()
		r.spare()
		r.refine()
		lay := r.layOut()
		show := func(name string) {
			for _, x := range lay.runs {
				for i, s := range x.path.Segments() {
					if d := s.B.Sub(s.A); way(d) == 8 {
						y := *x
						y.cache = nil
						fmt.Println(seed, name, "net", x.net, "supply", x.supply, "w", x.width, x.on, "piece", i, "of", len(x.path)-1, d, "slack", lay.w.look(s, (x.width+1)/2, x.on, x.net), "own", lay.w.own(s, x, [2]*node{x.a, x.b}), "ends", x.a.pin, x.b.pin, x.a.via, x.b.via, x.path)
					}
				}
			}
		}
		lay.tidy(3)
		for _, x := range lay.runs {
			if way(x.path[1].Sub(x.path[0])) == 8 {
				for _, y := range x.a.runs {
					fmt.Println("   at", x.a.at, y.path, y.width, y.on, y.trunk)
				}
				x.cache = nil
				fmt.Println("   price", lay.price(x, x.path))
				q := x.path
				before := fmt.Sprint(q)
				lay.straighten(x)
				fmt.Println("  straighten changed", fmt.Sprint(x.path) != before, x.path, lay.price(x, x.path), x.cache == nil)
				lay.slide(x)
				fmt.Println("  slid", x.path, lay.price(x, x.path))
				for j := 1; j < min(4, len(q)); j++ {
					for _, z := range links(q[0], q[j]) {
						fmt.Println("    link", j, z, lay.measure(x, geom.Segment{A: q[0], B: z}), lay.measure(x, geom.Segment{A: z, B: q[j]}), lay.price(x, append(geom.Polyline{q[0], z}, q[j:]...)))
					}
				}
			}
		}
		show("tidy")
		lay.widen()
		lay.prove()
		show("end")
	}
}
