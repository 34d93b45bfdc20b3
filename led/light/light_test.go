package light

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// lightOf returns the light of the whole panel by colour, and whether an intensity was assumed.
func lightOf(p panel.Panel, w led.Wiring, s Stack, o optics, step geom.Nm) ([]Layer, bool) {
	all, beams, assumed := lamps(p, w, s)
	return luminance(nil, p, s, o, all, o.arrivals(beams), step), assumed
}

// desk returns a panel with LEDs at the points and a text, and its wiring at the data sheet's current.
func desk(text panel.Text, at ...geom.Pt) (panel.Panel, led.Wiring) {
	p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(80, 40)}), Lettering: []panel.Text{text}}
	kind := part.LED{Name: "test", Curve: []part.VfPoint{{I: 0.020, V: 2}}, HalfAngle: 30, Candela: 0.5}
	w := led.Wiring{Panel: "dome"}
	for i, q := range at {
		p.LEDs = append(p.LEDs, panel.Hole{At: q, D: geom.MM(3)})
		w.LEDs = append(w.LEDs, led.LED{Hole: i, Kind: kind, String: led.StringID(i)})
		w.Strings = append(w.Strings, led.String{LEDs: []int{i}, Nominal: 0.020})
	}
	return p, w
}

func slew() panel.Text {
	return panel.Text{Text: "SLEW", At: geom.PtMM(40, 20), Height: geom.MM(4), Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}}
}

// One LED under the text: the field must be the formula at the sample points, without a diffuser's smoothing.
func TestEvaluateOneLED(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(40, 20))
	s := Stack{Gap: geom.MM(10), Transmission: 0.5, Absorption: 0.5, FaceTransmission: 1}
	f := Evaluate(context.Background(), p, nil, w, s)
	require.False(t, f.Assumed)
	require.Len(t, f.Texts, 1)
	require.Equal(t, f.Figures, f.Texts[0].Figures)
	// 0.5 cd at 10 mm: 5000 lx on the axis, less beside it; half of it leaves evenly, L = E/π (Lambert; references.md
	// section 10).
	require.Less(t, f.Max, 2500.0/math.Pi)
	require.Greater(t, f.Max, 2250.0/math.Pi)
	require.True(t, f.Min < f.Mean && f.Mean < f.Max)
	require.InDelta(t, f.Min/f.Mean, f.MinToMean, 1e-12)
	require.InDelta(t, f.Max/f.Min, f.MaxToMin, 1e-12)
	// Slow oracle: the formula itself at every sample.
	mean, n := 0.0, 0.0
	for _, c := range spotsOf(nil, p, nil)[0].chars {
		for _, q := range c.points {
			d := q.Sub(p.LEDs[0].At)
			mean += c.area * 0.5 * 0.5 / math.Pi * pointLux(lobe(30), 10, d.X.MM()*d.X.MM()+d.Y.MM()*d.Y.MM())
			n += c.area
		}
	}
	require.InEpsilon(t, mean/n, f.Mean, 1e-3)
}

func TestLightFollowsCurrentAndDistance(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(30, 20), geom.PtMM(50, 20))
	s := UsualStack()
	full := Evaluate(context.Background(), p, nil, w, s)
	for i := range w.Strings {
		w.Strings[i].Nominal /= 2
	}
	half := Evaluate(context.Background(), p, nil, w, s)
	require.InEpsilon(t, full.Mean/2, half.Mean, 1e-9)
	require.InDelta(t, full.MinToMean, half.MinToMean, 1e-9)
	// Farther away the light is weaker and more even.
	s.Gap = geom.MM(20)
	far := Evaluate(context.Background(), p, nil, w, s)
	require.Less(t, far.Max, half.Max)
	require.Greater(t, far.MinToMean, half.MinToMean)
	// One string dark: the text is uneven.
	w.Strings[0].Nominal = 0
	require.Less(t, Evaluate(context.Background(), p, nil, w, s).MinToMean, far.MinToMean)
}

func TestEvenerWithDiffuser(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(36, 20), geom.PtMM(44, 20))
	s := UsualStack()
	with := Evaluate(context.Background(), p, nil, w, s)
	s.Diffuser = 0
	require.Greater(t, with.MinToMean, Evaluate(context.Background(), p, nil, w, s).MinToMean)
}

func TestNothingToLight(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(40, 20))
	require.Zero(t, Evaluate(context.Background(), panel.Panel{}, nil, led.Wiring{}, UsualStack()))
	// No lettering: the whole panel is judged, and no text.
	p.Lettering = nil
	f := Evaluate(context.Background(), p, nil, w, UsualStack())
	require.Empty(t, f.Texts)
	require.InEpsilon(t, 80*40, f.AreaMM2, 1e-6)
	require.Greater(t, f.Mean, 0.0)
	// No LED: dark, and no figure that is not a number.
	p.Lettering = []panel.Text{slew()}
	dark := Evaluate(context.Background(), p, nil, led.Wiring{}, UsualStack())
	require.Zero(t, dark.Mean)
	require.Zero(t, dark.MinToMean)
	require.Zero(t, dark.MaxToMin)
	// A kind of unknown intensity is told.
	w.LEDs[0].Kind.Candela = 0
	require.True(t, Evaluate(context.Background(), p, nil, w, UsualStack()).Assumed)
}

func TestSymbolsCount(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(20, 20))
	p.Symbols = []panel.Symbol{{Closed: true, Filled: true, Shape: geom.Circle(geom.PtMM(20, 20), geom.MM(5))}, {Shape: geom.Straight(geom.PtMM(60, 5), geom.PtMM(75, 5))}}
	f := Evaluate(context.Background(), p, nil, w, UsualStack())
	require.Len(t, f.Texts, 3)
	require.Equal(t, []string{"the filled circle of 5 mm", "the line 15 mm long"}, []string{f.Texts[1].Text, f.Texts[2].Text})
	require.InEpsilon(t, math.Pi*25/4, f.Texts[1].AreaMM2, 0.01)
	require.Greater(t, f.Texts[1].Mean, f.Texts[2].Mean)
	require.Equal(t, f.Max, f.Texts[1].Max)
}

// Samples stand for the region's exact area and lie within it.
func TestSamples(t *testing.T) {
	g := geom.NewRegion(geom.Rect(geom.Box{Max: geom.PtMM(10, 6)}).Ring(1000), geom.Rect(geom.Box{Min: geom.PtMM(2, 2), Max: geom.PtMM(8, 4)}).Ring(1000))
	pts, area := samples(g, geom.MM(0.2))
	require.InEpsilon(t, 60-12, area*float64(len(pts)), 1e-9)
	for _, p := range pts {
		x, y := p.X.MM(), p.Y.MM()
		require.True(t, x >= 0 && x <= 10 && y >= 0 && y <= 6)
		require.False(t, x > 2 && x < 8 && y > 2 && y < 4, "%v lies in the hole", p)
	}
	// Thinner than the step: not lost. Huge: not endless.
	pts, _ = samples(geom.NewRegion(geom.Rect(geom.Box{Max: geom.Pt{X: geom.MM(5), Y: 900}}).Ring(10)), geom.MM(1))
	require.NotEmpty(t, pts)
	pts, _ = samples(geom.NewRegion(geom.Rect(geom.Box{Max: geom.PtMM(1000, 1000)}).Ring(1000)), 1000)
	require.Less(t, len(pts), 5*mostSamples)
}

func BenchmarkEvaluate(b *testing.B) {
	for _, n := range []int{60, 500} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var at []geom.Pt
			for i := range n {
				at = append(at, geom.PtMM(float64(i%25)*16, float64(i/25)*15))
			}
			p, w := desk(slew(), at...)
			p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(400, 300)})
			for i := range n / 4 {
				t := slew()
				t.At = at[i*4]
				p.Lettering = append(p.Lettering, t)
			}
			for b.Loop() {
				Evaluate(context.Background(), p, nil, w, UsualStack())
			}
		})
	}
}
