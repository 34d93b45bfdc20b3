package picture

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/export/wires"
	"lampblack/panel/geom"
)

// cutsOf is the wires of the console of wiring_test.go: a chain fed at both ends, a branch at mount, a chain of its own.
func cutsOf(t *testing.T) []wires.Cut {
	t.Helper()
	return wires.Cuts(console(t), func(wires.Pin) (geom.Pt, bool) { return geom.Pt{}, false })
}

// words are all that is written on a page.
func words(items []scene.Item, put func(*scene.Glyphs)) {
	for _, it := range items {
		switch it := it.(type) {
		case *scene.Group:
			words(it.Items, put)
		case *scene.Glyphs:
			put(it)
		}
	}
}

// Each wire has its name at both ends, each feed its length, and each connector its name as often as feeds start or end there.
func TestHarnessShowsEachWire(t *testing.T) {
	cuts := cutsOf(t)
	said := map[string]int{}
	for _, p := range Harness(cuts, geom.MM(200)) {
		require.LessOrEqual(t, p.H, geom.MM(200))
		words(p.Body.Items, func(g *scene.Glyphs) { said[g.Text]++ })
	}
	for _, r := range wires.Table(cuts, 1).Rows {
		require.Equal(t, 2, said[r[0]+" "+r[6]], "%v", r)
	}
	// By hand: supply to mount, mount to dome, dome to focus, the way back of 900 mm, mount to weather, supply to flat-lamp.
	require.Equal(t, 1, said["900 mm +50/–0"])
	require.Equal(t, 5, said["300 mm +25/–0"])
	require.Equal(t, 1, said["mount J2 OUT"], "one connector, though two feeds start there")
	require.Equal(t, 1, said["focus J2 OUT"], "where the way back ends")
	require.Equal(t, 3, said["supply"])
	for _, n := range []string{"feed 1", "feed 6", "1", "3"} {
		require.NotZero(t, said[n], n)
	}
}

// Black on white, whatever colours the wires have, and no word on another or off the page.
func TestHarnessCanBeRead(t *testing.T) {
	cuts := cutsOf(t)
	svg := string(HarnessSheet(cuts, wires.Notes(cuts, []string{"flat-lamp J2 OUT"}), "Ridge observatory desk", "B"))
	for _, c := range regexp.MustCompile(`#[0-9a-fA-F]{3,6}`).FindAllString(svg, -1) {
		require.Contains(t, []string{ink.String(), white.String(), "#fff"}, c)
	}
	for _, want := range []string{"revision B", "No wire leads to flat-lamp J2 OUT.", "branch point"} {
		require.Contains(t, strings.ReplaceAll(svg, "\n", " "), want)
	}
	var set typeset.Setter
	for _, p := range Harness(cuts, geom.MM(250)) {
		var boxes []geom.Box
		words(p.Body.Items, func(g *scene.Glyphs) {
			box := geom.Box{Min: geom.Pt{X: g.At.X, Y: g.At.Y - g.Height}, Max: geom.Pt{X: g.At.X + set.Wide(g.Text, g.Height), Y: g.At.Y}}
			require.True(t, box.Min.X >= 0 && box.Max.X <= p.W && box.Min.Y >= 0 && box.Max.Y <= p.H, g.Text)
			for _, o := range boxes {
				require.False(t, box.Touches(o), "%s lies on another", g.Text)
			}
			boxes = append(boxes, box)
		})
	}
}
