package flow

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/memo"
)

// A board that is another one under the same revision is told; the same board, another revision, or none, is not.
func TestSameRevision(t *testing.T) {
	d := newBench()
	d.panels, d.chain = d.panels[:1], d.chain[:1]
	p, set := d.open(t)
	p.Revision = "C"
	e := NewEngine(UsualBound())
	earlier := must(e.Build(t.Context(), p, set))
	require.Positive(t, earlier.Packs)
	before := func(path string) ([]byte, error) {
		for _, f := range earlier.Files {
			if f.Path == path {
				return f.Data, nil
			}
		}
		return nil, fs.ErrNotExist
	}
	require.Empty(t, e.Reissued(t.Context(), earlier, before))

	later := set
	later.Version += " and more"
	require.Empty(t, e.Reissued(t.Context(), must(e.Build(t.Context(), p, later)), before), "the program is another, the boards are the same")

	wider := p
	wider.Rules.Signal *= 2
	out := must(e.Build(t.Context(), wider, set))
	l := e.Reissued(t.Context(), out, before)
	require.Len(t, l, 1)
	require.Equal(t, "build-same-revision", l[0].Code)
	require.Contains(t, l[0].Text, "revision C")
	e.memory.Tallies()
	require.Equal(t, l, e.Reissued(t.Context(), out, before))
	require.Equal(t, []memo.Tally{{Stage: "reissue", Of: "dome", Held: 1}}, e.memory.Tallies(), "compared once")
	require.Contains(t, l[0].Advice, "revision: D")
	require.NotContains(t, string(out.Result.JSON()), "build-same-revision", "files hang on nothing that was there before")

	wider.Revision = "D"
	require.Empty(t, e.Reissued(t.Context(), must(e.Build(t.Context(), wider, set)), before))
	wider.Revision, earlier.Result.Revision = "", ""
	require.Empty(t, e.Reissued(t.Context(), must(e.Build(t.Context(), wider, set)), before))

	for was, is := range map[string]string{"A": "B", "9": "10", "Z": "", "b": "c", "spring": "", "-1": ""} {
		require.Equal(t, is, following(was), was)
	}
}
