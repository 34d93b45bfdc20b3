package light

import (
	"math"

	"lampblack/panel/work"
)

// acrylic is the refractive index of acrylic sheet in visible light (common practice).
const acrylic = 1.49

// slab is the diffuser as radiative transfer sees it: scattering evenly to all sides by the reduced coefficient, absorbing,
// between surfaces that reflect by Fresnel. Lengths are mm.
//
// Light that is scattered forward with a mean cosine g, at τ mean free paths, spreads as light does that is scattered evenly at
// τ(1-g) of them (similarity: H. C. van de Hulst, "Multiple Light Scattering", 1980, chapter 14); what such a sheet lets
// through without an even scattering, exp(-τ(1-g)), is in truth the unscattered light, exp(-τ), and the light that was
// scattered forward alone, which keeps about its direction.
//
// The flux of the scattered light at depth z obeys Peierls' integral equation, φ = φ0 + μs∫K φ dz' (S. Chandrasekhar,
// "Radiative Transfer", 1960; B. Davison, "Neutron Transport Theory", 1957, chapter 4), here for light that changes
// sideways as a wave of number k: a plane of even sources at a distance ℓ gives K(ℓ) = ½∫exp(-μt ℓ/μ) J0(kℓ tan θ) dμ/μ,
// μ = cos θ, and its images in the two surfaces the same, times the reflection at that angle for each passage. Depth is
// parted into equal cells with even light in each (Galerkin), so that all distances are whole numbers of cells. Against
// photons that are followed one by one it is within a few per cent (tested), for sheets of any density.
type slab struct {
	d             float64
	scatter       float64 // reduced coefficient, per mm
	absorb        float64
	ahead, behind func(cos float64) float64 // reflection from within at the front and at the back
	cells         int
	angles        []angle
}

// angle is a direction within the slab and its share of the integral over cosines.
type angle struct {
	cos, tan, weight float64
	ahead, behind    float64 // reflection
	fall             float64 // exp(-extinction of a cell)
	mean             float64 // (1-fall)/extinction of a cell: mean over a cell
	deep             float64 // mean way within a cell from its border, mm
	ways             []near
}

// near is a way between two places in one cell or in neighbours, mm, and the shares of all such pairs that have it, times what is
// left of light on the way.
type near struct{ way, one, next float64 }

// fresnel is the mean reflection of both polarisations within acrylic towards air (M. Born and E. Wolf, "Principles of
// Optics", section 1.5).
func fresnel(cos float64) float64 {
	sin2 := (1 - float64(cos*cos)) * (acrylic * acrylic)
	if sin2 >= 1 {
		return 1
	}
	t := math.Sqrt(1 - sin2)
	a, b := (float64(acrylic*cos)-t)/(float64(acrylic*cos)+t), (cos-float64(acrylic*t))/(cos+float64(acrylic*t))
	return (float64(a*a) + float64(b*b)) / 2
}

// twice is the reflection of two such surfaces with a thin layer of air between, all passages to and fro added up.
func twice(cos float64) float64 {
	r := fresnel(cos)
	return 2 * r / (1 + r)
}

// refracted returns the cosine within acrylic of light that comes with the cosine cos in air.
func refracted(cos float64) float64 {
	return math.Sqrt(1 - (1-float64(cos*cos))/(acrylic*acrylic))
}

// grazing is the cosine within acrylic of light that grazes its surface in air: at flatter ones all is reflected.
var grazing = math.Sqrt(1 - 1/(acrylic*acrylic))

// Bounds of a slab's cells; fewer than cellsPer for each reduced mean free path are coarse.
const (
	leastCells = 16
	mostCells  = 96
	cellsPer   = 4
)

// newSlab returns a slab of thickness d that reflects at its surfaces as told.
func newSlab(d, scatter, absorb float64, ahead, behind func(cos float64) float64) slab {
	s := slab{d: d, scatter: scatter, absorb: absorb, ahead: ahead, behind: behind}
	s.cells = min(max(int(float64(d*scatter)*cellsPer), leastCells), mostCells)
	h := s.d / float64(s.cells)
	for _, part := range [2][2]float64{{0, grazing}, {grazing, 1}} {
		for i, x := range gauss {
			half := (part[1] - part[0]) / 2
			a := angle{cos: part[0] + float64(half*(1+x[0])), weight: half * gauss[i][1]}
			a.tan = math.Sqrt(1-float64(a.cos*a.cos)) / a.cos
			a.ahead, a.behind = s.ahead(a.cos), s.behind(a.cos)
			e := (s.scatter + s.absorb) * h / a.cos
			a.fall = settled(math.Exp(-e))
			a.mean, a.deep = 1, h/2
			if e > 1e-3 {
				a.mean = (1 - a.fall) / e
				a.deep = h/e - float64(h*a.fall)/(1-a.fall)
			}
			// Steeply falling light fills only a part of a cell.
			for _, x := range gauss {
				l := min(h, 14*h/e) / 2
				way := float64(l * (1 + x[0]))
				fall := float64(settled(math.Exp(-float64(e*way)/h)) * float64(l*x[1]))
				a.ways = append(a.ways, near{way, float64(float64(2*fall)*(1-way/h)) / h, float64(fall*way) / float64(h*h)})
			}
			for _, x := range gauss {
				l := min(h, 14*h/e) / 2
				way := h + float64(l*(1+x[0]))
				fall := float64(settled(math.Exp(-float64(e*way)/h)) * float64(l*x[1]))
				a.ways = append(a.ways, near{way, 0, float64(fall*(2*h-way)) / float64(h*h)})
			}
			s.angles = append(s.angles, a)
		}
	}
	return s
}

// gauss is Gauss and Legendre's rule of ten points on -1..1: places and weights (M. Abramowitz and I. Stegun, "Handbook of
// Mathematical Functions", table 25.4).
var gauss = [10][2]float64{
	{-0.973906528517172, 0.066671344308688}, {-0.865063366688985, 0.149451349150581}, {-0.679409568299024, 0.219086362515982},
	{-0.433395394129247, 0.269266719309996}, {-0.148874338981631, 0.295524224714753}, {0.148874338981631, 0.295524224714753},
	{0.433395394129247, 0.269266719309996}, {0.679409568299024, 0.219086362515982}, {0.865063366688985, 0.149451349150581},
	{0.973906528517172, 0.066671344308688},
}

// faint is what a way through the slab may lessen light to before it is followed no more; mostTurns bounds the passages.
const (
	faint     = 1e-6
	mostTurns = 24
)

// out says where light of a depth is looked at: from all sides on a plane beyond the front, aside mm of acrylic farther; or,
// straight, only what leaves the slab at right angles.
type out struct {
	straight bool
	aside    float64
}

// from returns the light that an even source of one lumen in each cell sends to the front, after all scatterings: in lumens
// at wave number k or, straight, in candelas within the slab. What the front reflects is not in it.
func (s slab) from(watch *work.Watch, k float64, o out) []float64 {
	n := s.cells
	h := s.d / float64(n)
	apart := make([]float64, n)   // by distance
	front := make([]float64, 2*n) // by the way over the front
	back := make([]float64, 2*n)  // by the way over the back
	leaves := make([]float64, n)  // to the plane, unscattered
	var ways []float64            // exp times J0 of 1, 2, ... cells
	for _, a := range s.angles {
		watch.Look()
		ways = ways[:0]
		turn := a.ahead * a.behind
		one, next := 0.0, 0.0
		for _, c := range a.ways {
			j := bessel(float64(k * float64(c.way*a.tan)))
			one += float64(c.one * j)
			next += float64(c.next * j)
		}
		ways = append(ways, next)
		light, way := float64(float64(a.mean*a.mean)*a.fall), h+2*a.deep
		for m := 2; m <= 2*n*(mostTurns+1) && light > faint; m++ {
			ways = append(ways, float64(light*bessel(float64(k*float64(way*a.tan)))))
			light = float64(light * a.fall)
			way += h
		}
		at := func(m int) float64 {
			if m >= 1 && m <= len(ways) {
				return ways[m-1]
			}
			return 0
		}
		w := a.weight / (2 * a.cos)
		apart[0] += float64(w * one)
		for m := 1; m < n; m++ {
			apart[m] += float64(w * at(m))
		}
		share := 1.0
		for t := 0; 2*n*t <= len(ways) && share > faint; t++ {
			for m := 0; t > 0 && m < n; m++ {
				apart[m] += float64(w*share) * (at(2*n*t+m) + at(2*n*t-m))
			}
			for m := 1; m < 2*n; m++ {
				front[m] += float64(float64(w*share)*a.ahead) * at(2*n*t+m)
				back[m] += float64(float64(w*share)*a.behind) * at(2*n*t+m)
			}
			share = float64(share * turn)
		}
		if o.straight || a.ahead >= 1 {
			continue
		}
		passes := float64(float64(a.weight/2) * (1 - a.ahead))
		s.leaving(leaves, a, passes, func(way float64) float64 {
			return bessel(float64(k * float64(float64((way+o.aside)*a.tan))))
		})
	}
	if o.straight {
		a := s.normal()
		s.leaving(leaves, a, (1-a.ahead)/(4*math.Pi), func(float64) float64 { return 1 })
	}
	m := make([]float64, n*n)
	for i := range n {
		for j := range n {
			v := apart[max(i-j, j-i)] + front[2*n-1-i-j] + back[i+j+1]
			m[i*n+j] = -float64(float64(s.scatter*h) * v)
		}
		m[i*n+i]++
	}
	return solved(watch, m, leaves)
}

// normal is the direction at right angles to the slab.
func (s slab) normal() angle {
	a := angle{cos: 1, ahead: s.ahead(1), behind: s.behind(1)}
	e := (s.scatter + s.absorb) * s.d / float64(s.cells)
	a.fall, a.mean, a.deep = settled(math.Exp(-e)), 1, s.d/float64(s.cells)/2
	if e > 1e-6 {
		a.mean = (1 - a.fall) / e
	}
	return a
}

// leaving adds what comes to the front in a direction from each cell without another scattering, straight or by way of the
// surfaces; wave weighs it by the way up that it has behind it, mm.
func (s slab) leaving(to []float64, a angle, share float64, wave func(way float64) float64) {
	n := s.cells
	h := s.d / float64(n)
	through := settled(math.Pow(a.fall, float64(n)))
	turn := float64(float64(a.ahead*a.behind) * float64(through*through))
	for j := range n {
		up := float64(settled(math.Pow(a.fall, float64(n-1-j))) * a.mean)
		down := float64(float64(settled(math.Pow(a.fall, float64(j)))*a.mean) * float64(a.behind*through))
		over, under := float64(float64(n-1-j)*h)+a.deep, s.d+float64(float64(j)*h)+a.deep
		all := 1.0
		for t := 0; t <= mostTurns && all > faint; t++ {
			far := float64(float64(2*t) * s.d)
			to[j] += float64(float64(share*all) * (float64(up*wave(over+far)) + float64(down*wave(under+far))))
			all = float64(all * turn)
		}
	}
}

// bessel is J0, settled.
func bessel(x float64) float64 {
	if x < 1e-6 {
		return 1
	}
	return settled(math.J0(x))
}

// solved returns the solution of m·x = b, n × n, by elimination; m is overwritten. The matrix has its weight on the diagonal,
// since no light comes of none.
func solved(watch *work.Watch, m, b []float64) []float64 {
	n := len(b)
	x := append([]float64(nil), b...)
	for i := range n {
		watch.Look()
		p := m[i*n : (i+1)*n]
		for j := i + 1; j < n; j++ {
			q := m[j*n : (j+1)*n]
			f := q[i] / p[i]
			for c := i + 1; c < n; c++ {
				q[c] -= float64(f * p[c])
			}
			x[j] -= float64(f * x[i])
		}
	}
	for i := n - 1; i >= 0; i-- {
		for c := i + 1; c < n; c++ {
			x[i] -= float64(m[i*n+c] * x[c])
		}
		x[i] /= m[i*n+i]
	}
	return x
}

// entered returns where light that comes with the cosine cos in air, one lumen, is first scattered or absorbed, by cells, and
// what arrives unscattered at the front.
func (s slab) entered(cos float64) (first []float64, arrives float64) {
	in := refracted(cos)
	e := (s.scatter + s.absorb) * s.d / float64(s.cells) / in
	fall := settled(math.Exp(-e))
	first = make([]float64, s.cells)
	light := 1 - s.behind(in)
	for i := range first {
		first[i] = float64(light * (1 - fall))
		light = float64(light * fall)
	}
	arrives = light
	light = float64(light * s.ahead(in))
	for i := s.cells - 1; i >= 0; i-- {
		first[i] += float64(light * (1 - fall))
		light = float64(light * fall)
	}
	return first, arrives
}

// albedo is the share of what meets light that scatters it.
func (s slab) albedo() float64 {
	if s.scatter <= 0 {
		return 0
	}
	return s.scatter / (s.scatter + s.absorb)
}

// shares returns how much of the light that falls straight on the slab in air passes it and how much is absorbed.
func (s slab) shares(watch *work.Watch) (passed, absorbed float64) {
	first, arrives := s.entered(1)
	g := s.from(watch, 0, out{})
	passed = float64(arrives * (1 - s.ahead(1)))
	returned := s.behind(1) + float64(float64(arrives*s.ahead(1))*arrives)
	for i, v := range first {
		passed += float64(float64(v*s.albedo()) * g[i])
		returned += float64(float64(v*s.albedo()) * g[s.cells-1-i])
	}
	return passed, max(0, 1-passed-returned)
}

// densest is the greatest reduced depth that is computed: a denser sheet blurs as this one does, since its blur has come to
// that of diffusion, (kd)/sinh(kd), and only lets less through.
const densest = mostCells / cellsPer

// fitted returns the slab, in air, of thickness d that passes the share t of the light that falls straight on it and absorbs
// the share a: both are found by turns.
func fitted(watch *work.Watch, d, t, a float64) slab {
	const clear = 1 / 0.9215 // of what clear acrylic passes
	t = min(max(t, 1e-3), 0.92)
	a = min(max(a, 0), 0.95)
	scatter, absorb := max(3.6/t-5, 0.3)/d, max(float64(a*0.1), 0)/d
	for range 40 {
		watch.Look()
		s := newSlab(d, min(scatter, densest/d), absorb, fresnel, fresnel)
		passed, absorbed := s.shares(watch)
		up := max(1/t-clear, 1e-3) / max(1/passed-clear, 1e-3)
		scatter = min(max(scatter*min(max(up, 0.2), 5), 1e-4/d), densest/d)
		if a > 0 {
			absorb *= min(max(a/max(absorbed, 1e-9), 0.2), 5)
		}
		if math.Abs(passed-t) < 1e-6 && math.Abs(absorbed-a) < 1e-6 {
			break
		}
	}
	return newSlab(d, settled(scatter), settled(absorb), fresnel, fresnel)
}
