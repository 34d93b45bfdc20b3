package flow

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
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
	e := NewEngine(UsualBound())
	r := must(e.Relight(context.Background(), p, Settings{}, Ask{Panel: "Focus", Count: 5, Seed: 1}))
	require.Empty(t, r.Findings)
	times := 0
	for _, n := range e.memory.Tallies() {
		if n.Stage == reading.name && n.Of == "focus" {
			times = n.Ran
		}
	}
	require.Equal(t, 2, times, "the old drawing and the new one are read by the stage, once each")
	e.fault = func(stage, _ string) {
		if stage == reading.name {
			panic("a fault of ours")
		}
	}
	faulty := must(e.Relight(context.Background(), p, Settings{}, Ask{Panel: "Focus", Count: 5, Seed: 2}))
	require.Len(t, faulty.Findings, 1, "in reading the new drawing")
	require.Equal(t, "internal-fault", faulty.Findings[0].Code)
	require.Nil(t, faulty.DXF)
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

// The LEDs of every kind of drawing are moved: circles, arcs, polylines and curves, blocks, arrays and blocks in blocks, text of
// all releases, binary and UTF-16, LEDs that roles were guessed for, and such as stand before other things in the file. Nothing
// but the LEDs means anything else then, in this panel and in others on the drawing.
func TestRedrawsEveryDrawing(t *testing.T) {
	read := filepath.Join("..", "..", "..", "..", "panel", "read", "testdata")
	var files []string
	for _, pattern := range []string{read + "/focus/*.dxf", read + "/weather/*.dxf", "../../../../examples/*/*.dxf", "../../../../led/light/testdata/*.dxf", "../../../../led/light/testdata/splines/*.dxf"} {
		some, err := filepath.Glob(pattern)
		require.NoError(t, err)
		require.NotEmpty(t, some, pattern)
		files = append(files, some...)
	}
	moved, kinds := 0, map[string]int{}
	for _, file := range files {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		forms := map[string][]byte{file: src}
		if text := string(src); strings.HasPrefix(filepath.Base(file), "led-") || strings.HasSuffix(file, "crlf-comments.dxf") {
			forms[file+" in UTF-16"] = utf16LE(text)
		}
		for name, src := range forms {
			entry := project.Panel{Name: "focus", Drawing: file}
			panels, l, _ := interpret(t.Context(), src, file, Options(project.Project{}, entry))
			if l.HasErrors() {
				continue
			}
			for _, old := range panels {
				if len(old.LEDs) == 0 {
					continue
				}
				r := Relit{Panel: old.Name, Path: file}
				for i, h := range old.LEDs {
					if i != 1 { // one stays
						h.At = h.At.Add(geom.Vec{X: 300_000, Y: geom.Nm(-200_000 * (i%3 - 1))})
					}
					r.Plan.LEDs = append(r.Plan.LEDs, panel.Hole{At: h.At, D: h.D})
				}
				s := &session{ctx: t.Context(), engine: NewEngine(UsualBound()), project: project.Project{Panels: []project.Panel{entry}}}
				s.set.Read = func(string) ([]byte, error) { return src, nil }
				r.redraw(s, old)
				require.Empty(t, r.Findings, name)
				require.NotNil(t, r.DXF, name)
				moved++
				d, _ := dxf.Read(t.Context(), src, file)
				switch {
				case d.Binary:
					kinds["binary"]++
				case bytes.HasPrefix(r.DXF, []byte{0xff, 0xfe}):
					kinds["UTF-16"]++
				}
				if slices.ContainsFunc(d.Entities, func(e dxf.Entity) bool { return e.Block != "" }) {
					kinds["blocks"]++
				}
				for _, o := range old.Openings {
					if o.Line > old.LEDs[0].Line && old.LEDs[0].Line > 0 {
						kinds["opening after an LED"]++
						break
					}
				}
			}
		}
	}
	t.Log(moved, kinds)
	require.Greater(t, moved, 40)
	require.Len(t, kinds, 4)
}

func utf16LE(s string) []byte {
	out := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune(s)) {
		out = append(out, byte(u), byte(u>>8))
	}
	return out
}
