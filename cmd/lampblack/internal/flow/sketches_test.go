package flow

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/paneltest/sketch"
)

// TestSketchesEndFairly: what people draw comes, without a word of ours in the drawing or the project, to a board that is proven
// and has its LEDs where a builder sees them, to a question, or to an error that says the cure. Each kind of panel, in manners that
// differ, and some as kinds of CAD programs save them (panel/read reads all); with -short two panels. SEEDS=200-300 tries others, as all
// of these programs save them.
func TestSketchesEndFairly(t *testing.T) {
	from, to, apart := uint64(1), uint64(sketch.Kinds), 7
	if testing.Short() {
		to = 2 // under the race detector each takes half a minute
	}
	if v := os.Getenv("SEEDS"); v != "" {
		a, b, _ := strings.Cut(v, "-")
		from, _ = strconv.ParseUint(a, 10, 64)
		to, _ = strconv.ParseUint(b, 10, 64)
		apart = 1
	}
	ends := map[string]int{}
	for seed := from; seed <= to; seed++ {
		s := sketch.Of(seed)
		src, err := dxf.Write(s.Drawing, dxf.Options{})
		require.NoError(t, err)
		end, unfair := endOf(t, s, src)
		if ends[end]++; unfair != "" {
			t.Errorf("%d %s: %s: %s", seed, s.Name, end, unfair)
		}
	}
	if !testing.Short() {
		for i, e := range sketch.Exports() {
			if i%apart != 0 {
				continue
			}
			s := sketch.Plain(from + uint64(i))
			end, unfair := endOf(t, s.Moved(e.By), e.Source(s))
			if ends[end]++; unfair != "" {
				t.Errorf("%s as %s: %s: %s", s.Name, e.Name, end, unfair)
			}
		}
	}
	t.Log(ends)
	all := 0
	for _, n := range ends {
		all += n
	}
	require.Greater(t, 2*ends["proven"], all, "most are built: %v", ends)
}

// endOf builds a sketch and tells how that ends, and why that is not fair; nothing when it is.
func endOf(t *testing.T, s sketch.Sketch, src []byte) (end, unfair string) {
	t.Helper()
	p, l := project.Bare([]string{"sketch.dxf"})
	require.NoError(t, l.Err())
	out := must(Build(t.Context(), p, Settings{Version: "test", Pack: true, Read: func(string) ([]byte, error) { return src, nil }}))
	asked := slices.ContainsFunc(out.Findings, func(f diag.Finding) bool { return f.Question != nil })
	if out.Packs == 0 {
		if !out.Findings.HasErrors() {
			return "nothing", "neither a board nor an error"
		}
		for _, f := range out.Findings {
			if f.Severity == diag.Error && f.Advice == "" {
				return "refused", "no advice: " + f.Code
			}
		}
		return "refused", ""
	}
	wrong := misplaced(s, out)
	switch {
	case wrong != "" && asked:
		return "asked", ""
	case wrong != "":
		return "wrong", wrong
	case out.Findings.HasErrors():
		return "proven", "with errors: " + out.Findings.Err().Error()
	}
	return "proven", ""
}

// misplaced tells what of the LEDs on the boards is not where a builder sees LEDs. Where none are drawn, they were placed.
func misplaced(s sketch.Sketch, out Outcome) string {
	want := s.Places("led")
	var have []dxf.XY
	for _, b := range out.Built {
		for _, m := range b.Boards {
			for _, q := range m.Board.Parts {
				if q.Kind == board.LED {
					have = append(have, dxf.XY{X: b.Panel.Origin.X + q.At.X.MM(), Y: b.Panel.Origin.Y + q.At.Y.MM()})
				}
			}
		}
		for _, h := range b.Panel.LEDs {
			if len(want) == 0 && !h.Placed {
				return fmt.Sprintf("none is drawn, and one was seen at %v", h.At)
			}
		}
	}
	switch {
	case len(have) == 0:
		return "a board without LEDs"
	case len(want) == 0:
		return ""
	case len(have) != len(want):
		return fmt.Sprintf("%d LEDs are drawn, the boards have %d", len(want), len(have))
	}
	const near = 0.1 // mm; two LEDs are never that near
	for _, w := range want {
		if !slices.ContainsFunc(have, func(h dxf.XY) bool { return h.Dist(w) <= near }) {
			return fmt.Sprintf("none at %.2f, %.2f, where one is drawn", w.X, w.Y)
		}
	}
	return ""
}
