package flow

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel/dxf"
)

// demo is the example console, each of whose drawings can be replaced.
type demo struct {
	project project.Project
	set     Settings
	files   map[string][]byte // by name; as it is now
}

func openExample(t testing.TB) *demo {
	dir := filepath.Join("..", "..", "..", "..", "examples", "observatory")
	src, err := os.ReadFile(filepath.Join(dir, project.FileName))
	if err != nil {
		t.Fatal(err)
	}
	p, l := project.Read(src, filepath.Join(dir, project.FileName))
	x := &demo{project: p, files: map[string][]byte{}}
	x.set = Settings{Version: "test", Pack: true, Told: l, Read: func(path string) ([]byte, error) {
		if src, ok := x.files[filepath.Base(path)]; ok {
			return src, nil
		}
		return ReadFile(path)
	}}
	return x
}

// move shifts the first LED of a panel by a tenth of a millimetre times k.
func (x *demo) move(t testing.TB, name string, k int) {
	for i, e := range x.project.Panels {
		if e.Name != name {
			continue
		}
		src, err := ReadFile(x.project.Path(i))
		if err != nil {
			t.Fatal(err)
		}
		panels, l, _ := interpret(context.Background(), src, e.Drawing, Options(x.project, e))
		if l.HasErrors() {
			t.Fatal(l.Err())
		}
		h, at := panels[0].LEDs[0], panels[0].Origin
		c := dxf.Circle{Layer: "LED", At: dxf.XY{X: h.At.X.MM() + at.X + 0.1*float64(k), Y: h.At.Y.MM() + at.Y}, D: h.D.MM()}
		d, _ := dxf.Read(context.Background(), src, e.Drawing)
		led := slices.IndexFunc(d.Entities, func(q dxf.Entity) bool { return q.Line == h.Line })
		x.files[filepath.Base(x.project.Path(i))], err = dxf.Redrawn(context.Background(), src, dxf.Redraw{Gone: []int{led}, Add: []dxf.Circle{c}, Unit: 1})
		if err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Fatal("no panel " + name)
}

// Again is the time of a build after a change, by an engine that has built the example before.
func BenchmarkAgain(b *testing.B) {
	for _, c := range []string{"unchanged", "dome", "camera", "full"} {
		b.Run(c, func(b *testing.B) {
			x := openExample(b)
			e := NewEngine(UsualBound())
			must(e.Build(b.Context(), x.project, x.set))
			for k := 0; b.Loop(); k++ {
				switch c {
				case "unchanged":
				case "full":
					e = NewEngine(UsualBound())
				default:
					b.StopTimer()
					x.move(b, c, k%9-4)
					if k%9 == 0 {
						e = NewEngine(UsualBound()) // or the places would come again
						must(e.Build(b.Context(), x.project, x.set))
						x.move(b, c, 5)
					}
					b.StartTimer()
				}
				must(e.Build(b.Context(), x.project, x.set))
			}
			used, results := e.memory.Used()
			b.ReportMetric(float64(used)/(1<<20), "kept-MB")
			b.ReportMetric(float64(results), "results")
		})
	}
}

// Stop is the longest time that a build works without asking whether someone waits for it, on one core, which is how long one that
// was stopped may still keep the machine busy (pause-ms), and how soon it returns (stopped-ms). One of a board of 500 LEDs, and some of a drawing of 100,000 and of 300,000 entities.
func BenchmarkStop(b *testing.B) {
	d := newBench()
	d.panels, d.chain = d.panels[:1], d.chain[:1]
	p := &d.panels[0]
	p.w, p.h, p.leds = 260, 210, nil
	for i := range 500 {
		p.leds = append(p.leds, [2]float64{10 + 10*float64(i%25), 20 + 9*float64(i/25)})
	}
	b.Run("leds=500", func(b *testing.B) {
		project, set := d.open(b)
		stops(b, project, set)
	})
	for _, n := range []int{100_000, 300_000} {
		b.Run(fmt.Sprintf("entities=%d", n), func(b *testing.B) {
			project, set := d.open(b)
			src := strokes(n)
			set.Read = func(string) ([]byte, error) { return src, nil }
			stops(b, project, set)
		})
	}
}

// stops measures a build that is not stopped, tells its longest pauses between two looks at the context and what looked at their
// ends, and then stops a build for real where the longest one began.
func stops(b *testing.B, p project.Project, set Settings) {
	const told = 20
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1)) // with more, one looks while another does not
	for b.Loop() {
		x := &watched{Context: b.Context(), begun: clock()}
		must(NewEngine(UsualBound()).Build(x, p, set))
		x.Err()
		slices.SortFunc(x.pauses, func(a, b pause) int { return cmp.Compare(b.took, a.took) })
		for _, q := range x.pauses[:min(told, len(x.pauses))] {
			b.Logf("%6.1f ms without a look from %.3f s on, up to %s", q.took.Seconds()*1e3, q.from.Seconds(), q.where)
		}
		b.ReportMetric(x.pauses[0].took.Seconds()*1e3, "pause-ms")

		ctx, stop := context.WithCancel(b.Context())
		at := make(chan time.Time, 1)
		time.AfterFunc(x.pauses[0].from, func() { at <- time.Now(); stop() })
		_, err := NewEngine(UsualBound()).Build(ctx, p, set)
		if took := time.Since(<-at); err != nil {
			b.ReportMetric(took.Seconds()*1e3, "stopped-ms")
		}
	}
}

// watched is a context that knows how long nobody asked it.
type watched struct {
	context.Context
	begun  time.Duration // by the clock
	mu     sync.Mutex
	last   time.Duration // since begun
	pauses []pause
	waits  bool // for what runs aside, or the context
}

func (w *watched) Done() <-chan struct{} {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.waits = true
	return w.Context.Done()
}

// pause is a time without a question, and the functions that asked at its end.
type pause struct {
	from, took time.Duration
	where      string
}

func (w *watched) Err() error {
	const short = 5 * time.Millisecond
	w.mu.Lock()
	defer w.mu.Unlock()
	now := clock() - w.begun
	if took := now - w.last; took > short && !w.waits {
		var pcs [24]uintptr
		frames := runtime.CallersFrames(pcs[:runtime.Callers(2, pcs[:])])
		var names []string
		for f, more := frames.Next(); more; f, more = frames.Next() {
			if name, ours := strings.CutPrefix(f.Function, "lampblack/"); ours && !strings.HasPrefix(name, "panel/work") {
				names = append(names, fmt.Sprintf("%s:%d", name, f.Line))
			}
		}
		w.pauses = append(w.pauses, pause{w.last, took, strings.Join(names[:min(12, len(names))], " < ")})
		now = clock() - w.begun // without the time that telling takes
	}
	w.last, w.waits = now, false
	return w.Context.Err()
}

// strokes is a drawing of an outline, a hole and n strokes of lettering, among them squares that close.
func strokes(n int) []byte {
	var b bytes.Buffer
	b.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	line := func(layer string, x1, y1, x2, y2 float64) {
		fmt.Fprintf(&b, "0\nLINE\n8\n%s\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", layer, x1, y1, x2, y2)
	}
	const w, h = 600.0, 500.0
	for _, e := range [][4]float64{{0, 0, w, 0}, {w, 0, w, h}, {w, h, 0, h}, {0, h, 0, 0}} {
		line("OUTLINE", e[0], e[1], e[2], e[3])
	}
	b.WriteString("0\nCIRCLE\n8\nLED\n10\n5\n20\n5\n40\n1.5\n")
	for i := range n {
		const side = 0.5
		k, at := i/4, i%4
		x, y := 10+0.9*float64(k%600), 10+0.9*float64(k/600)
		corner := [5][2]float64{{0, 0}, {side, 0}, {side, side}, {0, side}, {0, float64(k%2) * side / 2}} // every second one stays open
		line("LETTERING", x+corner[at][0], y+corner[at][1], x+corner[at+1][0], y+corner[at+1][1])
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	return b.Bytes()
}
