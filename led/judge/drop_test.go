package judge_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// What loses the voltage is blamed for it, by its share: Ohm's law by hand, with 72 LEDs in 18 strings of 20 mA, 0.36 A in all.
func TestWhatLosesIsBlamed(t *testing.T) {
	build := func(change func(r *led.Request)) (led.Circuit, diag.List) {
		req := led.Usual()
		req.Defaults.Kind, req.Defaults.Tolerance, req.Defaults.StringLength = ledtest.Stiff(), 0, 4
		req.Defaults.Series, req.Defaults.ResistorPackage = part.E96, "axial-10.16"
		req.Defaults.FeedLength, req.Defaults.Current = 0, 0.020
		req.ContactOhms, req.HolderOhms, req.FuseOhms, req.SwitchOhms = 0, 0, 0, 0
		change(&req)
		return ledtest.Whole([]panel.Panel{ledtest.Row("dome", 72)}, req)
	}
	for name, c := range map[string]struct {
		change       func(r *led.Request)
		ohms         float64 // in the way, of both conductors
		part, advice string
		code         string
	}{
		"supply":   {func(r *led.Request) { r.SupplyOhms = 5 }, 5, led.InSupply, "holds its voltage", "led-supply-drop"},
		"fuse":     {func(r *led.Request) { r.FuseOhms = 5 }, 5, led.InFuse, "larger fuse", "led-feed-drop"},
		"switch":   {func(r *led.Request) { r.SwitchOhms = 5 }, 5, led.InSwitch, "switch whose contacts", "led-feed-drop"},
		"contacts": {func(r *led.Request) { r.ContactOhms = 1.25 }, 5, led.InContacts, "less contact resistance", "led-feed-drop"},
		"wires":    {func(r *led.Request) { r.Defaults.FeedLength = 64_102_564_103 }, 5, led.InWires, "use 1.5 mm2", "led-feed-drop"},
		"board":    {func(r *led.Request) { r.Defaults.ThroughOhms = led.ThroughOhms{Plus: 5, Minus: 5} }, 5, led.InBoards, "thicker copper", "led-feed-drop"},
	} {
		got, l := build(c.change)
		link := got.Chains[0].Links[0]
		require.InEpsilon(t, c.ohms*float64(link.Segment), float64(link.Lost.Total()), 1e-6, name)
		require.InDelta(t, 12, float64(link.Lost.Total()+link.Volts), 1e-9, "all that is missing is accounted for")
		require.Len(t, link.Lost.Parts(), 1, "%s: %v", name, link.Lost)
		require.Equal(t, c.part, link.Lost.Parts()[0].Where, name)
		f, ok := ledtest.Find(l, c.code, "dome")
		require.True(t, ok, "%s: %v", name, l)
		require.Contains(t, f.Text, c.part+" (100 %)")
		require.Contains(t, f.Advice, c.advice, name)
	}
	// Nearly all inside the supply: the wires are told with their share, and not blamed.
	_, l := build(func(r *led.Request) { r.SupplyOhms, r.Defaults.FeedLength = 9, 5e9 })
	f, ok := ledtest.Find(l, "led-supply-drop", "dome")
	require.True(t, ok)
	require.Regexp(t, `lost on the way: 2\.\d+ V inside the supply \(96 %\), 0\.\d+ V in the wires \(4 %\)`, f.Text)
	require.NotContains(t, f.Advice, "thicker")
}

// The fuse is that of the currents without it and then loses its share; one that is asked for is taken and judged.
func TestFuseIsInTheWay(t *testing.T) {
	req := led.Usual()
	dome := []panel.Panel{ledtest.Row("dome", 60)}
	c, _ := ledtest.Whole(dome, req)
	g := c.Chains[0].Guard
	require.Equal(t, led.Guard{Fuse: 0.5, FuseOhms: 0.270 + 0.010, SwitchOhms: 0.020}, g)
	k := c.Chains[0].Links[0]
	require.InEpsilon(t, 0.28*float64(k.Segment), float64(k.Lost.Fuse), 1e-9)
	require.InEpsilon(t, 0.02*float64(k.Segment), float64(k.Lost.Switch), 1e-9)
	require.Greater(t, k.Lost.Fuse, k.Lost.Wires+k.Lost.Contacts, "a small fuse costs more than a short feed")
	req.FuseOhms, req.HolderOhms, req.SwitchOhms = 0, 0, 0
	bare, _ := ledtest.Whole(dome, req)
	require.Equal(t, part.Amp(0.5), bare.Tables().Chains[0].Fuse)
	require.InDelta(t, 0, float64(bare.Chains[0].Links[0].Lost.Fuse), 1e-12)
	// Of a project's own.
	req = led.Usual()
	req.Fuse = 0.1
	c, l := ledtest.Whole(dome, req)
	require.Equal(t, part.Amp(0.1), c.Chains[0].Guard.Fuse)
	require.InDelta(t, 3.9+0.01, float64(c.Chains[0].Guard.FuseOhms), 1e-12)
	f, ok := ledtest.Find(l, "led-fuse", "")
	require.True(t, ok)
	require.Contains(t, f.Text, "the fuse of 100 mA blows")
	require.Contains(t, f.Advice, "a fuse of 500 mA would be taken")
	req.Fuse = 6.3
	_, l = ledtest.Whole(dome, req)
	f, _ = ledtest.Find(l, "led-fuse", "")
	require.Contains(t, f.Text, "does not protect")
}

// A wire that is too thin is an error that stops no board: the board is right with another wire.
func TestWireStopsNoBoard(t *testing.T) {
	req := led.Usual()
	req.Wire = part.AWGWire(34)
	_, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 60)}, req)
	f, ok := ledtest.Find(l, "led-wire-overload", "dome")
	require.True(t, ok)
	require.Equal(t, diag.Error, f.Severity)
	require.True(t, f.Spares)
}

// The voltage at a board is that of the conductors that have LEDs there, and the mean of dimming is not the peak.
func TestGroupsOfABoard(t *testing.T) {
	req := led.Usual()
	req.Rated = 0.3
	req.Groups = []led.Dimmed{{Name: "night", Panels: []string{"far"}, Duty: 0.2}}
	req.Defaults.FeedLength = 3e9
	panels := []panel.Panel{ledtest.Row("near", 12), ledtest.Row("far", 140)}
	c, l := ledtest.Whole(panels, req)
	near, far := c.Chains[0].Links[0], c.Chains[0].Links[1]
	require.Len(t, c.Boards[0].Conductors(), 2)
	// The near board's own conductor carries its three strings alone; that of the group, which merely passes, carries thirty-five.
	require.Less(t, float64(near.Lost.Wires), float64(far.Lost.Wires)/2)
	require.InDelta(t, 12, float64(near.Volts+near.Lost.Total()), 1e-9)
	require.InDelta(t, 12, float64(far.Volts+far.Lost.Total()), 1e-9)
	s := c.Source
	own := float64(c.Boards[0].Draws().Typical)
	require.InEpsilon(t, own+float64(c.Boards[1].Draws().Typical), float64(s.Peak), 1e-9)
	require.InEpsilon(t, own+0.2*float64(c.Boards[1].Draws().Typical), float64(s.Typical), 1e-9)
	require.Less(t, s.Typical, s.Rated)
	require.Greater(t, s.Peak, s.Rated)
	f, ok := ledtest.Find(l, "led-supply-over", "")
	require.True(t, ok)
	require.Equal(t, diag.Error, f.Severity, "it limits at every peak")
	require.Contains(t, f.Text, "in the mean of dimming")
	require.True(t, f.Spares)
}
