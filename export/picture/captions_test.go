package picture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// Captions of boards stay on their page and clear of each other, whatever the board's name and size; what side is seen is
// told on all but the smallest.
func TestCaptionsFit(t *testing.T) {
	for _, name := range []string{"", "fan", "north-wall-irrigation", strings.Repeat("humidity-", 12)} {
		for _, w := range []float64{12, 30, 60, 88, 120, 300} {
			b := board.Board{Name: name, Outline: geom.Rect(geom.Box{Max: geom.PtMM(w, 40)})}
			for _, side := range geom.BothSides() {
				page := bare(nil, b, side, scene.CoatOf(""))
				captions(t, page)
				if w >= 30 {
					told := ""
					for _, q := range inks(page) {
						told += q.text + " "
					}
					require.Contains(t, told, map[geom.Side]string{geom.Top: "top", geom.Bottom: "from behind"}[side], "%s, %v mm", name, w)
				}
			}
			captions(t, assembly(nil, b))
			captions(t, assemblySheet(nil, b, geom.Bottom, Print{}))
		}
	}
}

// captions demands that all texts of a page that has some are in place.
func captions(t *testing.T, p scene.Page) {
	t.Helper()
	for _, q := range inks(p) {
		if q.text != "" {
			tidy(t, p)
			return
		}
	}
}
