package flow

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/bundle"
	"lampblack/export/exporttest"
	"lampblack/export/report"
)

// BenchmarkInspect judges a pack of 500 LEDs as others write it, without attributes, and as it is. Limit: 2 s.
func BenchmarkInspect(b *testing.B) {
	grid := exporttest.Grid(500)
	low, _ := packed(b, grid)
	whole := wholePack(b, "wall", low.Art, report.Pack{})
	files := map[string][]byte{}
	for _, f := range whole.files {
		files[f.Path] = f.Data
	}
	for _, c := range []struct {
		name string
		zip  []byte
	}{{"bare", zipped(foreign(b, files))}, {"own", bundle.Zip(nil, whole.files)}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				got, err := Inspect(context.Background(), "wall.zip", c.zip, fine(), "test", false)
				require.NoError(b, err)
				require.Empty(b, codesOf(got))
			}
		})
	}
}
