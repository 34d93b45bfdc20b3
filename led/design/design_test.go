package design_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Source: references.md section 2, series-resistor example: 12 V, one LED of 2 V, 20 mA: 500 Ω, next higher standard value
// 510 Ω; then 19.61 mA and 0.196 W, so that a 0.25 W part has little margin and 0.5 W runs cooler.
func TestPublishedSeriesResistor(t *testing.T) {
	req := led.Usual()
	req.Defaults.Kind = ledtest.Stiff()
	req.Defaults.Current = 0.020
	req.Defaults.Tolerance = 0
	req.Defaults.StringLength = 1
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	req.FuseOhms, req.HolderOhms, req.SwitchOhms = 0, 0, 0
	req.Defaults.ResistorPackage = "axial-10.16"
	c, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 1)}, req)
	require.False(t, l.HasErrors(), "%v", l)
	w := c.Boards[0]
	require.Equal(t, part.Ohm(510), w.Resistors[0].Ohms)
	require.InDelta(t, 0.01961, float64(w.Strings[0].Nominal), 1e-5)
	require.InDelta(t, 0.196, float64(w.Strings[0].Worst), 1e-3)
	require.Equal(t, part.Watt(0.5), w.Resistors[0].Rated)
	// In a package of 1/4 W it is told; in one of 1/8 W it is refused.
	req.Defaults.ResistorPackage, req.Defaults.ResistorGrows = "r-1206", false
	_, l = ledtest.Whole([]panel.Panel{ledtest.Row("dome", 1)}, req)
	require.Contains(t, ledtest.Codes(l), "warning led-resistor-warm")
	req.Defaults.ResistorRated = 0.125
	_, l = ledtest.Whole([]panel.Panel{ledtest.Row("dome", 1)}, req)
	require.Contains(t, ledtest.Codes(l), "error led-resistor-overload")
}

// Source: the same section: 12 V, three 2.0 V LEDs, 20 mA: 300 Ω, which E24 has, 0.12 W.
func TestPublishedStringOfThree(t *testing.T) {
	req := led.Usual()
	req.Defaults.Kind = ledtest.Stiff()
	req.Defaults.Current = 0.020
	req.Defaults.Tolerance = 0
	req.Defaults.StringLength = 3
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	c, _ := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 3)}, req)
	require.Equal(t, part.Ohm(300), c.Boards[0].Resistors[0].Ohms)
	require.InDelta(t, 0.12, float64(c.Boards[0].Strings[0].Worst), 1e-3)
}

// The usual console: red LEDs at 12 V and 8 mA.
func TestUsualRed(t *testing.T) {
	c, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 24)}, led.Usual())
	require.Equal(t, []string{"note led-fuse"}, ledtest.Codes(l))
	w := c.Boards[0]
	require.Len(t, w.Strings, 6)
	for _, s := range w.Strings {
		require.Len(t, s.LEDs, 4)
		require.InDelta(t, 0.008, float64(s.Nominal), 0.0005)
		require.LessOrEqual(t, float64(s.Nominal), 0.008)
		require.Less(t, float64(s.Max), 0.008*1.3)
		require.Greater(t, float64(s.Min), 0.0077*0.7)
	}
	require.Equal(t, "12 V", w.Label)
	require.Equal(t, led.OK, c.Source.Verdict)
	require.InEpsilon(t, 6*0.0077, float64(c.Source.Typical), 0.01)
}

// Energy: what the supply gives is the sum of the strings, and their heat and light; currents add up toward the supply.
func TestCurrentsAddUp(t *testing.T) {
	panels := []panel.Panel{ledtest.Row("dome", 25), ledtest.Row("mount", 8), ledtest.Row("focus", 61)}
	req := led.Usual()
	req.Chains = []led.Run{{Panels: []string{"focus", "dome"}}, {Panels: []string{"mount"}}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors())
	sum := part.Amp(0)
	for _, w := range c.Boards {
		for _, s := range w.Strings {
			sum += s.Nominal
		}
	}
	require.InDelta(t, float64(sum), float64(c.Source.Typical), 1e-12)
	require.InDelta(t, float64(c.Chains[0].Links[0].Segment+c.Chains[1].Links[0].Segment), float64(sum), 1e-12)
	require.Equal(t, "focus", c.Chains[0].Links[0].Panel)
	require.Greater(t, c.Chains[0].Links[0].Segment, c.Chains[0].Links[1].Segment)
	require.Greater(t, c.Chains[0].Links[0].Volts, c.Chains[0].Links[1].Volts)
	// Ohm's law along the feed, and along each string.
	for _, chain := range c.Chains {
		g := chain.Guard
		require.Equal(t, part.Amp(0.5), g.Fuse)
		require.Equal(t, [2]part.Ohm{0.28, 0.02}, [2]part.Ohm{g.FuseOhms, g.SwitchOhms})
		v := c.Source.Nominal - (g.FuseOhms + g.SwitchOhms).Times(chain.Links[0].Segment)
		for _, k := range chain.Links {
			v -= 2 * k.Feed.Ohms.Times(k.Segment)
			require.InDelta(t, float64(v), float64(k.Volts), 1e-9)
			var w led.Wiring
			for _, b := range c.Boards {
				if b.Panel == k.Panel {
					w = b
				}
			}
			power := 0.0
			for _, s := range w.Strings {
				u := w.Resistors[s.Resistor].Ohms.Times(s.Nominal)
				for _, i := range s.LEDs {
					d, _ := part.Fit(w.LEDs[i].Kind)
					u += d.Volts(s.Nominal)
					power += float64(d.Volts(s.Nominal)) * float64(s.Nominal)
				}
				power += float64(w.Resistors[s.Resistor].Ohms.Heat(s.Nominal))
				require.InDelta(t, float64(k.Volts), float64(u), 1e-9)
			}
			own := 0.0
			for _, s := range w.Strings {
				own += float64(s.Nominal)
			}
			require.InDelta(t, own*float64(k.Volts), power, 1e-9)
		}
	}
	require.Equal(t, c.Chains[0].Links[0].SegmentWorst, c.Boards[2].Through)
	require.Equal(t, c.Boards[2].Through, c.Boards[2].Nets[led.Supply].Amps)
}

// Two equal boards at one place light alike and share the current.
func TestTwoEqualBoardsAlike(t *testing.T) {
	req := led.Usual()
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	c, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 12), ledtest.Row("mount", 12)}, req)
	require.False(t, l.HasErrors())
	require.Equal(t, c.Boards[0].Strings, c.Boards[1].Strings)
	require.Equal(t, 1.0, c.Chains[0].Links[1].RelativeLight)
	require.InDelta(t, float64(c.Source.Typical)/2, float64(c.Chains[0].Links[1].Segment), 1e-12)
}

// Nets and refs as the board needs them: supply, resistor, A to K of each LED, 0 V.
func TestWiringIsWhole(t *testing.T) {
	p := ledtest.Row("dome", 23)
	p.LEDs[3].Kind, p.LEDs[4].Kind, p.LEDs[17].Kind = "white-3mm", "white-3mm", "blue-5mm"
	c, l := ledtest.Whole([]panel.Panel{p}, led.Usual())
	require.False(t, l.HasErrors(), "%v", l)
	w := c.Boards[0]
	require.Len(t, w.LEDs, 23)
	seen := map[int]bool{}
	names := map[string]bool{}
	for i, n := range w.Nets {
		require.False(t, names[n.Name], n.Name)
		names[n.Name] = true
		require.Equal(t, i == 0, n.Name == "")
		require.Equal(t, i == 0, n.Amps == 0)
	}
	require.Equal(t, "V+", w.Nets[led.Supply].Name)
	require.Equal(t, "0V", w.Nets[led.Return].Name)
	require.Len(t, w.Nets, 3+23)
	pins := make([]int, len(w.Nets))
	next := 1
	for i, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		require.Equal(t, fmt.Sprintf("R%d", i+1), r.Ref)
		require.Equal(t, led.Supply, r.From)
		require.Equal(t, led.StringID(i), r.String)
		at := r.To
		pins[r.To]++
		for _, k := range s.LEDs {
			d := w.LEDs[k]
			require.Equal(t, fmt.Sprintf("D%d", next), d.Ref)
			next++
			require.Equal(t, at, d.Anode)
			require.Equal(t, w.LEDs[s.LEDs[0]].Kind.Name, d.Kind.Name, "a string never mixes kinds")
			pins[d.Anode]++
			pins[d.Cathode]++
			at = d.Cathode
			require.False(t, seen[d.Hole])
			seen[d.Hole] = true
			if want := p.LEDs[d.Hole].Kind; want != "" {
				require.Equal(t, want, d.Kind.Name)
			} else {
				require.Equal(t, "red-3mm", d.Kind.Name)
			}
		}
		require.Equal(t, led.Return, at)
	}
	for n := led.Return + 1; int(n) < len(w.Nets); n++ {
		require.Equal(t, 2, pins[n], "net %s joins two pins", w.Nets[n].Name)
	}
	require.Equal(t, []led.Connector{
		{Ref: "J1", Role: led.In, Package: "terminal-3.5", Pins: []led.NetID{led.Supply, led.Return}},
		{Ref: "J2", Role: led.Out, Package: "terminal-3.5", Pins: []led.NetID{led.Supply, led.Return}},
	}, w.Connectors)
}

// A long feed: resistors make up for the drop, so that far panels light like near ones.
func TestDropIsLevelled(t *testing.T) {
	req := led.Usual()
	req.Defaults.FeedLength = geom.MM(5000)
	req.Defaults.Series = part.E96
	req.Defaults.Tolerance = 0.01
	req.Wire = part.AWGWire(24)
	req.Defaults.Current = 0.005
	c, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 40), ledtest.Row("mount", 40), ledtest.Row("focus", 40)}, req)
	require.False(t, l.HasErrors(), "%v", l)
	links := c.Chains[0].Links
	require.Less(t, float64(links[2].Volts), 11.90)
	for _, k := range links {
		require.Greater(t, k.RelativeLight, 0.985)
	}
	require.Less(t, c.Boards[2].Resistors[0].Ohms, c.Boards[0].Resistors[0].Ohms)
}

func TestFindings(t *testing.T) {
	two := []panel.Panel{ledtest.Row("dome", 8), ledtest.Row("mount", 8)}
	for what, c := range map[string]struct {
		spoil  func(*led.Request, []panel.Panel)
		want   string
		advice string
	}{
		"supply below Vf":    {func(r *led.Request, _ []panel.Panel) { r.Supply = part.Window{Min: 1.5, Nominal: 1.5, Max: 1.5} }, "error led-supply-below-vf", "use a supply of"},
		"no voltage":         {func(r *led.Request, _ []panel.Panel) { r.Supply = part.Window{} }, "error led-supply-volts", "12 V"},
		"window upside down": {func(r *led.Request, _ []panel.Panel) { r.Supply = part.Window{Min: 13, Nominal: 12, Max: 12} }, "error led-supply-volts", ""},
		"not a number":       {func(r *led.Request, _ []panel.Panel) { r.Supply.Nominal = part.Volt(math.NaN()) }, "error led-supply-volts", ""},
		"mains":              {func(r *led.Request, _ []panel.Panel) { r.Supply = part.Window{Min: 230, Nominal: 230, Max: 230} }, "error led-supply-volts", "60 V"},
		"no rating":          {func(r *led.Request, _ []panel.Panel) { r.Rated = 0 }, "error led-supply-amps", "2 A"},
		"current too high":   {func(r *led.Request, _ []panel.Panel) { r.Defaults.Current = 0.026 }, "error led-current-above-maximum", "20 mA"},
		"no current":         {func(r *led.Request, _ []panel.Panel) { r.Defaults.Current = 0 }, "error led-current", "8 mA"},
		"unknown panel":      {func(r *led.Request, _ []panel.Panel) { r.Chains = []led.Run{{Panels: []string{"dome", "muont"}}} }, "error led-chain-unknown-panel", `"mount"`},
		"panel twice": {func(r *led.Request, _ []panel.Panel) {
			r.Chains = []led.Run{{Panels: []string{"dome", "mount"}}, {Panels: []string{"dome"}}}
		}, "error led-chain-panel-twice", ""},
		"panel missing":        {func(r *led.Request, _ []panel.Panel) { r.Chains = []led.Run{{Panels: []string{"dome"}}} }, "warning led-chain-panel-missing", "add it"},
		"name twice":           {func(_ *led.Request, p []panel.Panel) { p[1].Name = "dome" }, "error led-panel-name-twice", ""},
		"no LED":               {func(_ *led.Request, p []panel.Panel) { p[0].LEDs = nil }, "error led-none", "draw a circle"},
		"unknown kind":         {func(_ *led.Request, p []panel.Panel) { p[0].LEDs[2].Kind = "read-3mm" }, "error led-unknown-kind", "red-3mm"},
		"bad series":           {func(r *led.Request, _ []panel.Panel) { r.Defaults.Series = "E25" }, "error led-series", "E24"},
		"bad package":          {func(r *led.Request, _ []panel.Panel) { r.Defaults.ResistorPackage = "r-12O6" }, "error led-resistor-package", "r-1206"},
		"negative length":      {func(r *led.Request, _ []panel.Panel) { r.Defaults.FeedLength = -1 }, "error led-feed-length", "300 mm"},
		"string too long":      {func(r *led.Request, _ []panel.Panel) { r.Defaults.StringLength = 9 }, "error led-string-too-long", "fewer than 7"},
		"string too daring":    {func(r *led.Request, p []panel.Panel) { r.Defaults.StringLength = 6; p[0] = ledtest.Row("dome", 12) }, "warning led-current-varies", ""},
		"supply over":          {func(r *led.Request, _ []panel.Panel) { r.Others = []led.Load{{Name: "dew heater", Amps: 2.5}} }, "error led-supply-over", "or more"},
		"supply tight":         {func(r *led.Request, _ []panel.Panel) { r.Others = []led.Load{{Name: "dew heater", Amps: 1.7}} }, "warning led-supply-tight", ""},
		"supply over at worst": {func(r *led.Request, _ []panel.Panel) { r.Rated = 0.034 }, "warning led-supply-over", ""},
		"wire too thin": {func(r *led.Request, _ []panel.Panel) {
			r.Wire = part.AWGWire(40) // 14 mA by 3 A/mm²
		}, "error led-wire-overload", "mm2"},
		"connector too small": {func(r *led.Request, _ []panel.Panel) { r.ConnectorRated = 0.010 }, "error led-connector-overload", "split"},
		"feed drop":           {func(r *led.Request, _ []panel.Panel) { r.Defaults.FeedLength = geom.MM(500_000) }, "warning led-feed-drop", ""},
		"feed drowns":         {func(r *led.Request, _ []panel.Panel) { r.Defaults.FeedLength = geom.MM(900_000_0) }, "error led-feed-drop", "thicker"},
		"short is dangerous":  {func(r *led.Request, _ []panel.Panel) { r.Defaults.Current = 0.018 }, "warning led-short-overload", ""},
		"fuse":                {func(*led.Request, []panel.Panel) {}, "note led-fuse", "positive wire"},
		"kind impossible":     {func(r *led.Request, _ []panel.Panel) { r.Defaults.Kind.Curve = nil }, "error led-kind", "data sheet"},
		"wide window":         {func(r *led.Request, _ []panel.Panel) { r.Supply = part.Window{Min: 9, Nominal: 12, Max: 15} }, "warning led-current-varies", "regulated"},
	} {
		t.Run(what, func(t *testing.T) {
			req, panels := led.Usual(), []panel.Panel{ledtest.Row("dome", 8), ledtest.Row("mount", 8)}
			c.spoil(&req, panels)
			circuit, l := ledtest.Whole(panels, req)
			require.Contains(t, ledtest.Codes(l), c.want)
			for _, f := range l {
				require.NotEmpty(t, f.Advice, f.Code)
				aboutDrawing := slices.Contains([]string{"led-none", "led-panel-name-twice", "led-unknown-kind"}, f.Code)
				require.True(t, len(f.Subject.Keys) > 0 || aboutDrawing, "%s: of which key of the project is it?", f.Code)
				require.NotContains(t, f.Text+f.Advice, "%!", f.Code)
				if what != "not a number" {
					require.NotContains(t, f.Text, "NaN", f.Code)
				}
				if f.Severity.String()+" "+f.Code == c.want {
					require.Contains(t, f.Advice, c.advice)
				}
			}
			require.Len(t, circuit.Boards, 2)
			_ = circuit.Tables() // whatever came out can be printed
		})
	}
	_, l := ledtest.Whole(two, led.Usual())
	require.False(t, l.HasErrors())
}

// Arguments stay as they are, and the same request gives the same circuit.
func TestDesignIsPure(t *testing.T) {
	panels := []panel.Panel{ledtest.Row("dome", 33), ledtest.Row("mount", 9)}
	req := led.Usual()
	before := fmt.Sprintf("%+v %+v", panels, req)
	a, la := ledtest.Whole(panels, req)
	b, lb := ledtest.Whole(panels, req)
	require.Equal(t, a, b)
	require.Equal(t, la, lb)
	require.Equal(t, before, fmt.Sprintf("%+v %+v", panels, req))
}

func BenchmarkDesign(b *testing.B) {
	for _, n := range []int{60, 500} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := panel.Panel{Name: "wall"}
			rng := rand.New(rand.NewPCG(4, 9))
			for range n {
				p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(rng.Float64()*200, rng.Float64()*120), D: geom.MM(3)})
			}
			req := led.Usual()
			req.Rated = 10
			for b.Loop() {
				if _, l := ledtest.Whole([]panel.Panel{p}, req); l.HasErrors() {
					b.Fatal(l)
				}
			}
		})
	}
}

// A curve is told when a diode's model stays a tenth of its voltage away from it; the model of a data sheet's curve does not.
func TestCurveThatIsNoDiodes(t *testing.T) {
	design := func(curve ...part.VfPoint) bool {
		k := ledtest.Stiff()
		k.Curve = curve
		k.VfMin, k.VfMax = curve[0].V, curve[0].V
		req := led.Usual()
		req.Defaults.Kind = k
		_, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 4)}, req)
		f, told := ledtest.Find(l, "led-curve", "dome")
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
		_, off := part.Fit(part.LED{Curve: curve})
		require.Equal(t, off > 0.2, design(curve...), "%v: off by %v", v, off)
		if off > 0.2 {
			told++
		}
	}
	require.Equal(t, 3, told, "1.9 V and more at a twentieth of the current")
}

// What a string's resistor must stand decides with its length and its package. Figures by hand, for white LEDs (2.8 to 3.6 V,
// at most 25 mA) at 20 mA: four at 24 V leave 24 - 4·3.2 = 11.2 V, 224 mW nominally and some 300 mW at worst.
func TestHeatChoosesStrings(t *testing.T) {
	for _, c := range []struct {
		name    string
		supply  part.Window
		kept    bool
		milli   float64
		leds    int
		longest int
		body    string
	}{
		{"a larger package carries four", part.Window{Min: 24, Nominal: 24, Max: 24}, false, 20, 40, 4, "r-2010"},
		{"a small one wants longer strings", part.Window{Min: 24, Nominal: 24, Max: 24}, true, 20, 42, 6, "r-1206"},
		{"even a single LED at 24 V", part.Window{Min: 24, Nominal: 24, Max: 24}, false, 20, 1, 1, "r-2512"},
		{"lead-acid", part.Window{Min: 10.5, Nominal: 12, Max: 14.8}, false, 8, 40, 2, "r-1206"},
	} {
		req := led.Usual()
		req.Supply, req.Defaults.ResistorGrows, req.Defaults.Current = c.supply, !c.kept, part.Amp(c.milli)*part.MilliAmp
		k, ok := part.Find("white-3mm")
		require.True(t, ok)
		req.Defaults.Kind = k
		circuit, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", c.leds)}, req)
		require.False(t, l.HasErrors(), "%v", l)
		w := circuit.Boards[0]
		most := 0
		for _, s := range w.Strings {
			most = max(most, len(s.LEDs))
			r := w.Resistors[s.Resistor]
			require.Equal(t, c.body, r.Package, c.name)
			require.LessOrEqual(t, s.Worst, r.Rated, c.name)
			if !c.kept {
				require.LessOrEqual(t, float64(s.Worst), float64(r.Rated)*req.Derating, c.name)
			}
		}
		require.Equal(t, c.longest, most, c.name)
	}
}
