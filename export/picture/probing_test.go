package picture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// written is every text of a page.
func written(g *scene.Group) (out []string) {
	for _, it := range g.Items {
		switch it := it.(type) {
		case *scene.Group:
			out = append(out, written(it)...)
		case *scene.Glyphs:
			out = append(out, it.Text)
		}
	}
	return out
}

// A point to touch is shown on the side of the board where there is a pad: leads are soldered behind, flat LEDs have no copper there.
func TestProbingShowsWhatIsOnThatSide(t *testing.T) {
	b := fed(t, "header-2.54")
	f, ok := footprint.Lookup("plcc2")
	require.True(t, ok)
	b.Parts = append(b.Parts, f.Place("D90", board.LED, geom.PtMM(30, 30), 0, geom.Top, geom.MM(0.05)))
	leaded := ""
	for _, p := range b.Parts {
		if p.Kind == board.LED && p.Pads[0].Through {
			leaded = p.Ref
			break
		}
	}
	require.NotEmpty(t, leaded)
	at := []Strung{{Resistor: "R1", Supply: 12, LEDs: []Tapped{{leaded, 1.9}}}, {Resistor: "R2", Supply: 12, LEDs: []Tapped{{"D90", 3.1}}}}
	behind, front := Probing(nil, b, geom.Bottom, at), Probing(nil, b, geom.Top, at)
	require.Contains(t, written(&behind.Body), leaded+" 1.9")
	require.NotContains(t, strings.Join(written(&behind.Body), "|"), "3.1")
	require.Contains(t, written(&front.Body), "D90 3.1")
	require.NotContains(t, strings.Join(written(&front.Body), "|"), "1.9")
	for _, p := range []scene.Page{behind, front} {
		require.Contains(t, written(&p.Body), "J1 IN, 12.0 V")
	}
}
