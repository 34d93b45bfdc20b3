package light

import (
	"math"
	"slices"

	"lampblack/panel/geom"
)

// What makes one placement better than another, here and nowhere else: evenness, which is the logarithm of the darkest place of
// the lettering over its mean; less glare times that of the brightest over the mean; and less what a dim placement is charged,
// since LEDs far from all lettering light it evenly but hardly.
const (
	glare   = 0.35
	dimness = 3 // times the logarithm of what the mean lacks of its floor, down to where that is paid; then it counts once
	paid    = 0.2
	bright  = 0.9 // the floor of the mean for a number of LEDs: of what as many along the words give, or those that are drawn
	enough  = 0.6 // the same where the number is free and evenness is asked for
	dimmest = 0.4 // of what is usual, below which an evenness does not count as reached
	hottest = 2   // the brightest place over the mean, at most, where an evenness is asked for
)

// power returns x to the power -4, -12 or -32 for rank 0, 1, 2.
func power(x float64, rank int) float64 {
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
	return 1 / float64(x16*x16)
}

// merit returns what the light + add is worth, add may be nil: darkest and brightest places are power means with exponents of
// ∓4, ∓12 or ∓32 for rank 0, 1, 2, which tend to them and never stand still. LEDs are how many were placed.
func (s *search) merit(light, add []float64, leds, rank int) float64 {
	n := [...]float64{4, 12, 32}[rank]
	mean := 0.0
	for i, w := range s.weight {
		v := light[i]
		if add != nil {
			v += add[i]
		}
		mean += float64(w * v)
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
		q := power(max(float64(v*scale), 1e-6), rank)
		low += float64(w * q)
		high += w / q
	}
	return settled(float64(-math.Log(low)/n) - float64(glare*math.Log(high)/n) - s.dim(mean, leds))
}

// dim returns what a mean is charged for lacking of its floor with so many LEDs placed. Far below it each part of the mean counts
// as much as each part of evenness, so that it is the light of the darkest place that is to be raised.
func (s *search) dim(mean float64, leds int) float64 {
	lacks := math.Log(max(s.floor(leds)/mean, 1))
	return min(dimness*lacks, lacks+(dimness-1)*paid)
}

// floor is the least mean with so many LEDs placed beside the fixed ones.
func (s *search) floor(leds int) float64 {
	return s.given + float64(s.apiece*float64(leds))
}

// worth returns what a placement is worth whose field was computed in full.
func (s *search) worth(f Figures, leds int) float64 {
	if !(f.Min > 0) {
		return math.Inf(-1)
	}
	return settled(math.Log(f.MinToMean) - float64(glare*math.Log(f.Max/f.Mean)) - s.dim(f.Mean, leds))
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

// usual returns what an LED adds to the mean of the lettering on average: of n that stand in even steps along the words, or of
// those that are drawn and to be moved, if they give more.
func (s *search) usual(n int) float64 {
	mean := func(at []geom.Pt) float64 {
		sum := 0.0
		for _, q := range at {
			sum += dot(s.weight, s.from(q))
		}
		return sum / float64(max(len(at), 1))
	}
	usual := mean(s.seated(s.words(n)))
	if !s.o.Keep {
		var at []geom.Pt
		for _, h := range s.p.LEDs {
			at = append(at, h.At)
		}
		usual = max(usual, mean(at))
	}
	return usual
}
