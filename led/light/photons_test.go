package light

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/photontest"
	"lampblack/panel/geom"
)

// followed returns the stack as photons are sent through it, behind an LED of that half angle. Its diffuser passes straight what
// the data file says; how strongly it scatters forward, and what it absorbs, is found by photons alone, so that it passes and
// absorbs as much as the data file says.
func followed(s Stack, halfAngle float64) photontest.Stack {
	tau := -math.Log(s.Transmission * (1 - s.Haze) / 0.9239) // 0.9239: what two surfaces of index 1.49 let through
	l := photontest.Layer{Thick: s.Diffuser.MM(), Index: 1.49, Scatter: tau / s.Diffuser.MM(), Absorb: s.Absorption / 12}
	reduced := max(3.6/s.Transmission-5, 0.4)
	for range 6 {
		l.Forward = 1 - reduced/tau
		p := l.Through(5000, 1)
		reduced *= (1/s.Transmission - 1.085) / (1/p.Passed - 1.085)
		l.Absorb *= s.Absorption / (1 - p.Passed - p.Returned)
	}
	l.Forward = 1 - reduced/tau
	return photontest.Stack{
		Layers: []photontest.Layer{{Index: 1}, {Thick: s.Sheet.MM(), Index: 1.49}, {Thick: s.Gap.MM(), Index: 1}, l, {Index: 1}, {Thick: s.Face.MM(), Index: 1.49}},
		Board:  s.Board, Gap: 2, Tip: s.Gap.MM(), Lobe: -math.Ln2 / math.Log(math.Cos(halfAngle*math.Pi/180)), Source: 0.5, Paint: 0.96,
	}
}

// modelled returns what the model has of one LED of 1 cd, in rings as photontest has them.
func modelled(s Stack, halfAngle, step float64, rings int) []float64 {
	p, w := desk(slew(), geom.PtMM(60, 60))
	p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(120, 120)})
	w.LEDs[0].Kind.HalfAngle, w.LEDs[0].Kind.Candela = halfAngle, 1
	layers, _ := lightOf(p, w, s, newOptics(nil, s), 0)
	out := make([]float64, rings)
	for i := range out {
		// The mean over the ring's area.
		const n = 8
		area := 0.0
		for k := range n {
			r := (float64(i) + (float64(k)+0.5)/n) * step
			out[i] += r * layers[0].At(geom.PtMM(60+r, 60))
			area += r
		}
		out[i] /= area
	}
	return out
}

// shape returns the peak, as the mean within near rings, and the full width at half of it, mm.
func shape(v []float64, step float64, near int) (peak, width float64) {
	for i := range near {
		peak += v[i] * float64(2*i+1)
	}
	peak /= float64(near * near)
	for i := 1; i < len(v); i++ {
		if v[i] < peak/2 {
			return peak, 2 * step * (float64(i) - 0.5 + (v[i-1]-peak/2)/(v[i-1]-v[i]))
		}
	}
	return peak, math.Inf(1)
}

// One LED behind the usual stack, each grade, seen through frosted engraving: peak and width are within 10 % of what photons do
// that are followed one by one, by a package that shares nothing with this one. Through clear engraving the LED's own disc and the
// light round it are.
func TestAgainstPhotons(t *testing.T) {
	angles := []float64{15, 30, 60}
	if testing.Short() {
		angles = angles[1:2]
	}
	const step, rings = 0.75, 20
	for _, grade := range Grades() {
		s := UsualStack().WithDiffuser(grade)
		for _, angle := range angles {
			t.Run(fmt.Sprintf("%s %g", grade, angle), func(t *testing.T) {
				photons := 100_000
				if grade == "opal-dense" { // each takes long to get through
					photons = 40_000
				}
				want := followed(s, angle).Look(photons, 1, step, step*rings)
				s.Finish = Frosted
				got := modelled(s, angle, step, rings)
				peak, width := shape(got, step, 3)
				wantPeak, wantWidth := shape(want.Frosted, step, 3)
				t.Logf("frosted: peak %.3f, width %.3f of that of photons, %.0f cd/m² and %.1f mm", peak/wantPeak, width/wantWidth, wantPeak, wantWidth)
				require.InEpsilon(t, wantPeak, peak, 0.1, "peak")
				require.InEpsilon(t, wantWidth, width, 0.1, "width")

				s.Finish = Clear
				got = modelled(s, angle, step, rings)
				t.Logf("clear: over the LED %.3f of that of photons, %.0f cd/m²", got[0]/want.Clear[0], want.Clear[0])
				require.InEpsilon(t, want.Clear[0], got[0], 0.15, "over the LED")
				for i := 1; i < rings; i++ {
					require.InDelta(t, want.Clear[i], got[i], 0.2*want.Clear[i]+0.03*wantPeak, "ring %d", i)
				}
			})
		}
	}
}

// Straight on through clear engraving a light opal shows each LED of a row 10 to 55 times as bright as the place between two, where
// frosted engraving hardly tells them apart: so is what photons do that are followed one by one.
func TestClearEngravingShowsLEDs(t *testing.T) {
	ratio := func(grade string, finish Finish, angle, pitch float64) float64 {
		var at []geom.Pt
		for i := range 7 {
			at = append(at, geom.PtMM(60+float64(i-3)*pitch, 40))
		}
		p, w := desk(slew(), at...)
		p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(120, 80)})
		for i := range w.LEDs {
			w.LEDs[i].Kind.HalfAngle = angle
		}
		s := UsualStack().WithDiffuser(grade)
		s.Finish = finish
		layers, _ := lightOf(p, w, s, newOptics(nil, s), 0)
		return layers[0].At(geom.PtMM(60, 40)) / layers[0].At(geom.PtMM(60+pitch/2, 40))
	}
	for _, c := range []struct{ angle, pitch float64 }{{15, 8}, {15, 10}, {30, 12}, {30, 15}, {60, 18}, {60, 22}} {
		name := fmt.Sprintf("half angle %g, %g mm apart", c.angle, c.pitch)
		light, medium, dense := ratio("opal-light", Clear, c.angle, c.pitch), ratio("opal-medium", Clear, c.angle, c.pitch), ratio("opal-dense", Clear, c.angle, c.pitch)
		t.Logf("%s: light %.1f, medium %.1f, dense %.1f", name, light, medium, dense)
		require.True(t, light > 10 && light < 55, "%s: %g", name, light)
		require.Less(t, medium, light/3, name)
		require.Less(t, dense, medium, name)
		require.Less(t, ratio("opal-light", Frosted, c.angle, c.pitch), 2.0, name)
	}
	// The same of photons, from one LED's rings: the nearest seven LEDs of the row.
	v := followed(UsualStack().WithDiffuser("opal-light"), 30).Look(60_000, 2, 0.75, 60)
	at := func(r float64) float64 { return v.Clear[int(math.Abs(r)/0.75)] }
	const pitch = 12
	over, between := 0.0, 0.0
	for i := -3; i <= 3; i++ {
		over += at(float64(i) * pitch)
		between += at((float64(i) + 0.5) * pitch)
	}
	// The first ring is wider than the LED's disc.
	require.InEpsilon(t, ratio("opal-light", Clear, 30, pitch), over/between, 0.35)
	require.Greater(t, over/between, 8.0)
}
