package picture

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/export/scene"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// labelledBoxes returns where groups of a page lie, by their labels.
func labelledBoxes(g *scene.Group, to map[string]geom.Box) {
	for _, it := range g.Items {
		if sub, ok := it.(*scene.Group); ok {
			box := geom.EmptyBox()
			for _, p := range sub.Items {
				if p, ok := p.(*scene.Path); ok {
					for _, c := range p.Shapes {
						box = box.Union(c.Box())
					}
				}
			}
			if sub.Label != "" {
				to[sub.Label] = box
			}
			labelledBoxes(sub, to)
		}
	}
}

// The longer lead is the anode's (references.md section 18, from memory there) and lies at the pad that the footprint calls so, at the
// same distance from the middle; the same for the mark of a chip at its cathode. All turns of the part give one picture.
func TestPolarityInTheHandIsThatOnTheBoard(t *testing.T) {
	seen := 0
	for _, k := range part.Kinds() {
		fp, ok := footprint.Lookup(k.Package)
		require.True(t, ok, k.Package)
		p := board.Part{Ref: "D1", Kind: board.LED, Value: k.Name, Footprint: k.Package, Height: fp.Height, Body: fp.Body, Pads: fp.Pads}
		at := map[string]geom.Box{}
		page := Polarity(nil, Lamp{Part: p, Lens: fp.Side.Lens, Above: geom.MM(1)})
		labelledBoxes(&page.Body, at)
		anode, cathode := at["pad anode"], at["pad cathode"]
		require.Greater(t, anode.Centre().X, cathode.Centre().X, k.Name)
		if long, ok := at["lead anode"]; ok {
			short := at["lead cathode"]
			require.Greater(t, long.H(), short.H(), k.Name)
			require.Equal(t, anode.Centre().X-padsX, long.Centre().X-handX, k.Name)
			require.Equal(t, cathode.Centre().X-padsX, short.Centre().X-handX, k.Name)
			for _, q := range p.Pads {
				require.Equal(t, q.Function == "A", q.Shape == board.Round, "%s: round is plus", k.Name)
			}
		} else {
			require.Less(t, at["mark cathode"].Centre().X, geom.Nm(handX), k.Name)
			require.Less(t, cathode.Centre().X, geom.Nm(padsX), k.Name)
		}
		// Nothing is drawn above the words over the drawings, nor below the page, whatever the lamp's height.
		for _, above := range []float64{0, 0.4, 9} {
			page := Polarity(nil, Lamp{Part: p, Lens: fp.Side.Lens, Above: geom.MM(above)})
			box := geom.EmptyBox()
			for _, it := range page.Body.Items {
				if p, ok := it.(*scene.Path); ok {
					for _, c := range p.Shapes {
						box = box.Union(c.Box())
					}
				}
			}
			require.GreaterOrEqual(t, box.Min.Y, geom.Nm(lampHead), k.Name)
			require.LessOrEqual(t, box.Max.Y, page.H, k.Name)
		}
		seen++
	}
	require.Greater(t, seen, 10)
}
