package led_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/panel"
)

func TestTables(t *testing.T) {
	req := led.Usual()
	req.Others = []led.Load{{Name: "dew heater", Amps: 0.6}}
	c, _ := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 13), ledtest.Row("mount", 4)}, req)
	tab := c.Tables()
	require.True(t, strings.HasPrefix(tab.Verdict, "The supply of 2 A carries the console well"), tab.Verdict)
	require.Contains(t, tab.Verdict, "600 mA for other loads")
	require.Equal(t, part.Amp(0.5), tab.Chains[0].Fuse)
	s := tab.Chains[0].Segments
	require.Len(t, s, 2)
	require.InDelta(t, float64(s[0].Amps), float64(s[0].BoardAmps+s[1].Amps), 1e-12)
	require.InDelta(t, 12, float64(s[1].Volts+s[1].Lost), 1e-12)
	require.Equal(t, 13, s[0].LEDs)
	require.Equal(t, "D1-D4", tab.Boards[0].Strings[0].LEDs)
	require.Equal(t, 3, tab.Boards[0].Strings[3].Count)
}
