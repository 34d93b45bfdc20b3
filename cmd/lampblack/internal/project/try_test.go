package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel/geom"
)

// What can be tried takes its own example, and is refused beyond the bounds of its key.
func TestTries(t *testing.T) {
	panels := 0
	for _, c := range Tries() {
		p, _ := Bare([]string{"dome.dxf"})
		before := p
		before.Panels = []Panel{p.Panels[0]}
		if c.Panel {
			panels++
			require.NoError(t, p.Panels[0].Try(c.Key, c.Example))
			require.Error(t, p.Try(c.Key, c.Example))
		} else {
			require.NoError(t, p.Try(c.Key, c.Example))
			require.Error(t, p.Panels[0].Try(c.Key, c.Example))
		}
		require.NotEqual(t, before, p, c.Key)
	}
	require.Equal(t, 5, panels)
	require.Len(t, Tries(), 9)

	p, _ := Bare([]string{"dome.dxf"})
	p.Supply.Battery = Battery{Chemistry: "li-ion", Cells: 3}
	require.NoError(t, p.Try("volts", "24V"))
	require.Equal(t, part.Window{Min: 24, Nominal: 24, Max: 24}, p.Supply.Volts)
	require.Zero(t, p.Supply.Battery)
	require.NoError(t, p.Panels[0].Try("feed_length", "500mm"))
	require.Equal(t, geom.MM(500), p.Panels[0].FeedLength)
	require.EqualError(t, p.Try("volts", "230"), "230 is more than 60 V; write volts: 12 V, or 11.1 V .. 12.6 V")
	require.ErrorContains(t, p.Panels[0].Try("current", "lots"), "is not a current")
	require.Error(t, p.Try("kerf", "1 mm"))
	require.Error(t, p.Panels[0].Try("drawing", "a.dxf"))
}
