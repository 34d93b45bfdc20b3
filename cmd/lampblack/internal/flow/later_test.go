package flow

import (
	"path"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/result"
)

// Pictures and papers can wait: what is ordered and cut is there without them, byte for byte, and the whole after it takes their stages alone.
func TestPapersLater(t *testing.T) {
	d := newBench()
	d.order, d.panels, d.chain = true, d.panels[:2], d.chain[:2]
	p, set := d.open(t)
	whole := must(Build(t.Context(), p, set))
	files := map[string]string{}
	for _, f := range whole.Files {
		files[f.Path] = string(f.Data)
	}
	e := NewEngine(UsualBound())
	set.Later = true
	steps, of := 0, 0
	set.Step = func(done, total int, _ string) { steps, of = max(steps, done), total }
	bare := must(e.Build(t.Context(), p, set))
	require.Equal(t, of, steps, "progress comes to its end")
	require.Equal(t, whole.Findings, bare.Findings)
	require.Equal(t, whole.Packs, bare.Packs)
	has := map[string]bool{}
	for _, f := range bare.Files {
		if has[f.Path] = true; f.Path != string(result.ResultJSON) { // which lists the files
			require.Equal(t, files[f.Path], string(f.Data), f.Path)
		}
	}
	for at := range files {
		switch ext := path.Ext(at); {
		case ext == ".gbr", ext == ".drl", ext == ".zip", ext == ".csv", ext == ".dxf":
			require.True(t, has[at], "%s is ordered, cut or counted by", at)
		case ext == ".png", ext == ".pdf", ext == ".glb", ext == ".html":
			require.False(t, has[at], "%s is looked at or read", at)
		}
	}
	e.memory.Tallies()
	set.Later, set.Step = false, nil
	same(t, whole, must(e.Build(t.Context(), p, set)), "after one without papers")
	sights := map[string]bool{}
	for _, s := range append(sightStages, "laser", "guide", "console", "console solid", "report") {
		sights[s] = true
	}
	for _, n := range e.memory.Tallies() {
		require.True(t, n.Ran == 0 || sights[n.Stage], "%s of %s is made again", n.Stage, n.Of)
	}
}
