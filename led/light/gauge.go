package light

import (
	"context"

	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Gauged is the light that the LEDs of one colour give the lettering that is theirs.
type Gauged struct {
	RGB       [3]uint8 // which colour, as kinds have it
	Name      string
	Mean      float64 // cd/m² at the currents given; 0: no lettering is theirs
	Lettering int     // words and symbols that are theirs; 0 also where there is one colour
	Assumed   bool    // a kind of unknown intensity was taken to have 0.1 cd
}

// gaugings is how often colours are brought to one level to see which words are theirs; the second round settles it but where words
// stand midway.
const gaugings = 3

// Gauge returns what the LEDs of each colour give the lettering that is theirs once all colours are brought to one level; the figures
// are those at the currents given. A word between two colours is thus the nearer one's, however unlike their intensities are. Those of
// the colours of sets are what each set gives all that sets light, by itself. When ctx is done it returns at once, and what it returns
// means nothing.
func Gauge(ctx context.Context, p panel.Panel, e *lettering.Engraving, w led.Wiring, s Stack, sets []Set) (out []Gauged) {
	work.Until(ctx, func(watch *work.Watch) {
		spots := spotsOf(watch, p, e)
		if len(spots) == 0 {
			return
		}
		o := newOptics(watch, s)
		all, beams, assumed := lamps(p, w, s)
		layers := luminance(watch, p, s, o, all, o.arrivals(beams), 0)
		scale := make([]float64, len(layers))
		for k, l := range layers {
			scale[k] = 1
			out = append(out, Gauged{RGB: l.RGB, Name: l.Name, Assumed: assumed})
		}
		for range gaugings {
			f := Field{}
			for k, l := range layers {
				l.Grid = l.scaled(scale[k])
				f.Layers = append(f.Layers, l)
			}
			f.measure(watch, spots)
			f.coloured(watch, spots)
			f.bySet(watch, spots, unit(s.Paint), sets)
			for k := range out {
				own := f.Figures
				switch {
				case len(f.Colours) > 0:
					own, out[k].Lettering = f.Colours[k].Figures, f.Colours[k].Lettering
				case len(layers) > 1: // without lettering each lights the whole panel
					one := Field{Layers: f.Layers[k : k+1]}
					one.measure(watch, spots)
					own = one.Figures
				}
				out[k].Mean = settled(own.Mean / scale[k])
			}
			if len(layers) == 1 {
				return
			}
			for k, g := range out {
				if g.Mean > 0 {
					scale[k] = 1 / g.Mean
				}
			}
		}
	})
	return out
}

// scaled returns the grid with all values times c.
func (g Grid) scaled(c float64) Grid {
	v := make([]float64, len(g.V))
	for i, x := range g.V {
		v[i] = x * c
	}
	g.V = v
	return g
}
