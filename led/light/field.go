// Package light computes what the eye will see of a panel: how brightly its LEDs light the lettering, how evenly, and where
// LEDs should stand.
//
// In go a panel.Panel, the led.Wiring with the current of every string, and the Stack of sheets; out comes a Field: the
// luminance of the lettering in cd/m², as a whole, for each text, word and character, and as a grid over the panel. Where a
// kind's luminous intensity is not known only ratios mean something, and Field says so. Positions are geom's, in the panel
// frame.
//
// Method. Every LED shines by its kind's table or as I0·cos^m θ, in proportion to its current, out of its hole, whose wall
// cuts it off (beam.go), and E = I·cos θ/r² arrives on the diffuser where no body, opening or edge of the panel is in the way
// (shadow.go, shine.go). Light that the diffuser sends back comes again from the board (bounce.go). What passes the diffuser
// keeps its direction, in part, and what does not is blurred as radiative transfer in a turbid slab has it (optics.go, slab.go), as a
// product of Fourier transforms (fourier.go); the eye is straight before the panel, and the stack's finish says which light it sees. Error of this computation, against the sums done one by one: below 1 % of the value (tested). Error of the
// model: LEDs of one kind differ by a factor of two in intensity, so figures are for comparing places and designs.
//
// Left out: other LEDs' bodies as obstacles, reflections at the walls of bodies and edges, and the layers of air between the
// sheets.
package light

import (
	"context"
	"slices"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Field is the light of the lettering; without any lettering, of the windows, and without these of the whole panel.
type Field struct {
	Figures
	Texts   []Lit // each text, then each symbol, windows too, in the panel's order
	Words   []Lit // of the texts
	Chars   []Lit // of the texts
	Layers  []Layer
	Colours []Colour // of Layers, where there are several and there is lettering
	Sets    []Lone   // the light of each set of LEDs by itself, where there are such (BySet)
	Spot    float64  // how many times as bright the place over an LED looks as without the light that keeps its direction; 0: no LED
	Finish  Finish   // of the engraving that all this is seen through
	Ground  float64  // luminance of the brightest place of the paint, cd/m²
	Assumed bool     // an LED kind of unknown intensity was taken to have 0.1 cd: only ratios mean something
}

// Layer is the luminance, cd/m², that lettering would have anywhere on the panel, from the LEDs of one colour.
type Layer struct {
	RGB  [3]uint8
	Name string // of the colour, as the first kind that has it tells it
	Grid
}

// Contrast returns how many times as bright as the brightest place of the paint the lettering is on average; 0 where nothing comes
// through the paint.
func (f Field) Contrast() float64 {
	if f.Ground <= 0 {
		return 0
	}
	return f.Mean / f.Ground
}

// Total returns the luminance of all colours together; the zero Grid without any.
func (f Field) Total() Grid {
	if len(f.Layers) == 0 {
		return Grid{}
	}
	sum := f.Layers[0].Grid
	for _, l := range f.Layers[1:] {
		sum = sum.plus(l.Grid)
	}
	return sum
}

// Evaluate computes the light on the lettering of the panel, whose areas are made here where e is nil. When ctx is done it returns at once, and what it returns means
// nothing.
func Evaluate(ctx context.Context, p panel.Panel, e *lettering.Engraving, w led.Wiring, s Stack) (f Field) {
	work.Until(ctx, func(watch *work.Watch) {
		if spots := spotsOf(watch, p, e); len(spots) > 0 {
			o := newOptics(watch, s)
			f.Finish = s.Finish
			all, beams, assumed := lamps(p, w, s)
			r := o.arrivals(beams)
			f.Assumed = assumed
			f.Layers = luminance(watch, p, s, o, all, r, 0)
			f.Spot = o.spot(watch, s, r)
			f.Ground = float64(unit(s.Paint) * f.Total().Max())
			f.measure(watch, spots)
			f.coloured(watch, spots)
		}
	})
	return f
}

// measure fills the figures.
func (f *Field) measure(watch *work.Watch, spots []spot) {
	grid := f.Total()
	var all, windows sums
	for _, t := range spots {
		var text, word sums
		for i, c := range t.chars {
			watch.Look()
			var one sums
			for _, q := range c.points {
				watch.Step()
				e := grid.At(q)
				one.add(q, e, c.area)
				word.add(q, e, c.area)
				text.add(q, e, c.area)
				if t.window {
					windows.add(q, e, c.area)
				} else {
					all.add(q, e, c.area)
				}
			}
			if !t.written {
				continue
			}
			f.Chars = append(f.Chars, one.lit(string(c.r)))
			word.name += string(c.r)
			if i+1 == len(t.chars) || t.chars[i+1].word != c.word {
				f.Words = append(f.Words, word.lit(word.name))
				word = sums{}
			}
		}
		if !t.whole {
			l := text.lit(t.text)
			l.At, l.drawn, l.window, l.Symbol = t.at, !t.written, t.window, t.symbol
			f.Texts = append(f.Texts, l)
		}
	}
	if !all.any {
		all = windows
	}
	f.Figures = all.figures()
}

// Windows returns the light of each window of which anything is seen, in the panel's order.
func (f Field) Windows() []Lit {
	var out []Lit
	for _, t := range f.Texts {
		if t.window {
			out = append(out, t)
		}
	}
	return out
}

// Limits of a grid: the usual step, and about how many values it may have before the step grows.
const (
	gridStep  = geom.Millimetre / 2
	gridCells = 1_000_000
)

// luminance returns the light of the whole panel by colour, in the order in which the lamps name them, on a grid of the
// step, or with step 0 of one that it chooses (stepFor). A finer step is interpolated where the light has no finer detail.
func luminance(watch *work.Watch, p panel.Panel, s Stack, o optics, all []lamp, r arrivals, step geom.Nm) (layers []Layer) {
	g, at, ok := groundOf(watch, p, s, o)
	if !ok || len(all) == 0 {
		return nil
	}
	for _, c := range coloursOf(all) {
		watch.Look()
		lit := o.seen(watch, g, s, c.lamps, r, at).total()
		at.cutFrom(lit)
		if step > 0 && step < g.Step {
			own := g.Step
			step := max(step, leastStep(p.Outline.Box())/4+1)
			lit = lit.Resampled(g.Origin, step, int(geom.Nm(g.W-1)*own/step)+1, int(geom.Nm(g.H-1)*own/step)+1)
		}
		layers = append(layers, Layer{c.rgb, c.name, lit})
	}
	return layers
}

// tinted is the lamps of one colour.
type tinted struct {
	rgb   [3]uint8
	name  string
	lamps []lamp
}

// coloursOf returns the lamps by colour, in the order in which they name colours.
func coloursOf(all []lamp) (out []tinted) {
	for _, l := range all {
		k := slices.IndexFunc(out, func(c tinted) bool { return c.rgb == l.rgb })
		if k < 0 {
			k, out = len(out), append(out, tinted{rgb: l.rgb, name: l.name})
		}
		out[k].lamps = append(out[k].lamps, l)
	}
	return out
}
