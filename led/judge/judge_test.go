package judge_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/judge"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// The load by hand: textbook LEDs of exactly 2 V at 20 mA, four in series at 12 V with no tolerance, no feed and no window: every
// string has (12 V - 8 V)/20 mA = 200 Ω, a value of E24, and draws 20 mA.
func TestFuseOfAHandComputedLoad(t *testing.T) {
	req := led.Usual()
	req.Defaults.Kind = ledtest.Stiff()
	req.Defaults.Tolerance = 0
	req.Defaults.StringLength = 4
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	req.FuseOhms, req.HolderOhms, req.SwitchOhms = 0, 0, 0
	req.Defaults.Current = 0.020
	req.Defaults.ResistorPackage = "axial-10.16"
	req.Ambient = led.Celsius{Min: part.VfCelsius, Nominal: part.VfCelsius, Max: part.VfCelsius}
	for _, c := range []struct {
		leds int
		want part.Amp
	}{
		{18 * 4, 0.5},  // 0.36 A over 0.75 is 0.48 A
		{19 * 4, 0.63}, // 0.38 A: 0.507 A
		{23 * 4, 0.63}, // 0.46 A: 0.613 A
		{24 * 4, 0.8},  // 0.48 A: 0.640 A
		{29 * 4, 0.8},  // 0.58 A: 0.773 A
		{31 * 4, 1},    // 0.62 A: 0.827 A
	} {
		got, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", c.leds)}, req)
		require.False(t, l.HasErrors(), "%v", l)
		require.InEpsilon(t, float64(c.leds)/4*0.020, float64(got.Chains[0].Links[0].SegmentWorst), 1e-3)
		require.Equal(t, c.want, got.Tables().Chains[0].Fuse, "%d LEDs", c.leds)
		f, ok := ledtest.Find(l, "led-fuse", "")
		require.True(t, ok)
		require.Contains(t, f.Text, fmt.Sprintf("a fuse of %v (IEC 60127, slow)", c.want))
		// What is said of the choice is true: above the load, not above what the wires carry.
		require.Contains(t, f.Advice, fmt.Sprintf("takes %v at worst", got.Chains[0].Links[0].SegmentWorst.Rounded()))
		require.Contains(t, f.Advice, fmt.Sprintf("stand %v", min(req.ConnectorRated, got.Chains[0].Links[0].Feed.Rated)))
		if c.want == 0.5 {
			require.Contains(t, f.Advice, "smaller fuses lose much voltage")
		} else {
			require.Contains(t, f.Advice, "no more than 75 % of its rating")
		}
	}
}

// shares judges two panels whose LEDs were asked to have one current and got another.
func shares(t *testing.T, asked map[string]part.Amp, got map[string]part.Amp) diag.List {
	t.Helper()
	req := led.Usual()
	c := led.Circuit{Solved: true}
	for _, name := range []string{"dome", "mount"} {
		s := req.Defaults
		s.Panel, s.Current = name, asked[name]
		req.Panels = append(req.Panels, s)
		c.Boards = append(c.Boards, led.Wiring{
			Panel: name, LEDs: []led.LED{{Kind: ledtest.Stiff()}}, Resistors: []led.Resistor{{}}, Strings: []led.String{{LEDs: []int{0}, Nominal: got[name]}},
		})
	}
	l := judge.Circuit(c, req)
	return slices.DeleteFunc(l, func(f diag.Finding) bool { return f.Code != "led-uneven-panels" })
}

// A panel is told when its LEDs get less than nine tenths of the share that the best panel gets, whatever it was asked for.
func TestUnevenPanels(t *testing.T) {
	same := map[string]part.Amp{"dome": 0.008, "mount": 0.008}
	require.Empty(t, shares(t, same, map[string]part.Amp{"dome": 0.008, "mount": 0.00721}))
	l := shares(t, same, map[string]part.Amp{"dome": 0.008, "mount": 0.00719})
	require.Equal(t, []string{"warning led-uneven-panels"}, ledtest.Codes(l))
	require.Equal(t, "mount", l[0].Panel)
	require.Contains(t, l[0].Text, "get 90 % of the 8 mA asked for them, those of the best panel 100 %")
	// Less light by choice is no finding, and a panel of another current that gets too little is one.
	mixed := map[string]part.Amp{"dome": 0.008, "mount": 0.005}
	require.Empty(t, shares(t, mixed, map[string]part.Amp{"dome": 0.0078, "mount": 0.0049}))
	require.Equal(t, []string{"warning led-uneven-panels"}, ledtest.Codes(shares(t, mixed, map[string]part.Amp{"dome": 0.008, "mount": 0.0044})))
	// All are as dim as each other: that is told by led-current-reduced.
	require.Empty(t, shares(t, same, map[string]part.Amp{"dome": 0.006, "mount": 0.006}))
}

// A link tells what share of the chosen current arrives: a chosen lower current does not show, a feed's drop does.
func TestOfAsked(t *testing.T) {
	req := led.Usual()
	req.Defaults.Series, req.Defaults.Tolerance = part.E96, 0.01
	s := req.Defaults
	s.Panel, s.Current = "mount", 0.005
	req.Panels = append(req.Panels, s)
	panels := []panel.Panel{ledtest.Row("dome", 12), ledtest.Row("mount", 12)}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	dome, mount := c.Chains[0].Links[0], c.Chains[0].Links[1]
	require.InDelta(t, 1, dome.OfAsked, 0.03)
	require.InDelta(t, 1, mount.OfAsked, 0.03)
	require.InDelta(t, 5.0/8, mount.RelativeLight, 0.02, "relative to the brightest board")
	require.Equal(t, 1.0, dome.RelativeLight)
	_, told := ledtest.Find(l, "led-uneven-panels", "")
	require.False(t, told)
	// The boards' parts stay, their copper or the wire turns out worse: the far board falls behind.
	c.Chains[0].Links[1].Feed.Ohms += 30
	c, _ = solve.Settle(c, req)
	l = judge.Circuit(c, req)
	require.Less(t, c.Chains[0].Links[1].OfAsked, 0.9*c.Chains[0].Links[0].OfAsked)
	f, told := ledtest.Find(l, "led-uneven-panels", "mount")
	require.True(t, told, "%v", l)
	require.Contains(t, f.Text, "of the 5 mA asked for them")
	// Dimming is a choice as well.
	req.Groups = []led.Dimmed{{Name: "night", Duty: 0.25}}
	c, _ = ledtest.Whole(panels, req)
	require.InDelta(t, 1, c.Chains[0].Links[0].OfAsked, 0.03)
}
