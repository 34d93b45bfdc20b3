package light

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
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
	require.InEpsilon(t, 5000.0, 0.5*pointLux(1, z, 0), 1e-12)
	for m, shares := range map[float64]map[float64]float64{
		1:      {15: 0.8705, 30: 0.5625, 45: 0.2500, 60: 0.0625},
		4.8188: {15: 0.7626, 30: 0.3248, 45: 0.0666, 60: 0.0044},
	} {
		b := newBeam(part.LED{HalfAngle: halfAngle(m)}, geom.MM(3), Stack{Gap: geom.MM(z)})
		table := newProfile(b, plane{})
		for angle, share := range shares {
			r := z * math.Tan(angle*math.Pi/180)
			require.InDelta(t, share, pointLux(m, z, r*r)/pointLux(m, z, 0), 6e-5, "m %g at %g°", m, angle)
			require.InDelta(t, share, b.lux(r*r)/b.lux(0), 1e-4)
			if r < table.reach {
				require.InDelta(t, share, table.at(r*r)/table.at(0), 1e-4)
			}
		}
	}
}

// The table must be the beam, near and far, narrow and wide, in front of and within the hole.
func TestProfileIsTheBeam(t *testing.T) {
	for _, angle := range []float64{5, 10, 30, 60, 80} {
		for _, sunk := range []float64{0, 1} {
			b := newBeam(part.LED{HalfAngle: angle}, geom.MM(3), Stack{Gap: geom.MM(8), Sunk: geom.MM(sunk), SheetReflection: 0.8})
			p := newProfile(b, plane{})
			for i := range 997 {
				r := p.reach * float64(i) / 1000
				require.InDelta(t, b.lux(r*r), p.at(r*r), 3e-4*b.lux(0), "half angle %g, sunk %g, r %g", angle, sunk, r)
			}
			require.LessOrEqual(t, b.lux(p.reach*p.reach*1.0001), 1e-3*b.lux(0))
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
			return pointLux(m, z, l*l) + pointLux(m, z, r*r)
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
				sum += pointLux(ours, z, r*r)
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
					sum += pointLux(ours, z, dx*dx+dy*dy)
				}
			}
			return sum
		}
		require.InDelta(t, c.square, sq(q/2, q/2)/sq(0, 0), 2e-4, "square at %g", c.k)
	}
}

// Source: references.md section 22, practice of two sign shops, whose lamps spread to 60 degrees: LEDs no farther apart than 1 to 1.5
// times their distance from the diffuser. Between four of them a light that is so far from even by itself would be seen there.
func TestPitchOfSigns(t *testing.T) {
	const z = 10.0
	darkest := func(pitch float64) float64 {
		e := func(x, y float64) (sum float64) {
			for i := -25; i <= 25; i++ {
				for j := -25; j <= 25; j++ {
					dx, dy := x-float64(i)*pitch, y-float64(j)*pitch
					sum += pointLux(lobe(60), z, dx*dx+dy*dy)
				}
			}
			return sum
		}
		return e(pitch/2, pitch/2) / e(0, 0)
	}
	require.Greater(t, darkest(z), 0.9)
	require.Greater(t, darkest(1.5*z), 0.7)
	require.Less(t, darkest(2*z), 0.5)
}

// Source: the exact small-array forms of references.md section 10 (Moreno et al.), whose exponent leaves out the receiver's
// cosine (their m is ours and one more): four LEDs in a square d = z·√(4/(m+2)), a ring of N with ρ = z·√(2/(m+2)). At
// that spacing the light is flattest: the second derivative at the centre changes its sign.
func TestFlatSquareAndRing(t *testing.T) {
	const z = 10.0
	for angle, want := range map[float64][2]float64{10: {0.2909, 0.2057}, 15: {0.4265, 0.3016}, 30: {0.7659, 0.5416}, 45: {1.0000, 0.7071}, 60: {1.1547, 0.8165}} {
		m := lobe(angle)
		bend := func(at [][2]float64) float64 {
			e := func(x float64) float64 {
				sum := 0.0
				for _, q := range at {
					sum += pointLux(m-1, z, (q[0]-x)*(q[0]-x)+q[1]*q[1])
				}
				return sum
			}
			const h = 0.02
			return e(-h) - 2*e(0) + e(h)
		}
		square := func(d float64) [][2]float64 { return [][2]float64{{d, d}, {-d, d}, {d, -d}, {-d, -d}} }
		require.InDelta(t, math.Sqrt(4/(m+2)), want[0], 1e-4)
		require.Less(t, bend(square(want[0]*z*0.99/2)), 0.0)
		require.Greater(t, bend(square(want[0]*z*1.01/2)), 0.0)
		for _, n := range []int{3, 6, 8} {
			ring := func(r float64) [][2]float64 {
				var at [][2]float64
				for i := range n {
					a := 2 * math.Pi * float64(i) / float64(n)
					at = append(at, [2]float64{r * math.Cos(a), r * math.Sin(a)})
				}
				return at
			}
			require.Less(t, bend(ring(want[1]*z*0.99)), 0.0, "ring of %d", n)
			require.Greater(t, bend(ring(want[1]*z*1.01)), 0.0, "ring of %d", n)
		}
	}
}

// Source: "N in line" of the same section: even N at m = 30 are flattest at these spacings in heights. (The long-array
// approximations quoted there could not be reproduced and are not used.)
func TestFlatLine(t *testing.T) {
	const z, m = 10.0, 30.0
	for n, d := range map[int]float64{4: 0.2711, 6: 0.2306, 8: 0.2048, 10: 0.1865} {
		bend := func(d float64) float64 {
			e := func(x float64) float64 {
				sum := 0.0
				for i := range n {
					q := x - (float64(i)-float64(n-1)/2)*d
					sum += pointLux(m-1, z, q*q)
				}
				return sum
			}
			const h = 0.02
			return e(-h) - 2*e(0) + e(h)
		}
		require.Negative(t, bend(d*z*0.99)*bend(d*z*1.01), "%d in line", n)
	}
}
