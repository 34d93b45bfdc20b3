package light

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// What makes one placement better than another, here and nowhere else: evenness, which is the logarithm of the darkest place of
// the lettering over its mean; less glare times that of the brightest over the mean; and less what it is charged for being dim,
// since LEDs far from all lettering light it evenly but hardly, and for spreading more than others of as many LEDs.
const (
	glare   = 0.35
	dimness = 3    // times the logarithm of what the mean lacks of its floor, down to where that is paid; then it counts once
	paid    = 0.2  //
	steep   = 10   // times that of what it lacks of a mean that it must have, and of what it spreads too much
	worse   = 100  // times that of what it is worse than its rivals, once its field is computed in full
	soft    = 0.02 // charges begin smoothly, over this much
	margin  = 0.01 // by which floors are aimed higher
	bright  = 0.9  // the floor of the mean for a number of LEDs: of what those that are drawn give
	along   = 0.94 // the same of what as many along the words give: nine tenths, and what other steps along them give more
	enough  = 0.6  // the same where the number is free and evenness is asked for
	dimmest = 0.4  // of what is usual, below which an evenness does not count as reached
	hottest = 2    // the brightest place over the mean, at most, where an evenness is asked for
)

// exponents of the power means that stand for the darkest and the brightest place, by rank.
var exponents = [...]float64{4, 12, 32, 96}

// power returns x to the power -4, -12, -32 or -96 for rank 0, 1, 2, 3; x is no less than a thousandth.
func power(x float64, rank int) float64 {
	x = max(x, 1e-3)
	x2 := float64(x * x)
	x4 := float64(x2 * x2)
	switch rank {
	case 0:
		return 1 / x4
	case 1:
		return 1 / float64(float64(x4*x4)*x4)
	}
	x8 := float64(x4 * x4)
	x16 := float64(x8 * x8)
	x32 := float64(x16 * x16)
	if rank == 2 {
		return 1 / x32
	}
	return 1 / float64(float64(x32*x32)*x32)
}

// merit returns what the light + add is worth, add may be nil: darkest and brightest places are power means, which tend to them
// as the rank grows and never stand still. LEDs are how many were placed.
func (s *search) merit(light, add []float64, leds, rank int) float64 {
	mean, square := 0.0, 0.0
	for i, w := range s.weight {
		v := light[i]
		if add != nil {
			v += add[i]
		}
		mean += float64(w * v)
		square += float64(w * float64(v*v))
	}
	if mean <= 0 {
		return math.Inf(-1)
	}
	scale, low, high := 1/mean, 0.0, 0.0
	for i, w := range s.weight {
		v := light[i]
		if add != nil {
			v += add[i]
		}
		q := power(float64(v*scale), rank)
		low += float64(w * q)
		high += w / q
	}
	n := exponents[rank]
	spread := math.Sqrt(max(square/float64(mean*mean)-1, 0))
	dark := float64(-math.Log(low) / n)
	return settled(dark - float64(steep*hinge(s.dark-dark)) - float64(glare*math.Log(high)/n) - s.charge(mean, spread, leds))
}

// growth returns by how much the merit grows with the light at each point.
func (s *search) growth(light []float64, leds, rank int) []float64 {
	mean := dot(s.weight, light)
	out := make([]float64, len(light))
	if mean <= 0 {
		return out
	}
	scale, low, high, square := 1/mean, 0.0, 0.0, 0.0
	q := make([]float64, len(light))
	for i, w := range s.weight {
		q[i] = power(float64(light[i]*scale), rank)
		low += float64(w * q[i])
		high += w / q[i]
		square += float64(w * float64(light[i]*light[i]))
	}
	variance := max(square/float64(mean*mean)-1, 0)
	dim, spread := s.charges(mean, math.Sqrt(variance), leds)
	dark := 1 + float64(steep*rise(s.dark+math.Log(low)/exponents[rank]))
	// The logarithm of the mean itself counts in both power means.
	of := (glare - dark + dim) / mean
	for i, w := range s.weight {
		x := light[i] * scale
		g := of + (float64(dark*q[i]/low)-float64(glare/float64(q[i]*high)))/max(light[i], float64(1e-3*mean))
		if spread > 0 {
			g -= float64(spread*(x-1-variance)) / float64(variance*mean)
		}
		out[i] = float64(w * g)
	}
	return out
}

// charge returns what a placement is charged for its mean and its spread. Far below the usual mean each part of it counts as much
// as each part of evenness, so that it is the light of the darkest place that is to be raised; see charges for its slopes.
func (s *search) charge(mean, spread float64, leds int) float64 {
	lacks := math.Log(max(float64((1+margin)*s.floor(leds))/mean, 1))
	sum := min(float64(s.dimness*hinge(lacks)), hinge(lacks)+float64((s.dimness-1)*paid))
	sum += float64(steep * hinge(math.Log(max(float64((1+margin)*s.hard)/mean, 1))))
	if s.spread > 0 {
		sum += float64(steep * hinge(math.Log(max(float64((1+margin)*spread)/s.spread, 1))))
	}
	return sum
}

// charges returns by how much less a placement is charged as the logarithm of its mean grows, and by how much more as that of its spread
// does.
func (s *search) charges(mean, spread float64, leds int) (dim, uneven float64) {
	lacks := math.Log(max(float64((1+margin)*s.floor(leds))/mean, 1))
	dim = rise(lacks)
	if hinge(lacks) < paid {
		dim *= s.dimness
	}
	dim += float64(steep * rise(math.Log(max(float64((1+margin)*s.hard)/mean, 1))))
	if s.spread > 0 {
		uneven = steep * rise(math.Log(max(float64((1+margin)*spread)/s.spread, 1)))
	}
	return dim, uneven
}

// hinge is nothing below zero and x far above, and smooth; rise is its slope.
func hinge(x float64) float64 {
	if x < soft {
		return float64(max(x, 0)*max(x, 0)) / (2 * soft)
	}
	return x - soft/2
}

func rise(x float64) float64 { return min(max(x, 0)/soft, 1) }

// floor is the least mean with so many LEDs placed beside the fixed ones.
func (s *search) floor(leds int) float64 {
	return s.given + float64(s.apiece*float64(leds))
}

// worth returns what a placement is worth whose field was computed in full.
func (s *search) worth(f Figures, leds int) float64 {
	if !(f.Min > 0) {
		return math.Inf(-1)
	}
	sum := math.Log(f.MinToMean) - float64(glare*math.Log(f.Max/f.Mean)) - s.charge(f.Mean, 0, leds)
	for _, r := range s.rivals {
		sum -= worse * r.beats(f)
	}
	return settled(sum)
}

// beats returns by how much a placement of as many LEDs is better than f in any way in which f should be no worse: the darkest
// place over the mean, the brightest over the darkest, and the spread.
func (r Figures) beats(f Figures) float64 {
	sum := math.Log(max(r.MinToMean/f.MinToMean, 1))
	if r.MaxToMin > 0 {
		sum += math.Log(max(f.MaxToMin/r.MaxToMin, 1))
	}
	if r.Spread > 0 {
		sum += math.Log(max(f.Spread/r.Spread, 1))
	}
	return sum
}

// even reports whether light is as even as is asked for, without a hot spot.
func (s *search) even(f Figures) bool { return f.MinToMean >= s.o.Even && f.Max <= hottest*f.Mean }

// reached reports whether light is even, and bright enough for so many LEDs unless that is too much to ask.
func (s *search) reached(f Figures, leds int) bool {
	return s.even(f) && (s.lenient || f.Mean >= float64(dimmest/enough*s.floor(leds)))
}

// full returns the figures of the fixed LEDs and these, computed in full.
func (s *search) full(at []geom.Pt) Figures {
	return s.figures(append(slices.Clone(s.fixed), s.holes(at)...))
}

// ask sets what is asked of a placement beside evenness: of n LEDs, or with n = 0 of some number.
//
// A number of LEDs is to give nine tenths of the light that as many along the words give. Where that many are drawn they are
// what it is measured by first: nobody moves LEDs for less light, and light that spreads more. The search's own figures of these
// are compared with its own.
func (s *search) ask(n int) {
	if len(s.fixed) > 0 {
		return // more LEDs make it no darker, and fill up what lacks
	}
	if n == 0 {
		words := s.seated(s.words(min(max(int(s.length()/sparse), 1), many)))
		s.apiece = enough * max(s.meanOf(words), s.meanOf(s.present()))
		return
	}
	words, present := s.seated(s.words(n)), s.present()
	s.apiece = along * s.meanOf(words)
	rival := func(at []geom.Pt) {
		s.rivals = append(s.rivals, s.full(at))
		if v := s.spreadOf(at); s.spread == 0 || v < s.spread {
			s.spread = v
		}
	}
	switch {
	case s.o.Keep:
	case len(s.drawn(n)) == n:
		s.hard = bright * (s.given + float64(float64(n)*s.meanOf(present)))
		rival(present)
	default: // some other number, or where none may be
		s.apiece = max(s.apiece, bright*s.meanOf(present))
	}
	if len(words) == n {
		rival(words)
	}
	for _, r := range s.rivals {
		s.dark = max(s.dark, r.MinToMean)
	}
	if s.dark > 0 {
		if s.evenest(s.floor(n)/float64(n)) < 1.15*s.dark {
			s.dimness = 1
		}
		s.dark = math.Log(1.07 * s.dark)
	} else {
		s.dark = math.Inf(-1)
	}
}

// strict works a layout over until, computed in full, it is no worse than its rivals: power means and the search's profiles are
// only near to that, so what is asked is shifted by what is lacking.
func (s *search) strict(l *layout) {
	const (
		over  = 1.005
		times = 10 // most panels take one or two, those whose LEDs are far from all lettering seven
	)
	for range times {
		f, lacking := s.full(l.at), false
		for k, r := range s.rivals {
			if f.MinToMean > 0 && f.MinToMean < r.MinToMean*over {
				s.dark += math.Log(r.MinToMean * over * over / f.MinToMean)
				lacking = true
			}
			if f.Spread > 0 && f.Spread*over > r.Spread {
				s.spread *= r.Spread / (f.Spread * over * over)
				lacking = true
			}
			if floor := bright * r.Mean * over; k == 0 && s.hard > 0 && f.Mean > 0 && f.Mean < floor {
				s.hard *= floor * over / f.Mean
				lacking = true
			}
		}
		if !lacking {
			return
		}
		for _, rank := range []int{2, 3} {
			s.climb(l, rank, climbs)
		}
	}
}

// evenest returns what the darkest place over the mean is no higher than where each LED adds so much to the mean on average: the
// least mean with which fractions of LEDs, of that average, give each place one. By duality the bound is true; see simplex.go.
func (s *search) evenest(each float64) float64 {
	r, ok := s.relax(0.5)
	if !ok {
		return 1
	}
	p := program{cost: make([]float64, len(s.sites)), cols: make([][]float64, len(s.sites)), need: make([]float64, r.rows+1)}
	for k := range r.rows {
		p.need[k] = 1
	}
	for c, l := range s.light {
		p.cost[c] = r.means[c] / r.unit
		p.cols[c] = make([]float64, r.rows+1)
		for k := range r.rows {
			p.cols[c][k] = l[r.place(k)] / r.unit
		}
		p.cols[c][r.rows] = (r.means[c] - each) / r.unit
	}
	y, _ := p.solve(s.watch)
	return 1 / max(p.bound(y), 1)
}

// present are the places of the LEDs as drawn, if they are to be moved.
func (s *search) present() []geom.Pt {
	if s.o.Keep {
		return nil
	}
	var at []geom.Pt
	for _, h := range s.p.LEDs {
		at = append(at, h.At)
	}
	return at
}

// meanOf returns what each of the LEDs adds to the mean of the lettering on average.
func (s *search) meanOf(at []geom.Pt) float64 {
	sum := 0.0
	for _, q := range at {
		sum += dot(s.weight, s.from(q))
	}
	return sum / float64(max(len(at), 1))
}

// spreadOf returns the standard deviation of the LEDs' light over its mean.
func (s *search) spreadOf(at []geom.Pt) float64 {
	light := s.layoutOf(at).light
	mean, square := dot(s.weight, light), 0.0
	for i, w := range s.weight {
		square += float64(w * float64(light[i]*light[i]))
	}
	return math.Sqrt(max(square/float64(mean*mean)-1, 0))
}
