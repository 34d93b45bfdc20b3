package light

import (
	"math"

	"lampblack/panel/diag"
)

// Unscattered returns the share of the light that passes the diffuser without being scattered once, exp(-d/z0) by the transport
// path of its grade (Beer and Lambert): an estimate from above, since real pigments scatter forward and so more often.
func (s Stack) Unscattered() float64 {
	if s.Diffuser <= 0 {
		return 1
	}
	d := diffuser(s.Diffuser.MM(), unit(s.Transmission)/(1-min(unit(s.Absorption), 0.99)))
	return math.Exp(-d.d / d.z0)
}

// mostUnscattered returns the greatest share of unscattered light with which the LEDs count as hidden: that of a sheet of 1.25
// transport paths, below which diffusion theory no longer describes it (see deepest).
func mostUnscattered() float64 { return math.Exp(-1/deepest) * (1 - 1e-9) }

// judgeBare tells of a diffuser that hides no LED from an eye straight before it.
func judgeBare(s Stack) diag.List {
	var l diag.List
	share := s.Unscattered()
	if share < mostUnscattered() {
		return l
	}
	what := "without a diffuser every LED shows straight on"
	if s.Diffuser > 0 {
		name := s.Grade
		if name == "" {
			name = "a diffuser"
		}
		what = name + " hides no LED straight on"
	}
	l.Add(diag.Warning, "light-shows-leds", "%s: up to %.0f %% of the light passes unscattered, so that through clear engraving each LED shows as a bright point; the pictures hold for frosted engraving",
		what, 100*share).About("stack.grade", "stack.transmission", "stack").
		Fix("use a denser grade, as opal-medium, or leave the engraving frosted")
	return l
}
