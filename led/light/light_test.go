package light

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// halfAngle is the inverse of lobe.
func halfAngle(m float64) float64 { return math.Acos(math.Pow(2, -1/m)) * 180 / math.Pi }

// Source: references.md section 10, m of the half angles.
func TestLobe(t *testing.T) {
	for a, m := range map[float64]float64{10: 45.2776, 15: 19.9937, 30: 4.8188, 45: 2.0000, 60: 1.0000} {
		require.InDelta(t, m, lobe(a), 1e-4, a)
		require.InDelta(t, a, halfAngle(lobe(a)), 1e-9)
	}
	for _, a := range []float64{0, -5, math.NaN(), 90, 180, 1e9} {
		require.True(t, lobe(a) > 0 && lobe(a) < 1000, "%g", a)
	}
}

// Source: references.md section 10, "Point source": I0 = 0.5 cd at z = 10 mm gives 5000 lx, and the shares at angles off the
// axis for m = 1 and m = 4.8188.
func TestPointSource(t *testing.T) {
	const z = 10.0
	require.InEpsilon(t, 5000.0, 0.5*plane(1, z, 0), 1e-12)
	for m, shares := range map[float64]map[float64]float64{
		1:      {15: 0.8705, 30: 0.5625, 45: 0.2500, 60: 0.0625},
		4.8188: {15: 0.7626, 30: 0.3248, 45: 0.0666, 60: 0.0044},
	} {
		table := newProfile(m, z)
		for angle, share := range shares {
			r := z * math.Tan(angle*math.Pi/180)
			require.InDelta(t, share, plane(m, z, r*r)/plane(m, z, 0), 6e-5, "m %g at %g°", m, angle)
			require.InDelta(t, share, table.at(r/z)/table.at(0), 6e-5)
		}
	}
}

// The table must be the formula, near and far, narrow and wide.
func TestProfileIsTheFormula(t *testing.T) {
	for _, m := range []float64{0.4, 1, 4.8, 45, 500} {
		p := newProfile(m, 8)
		for _, u := range []float64{0, 1e-4, 0.01, 0.1, 0.333, 1, 3, 10, 100, 1e6} {
			require.InDelta(t, plane(m, 8, u*u*64), p.at(u), 5e-6*plane(m, 8, 0), "m %g u %g", m, u)
		}
	}
}

// Source: Moreno, Avendaño-Alejo, Tzonchev, Applied Optics 45 (2006) 2265, with the receiver's cosine (references.md section
// 10, last column): two LEDs this far apart light the middle between them most evenly, so that the second derivative is 0.
func TestTwoLEDsFlatInTheMiddle(t *testing.T) {
	for angle, d := range map[float64]float64{10: 0.2849, 15: 0.4083, 30: 0.6735, 45: 0.8165, 60: 0.8944} {
		m, z := lobe(angle), 10.0
		e := func(x, d float64) float64 {
			l, r := x-d*z/2, x+d*z/2
			return plane(m, z, l*l) + plane(m, z, r*r)
		}
		bend := func(d float64) float64 { const h = 0.05; return e(-h, d) - 2*e(0, d) + e(h, d) }
		require.Less(t, bend(d*0.99), 0.0, "closer than %g z the middle is a hill", d)
		require.Greater(t, bend(d*1.01), 0.0, "farther apart it is a valley")
	}
}

// Source: references.md section 10, ripple of a long line (121 LEDs) and of a square lattice (51 × 51). Its exponent leaves
// the receiver's cosine out, so that its m is ours and one more.
func TestRipple(t *testing.T) {
	for _, c := range []struct {
		m, k, line, square float64
	}{
		{4.8188, 0.75, 0.9969, 0.9934}, {4.8188, 1, 0.9682, 0.9388}, {4.8188, 1.25, 0.8857, 0.7964}, {4.8188, 1.5, 0.7561, 0.6008},
	} {
		const z = 10.0
		ours := c.m - 1
		d := c.k * z * math.Sqrt(4/(c.m+3))
		e := func(x float64) float64 {
			sum := 0.0
			for i := -60; i <= 60; i++ {
				r := x - float64(i)*d
				sum += plane(ours, z, r*r)
			}
			return sum
		}
		require.InDelta(t, c.line, e(d/2)/e(0), 2e-4, "line at %g", c.k)
		q := c.k * z * math.Sqrt(4/(c.m+2))
		sq := func(x, y float64) float64 {
			sum := 0.0
			for i := -25; i <= 25; i++ {
				for j := -25; j <= 25; j++ {
					dx, dy := x-float64(i)*q, y-float64(j)*q
					sum += plane(ours, z, dx*dx+dy*dy)
				}
			}
			return sum
		}
		require.InDelta(t, c.square, sq(q/2, q/2)/sq(0, 0), 2e-4, "square at %g", c.k)
	}
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
	s := Stack{Distance: geom.MM(10), Transmission: 0.5, Stroke: geom.MM(0.6)}
	f := Evaluate(p, w, s)
	require.False(t, f.Assumed)
	require.Len(t, f.Texts, 1)
	require.Equal(t, f.Figures, f.Texts[0].Figures)
	require.Less(t, f.Max, 5000.0) // 0.5 cd at 10 mm: 5000 lx on the axis, less beside it
	require.Greater(t, f.Max, 4500.0)
	require.True(t, f.Min < f.Mean && f.Mean < f.Max)
	require.InDelta(t, f.Min/f.Mean, f.MinToMean, 1e-12)
	require.InDelta(t, f.Max/f.Min, f.MaxToMin, 1e-12)
	// Slow oracle: the formula itself at every sample.
	mean, n := 0.0, 0
	for _, q := range spotsOf(p, s)[0].points {
		d := q.Sub(p.LEDs[0].At)
		mean += 0.5 * plane(lobe(30), 10, d.X.MM()*d.X.MM()+d.Y.MM()*d.Y.MM())
		n++
	}
	require.InEpsilon(t, mean/float64(n), f.Mean, 2e-3) // lines between values of a grid of 0.5 mm
}

func TestLightFollowsCurrentAndDistance(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(30, 20), geom.PtMM(50, 20))
	s := UsualStack()
	full := Evaluate(p, w, s)
	for i := range w.Strings {
		w.Strings[i].Nominal /= 2
	}
	half := Evaluate(p, w, s)
	require.InEpsilon(t, full.Mean/2, half.Mean, 1e-9)
	require.InDelta(t, full.MinToMean, half.MinToMean, 1e-9)
	// Farther away the light is weaker and more even.
	s.Distance = geom.MM(20)
	far := Evaluate(p, w, s)
	require.Less(t, far.Mean, half.Mean)
	require.Greater(t, far.MinToMean, half.MinToMean)
	// One string dark: the text is uneven.
	w.Strings[0].Nominal = 0
	require.Less(t, Evaluate(p, w, s).MinToMean, far.MinToMean)
}

// Smoothing keeps the light's sum: what leaves one place arrives beside it.
func TestSmoothingKeepsTheSum(t *testing.T) {
	g := Grid{Step: geom.Millimetre, W: 61, H: 41, V: make([]float64, 61*41)}
	g.V[20*61+30] = 1000
	s := g.smoothed(geom.MM(3))
	sum, mx := 0.0, 0.0
	var vx, vy float64
	for j := range s.H {
		for i := range s.W {
			v := s.V[j*s.W+i]
			sum += v
			mx = max(mx, v)
			vx += v * float64((i-30)*(i-30))
			vy += v * float64((j-20)*(j-20))
		}
	}
	require.InEpsilon(t, 1000, sum, 1e-9)
	require.Equal(t, mx, s.V[20*61+30])
	// The variance is the Gaussian's, but for the tails beyond three deviations.
	require.InEpsilon(t, 9, vx/sum, 0.05)
	require.InEpsilon(t, vx, vy, 1e-9)
}

func TestEvenerWithDiffuser(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(36, 20), geom.PtMM(44, 20))
	s := UsualStack()
	with := Evaluate(p, w, s)
	s.Spread = 0
	require.Greater(t, with.MinToMean, Evaluate(p, w, s).MinToMean)
}

func TestNothingToLight(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(40, 20))
	require.Zero(t, Evaluate(panel.Panel{}, led.Wiring{}, UsualStack()))
	// No lettering: the whole panel is judged, and no text.
	p.Lettering = nil
	f := Evaluate(p, w, UsualStack())
	require.Empty(t, f.Texts)
	require.InEpsilon(t, 80*40, f.AreaMM2, 1e-6)
	require.Greater(t, f.Mean, 0.0)
	// No LED: dark, and no figure that is not a number.
	p.Lettering = []panel.Text{slew()}
	dark := Evaluate(p, led.Wiring{}, UsualStack())
	require.Zero(t, dark.Mean)
	require.Zero(t, dark.MinToMean)
	require.Zero(t, dark.MaxToMin)
	// A kind of unknown intensity is told.
	w.LEDs[0].Kind.Candela = 0
	require.True(t, Evaluate(p, w, UsualStack()).Assumed)
}

func TestSymbolsCount(t *testing.T) {
	p, w := desk(slew(), geom.PtMM(20, 20))
	p.Symbols = []panel.Symbol{{Closed: true, Shape: geom.Circle(geom.PtMM(20, 20), geom.MM(5))}, {Shape: geom.Straight(geom.PtMM(60, 5), geom.PtMM(75, 5))}}
	f := Evaluate(p, w, UsualStack())
	require.Len(t, f.Texts, 3)
	require.Equal(t, "symbol 1", f.Texts[1].Text)
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

func TestLuminance(t *testing.T) {
	// A perfect diffuser of transmission 1 lit with π lx has 1 cd/m² (L = E/π, Lambert; references.md section 10).
	g := Grid{W: 1, H: 1, Step: 1, V: []float64{math.Pi}}
	require.InEpsilon(t, 1.0, g.Luminance(Stack{Transmission: 1}).V[0], 1e-12)
	require.Equal(t, math.Pi, g.At(geom.PtMM(5, 5)))
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
				Evaluate(p, w, UsualStack())
			}
		})
	}
}
