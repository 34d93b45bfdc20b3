package read_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/paneltest/sketch"
	"lampblack/panel/read"
)

// TestStacks: sheets of one panel, over each other on layers or beside each other, are one panel; copies and panels of one
// size stay apart; a drawing's frame and title block are none. SEEDS=200-300 tries others.
func TestStacks(t *testing.T) {
	from, to := seeds(1, 80)
	right, all, silent := 0, 0, 0
	for seed := from; seed <= to; seed++ {
		s := sketch.StackOf(seed)
		ps, l := read.Panels(t.Context(), s.Drawing, read.Options{})
		why := s.Why(ps)
		if l.HasErrors() {
			why = append(why, l.Err().Error())
		}
		all++
		if s.Asks {
			require.True(t, slices.ContainsFunc(l, func(f diag.Finding) bool { return f.Question != nil }), "%d %s", seed, s.Name)
		}
		if s.Tells {
			require.False(t, slices.ContainsFunc(l, func(f diag.Finding) bool {
				return f.Question != nil && strings.HasPrefix(f.Question.Choices[0].YAML(), "sheets")
			}), "%d %s: %v", seed, s.Name, l)
		}
		if len(why) == 0 || s.Asks {
			right++
		} else if !l.HasErrors() && !slices.ContainsFunc(l, func(f diag.Finding) bool { return f.Question != nil }) {
			silent++
		}
		if os.Getenv("TELL") != "" {
			t.Log(seed, s.Name+":", strings.Join(why, "; "))
			if os.Getenv("TELL") == "all" {
				for _, f := range l {
					t.Log("      ", f.Severity, f.Code, f.Text)
				}
			}
		}
	}
	t.Logf("%d of %d, %d of the others without a question", right, all, silent)
	require.GreaterOrEqual(t, right*100, all*95)
	require.Zero(t, silent)
}

func TestWriteStacks(t *testing.T) {
	dir := os.Getenv("STACKS")
	if dir == "" {
		t.Skip("set STACKS to a folder to have the drawings of sheets there, to look at in CAD")
	}
	for seed := uint64(12); seed < 36; seed++ {
		s := sketch.StackOf(seed)
		data, err := dxf.Write(s.Drawing, dxf.Options{})
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(fmt.Sprintf("%s/stack-%d.dxf", dir, seed), data, 0o644))
	}
}
