package wires_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/panel/geom"
)

func nowhere(wires.Pin) (geom.Pt, bool) { return geom.Pt{}, false }

// Steps of IPC/WHMA-A-620 for lengths of cables, from memory.
func TestOver(t *testing.T) {
	for length, over := range map[float64]float64{50: 25, 300: 25, 310: 50, 1500: 50, 1510: 100, 3000: 100, 7500: 150, 10000: 500} {
		require.Equal(t, geom.MM(over), wires.Over(geom.MM(length)), length)
	}
}

// Both kinds of ends of the desk are told once, with the lengths of stripping that the list has; branch points and fuses only where there are any.
func TestNotes(t *testing.T) {
	c := desk()
	cuts := wires.Cuts(c, nowhere)
	made := wires.Makings(cuts)
	require.Len(t, made, 2)
	require.Contains(t, made[0], "Ferrule: strip 8 mm or 6 mm")
	require.Contains(t, made[1], "Crimp contact: strip 3 mm")
	all := strings.Join(wires.Notes(cuts, nil), "\n")
	for _, not := range []string{"branch point", "fuse", "No wire leads"} {
		require.NotContains(t, all, not)
	}
	c.Boards = append(c.Boards, led.Wiring{Panel: "c", Connectors: []led.Connector{{Ref: "J1", Role: led.In, Package: "wire-pads-2"}}})
	c.Chains = append(c.Chains, led.Chain{From: "a", Links: []led.Link{{Panel: "c", Feed: led.Feed{Wire: "0.5 mm2", Length: geom.MM(100)}}}})
	c.Chains[0].Guard.Fuse = 0.5
	cuts = wires.Cuts(c, nowhere)
	require.True(t, wires.Shared(cuts))
	require.Contains(t, wires.Makings(cuts)[2], "Soldered: strip 4 mm")
	all = strings.Join(wires.Notes(cuts, []string{"b J2 OUT"}), "\n")
	for _, want := range []string{"branch point", "A fuse stands", "No wire leads to b J2 OUT."} {
		require.Contains(t, all, want)
	}
	require.Equal(t, []string{"500 mA", "500 mA", ""}, []string{cuts[0].Fuse, cuts[1].Fuse, cuts[2].Fuse}) // the plus, that of night, and 0 V
	require.Equal(t, []int{1, 2, 3}, []int{cuts[0].Pin, cuts[1].Pin, cuts[2].Pin})
}
