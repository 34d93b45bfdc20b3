package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel/geom"
)

// psf returns the blur itself, per mm², at a distance r mm, its integral over the plane 1: the images of the source in the
// extrapolated boundaries (Contini et al., eq. 46 without absorption). The series alternates and is cut where its terms
// have died away; mtf is its Hankel transform.
func (s sheet) psf(r float64) float64 {
	sum := 0.0
	for m := -400; m <= 400; m++ {
		z1 := s.d*float64(1-2*m) - 4*float64(m)*s.ze - s.z0
		z2 := s.d*float64(1-2*m) - float64(4*m-2)*s.ze + s.z0
		q1, q2 := r*r+z1*z1, r*r+z2*z2
		sum += z1/(q1*math.Sqrt(q1)) - z2/(q2*math.Sqrt(q2))
	}
	return sum / (4 * math.Pi) / s.passes()
}

// facePSF is the density that faceMTF's comment derives.
func facePSF(t, r float64) float64 {
	if t <= 0 || r*r > t*t/(acrylic*acrylic-1) {
		return 0
	}
	q := t*t + r*r
	return acrylic * acrylic * t * t / (math.Pi * q * q)
}

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

// The sheet's transfer function is the transform of Contini, Martelli and Zaccanti's series of images.
func TestDiffuserBlurIsItsSeries(t *testing.T) {
	for _, share := range []float64{0.2, 0.35, 0.5, 0.65} {
		s := diffuser(3, share)
		for _, k := range []float64{0, 0.1, 0.3, 1, 2} {
			require.InDelta(t, s.mtf(k), hankel(s.psf, k, 90), 3e-3, "share %g, k %g", share, k)
		}
		const k = 1e-3
		require.InEpsilon(t, s.variance(), 2*(1-s.mtf(k))/(k*k), 1e-3)
		if s.z0 < deepest*s.d {
			require.InDelta(t, share, s.passes(), 1e-12)
		}
	}
	require.Equal(t, 1.0, sheet{}.mtf(1))
	require.False(t, math.IsNaN(diffuser(3, 0.3).mtf(1e4)))
}

// What leaves a sheet must also be what photons do that are followed one by one through it: isotropic scattering, Fresnel
// reflection within. Diffusion theory holds for such sheets within a few per cent; the light grades are at its limit.
func TestDiffuserAgainstPhotons(t *testing.T) {
	for _, c := range []struct{ share, tolerance float64 }{{0.2, 0.1}, {0.3, 0.12}, {0.45, 0.2}} {
		s := diffuser(3, c.share)
		rng := rand.New(rand.NewPCG(1, 2))
		const n = 20000
		out, spread := 0, 0.0
		for range n {
			x, y, z := 0.0, 0.0, 0.0
			u, v, w := 0.0, 0.0, 1.0
			for {
				step := -math.Log(1-rng.Float64()) * s.z0
				for w != 0 {
					edge := s.d
					if w < 0 {
						edge = 0
					}
					way := (edge - z) / w
					if way > step {
						break
					}
					x, y, z = x+u*way, y+v*way, edge
					step -= way
					if rng.Float64() >= fresnel(math.Abs(w)) {
						step = -1
						break
					}
					w = -w
				}
				if step < 0 {
					break
				}
				x, y, z = x+u*step, y+v*step, z+w*step
				w = 2*rng.Float64() - 1
				a, r := 2*math.Pi*rng.Float64(), math.Sqrt(1-w*w)
				u, v = r*math.Cos(a), r*math.Sin(a)
			}
			if z > s.d/2 {
				out++
				spread += x*x + y*y
			}
		}
		require.InEpsilon(t, c.share, float64(out)/n, c.tolerance, "transmission")
		require.InEpsilon(t, math.Sqrt(s.variance()), math.Sqrt(spread/2/float64(out)), c.tolerance, "width at %g", c.share)
	}
}

// fresnel is the mean reflection of both polarisations within acrylic towards air.
func fresnel(cos float64) float64 {
	sin2 := (1 - cos*cos) * acrylic * acrylic
	if sin2 >= 1 {
		return 1
	}
	t := math.Sqrt(1 - sin2)
	a, b := (acrylic*cos-t)/(acrylic*cos+t), (cos-acrylic*t)/(cos+acrylic*t)
	return (a*a + b*b) / 2
}

// Both kernels keep the light's sum; the face's transfer function is its transform.
func TestKernels(t *testing.T) {
	for _, k := range []float64{0, 0.5, 2} {
		require.InDelta(t, faceMTF(3, k), hankel(func(r float64) float64 { return facePSF(3, r) }, k, 3), 1e-3)
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
