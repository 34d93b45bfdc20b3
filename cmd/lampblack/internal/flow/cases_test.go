package flow

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/paneltest/sketch"
)

// TestCasesEndFairly builds a drawing of each kind that was once read wrongly, and scores it: what is on it by count and size, and
// whether it ends proven, with a question or with an error that says the cure.
func TestCasesEndFairly(t *testing.T) {
	cases := sketch.Cases()
	if testing.Short() {
		cases = cases[:3]
	}
	for _, c := range cases {
		if why := unfair(t, c); why != "" {
			t.Errorf("%s: %s", c.Name, why)
		}
	}
}

// unfair builds a case and tells what of its end is not as it should be; nothing when all is.
func unfair(t *testing.T, c sketch.Case) string {
	t.Helper()
	p, l := project.Bare([]string{"case.dxf"})
	require.NoError(t, l.Err())
	out := must(Build(t.Context(), p, Settings{Version: "test", Pack: true, Read: func(string) ([]byte, error) { return c.Source, nil }}))
	if os.Getenv("TELL") != "" {
		t.Log("==", c.Name)
		for _, f := range out.Findings {
			if f.Severity != diag.Note {
				t.Log(f.Severity, f.Code, f.Text, "|", f.Advice)
			}
		}
	}
	says := len(c.Says) == 0 || slices.ContainsFunc(out.Findings, func(f diag.Finding) bool {
		return !slices.ContainsFunc(c.Says, func(w string) bool { return !strings.Contains(f.Text+" "+f.Advice, w) })
	})
	if !says {
		return fmt.Sprintf("nothing says %q", c.Says)
	}
	asked := slices.ContainsFunc(out.Findings, func(f diag.Finding) bool { return f.Question != nil })
	boards := 0
	var got sketch.Case
	got.LEDs = map[float64]int{}
	for _, b := range out.Built {
		got.Panels++
		boards += len(b.Boards)
		got.Mounts += len(b.Panel.Mounts)
		for _, o := range b.Panel.Openings {
			if o.Mount {
				got.Mounts++
			} else {
				got.Openings++
			}
		}
		count(got.LEDs, b.Panel.LEDs)
	}
	switch {
	case c.End == sketch.Refused:
		if out.Packs > 0 || !out.Findings.HasErrors() {
			return fmt.Sprintf("%d boards are built, and errors are %t", out.Packs, out.Findings.HasErrors())
		}
		return ""
	case out.Findings.HasErrors():
		return "refused: " + out.Findings.Err().Error()
	case c.End == sketch.Proven && asked:
		return "something is asked"
	case c.End == sketch.Asked && !asked && len(c.Says) == 0:
		return "nothing is asked"
	case out.Packs != c.Panels || boards != max(c.Boards, c.Panels):
		return fmt.Sprintf("%d of %d panels built, with %d boards", out.Packs, c.Panels, boards)
	case got.Panels != c.Panels || got.Mounts != c.Mounts || got.Openings != c.Openings || fmt.Sprint(got.LEDs) != fmt.Sprint(c.LEDs):
		return fmt.Sprintf("%d panels, LEDs %v, %d mounts, %d openings for %d, %v, %d, %d", got.Panels, got.LEDs, got.Mounts, got.Openings, c.Panels, c.LEDs, c.Mounts, c.Openings)
	}
	return ""
}

// count counts holes by their diameters.
func count(n map[float64]int, hs []panel.Hole) {
	for _, h := range hs {
		n[math.Round(h.D.MM()*10)/10]++
	}
}
