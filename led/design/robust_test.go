package design_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/chance"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Whatever the request holds, the design ends with findings or with numbers that are finite.
func TestDesignStandsNonsense(t *testing.T) {
	whole := 0
	odd := []float64{0, -1, 1e-12, 1e-3, 0.02, 1, 3, 12, 24, 59, 1e3, 1e12, math.NaN(), math.Inf(1), math.Inf(-1)}
	for seed := range uint64(600) {
		rng := rand.New(rand.NewPCG(seed, 9))
		// Mostly sense, so that not all ends at the first check.
		pick := func(usual float64) float64 {
			if rng.IntN(12) == 0 {
				return odd[rng.IntN(len(odd))]
			}
			return usual
		}
		req := led.Usual()
		v := part.Volt(pick([]float64{5, 12, 24}[rng.IntN(3)]))
		req.Supply = part.Window{Min: v * part.Volt(pick(0.9)), Nominal: v, Max: v * part.Volt(pick(1.1))}
		req.SupplyOhms = part.Ohm(pick(0.1))
		req.Rated, req.ConnectorRated, req.ContactOhms = part.Amp(pick(2)), part.Amp(pick(3)), part.Ohm(pick(0.01))
		req.Others = []led.Load{{Name: "fan", Watts: part.Watt(pick(3))}, {Name: "lamp", Ohms: part.Ohm(pick(24))}, {Name: "x", Amps: part.Amp(pick(0.1))}}[:rng.IntN(4)]
		req.Ambient = led.Celsius{Min: pick(-10), Nominal: pick(15), Max: pick(40)}
		req.WireCelsius, req.MaxChange, req.Derating = pick(20), pick(0.3), pick(0.5)
		d := &req.Defaults
		d.Current, d.Tolerance, d.ResistorRated = part.Amp(pick(0.008)), pick(0.05), part.Watt(pick(0.25))
		d.FeedLength = geom.Nm(min(max(pick(3e8), -1e15), 1e15))
		d.StringLength = rng.IntN(6) * rng.IntN(2)
		d.ThroughOhms = led.ThroughOhms{Plus: part.Ohm(pick(0.01)), Minus: part.Ohm(pick(0))}
		d.Kind.IMax, d.Kind.Tempco = part.Amp(pick(0.025)), pick(-0.002)
		if rng.IntN(2) == 0 {
			req.Groups = []led.Dimmed{{Name: "night", Kinds: []string{"red-3mm"}, Duty: pick(0.3)}, {Name: "alarm", Panels: []string{"b"}, Duty: 1}}
		}
		if rng.IntN(3) == 0 {
			c, _ := part.FindChemistry("li-ion")
			req.Battery = led.Battery{Chemistry: c, Cells: 3, AmpHours: pick(7)}
		}
		names := []string{"a", "b", "c", "d", "e"}
		for range rng.IntN(4) {
			run := led.Run{BothEnds: rng.IntN(2) == 0, BackLength: geom.MM(300)}
			if rng.IntN(3) == 0 {
				run.From = names[rng.IntN(5)]
			}
			for range rng.IntN(4) {
				run.Panels = append(run.Panels, names[rng.IntN(5)])
			}
			req.Chains = append(req.Chains, run)
		}
		panels := []panel.Panel{ledtest.Row("a", 1+rng.IntN(9)), ledtest.Row("b", 5), ledtest.Row("c", 1), ledtest.Row("d", rng.IntN(12))}
		c, l := ledtest.Whole(panels, req)
		for _, f := range l {
			require.NotEmpty(t, f.Advice, "seed %d: %v", seed, f)
		}
		_ = c.Tables()
		if l.HasErrors() {
			continue
		}
		whole++
		text := fmt.Sprintf("%+v", c)
		require.NotContains(t, text, "NaN", "seed %d", seed)
		require.NotContains(t, text, "Inf", "seed %d", seed)
		_, err := chance.Spread(t.Context(), c, req, seed, 5)
		require.NoError(t, err, "seed %d", seed)
	}
	require.Greater(t, whole, 50, "some of it makes sense")
	var none diag.List
	_, none = ledtest.Whole(nil, led.Usual())
	require.Empty(t, none)
}
