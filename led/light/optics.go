package light

import (
	"math"

	"lampblack/panel/work"
)

// optics is how light that falls on the diffuser's back comes to the eye, in three parts that keep their direction or lose it:
//
//   - what passes unscattered, or scattered forward alone, goes on as it came: seen through frosted engraving it lights the
//     front of the face, aside by its slant through both sheets; through clear engraving only what happens to go to the eye is
//     seen, and the LED itself;
//   - what is scattered to all sides begins as far aside as its slant has brought it, and is blurred from there by the diffuser
//     and the face (slab.go);
//   - what comes from all sides, after going to and fro between diffuser and board, likewise.
type optics struct {
	straight  plane // of light that is not scattered, or forward alone
	scattered plane
	softened  curve     // of the straight part: nits per lux of what its plane gives
	blur      curve     // of the scattered part, likewise
	around    curve     // of light from all sides
	returned  []float64 // share of an LED's light that the diffuser sends back, by slant
	again     float64   // of light from all sides
	disc      float64   // nits that each candela gives the LED's own disc; 0 where it does not show
}

// plane says how the light of an LED arrives where it is scattered, or seen: weighed and moved aside by its slant.
type plane struct {
	gain  []float64 // by slant
	aside []float64 // mm, outward
}

// slants is how finely a plane is tabled, in even steps of the angle within acrylic from 0 to the critical one.
const slants = 64

// critical is the greatest angle at which light from air goes on in acrylic.
var critical = settled(math.Asin(1.0 / acrylic))

// slant returns the cosines, in acrylic and in air, of entry i.
func slant(i int) (in, air float64) {
	a := critical * float64(i) / slants
	sin := settled(math.Sin(a))
	in = settled(math.Cos(a))
	air = math.Sqrt(max(0, 1-float64(float64(acrylic*acrylic)*float64(sin*sin))))
	return in, air
}

// aside returns how far aside light has come, mm, that has gone through a height within acrylic with that cosine.
func aside(height, in float64) float64 {
	return float64(height*math.Sqrt(max(0, 1-float64(in*in)))) / in
}

// at returns the gain and the way aside of light whose direction has that tangent in air.
func (p plane) at(tan float64) (gain, aside float64) {
	if len(p.gain) == 0 {
		return 1, 0
	}
	sin := tan / math.Sqrt(1+float64(tan*tan)) / acrylic
	x := settled(math.Asin(min(sin, 1))) / critical * slants
	at, w := taps(x, slants+1)
	for k, i := range at {
		gain += float64(p.gain[i] * w[k])
		aside += float64(p.aside[i] * w[k])
	}
	return max(gain, 0), aside
}

// curve is a function of the wave number, tabled at furthest·(i/n)², constant beyond.
type curve []float64

const (
	waves    = 22
	furthest = 6.0 // radians per mm
)

func wave(i int) float64 { return furthest * float64(i*i) / (waves * waves) }

func (c curve) at(k float64) float64 {
	at, w := taps(math.Sqrt(min(k/furthest, 1))*waves, waves+1)
	v := 0.0
	for j, i := range at {
		v += float64(c[i] * w[j])
	}
	return v
}

// newPlane returns one of nothing.
func newPlane() plane { return plane{make([]float64, slants+1), make([]float64, slants+1)} }

// passage is how light of one direction goes through a stack's diffuser and face.
type passage struct {
	slab
	face         float64   // mm
	front        float64   // share that the face's front lets through
	even         []float64 // what leaves the front of light scattered to all sides, by its depth
	back         []float64 // what leaves the back, by the depth counted from the front
	onward       plane     // what leaves the front without having been scattered to all sides
	less         float64   // what is scattered to all sides, of what a sheet that scatters evenly has
	reduced, tau float64   // depth in reduced mean free paths, and in whole ones
}

func newPassage(watch *work.Watch, s Stack) passage {
	d, face := s.Diffuser.MM(), max(s.Face, 0).MM()
	alone := fitted(watch, d, unit(s.Transmission), unit(s.Absorption))
	passed, _ := alone.shares(watch)
	ahead := fresnel
	if face > 0 {
		ahead = twice
	}
	// A sheet too dense to be computed is one that blurs like it and lets less through.
	p := passage{face: face, front: frontShare(s) * unit(s.Transmission) / passed, onward: newPlane(), less: 1, tau: s.depth()}
	p.slab = newSlab(d, alone.scatter, alone.absorb, ahead, fresnel)
	p.even = p.from(watch, 0, out{})
	p.back = newSlab(d, alone.scatter, alone.absorb, fresnel, ahead).from(watch, 0, out{})
	p.reduced = anisotropic(float64(d*alone.scatter), p.tau)
	for i, share := range leaving(p.reduced, p.tau, ahead) {
		in, _ := slant(i)
		p.onward.gain[i] = float64((1-p.behind(in))*settled(math.Exp(-float64(d*p.absorb)/in))) * share
		p.onward.aside[i] = aside(d+face, in)
	}
	first, arrives := p.entered(1)
	if all := float64(p.albedo() * weighed(first, p.even)); all > 0 {
		p.less = max(all+float64(arrives*(1-p.ahead(1)))-p.onward.gain[0], 0) / all
	}
	return p
}

// returned returns what leaves the back again of light that comes with the cosine cos in air. What a sheet that scatters evenly
// would let through of it, and this one does not, goes back too.
func (p passage) returned(cos float64) float64 {
	first, arrives := p.entered(cos)
	in := refracted(cos)
	on, _ := p.onward.at(math.Sqrt(max(0, 1-float64(cos*cos))) / max(cos, 1e-9))
	share := p.behind(in) + float64(float64(arrives*p.ahead(in))*arrives) +
		float64(arrives*(1-p.ahead(in))) - on + float64(float64((1-p.less)*p.albedo())*weighed(first, p.even))
	for j, v := range first {
		share += float64(float64(v*p.albedo()) * p.back[p.cells-1-j])
	}
	return min(max(share, 0), 1)
}

func newOptics(watch *work.Watch, s Stack) optics {
	if s.Diffuser <= 0 || unit(s.Transmission) == 0 {
		return bareOptics(s)
	}
	p := newPassage(watch, s)
	clear := s.Finish == Clear
	// The eye sees evenly scattered light as its flux over π; straight through, radiance falls by the square of the index, and
	// light scattered to all sides is as bright straight ahead as elsewhere.
	nits, scattered := p.front/math.Pi, float64(p.less*p.albedo())
	if clear {
		nits, scattered = p.front/(acrylic*acrylic), p.albedo()
	}
	from := make([][]float64, waves+1)
	work.Bands(waves+1, func(low, high int) {
		for i := low; i < high; i++ {
			from[i] = p.from(watch, wave(i), out{straight: clear, aside: p.face})
		}
	})
	o := optics{scattered: newPlane(), straight: p.onward, returned: make([]float64, slants+1)}
	o.softened, o.blur, o.around = make(curve, waves+1), make(curve, waves+1), make(curve, waves+1)
	first, arrives := p.entered(1)
	whole := weighed(first, p.even)
	shown := nits
	if clear {
		o.straight = p.towards()
		shown = nits * (1 - p.ahead(1))
		o.disc = 1e6 / (math.Pi * emitter * emitter) * p.front * (1 - p.behind(1)) * (1 - p.ahead(1)) * settled(math.Exp(-p.tau-float64(p.d*p.absorb)))
	}
	soft := make([]float64, waves+1)
	for i := range soft {
		soft[i] = p.softening(wave(i), clear)
		o.softened[i] = settled(shown * soft[i])
		o.blur[i] = settled(nits * scattered * weighed(first, from[i]))
	}
	h := p.d / float64(p.cells)
	for i := range slants + 1 {
		in, air := slant(i)
		first, _ := p.entered(air)
		deep, sum := 0.0, 0.0
		for j, v := range first {
			w := float64(v * p.even[j])
			sum += w
			deep += float64(w * (float64(j) + 0.5) * h)
		}
		o.returned[i] = p.returned(air)
		if sum > 0 {
			o.scattered.gain[i] = sum / whole
			o.scattered.aside[i] = aside(deep/sum, in)
		}
	}
	for _, x := range gauss { // light from all sides
		cos := (1 + x[0]) / 2
		share := float64(x[1] * cos) // 2 cos dcos
		in := refracted(cos)
		tan := aside(1, in)
		first, _ := p.entered(cos)
		on, moved := p.onward.at(math.Sqrt(max(0, 1-float64(cos*cos))) / cos)
		o.again += float64(share * p.returned(cos))
		for i := range o.around {
			k, sum := wave(i), 0.0
			for j, v := range first {
				sum += float64(float64(scattered*float64(v*from[i][j])) * bessel(float64(k*float64(float64((float64(j)+0.5)*h)*tan))))
			}
			if !clear {
				sum += float64(float64(on*soft[i]) * bessel(float64(k*moved)))
			}
			o.around[i] += float64(share * nits * sum)
		}
	}
	for i := range o.around {
		if clear {
			// A bright ground seen straight through, and light scattered forward to the eye as much as away from it.
			o.around[i] += float64(p.front*arrives) * (1 - p.ahead(1)) / math.Pi
		}
		o.around[i] = settled(o.around[i])
	}
	return o
}

// weighed returns the sum of a's values times b's.
func weighed(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// bareOptics is without a diffuser: frosted engraving is lit straight by the LEDs, clear engraving shows them.
func bareOptics(s Stack) optics {
	face, passes := max(s.Face, 0).MM(), unit(s.Transmission)
	o := optics{around: make(curve, waves+1), returned: make([]float64, slants+1), again: s.Reflection()}
	for i := range o.returned {
		o.returned[i] = s.Reflection()
	}
	for i := range o.around {
		o.around[i] = passes * unit(s.FaceTransmission) / math.Pi
	}
	if s.Finish == Clear {
		o.disc = 1e6 / (math.Pi * emitter * emitter) * passes * unit(s.FaceTransmission)
		return o
	}
	o.softened = append(curve(nil), o.around...)
	o.straight = newPlane()
	for i := range slants + 1 {
		in, _ := slant(i)
		o.straight.gain[i] = 1
		o.straight.aside[i] = aside(face, in)
	}
	for i := range o.around {
		o.around[i] *= settled(faceMTF(face, wave(i)))
	}
	return o
}

// frontShare returns what the face's front surface lets through: the other surface's loss is Fresnel's, by the angle.
func frontShare(s Stack) float64 {
	t := unit(s.FaceTransmission)
	if s.Face <= 0 {
		return t
	}
	return min(t/(1-fresnel(1)), 1)
}

// faceMTF is how a clear face of thickness t mm blurs evenly scattered light behind it, at wave number k.
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
