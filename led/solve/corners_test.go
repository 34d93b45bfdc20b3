package solve_test

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
	"lampblack/led/solve"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Random consoles built from parts at the edge of their limits stay within the Min and Max told for every string, the
// supply within Worst, and no LED passes its maximum.
func TestCornersBoundEveryConsole(t *testing.T) {
	req := led.Usual()
	req.Supply = part.Window{Min: 11.1, Nominal: 11.85, Max: 12.6}
	req.SupplyOhms = 0.2
	req.Ambient = led.Celsius{Min: -10, Nominal: 20, Max: 40}
	req.Others = []led.Load{{Name: "fan", Watts: 3}, {Name: "heater", Ohms: 30}}
	c, l := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 13), ledtest.Row("mount", 22), ledtest.Row("focus", 7)}, req)
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
	k := solve.Ready(c)
	solver := k.Solver()
	for range 400 {
		type one struct {
			load solve.String
			str  led.String
		}
		loads, strings := make([][]solve.Branch, k.Taps()), make([][]one, k.Taps())
		for _, x := range k.Classes {
			for _, m := range x.Members {
				kind := x.Kind
				d, _ := part.Fit(kind)
				d = d.Shifted(part.Volt(pick(float64(kind.VfMin-kind.Curve[0].V), float64(kind.VfMax-kind.Curve[0].V)) + kind.Tempco*(pick(-10, 40)-part.VfCelsius)))
				load := solve.String{LEDs: x.LEDs, Diode: d, Ohms: float64(x.Ohms) * pick(1-x.Tol, 1+x.Tol)}
				loads[x.Tap] = append(loads[x.Tap], load.Branch(1))
				strings[x.Tap] = append(strings[x.Tap], one{load, c.Boards[m.Board].Strings[m.ID]})
			}
		}
		p, err := solver.Find(pick(11.1, 12.6), loads, nil)
		require.NoError(t, err)
		total := float64(k.Others(p))
		for tap := range loads {
			for _, s := range strings[tap] {
				amps, _ := s.load.At(k.Across(p, tap))
				require.LessOrEqual(t, amps, float64(s.str.Max)*(1+1e-6))
				require.GreaterOrEqual(t, amps, float64(s.str.Min)*(1-1e-6))
				require.LessOrEqual(t, amps, 0.025)
				require.LessOrEqual(t, amps*amps*s.load.Ohms, float64(s.str.Worst)*(1+1e-6), "the worst heat is that of the least resistance")
				total += amps
			}
		}
		require.LessOrEqual(t, total, float64(c.Source.Demand)*(1+1e-9))
	}
}

// stringsOf returns so many strings of the class with resistance and forward voltage at an end (-1, 1) of their range.
func stringsOf(k *solve.Console, x solve.Class, end, times int) solve.Branch {
	return solve.String{
		LEDs: x.LEDs, Diode: k.Source.Cornered(x.Kind, x.Diode, end), Ohms: float64(x.Ohms) * (1 + float64(x.Tol*float64(end))),
	}.Branch(times)
}

// Corners against search: every string's extremes over all corners of the supply, temperature, resistors and forward
// voltages of all strings of a small console.
func TestCornersAgainstExhaustiveSearch(t *testing.T) {
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 77))
		req := led.Usual()
		req.Supply = part.Window{Min: 11, Nominal: 12, Max: 13}
		req.SupplyOhms = part.Ohm(rng.Float64())
		req.Ambient = led.Celsius{Min: 0, Nominal: 25, Max: 40}
		req.Wire = part.AWGWire(28)
		req.Defaults.FeedLength = geom.MM(20_000 * rng.Float64()) // poor on purpose, so that strings disturb each other
		if seed%2 == 0 {
			req.Others = []led.Load{{Name: "fan", Watts: 2}}
		}
		req.Chains = []led.Run{{Panels: []string{"a", "b"}, BothEnds: seed%3 == 0, BackLength: geom.MM(3000)}, {Panels: []string{"c"}, From: []string{"", "a"}[seed%2]}}
		panels := []panel.Panel{ledtest.Row("a", 7), ledtest.Row("b", 4), ledtest.Row("c", 2)}
		panels[0].LEDs[1].Kind = "white-3mm"
		c, l := ledtest.Whole(panels, req)
		require.NotContains(t, ledtest.Codes(l), "error led-no-operating-point")
		k := solve.Ready(c)
		solver := k.Solver()
		n := len(k.Classes)
		type extreme struct{ lo, hi float64 }
		found := make([]extreme, n)
		for i := range found {
			found[i] = extreme{math.Inf(1), 0}
		}
		demand := 0.0
		one := make([]bool, n) // one string of the class, the rest of it
		for bits := range 1 << (2*n + 1) {
			volts := []part.Volt{k.Source.Min, k.Source.Max}[bits&1]
			loads := make([][]solve.Branch, k.Taps())
			ends := make([]solve.Branch, n)
			for i, x := range k.Classes {
				own, rest := []int{-1, 1}[bits>>(1+2*i)&1], []int{-1, 1}[bits>>(2+2*i)&1]
				ends[i] = stringsOf(k, x, own, 1)
				loads[x.Tap] = append(loads[x.Tap], ends[i])
				one[i] = len(x.Members) == 1
				if !one[i] {
					loads[x.Tap] = append(loads[x.Tap], stringsOf(k, x, rest, len(x.Members)-1))
				}
			}
			p, err := solver.Find(float64(volts), loads, nil)
			require.NoError(t, err)
			for i, x := range k.Classes {
				amps, _ := ends[i].At(k.Across(p, x.Tap))
				found[i].lo, found[i].hi = min(found[i].lo, amps), max(found[i].hi, amps)
			}
			demand = max(demand, float64(k.Drawn(p)+k.Others(p)))
		}
		for i, x := range k.Classes {
			m := x.Members[0]
			s := c.Boards[m.Board].Strings[m.ID]
			require.InEpsilon(t, found[i].hi, float64(s.Max), 1e-6, "seed %d, class %d", seed, i)
			require.InEpsilon(t, found[i].lo, float64(s.Min), 1e-6, "seed %d, class %d", seed, i)
		}
		require.InEpsilon(t, demand, float64(c.Source.Demand), 1e-9)
	}
}

// 40 boards with 2,360 strings; and the same per board with more and fewer boards, in chains of 10 from one supply: in one
// chain, 160 boards leave the last 90 too little to light at all, and half of the strings are missing. The boards' own copper
// counts.
func BenchmarkCorners(b *testing.B) {
	for _, boards := range []int{10, 40, 160} {
		b.Run(fmt.Sprint(boards), func(b *testing.B) {
			panels, req := ledtest.Wall(boards, 350)
			req.Rated = 240
			for chain := range slices.Chunk(panels, 10) {
				var r led.Run
				for _, p := range chain {
					r.Panels = append(r.Panels, p.Name)
				}
				req.Chains = append(req.Chains, r)
			}
			c, l := ledtest.Whole(panels, req)
			if l.HasErrors() {
				b.Fatal(l)
			}
			for i := range c.Boards {
				c.Boards[i].Across.Plus, c.Boards[i].Across.Minus = 0.001, 0.001
			}
			n := 0
			for _, w := range c.Boards {
				n += len(w.Strings)
			}
			for b.Loop() {
				if _, l := solve.Settle(c, req); l.HasErrors() {
					b.Fatal(l)
				}
			}
			b.ReportMetric(float64(n), "strings")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(boards), "ns/board")
		})
	}
}
