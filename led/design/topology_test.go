package design_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// three equal panels on feeds of 2 m of thin wire.
func three() ([]panel.Panel, led.Request) {
	req := led.Usual()
	req.Wire = part.AWGWire(24)
	req.ContactOhms = 0
	req.FuseOhms, req.HolderOhms, req.SwitchOhms = 0, 0, 0
	req.Defaults.FeedLength = geom.MM(2000)
	return []panel.Panel{ledtest.Row("a", 40), ledtest.Row("b", 40), ledtest.Row("c", 40)}, req
}

// A ring of equal segments and equal boards is symmetrical: both ends feed alike, and its middle is at the centre.
func TestRingIsSymmetrical(t *testing.T) {
	panels, req := three()
	req.Defaults.StringLength = 4
	req.Chains = []led.Run{{Panels: []string{"a", "b", "c"}, BothEnds: true, BackLength: geom.MM(2000)}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	chain := c.Chains[0]
	n := chain.Links
	require.InDelta(t, float64(n[0].Volts), float64(n[2].Volts), 1e-9)
	require.Less(t, float64(n[1].Volts), float64(n[0].Volts))
	require.InDelta(t, float64(n[0].Segment), float64(chain.BackAmps), 1e-9)
	require.InDelta(t, float64(n[1].Segment), -float64(n[2].Segment), 1e-9)
	require.InDelta(t, float64(c.Source.Typical), float64(n[0].Segment+chain.BackAmps), 1e-12)
	// Ohm's law along each segment.
	v := c.Source.Nominal
	for _, k := range n {
		v -= 2 * k.Feed.Ohms.Times(k.Segment)
		require.InDelta(t, float64(v), float64(k.Volts), 1e-9)
	}
	// Either end must carry all when the other is loose.
	require.InDelta(t, float64(c.Source.Worst), float64(n[0].SegmentWorst), 1e-12)
	require.InDelta(t, float64(c.Source.Worst), float64(chain.BackWorst), 1e-12)
	require.InDelta(t, float64(c.Source.Worst)*2/3, float64(n[1].SegmentWorst), 1e-3)
	for _, w := range c.Boards {
		require.Equal(t, w.Through, w.Nets[led.Return].Amps)
		require.GreaterOrEqual(t, float64(w.Through), float64(c.Source.Worst)*2/3-1e-3)
	}
	// Fed at one end only, the far board gets less.
	req.Chains[0].BothEnds = false
	one, _ := ledtest.Whole(panels, req)
	require.Less(t, float64(one.Chains[0].Links[2].Volts), float64(n[2].Volts))
	require.NotContains(t, ledtest.Codes(l), "note led-branch", "OUT of the last board takes the wires back, and no others")
}

// A board that feeds two others is a star: the two get the same, and their currents add up before it.
func TestBranches(t *testing.T) {
	panels, req := three()
	// Told in any order, a branch comes behind what it starts from.
	req.Chains = []led.Run{{Panels: []string{"c"}, From: "a"}, {Panels: []string{"a", "b"}}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	require.Equal(t, "a", c.Chains[1].From)
	trunk, b, branch := c.Chains[0].Links[0], c.Chains[0].Links[1], c.Chains[1].Links[0]
	require.InDelta(t, float64(b.Volts), float64(branch.Volts), 1e-9)
	own := part.Amp(0)
	for _, s := range c.Boards[0].Strings {
		own += s.Nominal
	}
	require.InDelta(t, float64(own+b.Segment+branch.Segment), float64(trunk.Segment), 1e-12)
	require.InDelta(t, float64(c.Source.Worst), float64(trunk.SegmentWorst), 1e-12)
	require.Equal(t, trunk.SegmentWorst, c.Boards[0].Through)
	require.Contains(t, ledtest.Codes(l), "note led-branch")
	fuses := 0
	for _, f := range l {
		if f.Code == "led-fuse" {
			fuses++
		}
	}
	require.Equal(t, 1, fuses, "one fuse at the supply, none for the branch")
}

func TestImpossibleChains(t *testing.T) {
	panels, req := three()
	req.Chains = []led.Run{{Panels: []string{"a"}, From: "b"}, {Panels: []string{"b"}, From: "a"}, {Panels: []string{"c"}}}
	_, l := ledtest.Whole(panels, req)
	require.Contains(t, ledtest.Codes(l), "error led-chain-loop")
	req.Chains = []led.Run{{Panels: []string{"a", "b", "c"}, From: "a"}}
	_, l = ledtest.Whole(panels, req)
	require.Contains(t, ledtest.Codes(l), "error led-chain-loop")
	req.Chains = []led.Run{{Panels: []string{"a", "b", "c"}, From: "d"}}
	_, l = ledtest.Whole(panels, req)
	require.Contains(t, ledtest.Codes(l), "error led-chain-unknown-panel")
	req.Chains = []led.Run{{Panels: []string{"a", "b"}, From: "c"}} // c is in no chain: it hangs on the supply
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors())
	require.Equal(t, []string{"", "c"}, []string{c.Chains[0].From, c.Chains[1].From})
	req.Chains = []led.Run{{Panels: []string{"a", "b", "c"}, BothEnds: true, BackLength: -1}}
	_, l = ledtest.Whole(panels, req)
	require.Contains(t, ledtest.Codes(l), "error led-feed-length")
}

// Copper of a board counts like wire: half before its strings, half behind.
func TestThroughOhms(t *testing.T) {
	panels, req := three()
	c, _ := ledtest.Whole(panels, req)
	for i := range c.Boards {
		c.Boards[i].Across = led.ThroughOhms{Plus: 0.03, Minus: 0.01}
	}
	before := c
	got, l := solve.Settle(c, req)
	require.False(t, l.HasErrors())
	require.Equal(t, before, c, "the circuit given stays as it is")
	v := got.Source.Nominal
	for i, k := range got.Chains[0].Links {
		behind := part.Amp(0)
		if i+1 < 3 {
			behind = got.Chains[0].Links[i+1].Segment
		}
		v -= 2*k.Feed.Ohms.Times(k.Segment) + part.Ohm(0.02).Times(k.Segment)
		require.InDelta(t, float64(v), float64(k.Volts), 1e-9)
		v -= part.Ohm(0.02).Times(behind)
	}
	require.Less(t, float64(got.Source.Typical), float64(c.Source.Typical))
	require.Equal(t, c.Boards[2].Resistors[0].Ohms, got.Boards[2].Resistors[0].Ohms)
	// Known beforehand, the resistors make up for it.
	req.Defaults.ThroughOhms = led.ThroughOhms{Plus: 0.03, Minus: 0.01}
	c, _ = ledtest.Whole(panels, req)
	require.Equal(t, part.Ohm(0.03), c.Boards[1].Across.Plus)
}

// LEDs of one kind are parted by what they light: those of windows have strings and a conductor of their own, wherever they stand.
func TestGroupOfWindows(t *testing.T) {
	panels, req := three()
	windows := map[int]bool{0: true, 3: true, 4: true}
	for i := range windows {
		panels[1].LEDs[i].Window = true
	}
	req.Groups = []led.Dimmed{{Name: "rings", Lights: led.LightsWindows, Duty: 1}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	for i, w := range c.Boards {
		require.Len(t, w.Groups, 2)
		for s, x := range w.Strings {
			for _, k := range x.LEDs {
				require.Equal(t, i == 1 && windows[w.LEDs[k].Hole], w.FedBy(led.StringID(s)) == 1, "board %d", i)
			}
		}
	}
	require.Equal(t, 3, c.Boards[1].LEDsFed(1))
	req.Groups[0].Lights = led.LightsLettering
	c, _ = ledtest.Whole(panels, req)
	require.Equal(t, 3, c.Boards[1].LEDsFed(0))
	require.Equal(t, len(panels[1].LEDs)-3, c.Boards[1].LEDsFed(1))
}

// Groups have conductors and pins of their own, one 0 V, and are dimmed apart.
func TestGroups(t *testing.T) {
	panels, req := three()
	for i := range 8 {
		panels[1].LEDs[i].Kind = "amber-3mm"
	}
	req.Groups = []led.Dimmed{{Name: "alarm", Kinds: []string{"amber-3mm"}, Duty: 0.25}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	for i, w := range c.Boards {
		require.Equal(t, []led.Group{{Net: led.Supply, Duty: 1}, {Name: "alarm", Net: 3, Duty: 0.25}}, w.Groups)
		require.Equal(t, []string{"V+", "0V", "V+.alarm"}, []string{w.Nets[1].Name, w.Nets[2].Name, w.Nets[3].Name})
		require.Equal(t, []led.NetID{led.Supply, 3, led.Return}, w.Connectors[0].Pins)
		for s := range w.Strings {
			kind := w.LEDs[w.Strings[s].LEDs[0]].Kind.Name
			require.Equal(t, kind == "amber-3mm", w.FedBy(led.StringID(s)) == 1, "board %d", i)
		}
	}
	amber, all, mean := part.Amp(0), part.Amp(0), part.Amp(0)
	for _, w := range c.Boards {
		for s, x := range w.Strings {
			all += x.Nominal
			if w.FedBy(led.StringID(s)) == 1 {
				amber += x.Nominal
				mean += x.Nominal / 4
			} else {
				mean += x.Nominal
			}
		}
	}
	require.InDelta(t, float64(mean), float64(c.Source.Typical), 1e-12)
	require.InDelta(t, float64(all), float64(c.Chains[0].Links[0].Segment), 1e-12)
	require.InEpsilon(t, float64(amber), float64(c.Boards[0].Nets[3].Amps), 0.5, "board a passes the amber current of board b")
	require.Zero(t, float64(c.Boards[2].Nets[3].Amps))
	require.InDelta(t, float64(c.Boards[0].Through), float64(c.Boards[0].Nets[1].Amps+c.Boards[0].Nets[3].Amps), 1e-12)
	// The amber board is less bright by what is dimmed.
	require.Less(t, c.Chains[0].Links[1].RelativeLight, 0.9)

	// A chain of its own has no use for the conductor.
	req.Chains = []led.Run{{Panels: []string{"a", "b"}}, {Panels: []string{"c"}}}
	c, _ = ledtest.Whole(panels, req)
	require.Len(t, c.Boards[0].Groups, 2)
	require.Len(t, c.Boards[2].Groups, 1)
	// A branch does.
	req.Chains[1].From = "b"
	c, _ = ledtest.Whole(panels, req)
	require.Len(t, c.Boards[2].Groups, 2)
	require.Equal(t, 1, strings.Count(strings.Join(ledtest.Codes(l), " "), "led-group-pins"))

	// All LEDs in one group: one conductor, named after it.
	req.Groups = []led.Dimmed{{Name: "night", Duty: 0.5}, {Name: "never", Kinds: []string{"blue-3mm"}, Duty: 1}}
	c, l = ledtest.Whole(panels, req)
	require.Equal(t, "V+.night", c.Boards[0].Nets[led.Supply].Name)
	require.Contains(t, ledtest.Codes(l), "warning led-group-empty")
	req.Groups = []led.Dimmed{{Name: "a b", Duty: 2}, {Name: "x", Duty: 1}, {Name: "X", Duty: 1}}
	_, l = ledtest.Whole(panels, req)
	require.Equal(t, []string{"error led-group-name", "error led-group-duty", "error led-group-name"}, ledtest.Codes(l))
}

// Source: references.md section 5: lead-acid 10.5 / 12.0 / 14.8 V, three li-ion cells 9.0 / 11.1 / 12.6 V.
func TestBattery(t *testing.T) {
	lead, ok := part.FindChemistry("lead-acid")
	require.True(t, ok)
	w := lead.Window(6)
	require.InDeltaSlice(t, []float64{10.5, 12, 14.8}, []float64{float64(w.Min), float64(w.Nominal), float64(w.Max)}, 1e-9)
	li, ok := part.FindChemistry("li-ion")
	require.True(t, ok)
	w = li.Window(3)
	require.InDeltaSlice(t, []float64{9, 11.1, 12.6}, []float64{float64(w.Min), float64(w.Nominal), float64(w.Max)}, 1e-9)
	_, ok = part.FindChemistry("potato")
	require.False(t, ok)

	panels, req := three()
	req.Wire = part.MetricWire(0.75)
	req.Battery = led.Battery{Chemistry: lead, Cells: 6, AmpHours: 7}
	req.Supply = lead.Window(6)
	req.Others = []led.Load{{Name: "camera", Amps: 0.3}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	b := c.Source.Battery
	require.True(t, b.Empty < 1 && 1 < b.Full && b.Full < b.Charging, "%v", b)
	require.InEpsilon(t, 7/float64(c.Source.Typical+0.3), b.Hours, 1e-9)
	require.InEpsilon(t, b.Hours/2, b.PlanHours, 1e-9)
	require.Contains(t, ledtest.Codes(l), "note led-battery")
	// The light at empty is that of the same resistors on a supply of 10.5 V.
	low := c
	low.Source.Min, low.Source.Nominal, low.Source.Max = 10.5, 10.5, 10.5
	low, l = solve.Settle(low, req)
	require.Empty(t, l)
	// All boards are alike but for the feed: weigh by strings, as Battery does.
	sum, usual := 0.0, 0.0
	for i, w := range low.Boards {
		for j, s := range w.Strings {
			n := float64(len(s.LEDs))
			sum += n * float64(s.Nominal)
			usual += n * float64(c.Boards[i].Strings[j].Nominal)
		}
	}
	require.InEpsilon(t, sum/usual, b.Empty, 1e-9)
}

// A supply with a resistance inside gives less under load, and one too weak for a load of fixed power is an error.
func TestWeakSupply(t *testing.T) {
	panels, req := three()
	req.SupplyOhms = 0.5
	req.Others = []led.Load{{Name: "fan", Watts: 6}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	require.InDelta(t, 12-0.5*float64(c.Chains[0].Links[0].Segment+c.Source.Other), float64(c.Source.Volts), 1e-9)
	require.InDelta(t, 6/float64(c.Source.Volts), float64(c.Source.Other), 1e-9)
	req.SupplyOhms = 8
	_, l = ledtest.Whole(panels, req)
	require.Contains(t, ledtest.Codes(l), "error led-no-operating-point")
}

// Cold LEDs need more voltage: by the coefficient, and so the current falls by what the string's resistance makes of it.
func TestTemperature(t *testing.T) {
	panels, req := three()
	req.Defaults.FeedLength = 0
	warm, _ := ledtest.Whole(panels, req)
	cold := warm
	cold.Source.Ambient = led.Celsius{Min: -15, Nominal: -15, Max: -15}
	cold, l := solve.Settle(cold, req)
	require.False(t, l.HasErrors())
	w, s := warm.Boards[0], warm.Boards[0].Strings[0]
	d, _ := part.Fit(w.LEDs[0].Kind)
	_, g := solve.String{LEDs: len(s.LEDs), Diode: d, Ohms: float64(w.Resistors[0].Ohms)}.At(12)
	rise := float64(len(s.LEDs)) * 0.002 * 40
	require.InEpsilon(t, float64(s.Nominal)-g*rise, float64(cold.Boards[0].Strings[0].Nominal), 2e-3)
	req.Ambient = led.Celsius{Min: 30, Nominal: 20, Max: 10}
	_, l = ledtest.Whole(panels, req)
	require.Contains(t, ledtest.Codes(l), "error led-temperature")
}

// A conductor of a feed passes two contacts, one at either end, so that the current on its way there and back passes four. By
// hand: four textbook LEDs of 2 V at 12 V, contacts of 0.5 ohm and wires without length. 20 mA leave 12 V - 4·0.5 ohm·20 mA - 8 V
// = 3.96 V for the resistor, 198 ohm, of which E24 makes 200 ohm; then 4 V/(200 + 2) ohm = 19.80 mA flow, and the board gets
// 12 V - 2 ohm·19.80 mA = 11.960 V.
func TestContactsCountTwiceAFeed(t *testing.T) {
	req := led.Usual()
	req.Defaults.Kind = ledtest.Stiff()
	req.Defaults.Current, req.Defaults.StringLength, req.Defaults.FeedLength = 0.020, 4, 0
	req.ContactOhms = 0.5
	req.FuseOhms, req.HolderOhms, req.SwitchOhms = 0, 0, 0
	c, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 4)}, req)
	require.False(t, l.HasErrors(), "%v", l)
	require.InDelta(t, 1, float64(c.Chains[0].Links[0].Feed.Ohms), 1e-12, "of one conductor")
	require.Equal(t, part.Ohm(200), c.Boards[0].Resistors[0].Ohms)
	require.InDelta(t, 0.01980, float64(c.Boards[0].Strings[0].Nominal), 1e-5, "its LEDs are stiff to 0.4 mV")
	require.InDelta(t, 11.9604, float64(c.Chains[0].Links[0].Volts), 1e-4)
	// The second board's current passes the first feed too.
	c, l = ledtest.Whole([]panel.Panel{ledtest.Row("dome", 4), ledtest.Row("mount", 4)}, req)
	require.False(t, l.HasErrors(), "%v", l)
	near, far := c.Chains[0].Links[0], c.Chains[0].Links[1]
	require.InDelta(t, 12-2*float64(near.Segment), float64(near.Volts), 1e-9)
	require.InDelta(t, float64(near.Volts)-2*float64(far.Segment), float64(far.Volts), 1e-9)
}
