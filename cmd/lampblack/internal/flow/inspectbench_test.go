package flow

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board/boardtest/made"
)

// BenchmarkInspect judges the pack of a board of 500 LEDs, as this program wrote it, and as others would have. Aim: 2 s each.
func BenchmarkInspect(b *testing.B) {
	big, _, l := made.Board(3, 500)
	require.NoError(b, l.Err())
	_, out := packed(b, big)
	files := map[string][]byte{}
	for _, f := range fabOf(out.Files) {
		files[f.Path] = f.Data
	}
	for _, c := range []struct {
		name string
		pack []byte
	}{{"own", zipped(files)}, {"foreign", zipped(foreign(b, files))}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				got := must(Inspect(context.Background(), "x.zip", c.pack, fine(), "test", false))
				require.False(b, got.List.HasErrors(), "%v", got.Findings)
			}
			b.ReportMetric(float64(len(big.Parts)), "parts")
		})
	}
}
