package picture

import (
	"context"
	"fmt"
	"image/color"
	"math"
	"strconv"

	"gonum.org/v1/plot/palette/moreland"
	"strings"

	"lampblack/export/scene"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Colours of a panel's parts on a dark page.
const (
	paintRim scene.Colour = 0x75685c // edge of the painted face
	behind   scene.Colour = 0xa7937b // bodies
)

// lampBlue marks LEDs: it stands out from all of the scale.
const lampBlue scene.Colour = 0x8fd3ff

// rimInk is round what must show on all of the scale.
const rimInk scene.Colour = 0x1a1310

// shareLevels are the levels of the map in parts of the lettering's mean: about half a stop apart, the third among them
// because a word darker than that is told.
func shareLevels() []float64 { return []float64{0.05, 0.1, 0.2, 1.0 / 3, 0.5, 0.7, 1, 1.4, 2, 3} }

// GlowMap returns an SVG map of the luminance that lettering has, or would have, all over the panel: areas between contours,
// a legend in cd/m² and in parts of the lettering's mean, the LEDs, and the lettering drawn over it.
//
// Where LEDs are in sets there is a map of each set by itself, below each other.
//
// Colours are a scale of even steps of lightness, black body of K. Moreland, "Why we use bad color maps and what you can do
// about it", Human Vision and Electronic Imaging, 2016 (as gonum.org/v1/plot/palette/moreland has it): it reads the same in
// grey and to colour-blind eyes.
func GlowMap(ctx context.Context, p panel.Panel, e *lettering.Engraving, f light.Field) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return glowMap(w, p, e.Or(w, p), f) })
}

func glowMap(w *work.Watch, p panel.Panel, e *lettering.Engraving, f light.Field) []byte {
	maps := f.Sets
	if len(maps) == 0 {
		maps = []light.Lone{{Field: f}}
	}
	box := p.Outline.Box()
	if len(p.Outline) == 0 || box.Empty() {
		box = geom.Box{}
	}
	page := box.Grown(around)
	page.Min.Y -= mapKey
	page.Max.X += mapBar
	if w := 130 * geom.Millimetre; page.W() < w {
		page.Max.X += w - page.W()
	}
	if h := 76 * geom.Millimetre; page.H() < h {
		page.Min.Y -= h - page.H()
	}
	d := newDrawing(w, page.W(), geom.Nm(len(maps))*page.H(), p.Name+": light")
	d.page.Step = 10 * geom.Micrometre
	d.ground(night)
	for k, one := range maps {
		if len(maps) > 1 {
			d.open("by " + one.Set)
		}
		d.lightMap(p, e, one, page, geom.Nm(k)*page.H())
		if len(maps) > 1 {
			d.close()
		}
	}
	return d.encoded()
}

// What a map has room for beside the panel.
const (
	mapKey = 13 * geom.Millimetre // name and figures, below
	mapBar = 26 * geom.Millimetre // the scale
)

// lightMap draws one map on a page of that size, from top down.
func (d *drawing) lightMap(p panel.Panel, e *lettering.Engraving, one light.Lone, page geom.Box, top geom.Nm) {
	set, f := one.Set, one.Field
	fr := scene.Frame{Box: page, At: geom.Pt{Y: top}}
	var cuts []geom.Contour
	for _, o := range p.Openings {
		cuts = append(cuts, o.Contour)
	}
	for _, m := range p.Mounts {
		cuts = append(cuts, geom.Circle(m.At, m.D))
	}
	colours := bandColours()
	d.open("light").Clip = fr.Contours(append([]geom.Contour{p.Outline}, cuts...)...)
	d.fill(fr.Contours(p.Outline), colours[0])
	if g := coarse(f.Total()); f.Mean > 0 && g.W > 1 && g.H > 1 {
		for i, share := range shareLevels() {
			if rings := contour(g, share*f.Mean); len(rings) > 0 {
				d.add(&scene.Path{Shapes: fr.Rings(rings...), Fill: scene.Solid(colours[i+1]), EvenOdd: true,
					Stroke: scene.Stroke{Paint: scene.Paint{Percent: 35}, Width: rimPen}})
			}
		}
	}
	d.close()
	d.add(&scene.Path{Name: "openings", Shapes: fr.Contours(cuts...), Fill: scene.Solid(0x15110f), Stroke: scene.Line(behind, thinPen)})
	bodies := &scene.Path{Name: "bodies", Shapes: fr.Contours(p.Bodies...), Stroke: scene.Line(behind, thinPen)}
	if len(p.InGap()) == 0 { // light passes before them
		bodies.Stroke = bodies.Stroke.Dashed(geom.MM(1.2), geom.MM(0.8))
	}
	d.add(bodies)
	d.add(&scene.Path{Name: "outline", Shapes: fr.Contours(p.Outline), Stroke: scene.Line(paintRim, framePen)})
	d.open("holes")
	for _, h := range p.LEDs {
		d.line(fr.Contours(geom.Circle(h.At, h.D)), scene.Line(lampBlue, lampPen))
	}
	d.close()
	// White lettering with a dark rim shows on all of the scale.
	d.open("lettering")
	all := letterings(d.watch, fr, p, e)
	for _, q := range all {
		d.add(&scene.Path{Shapes: q.Shapes, Stroke: scene.Line(rimInk, edgePen).Round()})
	}
	for _, q := range all {
		q.Fill = scene.Solid(white)
		d.add(q)
	}
	d.close()
	d.open("leds")
	for _, h := range p.LEDs {
		at := fr.Pt(h.At)
		d.add(&scene.Path{Shapes: disc(at.X, at.Y, geom.MM(0.65)), Fill: scene.Solid(lampBlue), Stroke: scene.Line(rimInk, dropPen)})
	}
	d.close()
	d.scale(f, colours, page.W()-mapBar, top+around, top+page.H()-around-mapKey)

	y := top + page.H() - around
	d.letters(around, y-5*geom.Millimetre, big, left, nightText, d.Shortened(p.Name, big, d.page.W-2*around))
	what := "light of the lettering"
	if len(p.Lettering)+len(p.Symbols) == 0 {
		what = "light of the panel: it has no lettering"
	}
	if set != "" {
		what += " by the LEDs of " + set + " alone"
	}
	switch {
	case !(f.Mean > 0):
		what = "no light reaches the lettering"
	case f.Assumed:
		what += fmt.Sprintf(": darkest %s, brightest %s of its mean", part2(f.MinToMean), part2(f.Max/f.Mean))
	default:
		what += fmt.Sprintf(": mean %s cd/m², darkest %s, brightest %s of it", digits2(f.Mean), part2(f.MinToMean), part2(f.Max/f.Mean))
	}
	if f.Mean > 0 {
		what += ", through " + f.Finish.String() + " engraving"
	}
	d.letters(around, y, small, left, behind, what)
}

// scale draws the legend: a bar of the colours with the levels' numbers.
func (d *drawing) scale(l light.Field, colours []scene.Colour, x, top, low geom.Nm) {
	const wide = 4 * geom.Millimetre
	levels := shareLevels()
	h := min((low-top)/geom.Nm(len(colours)+1), 8*geom.Millimetre)
	y := top + h
	unit := "cd/m²"
	if l.Assumed {
		unit = "relative"
	}
	d.letters(x+5*geom.Millimetre, top+h/2, small*9/10, left, nightText, unit)
	end := d.page.W - 2*geom.Millimetre
	d.letters(end, top+h/2, small*9/10, right, behind, "of mean")
	for i := range colours {
		k := len(colours) - 1 - i
		d.rect(x, y, wide, h, colours[k])
		if k > 0 {
			v := levels[k-1]
			line := y + h
			d.run(scene.Line(nightText, crossPen), x, line, x+wide+geom.MM(0.6), line)
			if l.Mean > 0 {
				d.letters(x+5500*geom.Micrometre, line+small*4/10, small*8/10, left, nightText, digits2(v*l.Mean))
			}
			d.letters(end, line+small*4/10, small*8/10, right, behind, part2(v))
		}
		y += h
	}
	d.line(scene.Rect(x, top+h, wide, y-top-h), scene.Line(behind, finePen))
}

// bandColours returns the colour of each band, the darkest first.
func bandColours() []scene.Colour {
	m := moreland.BlackBody()
	m.SetMin(0)
	m.SetMax(1)
	n := len(shareLevels()) + 1
	out := make([]scene.Colour, n)
	for i := range out {
		c, err := m.At(0.04 + 0.9*float64(i)/float64(n-1))
		if err != nil {
			panic("picture: colour scale: " + err.Error()) // within its range by construction
		}
		q := color.NRGBAModel.Convert(c).(color.NRGBA)
		out[i] = scene.Colour(q.R)<<16 | scene.Colour(q.G)<<8 | scene.Colour(q.B)
	}
	return out
}

// coarse returns the grid at a millimetre or so, fine enough for contours of a blurred light and small enough for a page.
func coarse(g light.Grid) light.Grid {
	if g.W == 0 || g.H == 0 {
		return g
	}
	w, h := float64(g.W-1)*g.Step.MM(), float64(g.H-1)*g.Step.MM()
	step := max(geom.Millimetre, geom.MM(math.Sqrt(w*h/60_000)))
	// Whole steps from border to border would need two; the last cell may reach beyond, where At repeats the border.
	return g.Resampled(g.Origin, step, int(math.Ceil(w/step.MM()))+1, int(math.Ceil(h/step.MM()))+1)
}

// part2 writes a part of the mean.
func part2(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

// digits2 writes a luminance with two digits that count.
func digits2(v float64) string {
	if v >= 100 {
		return strconv.FormatFloat(math.Round(v/10)*10, 'f', 0, 64)
	}
	if v >= 10 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 2, 64)
}

// letterings returns the lettering and symbols of a panel, as areas to be painted.
func letterings(w *work.Watch, f scene.Frame, p panel.Panel, e *lettering.Engraving) []*scene.Path {
	var out []*scene.Path
	add := func(g geom.Region, label string) {
		if len(g) > 0 {
			out = append(out, &scene.Path{Label: label, Shapes: f.Region(g), EvenOdd: true})
		}
	}
	for i, g := range e.Texts {
		w.Look()
		add(g, strings.ReplaceAll(p.Lettering[i].Text, "\n", " "))
	}
	for _, g := range e.Symbols {
		w.Look()
		add(g, "")
	}
	return out
}
