package group_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/group"
	"lampblack/led/ledtest"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Hops tells a bound that the strings never beat.
func TestHopsBound(t *testing.T) {
	p := ledtest.Row("dome", 37)
	p.LEDs[5].Kind = "white-3mm"
	p.LEDs[25].Kind = "white-3mm"
	c, l := ledtest.Whole([]panel.Panel{p}, led.Usual())
	require.False(t, l.HasErrors())
	length, bound := group.Hops(c.Boards[0], func(h int) geom.Pt { return p.LEDs[h].At })
	require.GreaterOrEqual(t, length, bound)
	require.Less(t, length.MM(), 1.6*bound.MM())
}
