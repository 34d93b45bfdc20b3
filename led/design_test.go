package led

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// row returns a panel with n LEDs on a grid of 12 by 9 mm, ten in a row.
func row(name string, n int) panel.Panel {
	p := panel.Panel{Name: name}
	for i := range n {
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(float64(i%10)*12, float64(i/10)*9), D: geom.MM(3)})
	}
	return p
}

// stiff is a kind of exactly 2 V at any current, as worked examples have it.
func stiff() part.LED {
	return part.LED{
		Name: "textbook", Package: "radial-3mm", HoleMM: 3, Curve: []part.VfPoint{{I: 0.020, V: 2}, {I: 0.001, V: 1.99999}},
		VfMin: 2, VfMax: 2, IMax: 0.030, HalfAngle: 30, Candela: 0.1, RGB: [3]uint8{255, 0, 0},
	}
}

func codes(l diag.List) []string {
	var out []string
	for _, f := range l {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

// Source: references.md section 2, series-resistor example: 12 V, one LED of 2 V, 20 mA: 500 Ω, next higher standard value
// 510 Ω; then 19.61 mA and 0.196 W, so that a 0.25 W part has little margin and 0.5 W runs cooler.
func TestPublishedSeriesResistor(t *testing.T) {
	req := Usual()
	req.Defaults.Kind = stiff()
	req.Defaults.Current = 0.020
	req.Defaults.Tolerance = 0
	req.Defaults.StringLength = 1
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	req.Defaults.ResistorPackage = "axial-10.16"
	c, l := Design([]panel.Panel{row("dome", 1)}, req)
	require.False(t, l.HasErrors(), "%v", l)
	w := c.Boards[0]
	require.Equal(t, part.Ohm(510), w.Resistors[0].Ohms)
	require.InDelta(t, 0.01961, float64(w.Strings[0].Nominal), 1e-5)
	require.InDelta(t, 0.196, float64(w.Strings[0].Worst), 1e-3)
	require.Equal(t, part.Watt(0.5), w.Resistors[0].Rated)
	// In a package of 1/4 W it is told; in one of 1/8 W it is refused.
	req.Defaults.ResistorPackage = "r-1206"
	_, l = Design([]panel.Panel{row("dome", 1)}, req)
	require.Contains(t, codes(l), "warning led-resistor-warm")
	req.Defaults.ResistorRated = 0.125
	_, l = Design([]panel.Panel{row("dome", 1)}, req)
	require.Contains(t, codes(l), "error led-resistor-overload")
}

// Source: the same section: 12 V, three 2.0 V LEDs, 20 mA: 300 Ω, which E24 has, 0.12 W.
func TestPublishedStringOfThree(t *testing.T) {
	req := Usual()
	req.Defaults.Kind = stiff()
	req.Defaults.Current = 0.020
	req.Defaults.Tolerance = 0
	req.Defaults.StringLength = 3
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	c, _ := Design([]panel.Panel{row("dome", 3)}, req)
	require.Equal(t, part.Ohm(300), c.Boards[0].Resistors[0].Ohms)
	require.InDelta(t, 0.12, float64(c.Boards[0].Strings[0].Worst), 1e-3)
}

// The usual console: red LEDs at 12 V and 8 mA.
func TestUsualRed(t *testing.T) {
	c, l := Design([]panel.Panel{row("dome", 24)}, Usual())
	require.Equal(t, []string{"note led-fuse"}, codes(l))
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
	require.Equal(t, OK, c.Source.Verdict)
	require.InEpsilon(t, 6*0.0077, float64(c.Source.Typical), 0.01)
}

// Energy: what the supply gives is the sum of the strings, and their heat and light; currents add up toward the supply.
func TestCurrentsAddUp(t *testing.T) {
	panels := []panel.Panel{row("dome", 25), row("mount", 8), row("focus", 61)}
	req := Usual()
	req.Chains = []Run{{Panels: []string{"focus", "dome"}}, {Panels: []string{"mount"}}}
	c, l := Design(panels, req)
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
		v := c.Source.Nominal
		for _, k := range chain.Links {
			v -= 2 * k.Feed.Ohms.Times(k.Segment)
			require.InDelta(t, float64(v), float64(k.Volts), 1e-9)
			var w Wiring
			for _, b := range c.Boards {
				if b.Panel == k.Panel {
					w = b
				}
			}
			power := 0.0
			for _, s := range w.Strings {
				u := w.Resistors[s.Resistor].Ohms.Times(s.Nominal)
				for _, i := range s.LEDs {
					d, _ := Fit(w.LEDs[i].Kind)
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
	require.Equal(t, c.Boards[2].Through, c.Boards[2].Nets[Supply].Amps)
}

// Two equal boards at one place light alike and share the current.
func TestTwoEqualBoardsAlike(t *testing.T) {
	req := Usual()
	req.Defaults.FeedLength = 0
	req.ContactOhms = 0
	c, l := Design([]panel.Panel{row("dome", 12), row("mount", 12)}, req)
	require.False(t, l.HasErrors())
	require.Equal(t, c.Boards[0].Strings, c.Boards[1].Strings)
	require.Equal(t, 1.0, c.Chains[0].Links[1].RelativeLight)
	require.InDelta(t, float64(c.Source.Typical)/2, float64(c.Chains[0].Links[1].Segment), 1e-12)
}

// Nets and refs as the board needs them: supply, resistor, A to K of each LED, 0 V.
func TestWiringIsWhole(t *testing.T) {
	p := row("dome", 23)
	p.LEDs[3].Kind, p.LEDs[4].Kind, p.LEDs[17].Kind = "white-3mm", "white-3mm", "blue-5mm"
	c, l := Design([]panel.Panel{p}, Usual())
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
	require.Equal(t, "V+", w.Nets[Supply].Name)
	require.Equal(t, "0V", w.Nets[Return].Name)
	require.Len(t, w.Nets, 3+23)
	pins := make([]int, len(w.Nets))
	next := 1
	for i, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		require.Equal(t, fmt.Sprintf("R%d", i+1), r.Ref)
		require.Equal(t, Supply, r.From)
		require.Equal(t, StringID(i), r.String)
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
		require.Equal(t, Return, at)
	}
	for n := Return + 1; int(n) < len(w.Nets); n++ {
		require.Equal(t, 2, pins[n], "net %s joins two pins", w.Nets[n].Name)
	}
	require.Equal(t, []Connector{
		{Ref: "J1", Role: In, Package: "terminal-3.5", Pins: []NetID{Supply, Return}},
		{Ref: "J2", Role: Out, Package: "terminal-3.5", Pins: []NetID{Supply, Return}},
	}, w.Connectors)
}

// Random consoles built from parts at the edge of their limits stay within the Min and Max told for every string, the
// supply within Worst, and no LED passes its maximum.
func TestCornersBoundEveryConsole(t *testing.T) {
	req := Usual()
	req.Supply = part.Window{Min: 11.1, Nominal: 11.85, Max: 12.6}
	req.SupplyOhms = 0.2
	req.Ambient = Celsius{-10, 20, 40}
	req.Others = []Load{{Name: "fan", Watts: 3}, {Name: "heater", Ohms: 30}}
	c, l := Design([]panel.Panel{row("dome", 13), row("mount", 22), row("focus", 7)}, req)
	require.False(t, l.HasErrors())
	rng := rand.New(rand.NewPCG(11, 12))
	pick := func(lo, hi float64) float64 { // often at a border
		switch rng.IntN(3) {
		case 0:
			return lo
		case 1:
			return hi
		}
		return lo + rng.Float64()*(hi-lo)
	}
	for range 400 {
		k := c.console()
		k.sort()
		loads := make([][]branch, len(k.net.taps))
		type one struct {
			load stringLoad
			str  String
		}
		strings := make([][]one, len(loads))
		for i, w := range c.Boards {
			for _, str := range w.Strings {
				r := w.Resistors[str.Resistor]
				kind := w.LEDs[str.LEDs[0]].Kind
				d, _ := Fit(kind)
				d = d.Shifted(part.Volt(pick(float64(kind.VfMin-kind.Curve[0].V), float64(kind.VfMax-kind.Curve[0].V)) + kind.Tempco*(pick(-10, 40)-vfCelsius)))
				load := stringLoad{len(str.LEDs), d, float64(r.Ohms) * pick(1-r.Tol, 1+r.Tol)}
				t := k.taps[i][0]
				loads[t] = append(loads[t], load.branch(1))
				strings[t] = append(strings[t], one{load, str})
			}
		}
		p := point{e: pick(11.1, 12.6), loads: loads}
		var err error
		p.v, err = k.solver.solve(p.e, loads, nil)
		require.NoError(t, err)
		total := float64(k.others(p))
		for tap := range loads {
			for _, s := range strings[tap] {
				amps, _ := s.load.at(k.across(p, tap))
				require.LessOrEqual(t, amps, float64(s.str.Max)*(1+1e-6))
				require.GreaterOrEqual(t, amps, float64(s.str.Min)*(1-1e-6))
				require.LessOrEqual(t, amps, 0.025)
				require.LessOrEqual(t, amps*amps*s.load.ohms, float64(s.str.Worst)*(1+1e-6), "the worst heat is that of the least resistance")
				total += amps
			}
		}
		require.LessOrEqual(t, total, float64(c.Source.Demand)*(1+1e-9))
	}
}

// A string is as long as the limit on its change allows, and no longer.
func TestStringLength(t *testing.T) {
	for _, c := range []struct {
		kind   string
		window part.Window
		want   int
	}{
		{"red-3mm", part.Window{Min: 12, Nominal: 12, Max: 12}, 4},
		{"white-3mm", part.Window{Min: 12, Nominal: 12, Max: 12}, 2},
		{"red-3mm", part.Window{Min: 24, Nominal: 24, Max: 24}, 8},
		{"red-3mm", part.Window{Min: 11.4, Nominal: 12, Max: 12.6}, 3},
		{"red-3mm", part.Window{Min: 5, Nominal: 5, Max: 5}, 1},
	} {
		req := Usual()
		req.Supply = c.window
		k, ok := part.Find(c.kind)
		require.True(t, ok)
		d, _ := Fit(k)
		got, l := req.length(k, d, req.Defaults)
		require.Empty(t, l)
		require.Equal(t, c.want, got, "%v", c)
		up, down, ok := req.spread(k, d, got, 0.008, 0.05)
		require.True(t, ok)
		require.LessOrEqual(t, max(up, down), 0.30)
		up, down, ok = req.spread(k, d, got+1, 0.008, 0.05)
		require.True(t, !ok || max(up, down) > 0.30)
	}
}

// A long feed: resistors make up for the drop, so that far panels light like near ones.
func TestDropIsLevelled(t *testing.T) {
	req := Usual()
	req.Defaults.FeedLength = geom.MM(5000)
	req.Defaults.Series = part.E96
	req.Defaults.Tolerance = 0.01
	req.Wire = part.AWGWire(24)
	req.Defaults.Current = 0.005
	c, l := Design([]panel.Panel{row("dome", 40), row("mount", 40), row("focus", 40)}, req)
	require.False(t, l.HasErrors(), "%v", l)
	links := c.Chains[0].Links
	require.Less(t, float64(links[2].Volts), 11.90)
	for _, k := range links {
		require.Greater(t, k.RelativeLight, 0.985)
	}
	require.Less(t, c.Boards[2].Resistors[0].Ohms, c.Boards[0].Resistors[0].Ohms)
}

func TestFindings(t *testing.T) {
	two := []panel.Panel{row("dome", 8), row("mount", 8)}
	for what, c := range map[string]struct {
		spoil  func(*Request, []panel.Panel)
		want   string
		advice string
	}{
		"supply below Vf":    {func(r *Request, _ []panel.Panel) { r.Supply = part.Window{Min: 1.5, Nominal: 1.5, Max: 1.5} }, "error led-supply-below-vf", "use a supply of"},
		"no voltage":         {func(r *Request, _ []panel.Panel) { r.Supply = part.Window{} }, "error led-supply-volts", "12 V"},
		"window upside down": {func(r *Request, _ []panel.Panel) { r.Supply = part.Window{Min: 13, Nominal: 12, Max: 12} }, "error led-supply-volts", ""},
		"not a number":       {func(r *Request, _ []panel.Panel) { r.Supply.Nominal = part.Volt(math.NaN()) }, "error led-supply-volts", ""},
		"mains":              {func(r *Request, _ []panel.Panel) { r.Supply = part.Window{Min: 230, Nominal: 230, Max: 230} }, "error led-supply-volts", "60 V"},
		"no rating":          {func(r *Request, _ []panel.Panel) { r.Rated = 0 }, "error led-supply-amps", "2 A"},
		"current too high":   {func(r *Request, _ []panel.Panel) { r.Defaults.Current = 0.026 }, "error led-current-above-maximum", "20 mA"},
		"no current":         {func(r *Request, _ []panel.Panel) { r.Defaults.Current = 0 }, "error led-current", "8 mA"},
		"unknown panel":      {func(r *Request, _ []panel.Panel) { r.Chains = []Run{{Panels: []string{"dome", "muont"}}} }, "error led-chain-unknown-panel", `"mount"`},
		"panel twice": {func(r *Request, _ []panel.Panel) {
			r.Chains = []Run{{Panels: []string{"dome", "mount"}}, {Panels: []string{"dome"}}}
		}, "error led-chain-panel-twice", ""},
		"panel missing":        {func(r *Request, _ []panel.Panel) { r.Chains = []Run{{Panels: []string{"dome"}}} }, "warning led-chain-panel-missing", "add it"},
		"name twice":           {func(_ *Request, p []panel.Panel) { p[1].Name = "dome" }, "error led-panel-name-twice", ""},
		"no LED":               {func(_ *Request, p []panel.Panel) { p[0].LEDs = nil }, "error led-none", "draw a circle"},
		"unknown kind":         {func(_ *Request, p []panel.Panel) { p[0].LEDs[2].Kind = "read-3mm" }, "error led-unknown-kind", "red-3mm"},
		"bad series":           {func(r *Request, _ []panel.Panel) { r.Defaults.Series = "E25" }, "error led-series", "E24"},
		"bad package":          {func(r *Request, _ []panel.Panel) { r.Defaults.ResistorPackage = "r-12O6" }, "error led-resistor-package", "r-1206"},
		"negative length":      {func(r *Request, _ []panel.Panel) { r.Defaults.FeedLength = -1 }, "error led-feed-length", "300 mm"},
		"string too long":      {func(r *Request, _ []panel.Panel) { r.Defaults.StringLength = 9 }, "error led-string-too-long", "fewer than 7"},
		"string too daring":    {func(r *Request, p []panel.Panel) { r.Defaults.StringLength = 6; p[0] = row("dome", 12) }, "warning led-current-varies", ""},
		"supply over":          {func(r *Request, _ []panel.Panel) { r.Others = []Load{{Name: "dew heater", Amps: 2.5}} }, "error led-supply-over", "or more"},
		"supply tight":         {func(r *Request, _ []panel.Panel) { r.Others = []Load{{Name: "dew heater", Amps: 1.7}} }, "warning led-supply-tight", ""},
		"supply over at worst": {func(r *Request, _ []panel.Panel) { r.Rated = 0.034 }, "warning led-supply-over", ""},
		"wire too thin": {func(r *Request, _ []panel.Panel) {
			r.Wire = part.AWGWire(40) // 14 mA by 3 A/mm²
		}, "error led-wire-overload", "mm2"},
		"connector too small": {func(r *Request, _ []panel.Panel) { r.ConnectorRated = 0.010 }, "error led-connector-overload", "split"},
		"feed drop":           {func(r *Request, _ []panel.Panel) { r.Defaults.FeedLength = geom.MM(500_000) }, "warning led-feed-drop", ""},
		"feed drowns":         {func(r *Request, _ []panel.Panel) { r.Defaults.FeedLength = geom.MM(900_000_0) }, "error led-feed-drop", "thicker"},
		"short is dangerous":  {func(r *Request, _ []panel.Panel) { r.Defaults.Current = 0.018 }, "warning led-short-overload", ""},
		"fuse":                {func(*Request, []panel.Panel) {}, "note led-fuse", "positive wire"},
		"kind impossible":     {func(r *Request, _ []panel.Panel) { r.Defaults.Kind.Curve = nil }, "error led-kind", "data sheet"},
		"wide window":         {func(r *Request, _ []panel.Panel) { r.Supply = part.Window{Min: 9, Nominal: 12, Max: 15} }, "warning led-current-varies", "regulated"},
	} {
		t.Run(what, func(t *testing.T) {
			req, panels := Usual(), []panel.Panel{row("dome", 8), row("mount", 8)}
			c.spoil(&req, panels)
			circuit, l := Design(panels, req)
			require.Contains(t, codes(l), c.want)
			for _, f := range l {
				require.NotEmpty(t, f.Advice, f.Code)
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
	_, l := Design(two, Usual())
	require.False(t, l.HasErrors())
}

// Arguments stay as they are, and the same request gives the same circuit.
func TestDesignIsPure(t *testing.T) {
	panels := []panel.Panel{row("dome", 33), row("mount", 9)}
	req := Usual()
	before := fmt.Sprintf("%+v %+v", panels, req)
	a, la := Design(panels, req)
	b, lb := Design(panels, req)
	require.Equal(t, a, b)
	require.Equal(t, la, lb)
	require.Equal(t, before, fmt.Sprintf("%+v %+v", panels, req))
}

func TestTables(t *testing.T) {
	req := Usual()
	req.Others = []Load{{Name: "dew heater", Amps: 0.6}}
	c, _ := Design([]panel.Panel{row("dome", 13), row("mount", 4)}, req)
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

// Hops tells a bound that the strings never beat.
func TestHopsBound(t *testing.T) {
	p := row("dome", 37)
	p.LEDs[5].Kind = "white-3mm"
	p.LEDs[25].Kind = "white-3mm"
	c, l := Design([]panel.Panel{p}, Usual())
	require.False(t, l.HasErrors())
	length, bound := Hops(c.Boards[0], func(h int) geom.Pt { return p.LEDs[h].At })
	require.GreaterOrEqual(t, length, bound)
	require.Less(t, length.MM(), 1.6*bound.MM())
}

func BenchmarkDesign(b *testing.B) {
	for _, n := range []int{60, 500} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := panel.Panel{Name: "wall"}
			for _, q := range scatter(4, n) {
				p.LEDs = append(p.LEDs, panel.Hole{At: q, D: geom.MM(3)})
			}
			req := Usual()
			req.Rated = 10
			for b.Loop() {
				if _, l := Design([]panel.Panel{p}, req); l.HasErrors() {
					b.Fatal(l)
				}
			}
		})
	}
}
