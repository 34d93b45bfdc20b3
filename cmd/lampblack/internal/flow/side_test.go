package flow

import (
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
)

// A panel whose LEDs are placed and whose board has a spacer sheet goes every way that there is from a board to files, side by side, and
// each writes to what is its own: on many cores the outcome is that on one, file by file in the same order, and so is what memory gives.
// That is so quick that ways meet which else are far apart.
func TestSideBySide(t *testing.T) {
	d := newBench()
	d.panels, d.chain = d.panels[:1], d.chain[:1]
	d.panels[0].leds, d.panels[0].text = nil, "DOME"
	_, set := d.open(t)
	p, l := project.Read([]byte(strings.Replace(d.yaml(), "defaults: {", "defaults: {spacer_sheet: 3 mm, ", 1)), "bench/"+project.FileName)
	require.NoError(t, l.Err())
	build := func(cores int, e *Engine) Outcome {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		return must(e.Build(t.Context(), p, set))
	}
	e := NewEngine(UsualBound())
	many := build(8, e)
	require.Equal(t, 1, many.Packs, "%v", many.Findings)
	var written []string
	for _, f := range many.Files {
		written = append(written, f.Path)
	}
	for _, want := range []string{"dome/dome-leds.dxf", "dome/sheet-spacer.svg", "dome/board-top.svg", "dome/panel.pdf"} {
		require.Contains(t, written, want)
	}
	var again [20]Outcome
	for i := range again {
		again[i] = build(8, e)
	}
	for _, one := range again {
		same(t, many, one, "from memory")
	}
	if !testing.Short() {
		same(t, build(1, NewEngine(UsualBound())), many, "on many cores")
	}
	require.Empty(t, e.memory.Altered())
}
