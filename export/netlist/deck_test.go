package netlist

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// desk returns a console of n panels with LEDs on a grid of several kinds, seeded: one or two chains, branches, chains fed at
// both ends, boards whose copper is known, groups, a supply with a resistance and other loads on it.
func desk(seed uint64, boards int) led.Circuit {
	rng := rand.New(rand.NewPCG(seed, 5))
	var panels []panel.Panel
	req := led.Usual()
	req.Rated = 30
	req.ConnectorRated = 30
	req.Wire = part.MetricWire([]float64{0.5, 0.75, 1.5, 2.5}[rng.IntN(4)])
	req.Wire.Rated = 30
	v := part.Volt([]float64{9, 12, 15, 24}[rng.IntN(4)])
	req.Supply = part.Window{Min: v, Nominal: v, Max: v}
	req.SupplyOhms = part.Ohm([]float64{0, 0.05, 0.3}[rng.IntN(3)])
	req.Others = []led.Load{{Name: "heater", Amps: 0.3}, {Name: "fan", Ohms: 47}, {Name: "camera", Watts: 2}}[:rng.IntN(4)]
	t := float64(rng.IntN(50) - 10)
	req.Ambient = led.Celsius{Min: t - 5, Nominal: t, Max: t + 5}
	if rng.IntN(3) == 0 {
		req.Groups = []led.Dimmed{{Name: "night", Kinds: []string{"red-3mm"}, Duty: 0.3}, {Name: "alarm", Kinds: []string{"amber-3mm"}, Duty: 1}}
	}
	kinds := []string{"red-3mm", "amber-3mm", "green-3mm", "white-5mm", "blue-0805"}
	var chain []string
	for i := range boards {
		p := panel.Panel{Name: fmt.Sprintf("bay %d", i)}
		for j := range 1 + rng.IntN(40) {
			h := panel.Hole{At: geom.PtMM(float64(j%8)*9, float64(j/8)*9), D: geom.MM(3)}
			if rng.IntN(3) == 0 {
				h.Kind = kinds[rng.IntN(len(kinds))]
			}
			p.LEDs = append(p.LEDs, h)
		}
		s := req.Defaults
		s.Panel = p.Name
		s.Current = part.Amp(2+rng.IntN(8)) * part.MilliAmp
		s.FeedLength = geom.MM(float64(50 + rng.IntN(400)))
		if rng.IntN(2) == 0 {
			s.ThroughOhms = led.ThroughOhms{Plus: part.Ohm(0.02 * rng.Float64()), Minus: part.Ohm(0.01 * rng.Float64())}
		}
		req.Panels = append(req.Panels, s)
		panels = append(panels, p)
		chain = append(chain, p.Name)
	}
	cut := rng.IntN(boards) // two chains, or one
	req.Chains = []led.Run{
		{Panels: chain[:cut], BothEnds: rng.IntN(2) == 0, BackLength: geom.MM(500)},
		{Panels: chain[cut:], BothEnds: rng.IntN(2) == 0, BackLength: geom.MM(700)},
	}
	if cut > 0 && rng.IntN(2) == 0 {
		req.Chains[1].From = chain[rng.IntN(cut)]
	}
	c, _ := design.Circuit(context.Background(), panels, req)
	return c
}

func TestDeckNames(t *testing.T) {
	c := desk(1, 2)
	last := c.Chains[len(c.Chains)-1].Links
	require.Equal(t, c.Boards[1].Panel, last[len(last)-1].Panel)
	c.Boards[1].Panel, last[len(last)-1].Panel = "Dome", "Dome"
	text := string(Deck(c, "ridge\n.end desk"))
	require.True(t, strings.HasPrefix(text, "* ridge .end desk\n"), "a title cannot end the deck")
	require.True(t, strings.HasSuffix(text, ".op\n.end\n"))
	require.Equal(t, 1, strings.Count(text, "\nVsupply "))
	for i, chain := range c.Chains {
		for _, element := range []string{"Rswitch", "Rfuse"} {
			n := strings.Count(text, fmt.Sprintf("\n%s_%d ", element, i+1))
			require.Equal(t, chain.From == "" && len(chain.Links) > 0, n == 1, "%s of chain %d", element, i+1)
		}
	}
	for _, w := range c.Boards {
		name := clean(w.Panel)
		for _, r := range w.Resistors {
			require.Contains(t, text, "\nR"+name+"_"+r.Ref+" ")
		}
		for _, l := range w.LEDs {
			require.Contains(t, text, "\nD"+name+"_"+l.Ref+" ")
		}
		require.Contains(t, text, "\nRfeed_"+name+"_out ")
	}
	models := regexp.MustCompile(`(?m)^\.model (\S+) D\(`).FindAllStringSubmatch(text, -1)
	require.NotEmpty(t, models)
	require.Equal(t, Deck(c, "x"), Deck(c, "x"))
}

// Two names that SPICE would take for one must stay two nodes.
func TestDeckNamesDoNotCollide(t *testing.T) {
	d := deck{names: map[string]bool{}}
	require.Equal(t, []string{"dome", "Dome_2", "do_me", "do_me_2"}, []string{d.unique(clean("dome")), d.unique(clean("Dome")), d.unique(clean("do me")), d.unique(clean("do-me"))})
}

// A general circuit simulator must find the same operating point: every resistor current and board voltage within 0.1 %.
func TestDeckAgainstSimulator(t *testing.T) {
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed (Debian package ngspice), so that no simulator can be asked")
	}
	sizes := []int{40, 40}
	for i := range 48 {
		sizes = append(sizes, 1+i%24)
	}
	if testing.Short() {
		sizes = sizes[:6]
	}
	total, mixed := 0, 0
	for i, size := range sizes {
		c := desk(uint64(i), size)
		for _, w := range c.Boards {
			for _, s := range w.Strings {
				for _, k := range s.LEDs {
					require.Equal(t, w.LEDs[s.LEDs[0]].Kind.Name, w.LEDs[k].Kind.Name, "a string has LEDs of one kind")
				}
			}
			if slices.ContainsFunc(w.LEDs, func(l led.LED) bool { return l.Kind.Name != w.LEDs[0].Kind.Name }) {
				mixed++
			}
		}
		total += compare(t, spice, c, fmt.Sprintf("seed %d, %d boards", i, size))
	}
	require.Greater(t, mixed, 50, "most boards have LEDs of several kinds")
	t.Logf("%d consoles, %d boards of several kinds, %d resistors agree", len(sizes), mixed, total)
}

// compare returns how many resistors agree with the simulator.
func compare(t *testing.T, spice string, c led.Circuit, what string) int {
	t.Helper()
	require.NotEmpty(t, c.Chains, what)
	require.NotZero(t, c.Source.Typical, what)
	got := simulate(t, spice, c)
	same := func(want float64, key, panel string) {
		x, ok := got[strings.ToLower(key)]
		require.True(t, ok, "%s: no %s", what, key)
		if math.Abs(want-x) > 1e-3*math.Abs(want) {
			require.InEpsilon(t, want, x, 1e-3, "%s, %s: %s", what, panel, key)
		}
	}
	for _, chain := range c.Chains {
		for _, link := range chain.Links {
			n := clean(link.Panel)
			least := math.Inf(1)
			at := wiringOf(c, link.Panel)
			for i, g := range at.Conductors() {
				if at.LEDsFed(i) == 0 && len(at.Strings) > 0 {
					continue // what passes on to later boards is not this one's voltage
				}
				least = min(least, got["v("+strings.ToLower(n+"_p"+suffix(g)+")-v("+n+"_n)")])
			}
			require.InEpsilon(t, float64(link.Volts), least, 1e-3, what+" "+link.Panel)
			// A feed's current is a difference where the chain is fed at both ends: against the greatest there.
			sum := 0.0
			for _, g := range wiringOf(c, link.Panel).Conductors() {
				sum += got[strings.ToLower("@Rfeed_"+n+"_out"+suffix(g)+"[i]")]
			}
			require.InDelta(t, float64(link.Segment), sum, 1e-3*float64(c.Source.Demand), what+" "+link.Panel)
		}
	}
	checked := 0
	for _, w := range c.Boards {
		for _, s := range w.Strings {
			r := w.Resistors[s.Resistor]
			same(float64(s.Nominal), "@R"+clean(w.Panel)+"_"+r.Ref+"[i]", w.Panel)
			checked++
		}
	}
	require.NotZero(t, checked, what)
	return checked
}

// Switching a load on, in time, as a simulator sees it: before, in the moment of its inrush, and after, the voltage at the supply is
// the one that is told, and the boards' currents give the light that is told. The boards, twelve of them, ask for no more at the
// first instant than ever after: they have no inrush.
func TestSwitchingAgainstSimulator(t *testing.T) {
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed (Debian package ngspice), so that no simulator can be asked")
	}
	var panels []panel.Panel
	for i := range 12 {
		p := panel.Panel{Name: fmt.Sprintf("bay %d", i)}
		for j := range 12 {
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(float64(j)*9, 0), D: geom.MM(3)})
		}
		panels = append(panels, p)
	}
	req := led.Usual()
	req.Rated, req.ConnectorRated, req.SupplyOhms = 9, 9, 0.5
	req.Others = []led.Load{{Name: "dew heater", Amps: 2, Inrush: 4}, {Name: "camera", Watts: 3}}
	c, l := design.Circuit(t.Context(), panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	require.Len(t, c.Source.Steps, 2)
	step := c.Source.Steps[0]
	require.True(t, step.Momentary)
	text := string(Deck(c, "switching"))
	// The heater comes on at 2 ms, draws its inrush for 2 ms, and then what it draws; the supply itself comes on at 0.5 ms.
	text = regexp.MustCompile(`(?m)^Iother_1 .*$`).ReplaceAllString(text, "Iother_1 supply 0 PWL(0 0 2m 0 2.001m 4 4m 4 4.001m 2)")
	text = regexp.MustCompile(`(?m)^(Vsupply \S+ \S+) .*$`).ReplaceAllString(text, "$1 PWL(0 0 0.5m 0 0.501m 12)")
	current := "@R" + strings.ToLower(clean("bay 0")+"_"+c.Boards[0].Resistors[0].Ref) + "[i]"
	text = strings.Replace(text, ".op\n.end\n", ".save v(supply) i(vsupply) "+current+"\n.tran 5u 6m 0 5u\n.control\nrun\n"+
		"let led="+current+"\nlet source=-i(vsupply)\n"+
		"meas tran before find v(supply) at=1.5m\nmeas tran moment find v(supply) at=3m\nmeas tran after find v(supply) at=5.5m\n"+
		"meas tran lit find led at=1.5m\nmeas tran flicker find led at=3m\nmeas tran dimmed find led at=5.5m\n"+
		"meas tran most max source from=0 to=1.9m\nmeas tran steady find source at=1.9m\nquit\n.endc\n.end\n", 1)
	deck := filepath.Join(t.TempDir(), "switching.cir")
	require.NoError(t, os.WriteFile(deck, []byte(text), 0o600))
	out, err := batch(t.Context(), spice, deck)
	require.NoError(t, err, "%s", out)
	got := func(name string) float64 {
		m := regexp.MustCompile(`(?m)^` + name + `\s*=\s*(\S+)`).FindSubmatch(out)
		require.NotNil(t, m, "%s: %s", name, out)
		v, err := strconv.ParseFloat(string(m[1]), 64)
		require.NoError(t, err)
		return v
	}
	require.InEpsilon(t, float64(step.Before), got("before"), 1e-3)
	require.InEpsilon(t, float64(step.Inrush), got("moment"), 1e-3)
	require.InEpsilon(t, float64(step.After), got("after"), 1e-3)
	// All boards have the same strings at nearly the same voltage, so that one string's current moves as the mean does.
	require.InDelta(t, step.Light, got("dimmed")/got("lit"), 5e-3)
	require.InDelta(t, step.InrushLight, got("flicker")/got("lit"), 5e-3)
	require.Less(t, step.InrushLight, 0.8)
	require.Less(t, got("most"), 1.002*got("steady"), "the boards have an inrush")
}

// The simulator, which starts from 0 V, must land on the operating point that a supply comes to when it is switched on, and not
// on the unstable one below it or on one without a meaning: over a grid of resistances inside the supply and of powers up to
// the one that brings it down.
func TestDeckOfFixedPowersAgainstSimulator(t *testing.T) {
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed (Debian package ngspice), so that no simulator can be asked")
	}
	var dome panel.Panel
	dome.Name = "dome"
	for j := range 40 {
		dome.LEDs = append(dome.LEDs, panel.Hole{At: geom.PtMM(float64(j%8)*9, float64(j/8)*9), D: geom.MM(3)})
	}
	checked := 0
	for _, ohms := range []part.Ohm{0, 0.01, 0.1, 0.5, 1, 3, 10} {
		for _, share := range []float64{0.1, 0.5, 0.8, 0.95, 0.999, 0.999999} {
			req := led.Usual()
			req.Rated, req.ConnectorRated = 9000, 9
			req.SupplyOhms = ohms
			req.Others = []led.Load{{Name: "fan", Ohms: 200}, {Name: "camera", Amps: 0.05}}
			req.Others = append(req.Others, led.Load{Name: "heater", Watts: 0.01})
			c, _ := design.Circuit(t.Context(), []panel.Panel{dome}, req)
			require.True(t, c.Solved, c.Source.Sentence())
			if ohms > 0 {
				// The most that this supply can give beside these boards, sought for with the boards as they are.
				heat := func(w float64) bool {
					x := c
					x.Source.Others = append(req.Others[:2:2], led.Load{Name: "heater", Watts: part.Watt(w)})
					y, _ := solve.Settle(x, req)
					if y.Solved {
						c = y
					}
					return y.Solved
				}
				lo, hi := 0.0, 40/float64(ohms)
				for range 40 {
					if mid := (lo + hi) / 2; heat(mid) {
						lo = mid
					} else {
						hi = mid
					}
				}
				require.True(t, heat(lo*share))
				require.Less(t, c.Source.Breakdown, c.Source.Volts)
			} else {
				c.Source.Others[2].Watts = part.Watt(100 * share)
			}
			got := simulate(t, spice, c)
			what := fmt.Sprintf("%v inside, %v of what breaks it down", ohms, share)
			require.InEpsilon(t, float64(c.Source.Volts), got["v(supply)"], 1e-5, what)
			checked += compare(t, spice, c, what)
		}
	}
	require.NotZero(t, checked)
}

func wiringOf(c led.Circuit, name string) led.Wiring {
	for _, w := range c.Boards {
		if w.Panel == name {
			return w
		}
	}
	return led.Wiring{}
}

// patience is how long the simulator may take over one deck; it takes a second.
const patience = time.Minute

// batch runs the simulator over a deck and ends it when it takes too long, as one that waits for an answer would.
func batch(ctx context.Context, spice, file string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	cmd := exec.CommandContext(ctx, spice, "-b", file)
	cmd.WaitDelay = time.Second // for what it has started and left holding its output
	var told bytes.Buffer       // how far it has come, which would stand within lines of the other stream
	cmd.Stderr = &told
	out, err := cmd.Output()
	if err != nil {
		out = append(out, told.Bytes()...)
	}
	return out, err
}

// simulate runs the deck and returns what it prints for each expression.
func simulate(t *testing.T, spice string, c led.Circuit) map[string]float64 {
	t.Helper()
	text, ok := bytes.CutSuffix(Deck(c, "test"), []byte(".end\n"))
	require.True(t, ok)
	var b bytes.Buffer
	b.Write(text)
	b.WriteString(".control\nop\nprint v(supply)\n")
	for _, chain := range c.Chains {
		for _, link := range chain.Links {
			n := clean(link.Panel)
			for _, g := range wiringOf(c, link.Panel).Conductors() {
				fmt.Fprintf(&b, "print v(%s_p%s)-v(%s_n)\nprint @Rfeed_%s_out%s[i]\n", n, suffix(g), n, n, suffix(g))
			}
		}
	}
	for _, w := range c.Boards {
		for _, r := range w.Resistors {
			fmt.Fprintf(&b, "print @R%s_%s[i]\n", clean(w.Panel), r.Ref)
		}
	}
	b.WriteString(".endc\n.end\n")
	file := filepath.Join(t.TempDir(), "chain.cir")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	out, err := batch(t.Context(), spice, file)
	require.NoError(t, err, string(out))
	got := map[string]float64{}
	for line := range strings.Lines(string(out)) {
		if key, value, ok := strings.Cut(line, " = "); ok {
			if x, err := strconv.ParseFloat(strings.TrimSpace(value), 64); err == nil {
				got[strings.ToLower(strings.TrimSpace(key))] = x
			}
		}
	}
	return got
}

// The time of a general circuit simulator on the deck over that of solve.Settle, which finds the operating point and all
// corners besides.
func BenchmarkAgainstSimulator(b *testing.B) {
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		b.Skip("ngspice is not installed (Debian package ngspice), so that no simulator can be raced")
	}
	c, req := desk40()
	file := filepath.Join(b.TempDir(), "chain.cir")
	require.NoError(b, os.WriteFile(file, Deck(c, "race"), 0o644))
	strings := 0
	for _, w := range c.Boards {
		strings += len(w.Strings)
	}
	start := time.Now()
	const races = 3
	for range races {
		out, err := batch(b.Context(), spice, file)
		require.NoError(b, err, string(out))
	}
	theirs := time.Since(start).Seconds() / races
	for b.Loop() {
		solve.Settle(c, req)
	}
	ours := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(float64(strings), "strings")
	b.ReportMetric(theirs*1e3, "ngspice-ms")
	b.ReportMetric(theirs/ours, "times-faster")
}

// desk40 returns a console of 40 boards with 2,000 strings.
func desk40() (led.Circuit, led.Request) {
	req := led.Usual()
	req.Supply = part.Window{Min: 23, Nominal: 24, Max: 25}
	req.Rated, req.ConnectorRated, req.ContactOhms = 60, 60, 0.0005
	req.Wire = part.MetricWire(2.5)
	req.Defaults.FeedLength = geom.MM(60)
	var panels []panel.Panel
	for i := range 40 {
		p := panel.Panel{Name: fmt.Sprintf("bay-%d", i)}
		for j := range 350 {
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(float64(j%20)*9, float64(j/20)*9), D: geom.MM(3)})
		}
		panels = append(panels, p)
	}
	c, _ := design.Circuit(context.Background(), panels, req)
	return c, req
}
