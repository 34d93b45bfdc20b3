package chance

import (
	"context"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/ledtest"
	"lampblack/led/solve"
	"lampblack/panel"
)

func TestSpread(t *testing.T) {
	panels, req := ledtest.Wall(3, 24)
	req.Others = []led.Load{{Name: "heater", Ohms: 100}}
	c, l := ledtest.Whole(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	s, err := Spread(context.Background(), c, req, 7, 300)
	require.NoError(t, err)
	require.Len(t, s.Panels, 3)
	for i, p := range s.Panels {
		require.Less(t, p.Light.P5, p.Light.P50)
		require.Less(t, p.Light.P50, p.Light.P95)
		nominal := c.Boards[i].MeanCurrent(false) / 0.008
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
	again, err := Spread(context.Background(), c, req, 7, 300)
	require.NoError(t, err)
	require.Equal(t, s, again)
	other, err := Spread(context.Background(), c, req, 8, 300)
	require.NoError(t, err)
	require.NotEqual(t, s.Demand, other.Demand)
}

// A console of exact parts does not spread.
func TestSpreadOfExactParts(t *testing.T) {
	req := led.Usual()
	req.Defaults.Kind = ledtest.Stiff()
	req.Defaults.Kind.Tempco = 0
	req.Defaults.Tolerance = 0
	c, _ := ledtest.Whole([]panel.Panel{ledtest.Row("dome", 12)}, req)
	s, err := Spread(context.Background(), c, req, 1, 20)
	require.NoError(t, err)
	require.InEpsilon(t, s.Demand.P5, s.Demand.P95, 1e-12)
	require.InEpsilon(t, float64(c.Source.Typical), s.Demand.P50, 1e-12)
	require.Equal(t, led.Percentiles{P5: 1, P50: 1, P95: 1}, s.Evenness)
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
	require.Equal(t, led.Percentiles{P5: 5, P50: 50, P95: 95}, percentiles(x))
	require.Equal(t, led.Percentiles{P5: 3, P50: 3, P95: 3}, percentiles([]float64{3}))
}

// 2,000 consoles of 40 boards with 2,000 strings.
func BenchmarkSpread(b *testing.B) {
	panels, req := ledtest.Wall(40, 350)
	c, _ := ledtest.Whole(panels, req)
	for b.Loop() {
		if _, err := Spread(context.Background(), c, req, 1, 2000); err != nil {
			b.Fatal(err)
		}
	}
}

// A fault in a worker comes out in the caller, where it can be told, and does not end the program.
func TestFaultInAWorkerComesOut(t *testing.T) {
	panels, req := ledtest.Wall(2, 8)
	c, _ := ledtest.Whole(panels, req)
	k := solve.Ready(c)
	near, err := k.Nominal()
	require.NoError(t, err)
	nowhere := trial{k: k, near: near, lots: []lot{{tap: k.Taps(), leds: 1, ohms: 100, slope: 1}}}
	require.Panics(t, func() { _, _ = build(t.Context(), nowhere, []float64{1, 1}, 1, 50) })
}

// Nobody waits for the rest of the consoles any more.
func TestSpreadStops(t *testing.T) {
	panels, req := ledtest.Wall(2, 8)
	c, _ := ledtest.Whole(panels, req)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Spread(ctx, c, req, 1, 50)
	require.ErrorIs(t, err, context.Canceled)
}
