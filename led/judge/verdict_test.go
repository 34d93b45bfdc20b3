package judge_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/panel"
)

// A supply without an operating point, LEDs without strings, a supply below their forward voltage: no verdict is the verdict,
// with what it would take, and never "ok" since nothing is drawn.
func TestNoVerdictWithoutCurrents(t *testing.T) {
	dome := []panel.Panel{ledtest.Row("dome", 12)}
	plain := func(v part.Volt) led.Request {
		req := led.Usual()
		req.Supply, req.Rated = part.Window{Min: v, Nominal: v, Max: v}, 9
		return req
	}
	req := plain(12)
	req.SupplyOhms, req.Others = 1, []led.Load{{Name: "heater", Watts: 36}}
	c, l := ledtest.Whole(dome, req)
	f, ok := ledtest.Find(l, "led-no-operating-point", "")
	require.True(t, ok)
	require.Equal(t, led.None, c.Source.Verdict)
	// 24 mA in three strings of four, which light at 8.6 V, beside 36 W behind 1 ohm: 8.6 V + 0.024 V + 36 W / 8.6 V · 1 ohm, and
	// 5 % more. The 12.6 V that hold the heater alone would leave 6 V, at which no string lights.
	require.Contains(t, c.Source.Sentence(), "a supply of at least 13.4 V")
	require.Contains(t, f.Advice, c.Source.Sentence())
	need := c.Source.Need
	for _, change := range []func(r *led.Request){
		func(r *led.Request) { r.Supply = part.Window{Min: need.Volts, Nominal: need.Volts, Max: need.Volts} },
		func(r *led.Request) { r.SupplyOhms = need.Ohms },
		func(r *led.Request) { r.Others = []led.Load{{Name: "heater", Watts: need.Watts}} },
	} {
		r := req
		change(&r)
		c, l = ledtest.Whole(dome, r)
		require.True(t, c.Solved, "%v", l)
		require.Equal(t, led.OK, c.Source.Verdict, "%v", l)
	}

	c, l = ledtest.Whole(dome, plain(1.9))
	_, ok = ledtest.Find(l, "led-supply-below-vf", "dome")
	require.True(t, ok)
	require.Equal(t, led.None, c.Source.Verdict)
	require.Contains(t, c.Source.Sentence(), "panel dome has LEDs that no string could be made for")
	req = plain(c.Source.Need.Volts)
	c, l = ledtest.Whole(dome, req)
	require.False(t, l.HasErrors(), "%v", l)
	require.Equal(t, led.OK, c.Source.Verdict)

	// A feed that takes nearly everything: the strings of the far panel drop out, and the near one's are no whole console.
	req = plain(5)
	req.Wire, _ = part.ParseWire("0.22 mm2")
	far := req.Defaults
	far.Panel, far.FeedLength, far.Current = "far", 20e9, 0.020
	req.Panels = []led.Settings{far}
	c, l = ledtest.Whole([]panel.Panel{ledtest.Row("dome", 12), ledtest.Row("far", 60)}, req)
	_, ok = ledtest.Find(l, "led-feed-drop", "far")
	require.True(t, ok, "%v", l)
	require.True(t, c.Solved)
	require.Equal(t, led.None, c.Source.Verdict)
	require.Equal(t, []string{"far"}, c.Source.Need.Unlit)
	v := c.Source.Need.Volts
	require.Greater(t, v, part.Volt(5))
	req.Supply = part.Window{Min: v, Nominal: v, Max: v}
	c, _ = ledtest.Whole([]panel.Panel{ledtest.Row("dome", 12), ledtest.Row("far", 60)}, req)
	require.NotEqual(t, led.None, c.Source.Verdict, c.Source.Sentence())
}
