package light

import (
	"fmt"
	"math"

	"lampblack/panel/diag"
)

// Unscattered returns the share of the light that passes the diffuser without being scattered once.
func (s Stack) Unscattered() float64 {
	if s.Diffuser <= 0 {
		return 1
	}
	return unit(s.Transmission) * (1 - unit(s.Haze))
}

// mostSpot is how many times as bright the place over an LED may look as it would in light from all sides, before the LEDs count
// as showing: as much as a character may change from its brightest place to its darkest (UsualLimits).
const mostSpot = 2

// unsure is by how much what Spot has over one may be off where the haze is a grade's usual one, from memory: sheets of a grade let
// twice or half as much pass straight, and then a medium opal's figure over one is 1.6 times or 0.7 times as large.
const unsure = 1.6

// usualHaze reports whether the haze is the grade's and not one that somebody told.
func (s Stack) usualHaze() bool {
	return s.Diffuser > 0 && s.Grade != "" && s.WithDiffuser(s.Grade).Haze == s.Haze
}

// judgeBare tells of a diffuser that hides no LED from an eye straight before it.
func judgeBare(s Stack, f Field) diag.List {
	var l diag.List
	over := f.Spot - 1
	if s.usualHaze() && over*unsure > mostSpot-1 && over/unsure <= mostSpot-1 {
		keys := []string{"stack.haze", "stack.grade", "stack"}
		advice := "lay a piece of yours over an LED and look, or give the haze of its data sheet, stack.haze; a denser grade, as opal-dense, is safe"
		if s.Finish == Clear {
			keys = append([]string{"engraving.finish"}, keys...)
			advice += ", and so is frosted engraving"
		}
		found := l.Add(diag.Note, "light-shows-leds", "%s may just show its LEDs straight on: by the usual haze of that grade the place over each looks %s times as bright as the "+
			"light round it, and from %d on it is seen; sheets sold as one grade differ by more than that", s.Grade, times(f.Spot), mostSpot).About(keys...).Fix("%s", advice)
		found.By("take opal-dense", diag.Set, "stack.grade", "opal-dense")
		if s.Finish == Clear {
			found.By("frost the engraving", diag.Set, "engraving.finish", "frosted")
		}
		return l
	}
	if f.Spot <= mostSpot {
		return l
	}
	what := "without a diffuser every LED shows straight on"
	if s.Diffuser > 0 {
		name := s.Grade
		if name == "" {
			name = "the diffuser"
		}
		what = name + " hides no LED straight on"
	}
	advice := "use a denser grade, as opal-medium"
	switch {
	case s.Finish == Clear && math.IsInf(f.Spot, 1):
		what += ": through clear engraving each is a bright point in the dark"
	case s.Finish == Clear:
		what += fmt.Sprintf(": through clear engraving each is a point %s times as bright as the light round it", times(f.Spot))
	case math.IsInf(f.Spot, 1):
		what += ", even through frosted engraving"
	default:
		what += fmt.Sprintf(": even through frosted engraving it is %s times as bright over each as by scattered light alone", times(f.Spot))
	}
	keys := []string{"stack.grade", "stack.transmission", "stack"}
	if s.Finish == Clear {
		advice = "frost the engraving, engraving: {finish: frosted}, or use a denser grade, as opal-dense"
		keys = append([]string{"engraving.finish"}, keys...)
	}
	found := l.Add(diag.Warning, "light-shows-leds", "%s", what).About(keys...).Fix("%s", advice)
	if s.Finish == Clear {
		found.By("frost the engraving", diag.Set, "engraving.finish", "frosted")
	}
	return l
}

// times says a ratio with the digits that count.
func times(v float64) string {
	if v < 10 {
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.2g", v)
}
