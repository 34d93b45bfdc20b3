package light

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/led/photontest"
	"lampblack/panel/geom"
)

// hankel transforms a radial density to wave number k: 2π∫ f(r) J0(kr) r dr.
func hankel(f func(r float64) float64, k, far float64) float64 {
	const n = 4000
	sum := 0.0
	for i := range n {
		r := far * (float64(i) + 0.5) / n
		sum += f(r) * math.J0(k*r) * r
	}
	return 2 * math.Pi * sum * far / n
}

func none(float64) float64 { return 0 }

// Source: M. A. Heaslet and R. F. Warming, "Radiative transport and wall temperature slip in an absorbing planar medium",
// International Journal of Heat and Mass Transfer 8, 1965, 979-994 (in textbooks of radiative heat transfer, from memory): of
// light from all sides a slab that scatters evenly, absorbs nothing and has no surfaces passes these shares, by its depth.
func TestSlabPassesWhatIsPublished(t *testing.T) {
	for depth, want := range map[float64]float64{0.1: 0.9157, 0.5: 0.7040, 1: 0.5532, 2: 0.3900, 3: 0.3016} {
		s := newSlab(1, depth, 0, none, none)
		g := s.from(nil, 0, out{})
		got := 0.0
		const n = 400
		for i := range n {
			mu := (float64(i) + 0.5) / n
			light := 1.0
			for _, v := range g {
				fall := math.Exp(-depth / float64(s.cells) / mu)
				got += 2 * mu / n * light * (1 - fall) * v
				light *= fall
			}
			got += 2 * mu / n * light
		}
		require.InDelta(t, want, got, 0.003, "depth %g", depth)
	}
}

// Source: D. Contini, F. Martelli and G. Zaccanti, "Photon migration through a turbid slab described by a model based on
// diffusion approximation. I. Theory", Applied Optics 36(19), 1997, 4587-4599, doi:10.1364/AO.36.004587: in the dense limit light
// enters as a source one transport path z0 deep, between boundaries ze outside of each face where it vanishes, so that
// T(k) = sinh(k(z0+ze))·cosh(k·ze)/sinh(k(d+2ze)). ze/z0 = 2/3·(1+R)/(1-R), R of R. A. J. Groenhuis et al., Applied Optics 22(16),
// 1983, 2456-2462, doi:10.1364/AO.22.002456.
func TestDenseSlabDiffuses(t *testing.T) {
	const d, depth = 3.0, 16.0
	r := -1.440/(acrylic*acrylic) + 0.710/acrylic + 0.668 + 0.0636*acrylic
	z0 := d / depth
	ze := z0 * 2 / 3 * (1 + r) / (1 - r)
	s := newSlab(d, depth/d, 0, fresnel, fresnel)
	passed, _ := s.shares(nil)
	require.InEpsilon(t, (z0+ze)/(d+2*ze), passed, 0.07)
	first, _ := s.entered(1)
	whole := weighed(first, s.from(nil, 0, out{}))
	for _, k := range []float64{0.1, 0.3, 1} {
		want := math.Sinh(k*(z0+ze)) * math.Cosh(k*ze) / math.Sinh(k*(d+2*ze)) * (d + 2*ze) / (z0 + ze)
		require.InEpsilon(t, want, weighed(first, s.from(nil, k, out{}))/whole, 0.1, "k %g", k)
	}
}

// A slab that scatters evenly passes and sends back what photons do that are followed one by one; and the fit finds its
// coefficients from that alone.
func TestSlabAgainstPhotons(t *testing.T) {
	for _, c := range [][2]float64{{0.15, 0.1}, {0.28, 0.06}, {0.48, 0.05}, {0.7, 0.04}, {0.85, 0.02}} {
		s := fitted(nil, 3, c[0], c[1])
		passed, absorbed := s.shares(nil)
		require.InDelta(t, c[0], passed, 1e-5)
		require.InDelta(t, c[1], absorbed, 1e-5)
		p := photontest.Layer{Thick: 3, Index: acrylic, Scatter: s.scatter, Absorb: s.absorb}.Through(20_000, 1)
		require.InDelta(t, passed, p.Passed, 0.012, "%v", c)
		require.InDelta(t, absorbed, 1-p.Passed-p.Returned, 0.005, "%v", c)
	}
}

// However a sheet is said to be, the fit comes to numbers, and nothing passes more than clear acrylic does.
func TestFitOfOddSheets(t *testing.T) {
	for _, d := range []float64{0.1, 3, 100} {
		for _, share := range []float64{0, 0.001, 0.05, 0.5, 0.92, 1} {
			for _, a := range []float64{0, 0.05, 0.5, 1} {
				s := fitted(nil, d, share, a)
				passed, absorbed := s.shares(nil)
				require.True(t, passed >= 0 && passed <= 0.93 && absorbed >= 0 && absorbed <= 1, "%g mm, %g, %g: %g %g", d, share, a, passed, absorbed)
			}
		}
	}
}

// Forward light: with no scattering to all sides lost it is all the light there is, and its density sums to it.
func TestForwardScattering(t *testing.T) {
	const reduced, tau = 0.5, 5.0
	g := 1 - reduced/tau
	require.InDelta(t, math.Exp(-reduced)-math.Exp(-tau), func() float64 {
		sum := 0.0
		const n = 20_000
		for i := range n {
			x := -1 + 2*(float64(i)+0.5)/n
			p := 0.0
			power := 1.0
			legendre(x, func(l int, q float64) bool {
				p += float64(2*l+1) / 2 * (math.Exp(-tau*(1-min(power, g))) - math.Exp(-tau)) * q
				power *= g
				return l < 300
			})
			sum += p * 2 / n
		}
		return sum
	}(), 1e-6)
	lobe := forward(reduced, tau)
	for i := 1; i < slants; i++ {
		require.Less(t, lobe[i], lobe[i-1], "it falls with the slant")
	}
	require.Equal(t, [slants + 1]float64{}, forward(0, 0))
	// Without surfaces in the way all of it leaves that is turned by less than a right angle; a front that sends back all lets none out.
	require.InDelta(t, 0, leaving(reduced, tau, func(float64) float64 { return 1 })[0], 1e-12)
	clear := leaving(0, 0, fresnel)
	require.InDelta(t, 1-fresnel(1), clear[0], 1e-9)
	p := passage{slab: slab{d: 3}, face: 3, reduced: reduced, tau: tau}
	// Waves that are long against the sheet are not softened, and short ones keep what is not scattered at all.
	require.InDelta(t, 1.0, p.softening(0.1, false), 1e-8)
	require.InDelta(t, math.Exp(-(tau - reduced)), p.softening(200, false), 1e-3)
}

// The face's blur keeps the light's sum and is the transform of the density that its comment derives; so is lambert's.
func TestKernels(t *testing.T) {
	face := func(r float64) float64 {
		const t = 3.0
		if r*r > t*t/(acrylic*acrylic-1) {
			return 0
		}
		return acrylic * acrylic * t * t / (math.Pi * (t*t + r*r) * (t*t + r*r))
	}
	for _, k := range []float64{0, 0.5, 2} {
		require.InDelta(t, faceMTF(3, k), hankel(face, k, 3), 1e-3)
	}
	require.InDelta(t, 1, hankel(func(r float64) float64 { return lambert(8, r*r) }, 0, 800), 1e-3)
	// kh·K1(kh), K1(1) = 0.6019072302 (Abramowitz and Stegun, table 9.8, from memory).
	require.InDelta(t, 0.6019072302, hankel(func(r float64) float64 { return lambert(8, r*r) }, 1.0/8, 800), 1e-3)
}

// Thicker opal passes less, and three millimetres are the data file's.
func TestGrades(t *testing.T) {
	for _, g := range Grades() {
		last := 1.0
		for _, d := range []float64{1, 2, 3, 4, 6, 10} {
			s := Stack{Diffuser: geom.MM(d)}.WithDiffuser(g)
			require.Less(t, s.Transmission, last, "%s %g mm", g, d)
			require.GreaterOrEqual(t, s.Reflection(), 0.0)
			require.InDelta(t, 1, s.Reflection()+s.Transmission+s.Absorption, 1e-12)
			last = s.Transmission
			require.True(t, s.Haze > 0 && s.Haze <= 1, "%s %g mm: haze %g", g, d, s.Haze)
		}
	}
	s := Stack{Diffuser: geom.MM(3)}.WithDiffuser("OPAL-DENSE")
	require.Equal(t, 0.28, s.Transmission)
	require.Equal(t, s, s.WithDiffuser("no such grade"))
	require.Equal(t, []string{"clear", "white", "black"}, Sheets())
	require.Equal(t, []string{"white", "green", "black"}, Boards())
}

// The wall of its hole cuts an LED off: a black or clear sheet swallows what hits it, a white one gives some back, and no
// sheet gives more than there was.
func TestHoleWall(t *testing.T) {
	kind := part.LED{HalfAngle: 60}
	flux := func(s Stack) float64 {
		b := newBeam(kind, geom.MM(3), s)
		const n, far = 40000, 400.0
		sum := 0.0
		for i := range n {
			r := far * (float64(i) + 0.5) / n
			sum += b.lux(r*r) * r
		}
		return 2 * math.Pi * sum * far / n / 1e6 // lm per cd
	}
	s := Stack{Gap: geom.MM(8), SheetReflection: 0.05}
	// All of a Lambert source's light arrives: π lm per cd.
	require.InEpsilon(t, math.Pi, flux(s), 2e-3)
	s.Sunk = geom.MM(1.5)
	black := flux(s)
	// A point 1.5 mm deep in a hole of 1.5 mm radius is seen within 45°: sin²45° of the light, the edge softened.
	require.InDelta(t, math.Pi/2, black, 0.12)
	s.SheetReflection = 0.8
	white := flux(s)
	require.Greater(t, white, black*1.1)
	require.Less(t, white, math.Pi)
	s.SheetTransmission = 0.92
	require.InDelta(t, black, flux(s), 0.1)
	// Far aside it is dark.
	b := newBeam(kind, geom.MM(3), s)
	require.Zero(t, b.lux(30*30))
	require.Positive(t, b.lux(5*5))
}

// A data sheet's table is followed between its points and ends at 90°.
func TestBeamTable(t *testing.T) {
	b := newBeam(part.LED{Beam: []part.BeamPoint{{Degrees: 0, Relative: 1}, {Degrees: 20, Relative: 0.8}, {Degrees: 40, Relative: 0.2}}}, geom.MM(3), Stack{Gap: geom.MM(8)})
	for deg, want := range map[float64]float64{0: 1, 10: 0.9, 20: 0.8, 30: 0.5, 40: 0.2, 65: 0.1, 90: 0, 120: 0} {
		require.InDelta(t, want, b.lobe(math.Cos(deg*math.Pi/180)), 1e-9, "%g°", deg)
	}
}
