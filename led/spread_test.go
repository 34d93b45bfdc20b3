package led

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// wall returns a console of so many boards with so many LEDs each, in one chain that holds.
func wall(boards, leds int) ([]panel.Panel, Request) {
	req := Usual()
	req.Supply = part.Window{Min: 23, Nominal: 24, Max: 25}
	req.Ambient = Celsius{0, 20, 35}
	req.Rated, req.ConnectorRated, req.ContactOhms = 60, 60, 0.0005
	req.Defaults.FeedLength = geom.MM(60)
	req.Wire = part.MetricWire(2.5)
	req.Wire.Rated = 60
	var panels []panel.Panel
	for i := range boards {
		panels = append(panels, row(fmt.Sprintf("bay-%d", i), leds))
	}
	return panels, req
}

func TestSpread(t *testing.T) {
	panels, req := wall(3, 24)
	req.Others = []Load{{Name: "heater", Ohms: 100}}
	c, l := Design(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	s, err := SpreadOf(c, req, 7, 300)
	require.NoError(t, err)
	require.Len(t, s.Panels, 3)
	for i, p := range s.Panels {
		require.Less(t, p.Light.P5, p.Light.P50)
		require.Less(t, p.Light.P50, p.Light.P95)
		nominal := c.Boards[i].meanCurrent(false) / 0.008
		require.InEpsilon(t, nominal, p.Light.P50, 0.03, "the middle is about nominal")
		// No console leaves the corners.
		require.Greater(t, p.Light.P5, float64(c.Boards[i].Strings[0].Min)/0.008)
		require.Less(t, p.Light.P95, float64(c.Boards[i].Strings[0].Max)/0.008)
	}
	require.Less(t, s.Demand.P95, float64(c.Source.Demand))
	require.Greater(t, s.Evenness.P5, 0.8)
	require.Less(t, s.Evenness.P95, 1.0)
	// The seed alone decides.
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	again, err := SpreadOf(c, req, 7, 300)
	require.NoError(t, err)
	require.Equal(t, s, again)
	other, err := SpreadOf(c, req, 8, 300)
	require.NoError(t, err)
	require.NotEqual(t, s.Demand, other.Demand)
}

// A console of exact parts does not spread.
func TestSpreadOfExactParts(t *testing.T) {
	req := Usual()
	req.Defaults.Kind = stiff()
	req.Defaults.Kind.Tempco = 0
	req.Defaults.Tolerance = 0
	c, _ := Design([]panel.Panel{row("dome", 12)}, req)
	s, err := SpreadOf(c, req, 1, 20)
	require.NoError(t, err)
	require.InEpsilon(t, s.Demand.P5, s.Demand.P95, 1e-12)
	require.InEpsilon(t, float64(c.Source.Typical), s.Demand.P50, 1e-12)
	require.Equal(t, Percentiles{1, 1, 1}, s.Evenness)
}

// The mean of a triangular distribution is a third of the sum of its corners, its variance (a² + b² - ab)/18 about the mode.
func TestTriangular(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	const low, high, n = -0.2, 0.3, 200_000
	sum, sq := 0.0, 0.0
	for range n {
		x := triangular(low, high, rng.Float64())
		require.True(t, x >= low && x <= high)
		sum += x
		sq += x * x
	}
	mean := sum / n
	require.InDelta(t, (low+high)/3, mean, 2e-3)
	require.InDelta(t, (low*low+high*high-low*high)/18, sq/n-mean*mean, 2e-4)
	require.Zero(t, triangular(0, 0, 0.4))
}

func TestPercentiles(t *testing.T) {
	var x []float64
	for i := range 100 {
		x = append(x, float64(100-i))
	}
	require.Equal(t, Percentiles{5, 50, 95}, percentiles(x))
	require.Equal(t, Percentiles{3, 3, 3}, percentiles([]float64{3}))
}

// Corners against search: every string's extremes over all corners of the supply, temperature, resistors and forward
// voltages of all strings of a small console.
func TestCornersAgainstExhaustiveSearch(t *testing.T) {
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 77))
		req := Usual()
		req.Supply = part.Window{Min: 11, Nominal: 12, Max: 13}
		req.SupplyOhms = part.Ohm(rng.Float64())
		req.Ambient = Celsius{0, 25, 40}
		req.Wire = part.AWGWire(28)
		req.Defaults.FeedLength = geom.MM(20_000 * rng.Float64()) // poor on purpose, so that strings disturb each other
		if seed%2 == 0 {
			req.Others = []Load{{Name: "fan", Watts: 2}}
		}
		req.Chains = []Run{{Panels: []string{"a", "b"}, BothEnds: seed%3 == 0, BackLength: geom.MM(3000)}, {Panels: []string{"c"}, From: []string{"", "a"}[seed%2]}}
		panels := []panel.Panel{row("a", 7), row("b", 4), row("c", 2)}
		panels[0].LEDs[1].Kind = "white-3mm"
		c, l := Design(panels, req)
		require.NotContains(t, codes(l), "error led-no-operating-point")
		k := c.console()
		k.sort()
		n := len(k.classes)
		type extreme struct{ lo, hi float64 }
		found := make([]extreme, n)
		for i := range found {
			found[i] = extreme{math.Inf(1), 0}
		}
		demand := 0.0
		one := make([]bool, n) // one string of the class, the rest of it
		for bits := range 1 << (2*n + 1) {
			volts := []int{-1, 1}[bits&1]
			loads := make([][]branch, len(k.net.taps))
			ends := make([]branch, n)
			for i, x := range k.classes {
				own, rest := []int{-1, 1}[bits>>(1+2*i)&1], []int{-1, 1}[bits>>(2+2*i)&1]
				ends[i] = k.Source.branch(x, corner{0, own, own}, 1)
				loads[x.tap] = append(loads[x.tap], ends[i])
				one[i] = len(x.members) == 1
				if !one[i] {
					loads[x.tap] = append(loads[x.tap], k.Source.branch(x, corner{0, rest, rest}, len(x.members)-1))
				}
			}
			p := point{e: k.Source.emf(corner{volts: volts}), loads: loads}
			var err error
			p.v, err = k.solver.solve(p.e, loads, nil)
			require.NoError(t, err)
			for i, x := range k.classes {
				amps, _ := ends[i].at(k.across(p, x.tap))
				found[i].lo, found[i].hi = min(found[i].lo, amps), max(found[i].hi, amps)
			}
			demand = max(demand, float64(k.drawnByAll(p)+k.others(p)))
		}
		for i, x := range k.classes {
			m := x.members[0]
			s := c.Boards[m.board].Strings[m.id]
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
			panels, req := wall(boards, 350)
			req.Rated = 240
			for chain := range slices.Chunk(panels, 10) {
				var r Run
				for _, p := range chain {
					r.Panels = append(r.Panels, p.Name)
				}
				req.Chains = append(req.Chains, r)
			}
			c, l := Design(panels, req)
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
				if err := c.settle(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(n), "strings")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(boards), "ns/board")
		})
	}
}

// 2,000 consoles of 40 boards with 2,000 strings.
func BenchmarkSpread(b *testing.B) {
	panels, req := wall(40, 350)
	c, _ := Design(panels, req)
	for b.Loop() {
		if _, err := SpreadOf(c, req, 1, 2000); err != nil {
			b.Fatal(err)
		}
	}
}
