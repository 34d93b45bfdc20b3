package design_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/panel"
)

// Each supply conductor has its own currents: on a board those of its own strings, in a feed those of all strings behind it
// (Kirchhoff), and together what the feed carries. Fed at both ends, what comes from behind is missing in the feed, and at
// worst either end alone carries everything.
func TestCurrentsOfConductors(t *testing.T) {
	panels := []panel.Panel{ledtest.Row("a", 8), ledtest.Row("b", 12), ledtest.Row("c", 4)}
	req := led.Usual()
	req.Defaults.FeedLength *= 4
	red := req.Defaults
	white := red
	white.Panel, white.Kind = "b", mustKind(t, "white-3mm")
	req.Panels = []led.Settings{white}
	req.Groups = []led.Dimmed{{Name: "red", Kinds: []string{"red-3mm"}, Duty: 1}, {Name: "white", Kinds: []string{"white-3mm"}, Duty: 0.3}}
	for _, ring := range []bool{false, true} {
		req.Chains = []led.Run{{Panels: []string{"a", "b", "c"}, BothEnds: ring, BackLength: red.FeedLength}}
		c, l := ledtest.Whole(panels, req)
		require.False(t, l.HasErrors(), "%v", l)
		own := make([][2]part.Amp, len(panels)) // by board and conductor, of the strings
		for b, w := range c.Boards {
			require.Len(t, w.Drawn, 2)
			for s, x := range w.Strings {
				own[b][w.FedBy(led.StringID(s))] += x.Nominal
			}
			for g := range own[b] {
				require.InDelta(t, float64(own[b][g]), float64(w.Drawn[g].Typical), 1e-9)
				require.GreaterOrEqual(t, w.Drawn[g].Worst, w.Drawn[g].Typical)
			}
		}
		require.Zero(t, c.Boards[0].Drawn[1], "board a has no white LED")
		require.Zero(t, c.Boards[1].Drawn[0], "board b has no red one")
		links := c.Chains[0].Links
		for j, k := range links {
			require.InDelta(t, float64(k.Segment), float64(k.Carried[0].Typical+k.Carried[1].Typical), 1e-9)
			for g := range k.Carried {
				behind, most, all := part.Amp(0), part.Amp(0), part.Amp(0)
				for b := range panels {
					if all += c.Boards[b].Drawn[g].Worst; b >= j {
						behind, most = behind+own[b][g], most+c.Boards[b].Drawn[g].Worst
					}
				}
				if ring {
					behind -= c.Chains[0].BackCarried[g].Typical
					most = max(most, all-most)
				}
				require.InDelta(t, float64(behind), float64(k.Carried[g].Typical), 1e-7, "ring %v, feed %d, conductor %d", ring, j, g)
				require.InDelta(t, float64(most), float64(k.Carried[g].Worst), 1e-9, "ring %v, feed %d, conductor %d", ring, j, g)
			}
		}
		if ring {
			back := c.Chains[0].BackCarried
			require.InDelta(t, float64(c.Chains[0].BackAmps), float64(back[0].Typical+back[1].Typical), 1e-9)
			require.Positive(t, back[0].Typical)
			require.Positive(t, back[1].Typical)
		}
	}
}

func mustKind(t *testing.T, name string) part.LED {
	k, ok := part.Find(name)
	require.True(t, ok, name)
	return k
}
