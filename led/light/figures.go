package light

import (
	"math"

	"lampblack/panel/geom"
)

// Figures are those of some area, in cd/m².
type Figures struct {
	Mean, Min, Max float64
	MinToMean      float64 // 0 when there is no light
	MaxToMin       float64 // 0 when the darkest place has no light
	Spread         float64 // standard deviation over the area, over the mean
	AreaMM2        float64
	Darkest        geom.Pt
	Brightest      geom.Pt
}

// Lit is one text, symbol, word or character.
type Lit struct {
	Text string // of a symbol what it is: "the line 53 mm long"
	At   geom.Pt
	Box  geom.Box // of what was looked at
	Figures

	drawn  bool // a symbol
	window bool // a symbol that is one
	Symbol int  // of a symbol its index in the panel
	lead   int  // of Field.Colours: the one that gives it most
}

// sums gathers figures.
type sums struct {
	light, area, min, max float64
	square                float64 // of the light, times the area
	dark, bright          geom.Pt
	box                   geom.Box
	any                   bool
	name                  string
}

func (s *sums) add(at geom.Pt, e, area float64) {
	s.light += float64(e * area)
	s.square += float64(float64(e*e) * area)
	s.area += area
	if !s.any {
		s.min, s.max, s.dark, s.bright, s.box = e, e, at, at, geom.BoxOf(at)
		s.any = true
		return
	}
	if e < s.min {
		s.min, s.dark = e, at
	}
	if e > s.max {
		s.max, s.bright = e, at
	}
	s.box = s.box.With(at)
}

func (s sums) figures() Figures {
	if s.area == 0 {
		return Figures{}
	}
	f := Figures{Mean: s.light / s.area, Min: s.min, Max: s.max, AreaMM2: s.area, Darkest: s.dark, Brightest: s.bright}
	if f.Mean > 0 {
		f.MinToMean = f.Min / f.Mean
		f.Spread = math.Sqrt(max(s.square/s.area/float64(f.Mean*f.Mean)-1, 0))
	}
	if f.Min > 0 {
		f.MaxToMin = f.Max / f.Min
	}
	return f
}

func (s sums) lit(name string) Lit {
	return Lit{Text: name, At: s.box.Centre(), Box: s.box, Figures: s.figures()}
}

// settled returns v to nine or ten digits: what of package math reaches a file or a decision is settled first.
func settled(v float64) float64 { return geom.Settled(v) }
