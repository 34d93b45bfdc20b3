// Package light computes what the eye will see of a panel: how brightly its LEDs light the lettering, and how evenly.
//
// In go a panel.Panel, the led.Wiring with the current of every string, and the Stack of sheets; out comes a Field:
// illuminance on the back of the diffuser in lx, smoothed as the diffuser does, over the lettering as a whole and for each
// text and symbol. Positions are geom's, in the panel frame.
//
// Method: every LED is a point that shines I0·cos^m θ towards the viewer, with m from the kind's half angle and I0
// proportional to the current; on a plane at distance z that gives E = I0·cos^(m+3) θ / z² (references.md section 10). The
// diffuser spreads light sideways by a Gaussian. Left out: light reflected between the sheets, shadows of the LED sheet's
// edges, and the diffuser's own angle dependence; figures are for comparing places and designs, not for a photometer.
package light

import (
	"fmt"
	"math"
	"slices"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// Stack is the sheets in front of the LEDs.
type Stack struct {
	Distance     geom.Nm // LED tip to the diffuser's back
	Diffuser     geom.Nm // thickness
	Transmission float64 // share of the light that the diffuser lets through
	Spread       geom.Nm // standard deviation of the diffuser's sideways smoothing
	Stroke       geom.Nm // width of engraved lines that the drawing gives no width
}

// UsualStack returns an LED sheet that holds the tips 8 mm behind 3 mm of opal acrylic. Half of the light passes opal
// sheet of that thickness, and spreads sideways by about the thickness: common practice both, no published figure was at
// hand; measure where it matters.
func UsualStack() Stack {
	return Stack{Distance: geom.MM(8), Diffuser: geom.MM(3), Transmission: 0.5, Spread: geom.MM(3), Stroke: geom.MM(0.6)}
}

// Field is the light on the diffuser behind the lettering; without any lettering behind the whole panel.
type Field struct {
	Figures
	Texts   []Lit // each text, then each symbol, in the panel's order
	Assumed bool  // an LED kind of unknown intensity was taken to have 0.1 cd: only ratios mean something
}

// Figures are those of some area, in lx.
type Figures struct {
	Mean, Min, Max float64
	MinToMean      float64 // 0 when there is no light
	MaxToMin       float64 // 0 when the darkest place has no light
	AreaMM2        float64
}

// Lit is one text or symbol.
type Lit struct {
	Text string // of a symbol: "symbol 2"
	At   geom.Pt
	Figures
}

// Evaluate computes the light on the lettering of the panel.
func Evaluate(p panel.Panel, w led.Wiring, s Stack) Field {
	spots := spotsOf(p, s)
	box := geom.EmptyBox()
	for _, t := range spots {
		for _, q := range t.points {
			box = box.With(q)
		}
	}
	var f Field
	_, f.Assumed = lamps(p, w)
	if box.Empty() {
		return f
	}
	grid := Illuminance(p, w, s, box, 0)
	var all sums
	for _, t := range spots {
		var one sums
		for _, q := range t.points {
			e := grid.At(q)
			one.add(e, t.area)
			all.add(e, t.area)
		}
		if !t.whole {
			f.Texts = append(f.Texts, Lit{t.text, t.at, one.figures()})
		}
	}
	f.Figures = all.figures()
	return f
}

// sums gathers figures.
type sums struct {
	light, area, min, max float64
	any                   bool
}

func (s *sums) add(e, area float64) {
	s.light += float64(e * area)
	s.area += area
	if !s.any || e < s.min {
		s.min = e
	}
	if !s.any || e > s.max {
		s.max = e
	}
	s.any = true
}

func (s sums) figures() Figures {
	if s.area == 0 {
		return Figures{}
	}
	f := Figures{Mean: s.light / s.area, Min: s.min, Max: s.max, AreaMM2: s.area}
	if f.Mean > 0 {
		f.MinToMean = f.Min / f.Mean
	}
	if f.Min > 0 {
		f.MaxToMin = f.Max / f.Min
	}
	return f
}

// spot is a piece of lettering as sample points.
type spot struct {
	text   string
	at     geom.Pt
	points []geom.Pt
	area   float64 // mm² that a point stands for
	whole  bool    // the panel itself, for want of lettering
}

func spotsOf(p panel.Panel, s Stack) []spot {
	var out []spot
	add := func(text string, at geom.Pt, g geom.Region, step geom.Nm) {
		if pts, area := samples(g, step); len(pts) > 0 {
			out = append(out, spot{text: text, at: at, points: pts, area: area})
		}
	}
	for _, t := range p.Lettering {
		// About four samples across a stroke, which is some seventh of the height.
		add(t.Text, t.At, lettering.Outline(t), max(t.Height/28, finest))
	}
	for i, y := range p.Symbols {
		g := lettering.SymbolRegion(y, s.Stroke)
		if len(g) == 0 {
			continue
		}
		add(fmt.Sprintf("symbol %d", i+1), g[0].Outer.Box().Centre(), g, max(s.Stroke/4, finest))
	}
	if len(out) > 0 {
		return out
	}
	var rings []geom.Ring
	if len(p.Outline) > 0 {
		rings = append(rings, p.Outline.Ring(geom.FlattenTolerance*50))
	}
	if len(rings) == 0 {
		return nil
	}
	for _, o := range p.Openings {
		rings = append(rings, o.Ring(geom.FlattenTolerance*50))
	}
	add("", geom.Pt{}, geom.NewRegion(rings...), geom.Millimetre)
	for i := range out {
		out[i].whole = true
	}
	return out
}

// finest is the smallest step of samples, and mostSamples how many one text may have: beyond, the step grows.
const (
	finest      = 50 * geom.Micrometre
	mostSamples = 20_000
)

// samples returns points of a square grid inside the region, and the area that each stands for, mm². A region too thin for
// any yields its corners.
func samples(g geom.Region, step geom.Nm) ([]geom.Pt, float64) {
	rings := g.Rings()
	box := geom.EmptyBox()
	area := 0.0
	for _, r := range rings {
		box = box.Union(r.Box())
	}
	for _, p := range g {
		area += p.Outer.Area()
		for _, h := range p.Holes {
			area -= h.Area()
		}
	}
	if box.Empty() || step <= 0 {
		return nil, 0
	}
	if wanted := area * 1e12 / float64(step) / float64(step); wanted > mostSamples {
		step = geom.Nm(math.Ceil(math.Sqrt(area * 1e12 / mostSamples)))
	}
	// A long thin region could still cost many empty rows and be missed between them.
	step = max(step, box.H()/20_000)
	var out []geom.Pt
	var cross []float64
	for y := box.Min.Y + step/2; y < box.Max.Y; y += step {
		cross = cross[:0]
		for _, r := range rings {
			for i := range r {
				a, b := r[i], r[(i+1)%len(r)]
				if (a.Y <= y) != (b.Y <= y) {
					t := float64(y-a.Y) / float64(b.Y-a.Y)
					cross = append(cross, float64(a.X)+float64(t*float64(b.X-a.X)))
				}
			}
		}
		slices.Sort(cross)
		for i := 0; i+1 < len(cross); i += 2 {
			// Grid points within the run.
			first := int64(math.Ceil((cross[i] - float64(box.Min.X)) / float64(step)))
			for k := first; float64(box.Min.X)+float64(float64(k)*float64(step)) < cross[i+1]; k++ {
				out = append(out, geom.Pt{X: box.Min.X + geom.Nm(k)*step, Y: y})
				if len(out) > 4*mostSamples {
					return out, area / float64(len(out))
				}
			}
		}
	}
	if len(out) == 0 {
		for _, r := range rings {
			out = append(out, r...)
		}
	}
	if len(out) == 0 {
		return nil, 0
	}
	// The samples share the exact area.
	return out, area / float64(len(out))
}
