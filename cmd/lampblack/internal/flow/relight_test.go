package flow

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
)

// The example's panel that is drawn in inches, with one LED more: the drawing read back differs in nothing but the LEDs, the
// new board is proven, and every figure is there before and after.
func TestRelight(t *testing.T) {
	sequel(t)
	dir := filepath.Join("..", "..", "..", "..", "examples", "observatory")
	file := filepath.Join(dir, project.FileName)
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	p, l := project.Read(src, file)
	require.False(t, l.HasErrors())
	r := must(Relight(context.Background(), p, Settings{}, Ask{Panel: "Focus", Count: 5, Seed: 1}))
	require.Empty(t, r.Findings)
	require.Equal(t, "focus", r.Panel)
	require.Equal(t, filepath.Join(dir, "focus.dxf"), r.Path)
	require.Len(t, r.Plan.LEDs, 5)
	require.Greater(t, r.Plan.After.MinToMean, r.Plan.Before.MinToMean)
	require.GreaterOrEqual(t, r.Plan.After.MinToMean, r.Plan.Plain.MinToMean)
	of := func(o Outcome) (b Built) {
		for _, b = range o.Built {
			if b.Panel.Name == "focus" {
				return b
			}
		}
		return b
	}
	old, now := of(r.Before), of(r.After)
	require.Empty(t, now.Stopped)
	require.NotEmpty(t, now.Boards[0].Board.Tracks)
	require.Equal(t, 5, now.LEDs())
	require.Greater(t, now.Field.MinToMean, old.Field.MinToMean)
	require.NotNil(t, r.After.Result.Supply)
	require.Len(t, r.After.Built, len(r.Before.Built), "the others still count for the supply")
	require.True(t, sameBut(old.Panel, now.Panel, r.Plan.LEDs))
	require.False(t, sameBut(old.Panel, now.Panel, old.Panel.LEDs))
	moved := now.Panel
	moved.Lettering = moved.Lettering[1:]
	require.False(t, sameBut(old.Panel, moved, r.Plan.LEDs))
	// Line by line: only circles of the LED layer came and went.
	orig, err := os.ReadFile(r.Path)
	require.NoError(t, err)
	count := func(src []byte, line string) int {
		return strings.Count(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n"+line+"\n")
	}
	require.Positive(t, count(orig, "CIRCLE"))
	require.Equal(t, count(orig, "CIRCLE")+1, count(r.DXF, "CIRCLE"))
	require.Equal(t, count(orig, "LED")+1, count(r.DXF, "LED"))

	r = must(Relight(context.Background(), p, Settings{}, Ask{Panel: "cellar", Count: 5}))
	require.Equal(t, "relight-no-panel", r.Findings[0].Code)
	require.Contains(t, r.Findings[0].Advice, "dome")
}

func TestFreeName(t *testing.T) {
	there := map[string]bool{"a/dome.dxf": true}
	for _, want := range []string{"a/dome-relit.dxf", "a/dome-relit-2.dxf", "a/dome-relit-3.dxf"} {
		got := FreeName("a/dome.dxf", func(n string) bool { return there[n] })
		require.Equal(t, want, got)
		there[got] = true
	}
	require.Equal(t, "a/dome-relit-4.dxf", FreeName("a/dome-relit-2.dxf", func(n string) bool { return there[n] }))
}
