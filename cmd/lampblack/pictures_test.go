package main

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// pictures of README.md are what the build of the example makes, so that they never show what is no longer so.
var pictures = []string{
	"mount/board-top.svg", "mount/board-bottom.svg", "camera/board-bottom.svg",
	"dome/sheets.svg", "dome/assembly.svg", "weather/board-top.svg", "dome/side.svg", "dome/glow.png", "nests.svg",
}

// TestPictures compares the committed pictures with those of a fresh build: SVGs byte by byte, PNGs pixel by pixel
// and to within 2 of 255, since the compressor may change with a Go release and the light's last bits with the processor. UPDATE_GOLDEN=1 writes them anew.
func TestPictures(t *testing.T) {
	const kept = "../../examples/observatory/pictures"
	dir := filepath.Join(t.TempDir(), "out")
	var out, errw bytes.Buffer
	require.Zero(t, run([]string{"build", "-o", dir, "../../examples/observatory"}, nil, &out, &errw), errw.String())
	for _, name := range pictures {
		samePicture(t, filepath.Join(kept, strings.ReplaceAll(name, "/", "-")), filepath.Join(dir, name), "Pictures")
	}
	readmeTellsCost(t, out.String())
}

// readmeTellsCost compares README's table of what the example costs with what its build printed; UPDATE_GOLDEN=1 writes it.
func readmeTellsCost(t *testing.T, printed string) {
	t.Helper()
	name := filepath.Join("..", "..", "README.md")
	src, err := os.ReadFile(name)
	require.NoError(t, err)
	_, printed, ok := strings.Cut(printed, "\nCost\n")
	require.True(t, ok, "the example has prices")
	printed, _, _ = strings.Cut(printed, "\n\n")
	const head, foot = "<!-- cost of the example -->\n```\n", "```\n<!-- end of cost -->"
	before, rest, ok := strings.Cut(string(src), head)
	require.True(t, ok)
	shown, after, ok := strings.Cut(rest, foot)
	require.True(t, ok)
	want := "Cost\n" + printed + "\n"
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(name, []byte(before+head+want+foot+after), 0o644))
		shown = want
	}
	require.Equal(t, want, shown)
}

// samePicture compares a picture that is kept with the one that a test of that name made; UPDATE_GOLDEN=1 keeps it.
func samePicture(t *testing.T, kept, made, test string) {
	t.Helper()
	got, err := os.ReadFile(made)
	require.NoError(t, err)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.MkdirAll(filepath.Dir(kept), 0o777))
		require.NoError(t, os.WriteFile(kept, got, 0o666))
	}
	want, err := os.ReadFile(kept)
	require.NoError(t, err)
	advice := made + ": run UPDATE_GOLDEN=1 go test -run " + test + " ./cmd/lampblack and look at it"
	if filepath.Ext(made) == ".png" {
		require.LessOrEqual(t, unlike(t, want, got), 2, advice)
		return
	}
	require.True(t, bytes.Equal(want, got), advice)
}

// unlike returns the greatest difference of a colour value, of 255, between two PNGs of the same size.
func unlike(t *testing.T, a, b []byte) int {
	x, err := png.Decode(bytes.NewReader(a))
	require.NoError(t, err)
	y, err := png.Decode(bytes.NewReader(b))
	require.NoError(t, err)
	require.Equal(t, x.Bounds(), y.Bounds())
	most := 0
	box := x.Bounds()
	for j := box.Min.Y; j < box.Max.Y; j++ {
		for i := box.Min.X; i < box.Max.X; i++ {
			r, g, bl, _ := x.At(i, j).RGBA()
			s, u, v, _ := y.At(i, j).RGBA()
			for _, d := range [3]int{int(r) - int(s), int(g) - int(u), int(bl) - int(v)} {
				most = max(most, max(d, -d)>>8)
			}
		}
	}
	return most
}
