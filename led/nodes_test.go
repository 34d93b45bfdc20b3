package led_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/ledtest"
	"lampblack/panel"
)

// LEDs of 2 V each: from 0 V up each anode is 2 V above the next one's, and the rest of what arrives lies across the resistor.
func TestNodes(t *testing.T) {
	req := led.Usual()
	req.Defaults.Kind = ledtest.Stiff()
	c, l := design.Circuit(context.Background(), []panel.Panel{ledtest.Row("dome", 8)}, req)
	require.False(t, l.HasErrors(), "%v", l)
	w := c.Boards[0]
	nodes := c.Source.Nodes(w)
	require.Len(t, nodes, len(w.Strings))
	for i, s := range w.Strings {
		require.Len(t, nodes[i], len(s.LEDs))
		for k := range s.LEDs {
			require.InDelta(t, 2*(len(s.LEDs)-k), float64(nodes[i][k]), 0.05*float64(len(s.LEDs)-k))
		}
		drop := float64(s.Nominal) * float64(w.Resistors[s.Resistor].Ohms)
		require.InDelta(t, float64(c.Chains[0].Links[0].Volts), float64(nodes[i][0])+drop, 0.01, "string %d", i+1)
	}
}
