package led

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// Values of IEC 60127 (references.md section 5) chosen by hand: the next above the worst load over 0.75, at least 500 mA. The
// loads at the limit, 0.75 of a value, still take it.
func TestFuseForALoad(t *testing.T) {
	for _, c := range []struct{ load, fuse part.Amp }{
		{0.001, 0.5}, {0.375, 0.5}, {0.376, 0.63}, {0.460, 0.63}, // 0.460/0.75 = 0.613
		{0.480, 0.8},                 // 0.480/0.75 = 0.640: 630 mA would be loaded by 76 %
		{0.600, 0.8}, {0.7501, 1.25}, // 1 A at most 0.75 A
		{0.9375, 1.25}, {0.95, 1.6}, {1.2, 1.6}, {1.21, 2}, {2.36, 3.15}, {2.37, 4}, {7.5, 10},
	} {
		got, ok := fuseFor(c.load)
		require.True(t, ok, "%v", c.load)
		require.Equal(t, c.fuse, got, "%v", c.load)
	}
	_, ok := fuseFor(7.51)
	require.False(t, ok, "beyond 10 A there is none")
}

func find(l diag.List, code, panel string) (diag.Finding, bool) {
	i := slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == code && (panel == "" || f.Panel == panel) })
	if i < 0 {
		return diag.Finding{}, false
	}
	return l[i], true
}

// The load by hand: textbook LEDs of exactly 2 V at 20 mA, four in series at 12 V with no tolerance, no feed and no window: every
// string has (12 V - 8 V)/20 mA = 200 Ω, a value of E24, and draws 20 mA.
func TestFuseOfAHandComputedLoad(t *testing.T) {
	req := Usual()
	req.Defaults.Kind = stiff()
	req.Defaults.Tolerance = 0
	req.Defaults.StringLength = 4
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	req.Defaults.Current = 0.020
	req.Defaults.ResistorPackage = "axial-10.16"
	req.Ambient = Celsius{Min: vfCelsius, Nominal: vfCelsius, Max: vfCelsius}
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
		got, l := Design([]panel.Panel{row("dome", c.leds)}, req)
		require.False(t, l.HasErrors(), "%v", l)
		require.InEpsilon(t, float64(c.leds)/4*0.020, float64(got.Chains[0].Links[0].SegmentWorst), 1e-3)
		require.Equal(t, c.want, got.Tables().Chains[0].Fuse, "%d LEDs", c.leds)
		f, ok := find(l, "led-fuse", "")
		require.True(t, ok)
		require.Contains(t, f.Text, fmt.Sprintf("a fuse of %v (IEC 60127, slow)", c.want))
		// What is said of the choice is true: above the load, not above what the wires carry.
		require.Contains(t, f.Advice, "over 0.75")
		require.Contains(t, f.Advice, fmt.Sprintf("no more than the %v", min(req.ConnectorRated, got.Chains[0].Links[0].Feed.Rated)))
		if c.want == 0.5 {
			require.Contains(t, f.Advice, "500 mA is the least that is advised")
		} else {
			require.Contains(t, f.Advice, "the next value above the worst load")
		}
	}
}

// shares judges two panels whose LEDs were asked to have one current and got another.
func shares(t *testing.T, asked map[string]part.Amp, got map[string]part.Amp) diag.List {
	t.Helper()
	req := Usual()
	var c Circuit
	for _, name := range []string{"dome", "mount"} {
		s := req.Defaults
		s.Panel, s.Current = name, asked[name]
		req.Panels = append(req.Panels, s)
		c.Boards = append(c.Boards, Wiring{
			Panel: name, LEDs: []LED{{Kind: stiff()}}, Strings: []String{{LEDs: []int{0}, Nominal: got[name]}},
		})
	}
	return judgeLight(c, req)
}

// A panel is told when its LEDs get less than nine tenths of the share that the best panel gets, whatever it was asked for.
func TestUnevenPanels(t *testing.T) {
	same := map[string]part.Amp{"dome": 0.008, "mount": 0.008}
	require.Empty(t, shares(t, same, map[string]part.Amp{"dome": 0.008, "mount": 0.00721}))
	l := shares(t, same, map[string]part.Amp{"dome": 0.008, "mount": 0.00719})
	require.Equal(t, []string{"warning led-uneven-panels"}, codes(l))
	require.Equal(t, "mount", l[0].Panel)
	require.Contains(t, l[0].Text, "get 90 % of the 8 mA asked for them, those of the best panel 100 %")
	// Less light by choice is no finding, and a panel of another current that gets too little is one.
	mixed := map[string]part.Amp{"dome": 0.008, "mount": 0.005}
	require.Empty(t, shares(t, mixed, map[string]part.Amp{"dome": 0.0078, "mount": 0.0049}))
	require.Equal(t, []string{"warning led-uneven-panels"}, codes(shares(t, mixed, map[string]part.Amp{"dome": 0.008, "mount": 0.0044})))
	// All are as dim as each other: that is told by led-current-reduced.
	require.Empty(t, shares(t, same, map[string]part.Amp{"dome": 0.006, "mount": 0.006}))
}

// A link tells what share of the chosen current arrives: a chosen lower current does not show, a feed's drop does.
func TestOfAsked(t *testing.T) {
	req := Usual()
	req.Defaults.Series, req.Defaults.Tolerance = part.E96, 0.01
	s := req.Defaults
	s.Panel, s.Current = "mount", 0.005
	req.Panels = append(req.Panels, s)
	panels := []panel.Panel{row("dome", 12), row("mount", 12)}
	c, l := Design(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	dome, mount := c.Chains[0].Links[0], c.Chains[0].Links[1]
	require.InDelta(t, 1, dome.OfAsked, 0.03)
	require.InDelta(t, 1, mount.OfAsked, 0.03)
	require.InDelta(t, 5.0/8, mount.RelativeLight, 0.02, "relative to the brightest board")
	require.Equal(t, 1.0, dome.RelativeLight)
	_, told := find(l, "led-uneven-panels", "")
	require.False(t, told)
	// The boards' parts stay, their copper or the wire turns out worse: the far board falls behind.
	c.Chains[0].Links[1].Feed.Ohms += 30
	c, l = Settle(c, req)
	require.Less(t, c.Chains[0].Links[1].OfAsked, 0.9*c.Chains[0].Links[0].OfAsked)
	f, told := find(l, "led-uneven-panels", "mount")
	require.True(t, told, "%v", l)
	require.Contains(t, f.Text, "of the 5 mA asked for them")
	// Dimming is a choice as well.
	req.Groups = []Dimmed{{Name: "night", Duty: 0.25}}
	c, _ = Design(panels, req)
	require.InDelta(t, 1, c.Chains[0].Links[0].OfAsked, 0.03)
}

// A curve is told when a diode's model stays a tenth of its voltage away from it; the model of a data sheet's curve does not.
func TestCurveThatIsNoDiodes(t *testing.T) {
	design := func(curve ...part.VfPoint) bool {
		k := stiff()
		k.Curve = curve
		k.VfMin, k.VfMax = curve[0].V, curve[0].V
		req := Usual()
		req.Defaults.Kind = k
		_, l := Design([]panel.Panel{row("dome", 4)}, req)
		f, told := find(l, "led-curve", "dome")
		if told {
			require.Equal(t, diag.Warning, f.Severity)
			require.Contains(t, f.Advice, "data sheet")
		}
		return told
	}
	// The middle point moves up until the curve bends the wrong way: the limit is a tenth of 2 V.
	told := 0
	for _, v := range []part.Volt{1.5, 1.7, 1.75, 1.8, 1.85, 1.88, 1.9, 1.95, 1.99} {
		curve := []part.VfPoint{{I: 0.020, V: 2}, {I: 0.001, V: v}, {I: 1e-6, V: 1}}
		_, off := Fit(part.LED{Curve: curve})
		require.Equal(t, off > 0.2, design(curve...), "%v: off by %v", v, off)
		if off > 0.2 {
			told++
		}
	}
	require.Equal(t, 3, told, "1.9 V and more at a twentieth of the current")
}
