// Package photontest follows photons one by one through sheets in front of an LED, for tests of what package light computes
// by formulas. It shares nothing with that package: the physics is written here anew, from other sources.
//
// In goes a Stack of layers, from the board up, with an LED in its gap of air; out comes what an eye straight before it sees,
// at distances from the LED's axis: the luminance through frosted engraving in the front's paint, which scatters what arrives
// evenly to all sides, and through clear engraving, which shows only the light that goes straight to the eye. Lengths are mm,
// light is in cd/m² for an LED of one candela on its axis. Everything beyond the sheets' surfaces is taken to be endless in
// the plane. The seed gives the same photons on every run.
//
// Method: the weighted random walk of L. Wang, S. L. Jacques and L. Zheng, "MCML—Monte Carlo modeling of light transport in
// multi-layered tissues", Computer Methods and Programs in Biomedicine 47(2), 1995, 131-146,
// doi:10.1016/0169-2607(95)01640-F: free paths of exponential length, a share μa/(μa+μs) of the weight lost at each
// scattering, roulette for what has little left, reflection or refraction drawn by chance at surfaces. Scattering angles
// follow L. G. Henyey and J. L. Greenstein, "Diffuse radiation in the Galaxy", Astrophysical Journal 93, 1941, 70-83,
// doi:10.1086/144246. Reflection at surfaces is Fresnel's for unpolarised light (M. Born and E. Wolf, "Principles of Optics",
// section 1.5). What goes straight to the eye is added at each scattering as its expected share, since hardly a photon goes
// there by chance (next-event estimation, as in all textbooks of the method).
package photontest

import (
	"math"
	"math/rand/v2"
)

// Layer is a sheet, or air between sheets, endless in the plane.
type Layer struct {
	Thick   float64 // mm; air of no thickness parts sheets that lie on each other
	Index   float64 // of refraction
	Scatter float64 // coefficient, per mm
	Absorb  float64 // per mm
	Forward float64 // mean cosine of the scattering angle
}

// Stack is an LED behind layers.
type Stack struct {
	Layers []Layer // from the one on the board up; the last one's upper surface is painted black, and engraved
	Board  float64 // reflection of what lies below, even to all sides
	Gap    int     // the layer that the LED shines in
	Tip    float64 // the LED's tip below the top of the gap, mm; deeper than the gap it stands in a hole of the layer below
	Hole   float64 // radius of that hole, mm, with walls that swallow light
	Lobe   float64 // exponent m of the LED's intensity cos^m
	Source float64 // radius of the luminous disc that the LED shows, mm
	Paint  float64 // share of what arrives in frosted engraving that leaves to the front
}

// Seen is luminance at distances from the axis: value i is the mean of the ring from i to i+1 steps.
type Seen struct {
	Step           float64
	Frosted, Clear []float64
}

// photon is at a place, in a direction of unit length, in a layer, z mm above that layer's bottom.
type photon struct {
	x, y, z   float64
	u, v, w   float64
	layer     int
	weight    float64
	untouched bool // never scattered nor sent back by the board
}

// Shares is what becomes of the light that falls straight on a sheet in air.
type Shares struct{ Passed, Straight, Returned float64 }

// Through follows n photons that fall straight on a sheet: how much passes it, how much of that unscattered, and how much
// comes back.
func (l Layer) Through(n int, seed uint64) Shares {
	rng := rand.New(rand.NewPCG(seed, 0x70686f74))
	s := Stack{Layers: []Layer{{Index: 1}, l, {Index: 1}}}
	var out Shares
	for range n {
		p := photon{w: 1, weight: 1, untouched: true}
		end := s.follow(&p, rng, nil)
		switch {
		case end == over && p.untouched:
			out.Straight += p.weight
			out.Passed += p.weight
		case end == over:
			out.Passed += p.weight
		case end == under:
			out.Returned += p.weight
		}
	}
	out.Straight /= float64(n)
	out.Passed /= float64(n)
	out.Returned /= float64(n)
	return out
}

// Look follows n photons and returns what is seen in rings of the width step up to far mm.
func (s Stack) Look(n int, seed uint64, step, far float64) Seen {
	rng := rand.New(rand.NewPCG(seed, 0x6c656473))
	out := Seen{Step: step, Frosted: make([]float64, int(far/step)), Clear: make([]float64, int(far/step))}
	toEye := func(x, y, w float64) {
		if i := int(math.Hypot(x, y) / step); i < len(out.Clear) {
			out.Clear[i] += w
		}
	}
	for range n {
		p := s.launch(rng)
		if p.weight == 0 {
			continue
		}
		if s.follow(&p, rng, toEye) == over {
			if i := int(math.Hypot(p.x, p.y) / step); i < len(out.Frosted) {
				out.Frosted[i] += p.weight
			}
		}
	}
	// A lobe cos^m of one candela on its axis sends 2π/(m+1) lumens.
	each := 2 * math.Pi / (s.Lobe + 1) / float64(n)
	direct := 1e6 / (math.Pi * s.Source * s.Source) * s.straight(s.Gap, s.Layers[s.Gap].Thick)
	for i := range out.Clear {
		in, beyond := step*float64(i), step*float64(i+1)
		area := math.Pi * (beyond*beyond - in*in)
		out.Frosted[i] *= 1e6 * each / area * s.Paint / math.Pi
		out.Clear[i] *= 1e6 * each / area
		// The luminous disc itself, where no wall hides it.
		shown := min(max((s.Source*s.Source-in*in)/(beyond*beyond-in*in), 0), 1)
		out.Clear[i] += shown * direct
	}
	return out
}

// launch sends a photon from the LED to the bottom of its gap, or from within it.
func (s Stack) launch(rng *rand.Rand) photon {
	cos := math.Pow(1-rng.Float64(), 1/(s.Lobe+1))
	r, a, b := s.Source*math.Sqrt(rng.Float64()), 2*math.Pi*rng.Float64(), 2*math.Pi*rng.Float64()
	sin := math.Sqrt(1 - cos*cos)
	p := photon{x: r * math.Cos(a), y: r * math.Sin(a), u: sin * math.Cos(b), v: sin * math.Sin(b), w: cos, layer: s.Gap, weight: 1, untouched: true}
	p.z = s.Layers[s.Gap].Thick - s.Tip
	if p.z < 0 {
		way := -p.z / cos
		p.x, p.y, p.z = p.x+p.u*way, p.y+p.v*way, 0
		if math.Hypot(p.x, p.y) > s.Hole {
			p.weight = 0
		}
	}
	return p
}

type end int

const (
	gone  end = iota // absorbed
	over             // arrived at the paint
	under            // arrived at a board that sends nothing back
)

// follow moves a photon until it ends, and tells how. toEye, if not nil, is told what goes straight to the eye.
func (s Stack) follow(p *photon, rng *rand.Rand, toEye func(x, y, w float64)) end {
	const little, survive = 1e-3, 0.1
	for {
		l := s.Layers[p.layer]
		edge := l.Thick
		if p.w < 0 {
			edge = 0
		}
		way := math.Inf(1)
		if p.w != 0 {
			way = (edge - p.z) / p.w
		}
		free := math.Inf(1)
		if k := l.Scatter + l.Absorb; k > 0 {
			free = -math.Log(1-rng.Float64()) / k
		}
		if free < way {
			p.x, p.y, p.z = p.x+p.u*free, p.y+p.v*free, p.z+p.w*free
			p.weight *= l.Scatter / (l.Scatter + l.Absorb)
			p.untouched = false
			if toEye != nil {
				toEye(p.x, p.y, p.weight*phase(l.Forward, p.w)*s.straight(p.layer, p.z))
			}
			p.turn(l.Forward, rng)
			if p.weight < little {
				if rng.Float64() > survive {
					return gone
				}
				p.weight /= survive
			}
			continue
		}
		p.x, p.y, p.z = p.x+p.u*way, p.y+p.v*way, edge
		up := p.w > 0
		switch {
		case up && p.layer == len(s.Layers)-1:
			return over
		case !up && p.layer == 0:
			if s.Board <= 0 {
				return under
			}
			p.weight *= s.Board
			p.untouched = false
			if toEye != nil {
				toEye(p.x, p.y, p.weight/math.Pi*s.straight(0, 0))
			}
			p.w = math.Sqrt(1 - rng.Float64())
			r, a := math.Sqrt(1-p.w*p.w), 2*math.Pi*rng.Float64()
			p.u, p.v = r*math.Cos(a), r*math.Sin(a)
			if p.weight < little {
				if rng.Float64() > survive {
					return gone
				}
				p.weight /= survive
			}
			continue
		}
		next := p.layer + 1
		if !up {
			next = p.layer - 1
		}
		back, cos := surface(l.Index, s.Layers[next].Index, math.Abs(p.w))
		if rng.Float64() < back {
			p.w = -p.w
			continue
		}
		ratio := l.Index / s.Layers[next].Index
		p.u, p.v, p.w = p.u*ratio, p.v*ratio, math.Copysign(cos, p.w)
		p.layer = next
		if p.z = 0; !up {
			p.z = s.Layers[next].Thick
		}
	}
}

// straight returns how the radiance of light that goes straight up from a height within a layer is lessened before it leaves
// the front; radiance falls by the square of the index as light leaves for air.
func (s Stack) straight(layer int, z float64) float64 {
	out := 1 / (s.Layers[layer].Index * s.Layers[layer].Index)
	for i := layer; i < len(s.Layers); i++ {
		l, next := s.Layers[i], 1.0
		way := l.Thick
		if i == layer {
			way -= z
		}
		if i+1 < len(s.Layers) {
			next = s.Layers[i+1].Index
		}
		back, _ := surface(l.Index, next, 1)
		out *= math.Exp(-(l.Scatter+l.Absorb)*way) * (1 - back)
	}
	return out
}

// surface returns the share that is reflected between two media, and the cosine beyond (Fresnel, Snell).
func surface(from, to, cos float64) (back, beyond float64) {
	if from == to {
		return 0, cos
	}
	sin := math.Sqrt(1-cos*cos) * from / to
	if sin >= 1 {
		return 1, 0
	}
	beyond = math.Sqrt(1 - sin*sin)
	s, p := (from*cos-to*beyond)/(from*cos+to*beyond), (to*cos-from*beyond)/(to*cos+from*beyond)
	return (s*s + p*p) / 2, beyond
}

// phase is Henyey and Greenstein's density, per steradian, of scattering by an angle of that cosine.
func phase(g, cos float64) float64 {
	return (1 - g*g) / (4 * math.Pi * math.Pow(1+g*g-2*g*cos, 1.5))
}

// turn scatters the photon.
func (p *photon) turn(g float64, rng *rand.Rand) {
	cos := 2*rng.Float64() - 1
	if g != 0 {
		t := (1 - g*g) / (1 + g*cos)
		cos = (1 + g*g - t*t) / (2 * g)
	}
	sin, a := math.Sqrt(max(0, 1-cos*cos)), 2*math.Pi*rng.Float64()
	c, d := math.Cos(a), math.Sin(a)
	if math.Abs(p.w) > 0.99999 {
		p.u, p.v, p.w = sin*c, sin*d, math.Copysign(cos, p.w*cos)
		return
	}
	q := math.Sqrt(1 - p.w*p.w)
	u := sin*(p.u*p.w*c-p.v*d)/q + p.u*cos
	v := sin*(p.v*p.w*c+p.u*d)/q + p.v*cos
	p.u, p.v, p.w = u, v, -sin*c*q+p.w*cos
}
