package main

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// pictures of README.md are what the build of the example makes, so that they never show what is no longer so.
var pictures = []string{
	"mount/board-top.svg", "mount/board-bottom.svg", "camera/board-bottom.svg",
	"dome/sheet-face.svg", "dome/assembly.svg", "weather/board-top.svg", "dome/glow.png",
}

// TestPictures compares the committed pictures with those of a fresh build: SVGs byte by byte, PNGs pixel by pixel, since
// the compressor may change with a Go release. UPDATE_GOLDEN=1 writes them anew.
func TestPictures(t *testing.T) {
	const kept = "../../examples/observatory/pictures"
	dir := filepath.Join(t.TempDir(), "out")
	var out, errw bytes.Buffer
	require.Zero(t, run([]string{"build", "-o", dir, "../../examples/observatory"}, nil, &out, &errw), errw.String())
	for _, name := range pictures {
		got, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		golden := filepath.Join(kept, filepath.Dir(name)+"-"+filepath.Base(name))
		if os.Getenv("UPDATE_GOLDEN") != "" {
			require.NoError(t, os.MkdirAll(kept, 0o777))
			require.NoError(t, os.WriteFile(golden, got, 0o666))
		}
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		if filepath.Ext(name) == ".png" {
			g, err := png.Decode(bytes.NewReader(got))
			require.NoError(t, err)
			w, err := png.Decode(bytes.NewReader(want))
			require.NoError(t, err)
			require.Equal(t, w, g, "%s: run UPDATE_GOLDEN=1 go test -run Pictures ./cmd/lampblack and look at it", name)
			continue
		}
		require.True(t, bytes.Equal(want, got), "%s: run UPDATE_GOLDEN=1 go test -run Pictures ./cmd/lampblack and look at it", name)
	}
}
