package light

import (
	"cmp"
	"math"
	"slices"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// lamp is an LED that shines.
type lamp struct {
	at      geom.Pt
	candela float64 // on axis
	beam    int     // index of its beam
	rgb     [3]uint8
	name    string // of its colour
}

// unknownCandela stands for kinds of unknown intensity.
const unknownCandela = 0.1

// lamps returns the LEDs of the board with the intensity that their string's current gives them, in proportion to the
// intensity at the current of the kind's data sheet, and the beams that they have; assumed tells that one's intensity is
// not known.
func lamps(p panel.Panel, w led.Wiring, s Stack) (out []lamp, beams []beam, assumed bool) {
	for _, l := range w.LEDs {
		if l.Hole < 0 || l.Hole >= len(p.LEDs) || l.String < 0 || int(l.String) >= len(w.Strings) || len(l.Kind.Curve) == 0 {
			continue
		}
		cd := l.Kind.Candela
		if !(cd > 0) {
			cd, assumed = unknownCandela, true
		}
		share := float64(w.Strings[l.String].Nominal) / float64(l.Kind.Curve[0].I)
		if !(share > 0) || math.IsInf(share, 0) || math.Abs(float64(p.LEDs[l.Hole].At.X)) > float64(geom.MaxCoord) {
			continue
		}
		b := newBeam(l.Kind, p.LEDs[l.Hole].D, s)
		k := slices.IndexFunc(beams, b.same)
		if k < 0 {
			k = len(beams)
			beams = append(beams, b)
		}
		// Settled: the currents come out of a solver of another module.
		out = append(out, lamp{p.LEDs[l.Hole].At, settled(cd * share), k, l.Kind.RGB, colourOf(l.Kind)})
	}
	return out, beams, assumed
}

// colourOf names a kind's colour, or where it tells none the kind.
func colourOf(k part.LED) string { return cmp.Or(k.Colour, k.Name) }

// lobe returns the exponent m of cos^m θ that is one half at the half angle, degrees: m = -ln 2 / ln cos θ½. Angles are
// taken between 3° and 80°.
func lobe(halfAngle float64) float64 {
	if math.IsNaN(halfAngle) || halfAngle <= 0 {
		halfAngle = 30
	}
	a := min(max(halfAngle, 3), 80) * math.Pi / 180
	return -math.Ln2 / math.Log(math.Cos(a))
}

// beam is how an LED in its hole lights the diffuser: by its kind's lobe or table, cut off by the wall of the hole.
type beam struct {
	m     float64
	table []part.BeamPoint
	z     float64 // tip to diffuser, mm
	sunk  float64 // tip below the LED sheet's front, mm; the wall begins there
	hole  float64 // radius of the hole, mm
	wall  float64 // intensity, cd per cd, that the lit wall of the hole adds straight ahead; see newBeam
}

// emitter is the apparent radius, mm, of the source within an indicator LED: a reflector cup of about a millimetre seen
// through the dome (common practice, from memory). It only softens the edge of the hole's shadow.
const emitter = 0.5

// newBeam returns the beam of a kind in a hole of diameter d.
//
// What hits the wall is lost in a black sheet, and in a clear one too: light that enters acrylic through the wall meets the
// sheet's faces beyond the critical angle, whatever its direction, because n² > 2, and is led away within the sheet (total
// reflection: refraction leaves cos θ' ≤ 1/n to the face's normal, so sin²θ' ≥ 1-1/n² > 1/n²). A white wall sends it on: the share ρF/(1-ρ(1-2F)) leaves through the front, F being
// the view factor from the wall of a cylinder to one of its ends, from that between its ends (two equal discs: textbooks of
// radiative heat transfer), and the bottom taken as black.
func newBeam(k part.LED, d geom.Nm, s Stack) beam {
	b := beam{m: lobe(k.HalfAngle), table: k.Beam, z: s.Distance(), sunk: max(s.Sunk, 0).MM(), hole: max(d, geom.Millimetre).MM() / 2}
	if b.sunk == 0 || s.SheetTransmission > 0 || s.SheetReflection <= 0 {
		return b
	}
	const n = 900
	lost := 0.0 // lumen per candela on the axis
	for i := range n {
		t := (float64(i) + 0.5) * math.Pi / 2 / n
		seen := float64(b.open(math.Tan(t)))
		lost += float64(b.lobe(math.Cos(t)) * (1 - seen) * math.Sin(t) * (math.Pi * math.Pi / n))
	}
	h := b.sunk / b.hole
	x := 2 + float64(h*h)
	ends := (x - math.Sqrt(float64(x*x)-4)) / 2
	f := (1 - ends) / (2 * h)
	rho := unit(s.SheetReflection)
	b.wall = settled(lost * rho * f / (1 - float64(rho*(1-float64(2*f)))) / math.Pi)
	return b
}

func (b beam) same(c beam) bool {
	return b.m == c.m && b.z == c.z && b.sunk == c.sunk && b.hole == c.hole && b.wall == c.wall && slices.Equal(b.table, c.table)
}

// lobe returns the intensity relative to that on the axis.
func (b beam) lobe(cos float64) float64 {
	if cos <= 0 {
		return 0
	}
	if len(b.table) == 0 {
		return math.Pow(cos, b.m)
	}
	deg := math.Acos(min(cos, 1)) * 180 / math.Pi
	last := part.BeamPoint{Degrees: 0, Relative: b.table[0].Relative}
	for _, p := range append(b.table[:len(b.table):len(b.table)], part.BeamPoint{Degrees: 90}) {
		if deg <= p.Degrees && p.Degrees > last.Degrees {
			return max(0, last.Relative+float64((p.Relative-last.Relative)*(deg-last.Degrees)/(p.Degrees-last.Degrees)))
		}
		last = p
	}
	return 0
}

// open returns the share of the emitter that is seen through the hole's mouth from a direction of that tangent.
func (b beam) open(tan float64) float64 {
	if b.sunk == 0 {
		return 1
	}
	x := (b.hole - float64(b.sunk*tan)) / emitter
	if x >= 1 {
		return 1
	}
	if x <= -1 {
		return 0
	}
	return 0.5 + (float64(x*math.Sqrt(1-float64(x*x)))+math.Asin(x))/math.Pi
}

// lux returns the illuminance on the diffuser from 1 cd at a distance from the axis whose square is r2 mm², settled.
func (b beam) lux(r2 float64) float64 {
	q := r2 + float64(b.z*b.z)
	cos := b.z / math.Sqrt(q)
	e := 1e6 * b.lobe(cos) * b.open(math.Sqrt(r2)/b.z) * cos / q
	if b.wall > 0 {
		z := b.z - b.sunk
		c2 := z * z / (r2 + float64(z*z))
		e += float64(1e6 * b.wall * c2 * c2 / (z * z))
	}
	return settled(e)
}

// profile is the light of a beam in a plane that its slant has brought it to, lx, over the square of the distance, tabled: on a
// panel it is asked for many million times.
//
// The table is linear in r², in which every lobe is smooth; between its entries it is within 3e-4 of the value on the axis
// (tested; a hole's edge is what is least smooth).
type profile struct {
	per   float64 // entries per mm²
	reach float64 // mm
	v     []float64
	lit   float64   // reach on the diffuser's back, mm
	moved []float64 // where light of the distances lit·i/(len-1) on the back has come to, mm; empty: nowhere
}

const (
	profileSteps = 1 << 13
	movedSteps   = 1 << 11
)

// nothing is the share of the light on the axis below which an LED is not followed: a hundred LEDs that far away are still
// a ten thousandth. farthest bounds the reach, in heights above the LED.
const (
	nothing  = 1e-6
	farthest = 12
)

func newProfile(b beam, to plane) profile {
	most, reach := 0.0, b.z
	for i := range farthest * 20 {
		r := b.z * float64(i) / 20
		e := b.lux(r * r)
		most = max(most, e)
		if e > nothing*most {
			reach = b.z * float64(i+1) / 20
		}
	}
	p := profile{reach: reach, lit: reach, v: make([]float64, profileSteps+2)}
	if len(to.gain) == 0 {
		p.per = profileSteps / (reach * reach)
		for i := range profileSteps + 1 {
			p.v[i] = b.lux(float64(i) / p.per)
		}
		return p
	}
	p.moved = make([]float64, movedSteps+1)
	step := reach / movedSteps
	for i := range p.moved {
		r := float64(step * float64(i))
		_, aside := to.at(r / b.z)
		p.moved[i] = r + aside
		if i > 0 { // rays do not cross
			p.moved[i] = max(p.moved[i], p.moved[i-1]+float64(step/8))
		}
	}
	p.reach = p.moved[movedSteps]
	p.per = profileSteps / (p.reach * p.reach)
	// The light of a ring is spread over the ring that it comes to.
	spread := func(i int) float64 {
		if i == 0 {
			f := step / p.moved[1]
			return float64(f * f)
		}
		a, b := max(i-1, 0), min(i+1, movedSteps)
		return float64(step*float64(i)) / p.moved[i] * float64(step*float64(b-a)) / (p.moved[b] - p.moved[a])
	}
	k := 0
	for i := range profileSteps + 1 {
		at := math.Sqrt(float64(i) / p.per)
		for k+1 < movedSteps && p.moved[k+1] < at {
			k++
		}
		f := min((at-p.moved[k])/(p.moved[k+1]-p.moved[k]), 1)
		r := float64(step * (float64(k) + f))
		gain, _ := to.at(r / b.z)
		p.v[i] = float64(b.lux(float64(r*r))*gain) * (float64(spread(k)*(1-f)) + float64(spread(k+1)*f))
	}
	return p
}

// to returns where light at a distance on the diffuser's back has come to.
func (p profile) to(r float64) float64 {
	if len(p.moved) == 0 {
		return r
	}
	x := min(r/p.lit, 1) * movedSteps
	k := min(int(x), movedSteps-1)
	f := x - float64(k)
	return float64(p.moved[k]*(1-f)) + float64(p.moved[k+1]*f)
}

// at returns the lux per candela; r2 within the reach.
func (p profile) at(r2 float64) float64 {
	x := r2 * p.per
	i := int(x)
	f := x - float64(i)
	return float64(p.v[i]*(1-f)) + float64(p.v[i+1]*f)
}

// arrivals is beams as they come to the planes of an optics: tabled once for all colours of a panel.
type arrivals struct {
	beams               []beam
	straight, scattered []profile
	direct              []profile // on the diffuser's back, where neither of the planes is
}

func (o optics) arrivals(beams []beam) arrivals {
	r := arrivals{beams: beams}
	if len(o.straight.gain) > 0 {
		r.straight = profiles(beams, o.straight)
	}
	if len(o.scattered.gain) > 0 {
		r.scattered = profiles(beams, o.scattered)
	}
	if r.straight == nil && r.scattered == nil {
		r.direct = profiles(beams, plane{})
	}
	return r
}

// planes returns the profiles of those planes that there are: that of the straight part, then that of the scattered one, or else the
// diffuser's back.
func (r arrivals) planes() (out [][]profile) {
	for _, p := range [][]profile{r.straight, r.scattered, r.direct} {
		if p != nil {
			out = append(out, p)
		}
	}
	return out
}

// profiles returns those of all beams in a plane.
func profiles(beams []beam, to plane) []profile {
	out := make([]profile, len(beams))
	for i, b := range beams {
		out[i] = newProfile(b, to)
	}
	return out
}
