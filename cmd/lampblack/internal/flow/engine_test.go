package flow

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel/diag"
)

// same requires that two outcomes are the same to the last byte.
func same(t *testing.T, want, got Outcome, what string) {
	t.Helper()
	require.Equal(t, want.Findings, got.Findings, what)
	require.Equal(t, want.Result, got.Result, what)
	require.Len(t, got.Files, len(want.Files), what)
	for i, f := range want.Files {
		require.Equal(t, f.Path, got.Files[i].Path, what)
		require.True(t, bytes.Equal(f.Data, got.Files[i].Data), "%s: %s differs from that of a fresh run", what, f.Path)
	}
}

// edits are what a builder does to a console, each on a panel of his choice.
func edits() map[string]func(*bench, *rand.Rand) {
	pick := func(d *bench, r *rand.Rand) *plate { return &d.panels[r.IntN(len(d.panels))] }
	toggle := func(v *string, a, b string) {
		if *v == a {
			a = b
		}
		*v = a
	}
	return map[string]func(*bench, *rand.Rand){
		"LED moved": func(d *bench, r *rand.Rand) { pick(d, r).leds[r.IntN(4)][1] = 22 + float64(r.IntN(8))/2 },
		"LED added": func(d *bench, r *rand.Rand) {
			if p := pick(d, r); len(p.leds) < 8 {
				p.leds = append(p.leds, [2]float64{16 + 9*float64(len(p.leds)-4), 33})
			}
		},
		"LED taken away": func(d *bench, r *rand.Rand) {
			if p := pick(d, r); len(p.leds) > 4 {
				p.leds = p.leds[:len(p.leds)-1]
			}
		},
		"comment in a drawing": func(d *bench, r *rand.Rand) {
			pick(d, r).note = fmt.Sprintf("moved by hand, %d\n999\nagain", r.IntN(9))
		},
		"comment in the project": func(d *bench, r *rand.Rand) { d.note = []string{"", "\n\n", "# as measured\n\n"}[r.IntN(3)] },
		"text":                   func(d *bench, r *rand.Rand) { toggle(&pick(d, r).text, "OPEN", "SHUT") },
		"drawing shifted":        func(d *bench, r *rand.Rand) { pick(d, r).at = float64(100 * r.IntN(3)) },
		"panel renamed":          func(d *bench, _ *rand.Rand) { toggle(&d.panels[1].name, "focus", "guide") },
		"chain reordered":        func(d *bench, r *rand.Rand) { d.chain = r.Perm(len(d.chain)) },
		"another supply":         func(d *bench, _ *rand.Rand) { toggle(&d.volts, "12 V", "11.1 V .. 12.6 V") },
		"another current":        func(d *bench, _ *rand.Rand) { toggle(&d.current, "8 mA", "5 mA") },
		"feed of another length": func(d *bench, r *rand.Rand) { d.feed = 300 + 10*r.IntN(9) },
		"revision":               func(d *bench, _ *rand.Rand) { toggle(&d.revision, "A", "B") },
		"walls in the gap":       func(d *bench, r *rand.Rand) { p := pick(d, r); p.wall = !p.wall },
		"array ordered":          func(d *bench, _ *rand.Rand) { d.order = !d.order },
		"sheets on stock":        func(d *bench, _ *rand.Rand) { toggle(&d.more, "", "stock: {face: 200 x 100 mm}\n") },
		"LED where none can be":  func(d *bench, r *rand.Rand) { pick(d, r).leds[0] = [2]float64{0.5, 20} },
		"the same LED back again": func(d *bench, _ *rand.Rand) {
			for i := range d.panels {
				d.panels[i].leds[0] = [2]float64{14, 24}
			}
		},
	}
}

// An engine that lives through edits gives the bytes of a fresh one, stays within its bound and never writes to what it keeps.
func TestEditsGiveTheSameBytes(t *testing.T) {
	seed := uint64(20261128)
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	all := edits()
	var names []string
	for n := range all {
		names = append(names, n)
	}
	slices.Sort(names)
	const bound = 24 << 20
	e := NewEngine(bound)
	d := newBench()
	d.panels, d.chain = d.panels[:2], d.chain[:2]
	var past []bench
	order := append(r.Perm(len(names)), r.Perm(len(names))[:3]...)
	if testing.Short() {
		order = order[:4]
	}
	for step, n := range order {
		what := names[n]
		past = append(past, d.clone())
		if all[what](&d, r); step%7 == 6 {
			what, d = "all back again", past[r.IntN(len(past))].clone()
		}
		what = fmt.Sprintf("step %d: %s", step, what)
		p, set := d.open(t)
		got := must(e.Build(t.Context(), p, set))
		same(t, must(Build(t.Context(), p, set)), got, what)
		used, _ := e.memory.Used()
		require.LessOrEqual(t, used, int64(bound))
	}
	require.Empty(t, e.memory.Altered(), "a kept result was written to")
}

// ran returns the stages that a build had to run, by whom they were of.
func ran(t *testing.T, e *Engine, d bench) map[string][]string {
	t.Helper()
	e.memory.Tallies()
	p, set := d.open(t)
	must(e.Build(t.Context(), p, set))
	out := map[string][]string{}
	for _, y := range e.memory.Tallies() {
		if y.Ran > 0 {
			out[y.Of] = append(out[y.Of], y.Stage)
		}
	}
	return out
}

// Only what changed is done anew.
func TestWhatIsDoneAnew(t *testing.T) {
	e := NewEngine(UsualBound())
	d := newBench()
	d.order, d.panels[0].wall = true, true
	first := ran(t, e, d)
	all := append([]string{"read", "boards", "marks", "lots", "ends"}, boardStages...)
	require.ElementsMatch(t, append(all[:len(all):len(all)], "frame"), first["dome"], "once, and before its light")
	for _, of := range []string{"focus", "mount"} {
		require.ElementsMatch(t, all, first[of], "a fresh run takes %s through all stages", of)
	}
	require.ElementsMatch(t, []string{"circuit", "settle", "judge", "cost", "trial pieces", "parts", "laser", "guide", "chain", "console", "console solid", "report"}, first[""])
	require.Equal(t, []string{"order", "split"}, first["first"])
	require.Empty(t, ran(t, e, d), "nothing changed")

	// One LED is moved: that panel's board, and what shows the console's currents.
	d.panels[1].leds[0][1] = 22
	moved := ran(t, e, d)
	require.Equal(t, []string{"", "first", "focus"}, slices.Sorted(keys(moved)), "%v", moved)
	require.Contains(t, moved["focus"], "route")

	// A comment in a drawing, and blank lines in the project file, are read and nothing else.
	d.panels[1].note = "a comment"
	require.Equal(t, map[string][]string{"focus": {"read"}}, ran(t, e, d))
	d.note = "\n\n"
	require.Empty(t, onlyPanels(ran(t, e, d)))

	// Wherever the drawing lies, the board is the same.
	d.panels[1].at = 500
	require.Equal(t, map[string][]string{"focus": {"read"}}, onlyPanels(ran(t, e, d)))

	// A feed a little longer moves the last digits of all currents: no board and no pack is made anew.
	d.feed += 10
	require.Empty(t, onlyPanels(ran(t, e, d)))

	// The text alone: light and sheets, not the board, nor the walls in the gap.
	d.panels[0].text = "HOME"
	require.ElementsMatch(t, []string{"read", "lettering", "shares", "light", "sheets", "template", "panel solid", "glow", "marks", "lots", "ends", "screws"}, ran(t, e, d)["dome"])
}

func keys(m map[string][]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// onlyPanels leaves out the stages of the console.
func onlyPanels(m map[string][]string) map[string][]string {
	delete(m, "")
	return m
}

// A fault in any stage is told and stops its own panel only, or the console's part; an engine is as good as new once it is
// mended.
func TestFaultInEachStage(t *testing.T) {
	d := newBench()
	d.order, d.panels, d.chain = true, d.panels[:2], d.chain[:2]
	d.panels[1].wall = true
	p, set := d.open(t)
	whole := must(Build(t.Context(), p, set))
	require.Equal(t, 2, whole.Packs, "%v", whole.Findings)
	at := func(of string, stages ...string) (out [][2]string) {
		for _, s := range stages {
			out = append(out, [2]string{s, of})
		}
		return out
	}
	places := slices.Concat(at("focus", append([]string{"read", "boards", "frame", "marks"}, boardStages...)...), at("first", "order", "split"),
		at("", "circuit", "settle", "judge", "cost", "trial pieces", "parts", "laser", "guide", "chain", "console", "console solid", "report"))
	var e *Engine
	for i, place := range places {
		if testing.Short() && i%5 != 0 {
			continue
		}
		if i%10 == 0 { // with nothing kept; else only what the stage gave is gone
			e = NewEngine(UsualBound())
		}
		e.memory.Drop(place[0])
		e.fault = func(stage, of string) {
			if stage == place[0] && of == place[1] {
				var none *diag.Finding
				none.Text = "a fault of ours"
			}
		}
		out := must(e.Build(t.Context(), p, set))
		told := 0
		for _, f := range out.Findings {
			if f.Code == "internal-fault" {
				told++
				if place[1] == "focus" {
					require.Equal(t, "focus", f.Panel, place)
				}
			}
		}
		switch {
		case place[0] == "settle":
			require.Equal(t, 2, out.Packs, "currents without the boards' copper stand")
		case place[0] == "marks":
			require.Equal(t, 1, told, "%v", place)
			require.Zero(t, out.Packs, "no file is written without the others")
		case place[1] == "focus":
			require.Equal(t, 1, told, "%v", place)
			require.Equal(t, 1, out.Packs, "%v: %v", place, out.Findings)
		default:
			require.Positive(t, told, "%v", place)
		}
		e.fault = nil
		same(t, whole, must(e.Build(t.Context(), p, set)), "after a fault in "+place[0])
	}
}

// A build can be stopped at any moment; what was finished is kept, nothing else, and the next build is whole.
func TestStoppedBuilds(t *testing.T) {
	d := newBench()
	p, set := d.open(t)
	whole := must(Build(t.Context(), p, set))
	seed := uint64(7)
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	e := NewEngine(UsualBound())
	for range 12 {
		ctx, stop := context.WithCancel(t.Context())
		after := r.IntN(40)
		var steps atomic.Int64
		set.Step = func(int, int, string) {
			if int(steps.Add(1)) > after {
				stop()
			}
		}
		out, err := e.Build(ctx, p, set)
		if err != nil {
			require.ErrorIs(t, err, context.Canceled)
			require.Empty(t, out.Files)
		}
		stop()
	}
	set.Step = nil
	same(t, whole, must(e.Build(t.Context(), p, set)), "after builds that were stopped")
	require.Empty(t, e.memory.Altered())
}

// What is stopped while it cannot look, here for a drawing that never comes, returns without it.
func TestStopDoesNotWait(t *testing.T) {
	p, set := newBench().open(t)
	never := make(chan struct{})
	defer close(never)
	outcome := func(f func(context.Context, project.Project, Settings) (Outcome, error)) func(context.Context, Settings) error {
		return func(ctx context.Context, set Settings) error { _, err := f(ctx, p, set); return err }
	}
	for _, call := range []func(context.Context, Settings) error{
		outcome(Build), outcome(Supply),
		func(ctx context.Context, set Settings) error {
			_, err := Relight(ctx, p, set, Ask{Panel: p.Panels[0].Name, Count: 4})
			return err
		},
	} {
		ctx, stop := context.WithCancel(t.Context())
		asked := make(chan struct{}, len(p.Panels))
		set.Read = func(string) ([]byte, error) {
			asked <- struct{}{}
			stop()
			<-never
			return nil, os.ErrNotExist
		}
		require.ErrorIs(t, call(ctx, set), context.Canceled)
		require.NotEmpty(t, asked, "it was stopped while it waited")
	}
}

// A fault of ours outside all stages, here in what brings the drawings, is told; the program does not end by it.
func TestFaultOutsideStages(t *testing.T) {
	p, set := newBench().open(t)
	set.Read = func(string) ([]byte, error) { panic("no drawing") }
	told := func(l diag.List) bool {
		return slices.ContainsFunc(l, func(f diag.Finding) bool { return f.Code == "internal-fault" })
	}
	require.True(t, told(must(Build(t.Context(), p, set)).Findings))
	require.True(t, told(must(Relight(t.Context(), p, set, Ask{Panel: p.Panels[0].Name, Count: 4})).Findings))
}

// At any bound the bytes are the same.
func TestSmallMemory(t *testing.T) {
	sequel(t)
	p, set := newBench().open(t)
	whole := must(Build(t.Context(), p, set))
	for _, bound := range []int64{0, 300 << 10} {
		e := NewEngine(bound)
		for range 2 {
			same(t, whole, must(e.Build(t.Context(), p, set)), fmt.Sprint(bound))
			used, _ := e.memory.Used()
			require.LessOrEqual(t, used, bound)
		}
	}
}
