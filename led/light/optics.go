package light

import "math"

// acrylic is the refractive index of acrylic sheet in visible light (common practice).
const acrylic = 1.49

// sheet is the diffuser as diffusion theory sees it. Lengths are mm.
//
// Source: D. Contini, F. Martelli and G. Zaccanti, "Photon migration through a turbid slab described by a model based on
// diffusion approximation. I. Theory", Applied Optics 36(19), 1997, 4587-4599, doi:10.1364/AO.36.004587: light that enters
// a slab of thickness d is a source one transport path z0 deep, between extrapolated boundaries ze outside of each face
// where the light vanishes. We use the solution for the slab without absorption. In a plane wave of wave number k its
// depth profile is of hyperbolic sines, so that what leaves the far face is
//
//	T(k) = sinh(k(z0+ze)) · cosh(k·ze) / sinh(k(d+2ze)),   T(0) = (z0+ze) / (d+2ze)
//
// T(0) is the share that gets through and T(k)/T(0) how the sheet blurs: the transmission of an opal grade fixes both,
// there is no free parameter. Absorbed light is taken off before: it makes the sheet darker, not sharper.
type sheet struct {
	d, z0, ze float64
}

// boundary is ze/z0 of acrylic in air: 2/3·(1+R)/(1-R) with the mean inner reflection
// R = -1.440/n² + 0.710/n + 0.668 + 0.0636n (R. A. J. Groenhuis et al., "Scattering and absorption of turbid materials
// determined from reflection measurements. 1: Theory", Applied Optics 22(16), 1983, 2456-2462,
// doi:10.1364/AO.22.002456).
func boundary() float64 {
	const r = -1.440/(acrylic*acrylic) + 0.710/acrylic + 0.668 + 0.0636*acrylic
	return 2.0 / 3 * (1 + r) / (1 - r)
}

// deepest is the greatest transport path in thicknesses of the sheet. Diffusion theory wants a sheet several paths thick;
// light grades are not, and with less than this the source would leave the sheet. Their blur is then that of the limit.
const deepest = 0.8

// diffuser returns the sheet of thickness d mm that lets the share t of the light through that it does not absorb:
// t = (z0+ze)/(d+2ze) solved for the transport path z0.
func diffuser(d, t float64) sheet {
	if d <= 0 {
		return sheet{}
	}
	b := boundary()
	z0 := deepest * d
	if den := 1 + b - float64(2*b*t); den > 0 {
		z0 = min(t*d/den, z0)
	}
	return sheet{d, z0, float64(b * z0)}
}

// passes returns T(0).
func (s sheet) passes() float64 {
	if s.d <= 0 {
		return 1
	}
	return (s.z0 + s.ze) / (s.d + float64(2*s.ze))
}

// mtf returns T(k)/T(0), k in radians per mm.
func (s sheet) mtf(k float64) float64 {
	if s.d <= 0 || k <= 0 {
		return 1
	}
	a, b, c := float64(k*(s.z0+s.ze)), float64(k*s.ze), float64(k*(s.d+float64(2*s.ze)))
	// sinh a · cosh b / sinh c without overflow: exp(a+b-c) and what is left of each.
	v := math.Exp(a+b-c) * -math.Expm1(-2*a) * (1 + math.Exp(-2*b)) / (-2 * math.Expm1(-2*c))
	return v / s.passes()
}

// rescaled returns the transmission and absorption of a sheet at another thickness: the transport path of its scattering
// stays, and absorption grows with the thickness.
func rescaled(t, a, from, to float64) (transmission, absorption float64) {
	if from <= 0 || to <= 0 {
		return t, a
	}
	s := diffuser(from, t/(1-a))
	u := sheet{to, s.z0, s.ze}
	absorption = 1 - settled(math.Pow(1-a, to/from))
	// A light grade passes more than diffusion alone can; that ratio is kept.
	return min(u.passes()/s.passes()*t/(1-a), 0.92) * (1 - absorption), absorption
}

// faceMTF is how a clear face of thickness t mm blurs the light of the diffuser behind it, at wave number k.
//
// Light that leaves the diffuser evenly in all directions (Lambert) has its share sin²θ within the angle θ. It is refracted
// into the face, sin θ = n sin θ', and arrives t·tan θ' aside, so that r² = t² s/(n²-s) with s = sin²θ: the density is
// n²t² / (π(t²+r²)²) up to r = t/√(n²-1), where light that grazed the face arrives. Exact for a thin layer of air between.
// Its transform is the mean of J0(k·r) over the shares s of the light, here by the midpoint rule.
func faceMTF(t, k float64) float64 {
	if t <= 0 || k <= 0 {
		return 1
	}
	const n = 32
	sum := 0.0
	for i := range n {
		s := (float64(i) + 0.5) / n
		sum += math.J0(k * t * math.Sqrt(s/(acrylic*acrylic-s)))
	}
	return sum / n
}

// lambert is the light, per mm², that an evenly scattering point of a plane sends to a parallel plane h mm away, at a
// distance r aside; its integral is 1: cos²θ/(π·distance²) = h²/(π(r²+h²)²).
func lambert(h, r2 float64) float64 {
	q := r2 + float64(h*h)
	return h * h / (math.Pi * q * q)
}
