package part

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// Source: IEC 60063, as references.md section 1 prints it.
func TestSeriesAreThePrintedOnes(t *testing.T) {
	printed := map[Series]string{
		E6:  "10 15 22 33 47 68",
		E12: "10 12 15 18 22 27 33 39 47 56 68 82",
		E24: "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91",
		E48: "100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301 316 332 348 365 383 402 422 442 464 487 511 536 562 590 619 649 681 715 750 787 825 866 909 953",
		E96: "100 102 105 107 110 113 115 118 121 124 127 130 133 137 140 143 147 150 154 158 162 165 169 174 178 182 187 191 196 200 205 210 215 221 226 232 237 243 249 255 261 267 274 280 287 294 301 309 316 324 332 340 348 357 365 374 383 392 402 412 422 432 442 453 464 475 487 499 511 523 536 549 562 576 590 604 619 634 649 665 681 698 715 732 750 768 787 806 825 845 866 887 909 931 953 976",
	}
	for _, s := range AllSeries() {
		var got []string
		for _, v := range s.Decade() {
			got = append(got, strconv.Itoa(v))
		}
		require.Equal(t, printed[s], strings.Join(got, " "), s)
	}
}

func TestSeriesRounding(t *testing.T) {
	for _, c := range []struct {
		s                 Series
		r, up, down, near Ohm
	}{
		{E24, 500, 510, 470, 510}, // the published series-resistor example rounds 500 up to 510
		{E24, 300, 300, 300, 300},
		{E24, 950, 1000, 910, 910},
		{E24, 1001, 1100, 1000, 1000},
		{E12, 4700, 4700, 4700, 4700},
		{E96, 99.99, 100, 97.6, 100},
		{E6, 0.1, 1, 1, 1},
		{E24, 5.2, 5.6, 5.1, 5.1},
	} {
		require.InEpsilon(t, float64(c.up), float64(c.s.Up(c.r)), 1e-12, "%v", c)
		require.InEpsilon(t, float64(c.down), float64(c.s.Down(c.r)), 1e-12, "%v", c)
		require.InEpsilon(t, float64(c.near), float64(c.s.Nearest(c.r)), 1e-12, "%v", c)
	}
	// Every value is its own neighbour, and Next walks the whole series up.
	for _, s := range AllSeries() {
		r, steps := s.Up(1), 0
		for ; r < 1e6*(1-1e-9); r = s.Next(r) {
			require.Equal(t, r, s.Up(r))
			require.Equal(t, r, s.Down(r))
			steps++
		}
		require.Equal(t, 6*len(s.Decade()), steps, s)
	}
}

func TestRatings(t *testing.T) {
	b, ok := FindBody("r-1206")
	require.True(t, ok)
	r, fits := b.RatingFor(0.062, 0.5)
	require.True(t, fits)
	require.Equal(t, Watt(0.125), r) // references.md section 1: 1/8 W standard
	r, fits = b.RatingFor(0.063, 0.5)
	require.True(t, fits)
	require.Equal(t, Watt(0.25), r) // 1/4 W raised-power series
	_, fits = b.RatingFor(0.126, 0.5)
	require.False(t, fits)
}

func TestAllowed(t *testing.T) {
	for _, c := range [][2]Amp{{0.614191, 0.61}, {3, 3}, {0.2699999999999, 0.27}, {0.2699, 0.26}, {0.15000000000000002, 0.15}} {
		require.InDelta(t, float64(c[1]), float64(c[0].Allowed()), 1e-12, "%v", c)
	}
	require.Equal(t, "610 mA", Amp(0.614191).Allowed().String())
}

// Source: the IPC-2221 formula as references.md section 3 works it out, 1 oz of 1.378 mil, outer layers.
func TestTrackWidth(t *testing.T) {
	ounce := geom.MM(1.378 * 0.0254)
	for _, c := range []struct {
		i    Amp
		rise float64
		mm   float64
	}{
		{0.5, 10, 0.115}, {1, 10, 0.300}, {2, 10, 0.781}, {3, 10, 1.367}, {5, 10, 2.765}, {10, 10, 7.194},
		{0.5, 20, 0.076}, {1, 20, 0.197}, {2, 20, 0.513}, {3, 20, 0.898}, {5, 20, 1.816}, {10, 20, 4.724},
	} {
		require.InDelta(t, c.mm, TrackWidth(c.i, c.rise, ounce).MM(), 0.0016, "%v", c)
	}
	// The other way, 35 µm, 10 K.
	for mm, i := range map[float64]float64{0.15: 0.604, 0.20: 0.745, 0.25: 0.875, 0.30: 0.999, 0.50: 1.447, 1.0: 2.392, 2.0: 3.953, 2.54: 4.701} {
		require.InDelta(t, i, float64(TrackAmps(geom.MM(mm), 10, 35*geom.Micrometre)), 0.006, mm)
	}
	require.Zero(t, TrackWidth(0, 10, 35*geom.Micrometre))
}

// Source: IPC-2221 table 6-1, references.md section 3.
func TestSpacing(t *testing.T) {
	s, ok := SpacingFor(12)
	require.True(t, ok)
	require.Equal(t, Spacing{geom.MM(0.05), geom.MM(0.1), geom.MM(0.13)}, s)
	s, _ = SpacingFor(15.4) // whole-volt bands: already the next row
	require.Equal(t, geom.MM(0.25), s.Terminal)
	s, _ = SpacingFor(48)
	require.Equal(t, Spacing{geom.MM(0.13), geom.MM(0.6), geom.MM(0.4)}, s)
	_, ok = SpacingFor(230)
	require.False(t, ok)
}

// Source: references.md section 3: 0.4926 mΩ per square at 35 µm; 100 × 0.5 mm is 98.52 mΩ.
func TestSheet(t *testing.T) {
	require.InDelta(t, 0.4926e-3, float64(SheetOhms(35*geom.Micrometre)), 1e-7)
	require.InDelta(t, 98.52e-3, float64(SheetOhms(35*geom.Micrometre))*200, 1e-5)
}

// Source: ASTM B258 by references.md section 4 (diameter, area, and the test-equipment maker's table of resistance).
func TestAWG(t *testing.T) {
	for n, c := range map[int]struct{ mm2, ohmKm, amps float64 }{
		18: {0.8230, 20.95, 2.47}, 20: {0.5176, 33.30, 1.55}, 22: {0.3255, 52.95, 0.977},
		24: {0.2047, 84.22, 0.614}, 26: {0.1288, 133.89, 0.386}, 28: {0.0810, 212.93, 0.243},
	} {
		w := AWGWire(n)
		require.InDelta(t, c.mm2, w.MM2, 1e-4, n)
		require.InEpsilon(t, c.ohmKm, float64(w.Ohms)*1000, 1e-3, n)
		if w.MM2 < 0.5 {
			require.InEpsilon(t, c.amps, float64(w.Rated), 5e-3, n)
		}
	}
}

// One table of current for all wires, however they are named: thicker wire never carries less. 20 AWG, 0.518 mm², carries what
// 0.5 mm² does (IEC 60335-1 by references.md section 4), and below the table it is 3 A/mm².
func TestOneTableOfCurrent(t *testing.T) {
	require.Equal(t, Amp(3), AWGWire(20).Rated)
	require.Equal(t, Amp(6), AWGWire(18).Rated)
	require.InDelta(t, 0.66, float64(MetricWire(0.22).Rated), 1e-9)
	require.Equal(t, Amp(25), MetricWire(4).Rated)
	require.Equal(t, Amp(30), MetricWire(10).Rated)
	last := Wire{}
	for mm2 := 0.02; mm2 < 12; mm2 += 0.005 {
		w := MetricWire(mm2)
		require.GreaterOrEqual(t, w.Rated, last.Rated, "%s and %s", last.Text, w.Text)
		last = w
	}
	for n := range thinnestGauge + 1 {
		w := AWGWire(n)
		require.InDelta(t, float64(MetricWire(w.MM2).Rated), float64(w.Rated), 1e-6, w.Text)
	}
}

// Source: IEC 60228 class 5 and IEC 60335-1 by references.md section 4; its temperature factors R(t) = R20/Kt.
func TestMetricWire(t *testing.T) {
	for mm2, c := range map[float64]struct{ ohmKm, amps float64 }{0.5: {39.0, 3}, 0.75: {26.0, 6}, 1: {19.5, 10}, 1.5: {13.3, 16}, 2.5: {7.98, 25}} {
		w := MetricWire(mm2)
		require.InDelta(t, c.ohmKm, float64(w.Ohms)*1000, 1e-9)
		require.InDelta(t, c.amps, float64(w.Rated), 1e-9)
		for celsius, k := range map[float64]float64{25: 0.980, 30: 0.962, 40: 0.926, 50: 0.893} {
			require.InEpsilon(t, c.ohmKm/k, float64(w.At(celsius))*1000, 2e-3)
		}
	}
	// A size outside the standard is never better than copper itself, and never rated above the next larger size.
	w := MetricWire(0.22)
	require.Greater(t, float64(w.Ohms), copperOhmMM2/0.22)
	require.Less(t, float64(w.Rated), 3.0)
}

// Source: IEC 60127 R10 values, references.md section 5.
func TestFuses(t *testing.T) {
	for load, want := range map[Amp]Amp{0.030: 0.032, 0.26: 0.315, 1.3: 1.6, 2.6: 3.15, 8.1: 10} {
		f, ok := FuseFor(load, 1)
		require.True(t, ok)
		require.Equal(t, want, f)
	}
	// Cold resistances: two makers' time-lag sheets and a quick-acting one, references.md section 17. At its rated current no
	// cold link drops more than IEC 60127-2 allows (the limit column there, mV) or than the special-application sheet does.
	for rated, limit := range map[Amp]float64{1: 0.25, 1.25: 0.25, 1.6: 0.2, 2: 0.19, 2.5: 0.18, 3.15: 0.14, 4: 0.11, 5: 0.1, 6.3: 0.1, 8: 0.22, 0.5: 0.9, 0.2: 1.8} {
		require.LessOrEqual(t, float64(rated)*float64(FuseOhms(rated)), limit, rated)
		require.Greater(t, float64(FuseOhms(rated)), 0.0)
	}
	require.Equal(t, Ohm(0.27), FuseOhms(0.56), "that of the next smaller one")
	f, _ := FuseFor(1.3, 0.75)
	require.Equal(t, Amp(2), f)
	_, ok := FuseFor(11, 1)
	require.False(t, ok)
}

func TestCatalogue(t *testing.T) {
	kinds := Kinds()
	names := map[string]bool{}
	for _, k := range kinds {
		require.False(t, names[k.Name], k.Name)
		names[k.Name] = true
		require.NoError(t, k.Check())
		require.NotEmpty(t, k.Source)
		require.Greater(t, k.Candela, 0.0, k.Name)
		require.Equal(t, k.Completed(), k, "a kind of the catalogue leaves nothing open")
		// references.md section 2: absolute maximum of indicator lamps 25 to 30 mA, tested at 20 mA.
		require.LessOrEqual(t, float64(k.IMax), 0.030)
		require.Equal(t, 20*MilliAmp, k.Curve[0].I)
	}
	for _, c := range []string{"red", "amber", "green", "blue", "white", "warm-white"} {
		for _, p := range []string{"3mm", "5mm", "plcc2", "0805"} {
			require.True(t, names[c+"-"+p], c+"-"+p)
		}
	}
	k, ok := Find("RED-3mm")
	require.True(t, ok)
	require.Equal(t, "radial-3mm", k.Package)
	k.Curve[0].V = 99 // a copy
	again, _ := Find("red-3mm")
	require.NotEqual(t, Volt(99), again.Curve[0].V)
	// references.md section 2: red 1.8 to 2.2, blue 3.0 to 3.6, white 2.8 to 3.6 V at 20 mA (chart B).
	for name, lim := range map[string][2]Volt{"red-3mm": {1.8, 2.2}, "blue-3mm": {3.0, 3.6}, "white-3mm": {2.8, 3.6}, "green-3mm": {2.8, 3.5}} {
		k, _ := Find(name)
		require.Equal(t, lim, [2]Volt{k.VfMin, k.VfMax})
	}
}

func TestCheckRefusesTheImpossible(t *testing.T) {
	good, _ := Find("red-3mm")
	for what, spoil := range map[string]func(*LED){
		"no curve":       func(k *LED) { k.Curve = nil },
		"negative volts": func(k *LED) { k.Curve[0].V = -2 },
		"NaN":            func(k *LED) { k.Curve[1].V = Volt(math.NaN()) },
		"falling curve":  func(k *LED) { k.Curve[1].V = 5 },
		"same current":   func(k *LED) { k.Curve[1].I = k.Curve[0].I },
		"outside limits": func(k *LED) { k.VfMax = 1.9 },
		"no maximum":     func(k *LED) { k.IMax = 0 },
		"no name":        func(k *LED) { k.Name = "" },
	} {
		k, _ := Find("red-3mm")
		spoil(&k)
		require.Error(t, k.Check(), what)
	}
	require.NoError(t, good.Check())
}
