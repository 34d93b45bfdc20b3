package flow

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
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
		panels, l, _ := interpret(context.Background(), src, e.Drawing, Options(e))
		if l.HasErrors() {
			t.Fatal(l.Err())
		}
		h, at := panels[0].LEDs[0], panels[0].Origin
		c := dxf.Circle{Layer: "LED", At: dxf.XY{X: h.At.X.MM() + at.X + 0.1*float64(k), Y: h.At.Y.MM() + at.Y}, D: h.D.MM()}
		if x.files[filepath.Base(x.project.Path(i))], err = dxf.Redrawn(src, []int{h.Line}, []dxf.Circle{c}, 1); err != nil {
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

// Stop is how long a build goes on after it is stopped, at the worst of many moments: of a board of 500 LEDs, and while a drawing
// of 300,000 entities is read.
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
		for b.Loop() {
			worst := stopLatency(b, project, set, 60, 150*time.Millisecond)
			b.ReportMetric(float64(worst.Milliseconds()), "worst-ms")
		}
	})
	b.Run("entities=300000", func(b *testing.B) {
		project, set := d.open(b)
		src := strokes(300_000)
		set.Read = func(string) ([]byte, error) { return src, nil }
		for b.Loop() {
			worst := stopLatency(b, project, set, 60, 40*time.Millisecond)
			b.ReportMetric(float64(worst.Milliseconds()), "worst-ms")
		}
	})
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

// stopLatency is how long a build goes on after it is stopped, at the worst of so many moments, each later than the one before.
func stopLatency(t testing.TB, p project.Project, set Settings, moments int, each time.Duration) time.Duration {
	worst := time.Duration(0)
	for k := range moments {
		ctx, stop := context.WithCancel(context.Background())
		at := make(chan time.Time, 1)
		timer := time.AfterFunc(each*time.Duration(k), func() { at <- time.Now(); stop() })
		stage := ""
		set.Step = func(_, _ int, what string) { stage = strings.TrimPrefix(what, "dome: ") }
		if _, err := NewEngine(UsualBound()).Build(ctx, p, set); err != nil {
			took := time.Since(<-at)
			worst = max(worst, took)
			t.Logf("stopped after %v, behind %q: %v", each*time.Duration(k), stage, took)
		}
		timer.Stop()
		stop()
	}
	return worst
}
