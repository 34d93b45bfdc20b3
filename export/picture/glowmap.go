package picture

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/palette/moreland"

	"lampblack/export/internal/svg"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// lampBlue marks LEDs: it stands out from all of the scale.
const lampBlue = "#8fd3ff"

// shareLevels are the levels of the map in parts of the lettering's mean: about half a stop apart, the third among them
// because a word darker than that is told.
func shareLevels() []float64 { return []float64{0.05, 0.1, 0.2, 1.0 / 3, 0.5, 0.7, 1, 1.4, 2, 3} }

// GlowMap returns an SVG map of the luminance that lettering has, or would have, all over the panel: areas between contours,
// a legend in cd/m² and in parts of the lettering's mean, the LEDs, and the lettering drawn over it.
//
// Colours are a scale of even steps of lightness, black body of K. Moreland, "Why we use bad color maps and what you can do
// about it", Human Vision and Electronic Imaging, 2016 (as gonum.org/v1/plot/palette/moreland has it): it reads the same in
// grey and to colour-blind eyes.
func GlowMap(p panel.Panel, f light.Field, s light.Stack) []byte {
	box := p.Outline.Box()
	if len(p.Outline) == 0 || box.Empty() {
		box = geom.Box{}
	}
	const key, bar = 13 * geom.Millimetre, 26 * geom.Millimetre
	page := box.Grown(around)
	page.Min.Y -= key
	page.Max.X += bar
	if w := 130 * geom.Millimetre; page.W() < w {
		page.Max.X += w - page.W()
	}
	if h := 76 * geom.Millimetre; page.H() < h {
		page.Min.Y -= h - page.H()
	}
	fr := svg.Frame{Box: page, Digits: 2}
	d := newDrawing(fr.W(), fr.H(), p.Name+": light", "")
	d.Empty("rect", "width", fr.Num(fr.W()), "height", fr.Num(fr.H()), "fill", night)
	var cuts []geom.Contour
	for _, o := range p.Openings {
		cuts = append(cuts, o.Contour)
	}
	for _, m := range p.Mounts {
		cuts = append(cuts, geom.Circle(m.At, m.D))
	}
	d.Open("defs")
	d.clip("face", fr.Path(append([]geom.Contour{p.Outline}, cuts...)...))
	d.Close("defs")
	colours := bandColours()
	d.Open("g", "id", "light", "clip-path", "url(#face)")
	d.Empty("path", "d", fr.Path(p.Outline), "fill", colours[0])
	if g := coarse(f.Total()); f.Mean > 0 && g.W > 1 && g.H > 1 {
		for i, share := range shareLevels() {
			if rings := contour(g, share*f.Mean); len(rings) > 0 {
				d.Empty("path", "d", fr.Rings(rings...), "fill", colours[i+1], "fill-rule", "evenodd", "stroke", "#000", "stroke-opacity", "0.35", "stroke-width", "0.08")
			}
		}
	}
	d.Close("g")
	d.Empty("path", "id", "openings", "d", fr.Path(cuts...), "fill", "#15110f", "stroke", behind, "stroke-width", "0.2")
	if len(p.Bodies) > 0 {
		d.Empty("path", "id", "bodies", "d", fr.Path(p.Bodies...), "fill", "none", "stroke", behind, "stroke-width", "0.2", "stroke-dasharray", "1.2 0.8")
	}
	d.Empty("path", "id", "outline", "d", fr.Path(p.Outline), "fill", "none", "stroke", paintRim, "stroke-width", "0.3")
	d.Open("g", "id", "holes", "fill", "none", "stroke", lampBlue, "stroke-width", "0.18")
	for _, h := range p.LEDs {
		x, y := fr.XY(h.At)
		d.Empty("circle", "cx", fr.Num(x), "cy", fr.Num(y), "r", fr.Num(h.D/2))
	}
	d.Close("g")
	// White lettering with a dark rim shows on all of the scale.
	d.Open("g", "id", "lettering", "fill", "#fff", "stroke", "#1a1310", "stroke-width", "0.35", "paint-order", "stroke", "stroke-linejoin", "round")
	for _, t := range p.Lettering {
		if g := lettering.Outline(t); len(g) > 0 {
			d.Empty("path", "aria-label", strings.ReplaceAll(t.Text, "\n", " "), "d", fr.Region(g))
		}
	}
	for _, y := range p.Symbols {
		d.Empty("path", "d", fr.Region(lettering.SymbolRegion(y, s.Stroke)))
	}
	d.Close("g")
	d.Open("g", "id", "leds", "fill", lampBlue, "stroke", "#1a1310", "stroke-width", "0.22")
	for _, h := range p.LEDs {
		x, y := fr.XY(h.At)
		d.Empty("circle", "cx", fr.Num(x), "cy", fr.Num(y), "r", "0.65")
	}
	d.Close("g")
	d.scale(fr, f, colours, fr.W()-bar, around, fr.H()-around-key)

	y := fr.H() - around
	d.letters(around, y-5*geom.Millimetre, big, left, nightText, p.Name)
	what := "light of the lettering"
	if len(p.Lettering)+len(p.Symbols) == 0 {
		what = "light of the panel: it has no lettering"
	}
	switch {
	case !(f.Mean > 0):
		what = "no light reaches the lettering"
	case f.Assumed:
		what += fmt.Sprintf(": darkest %s, brightest %s of its mean", part2(f.MinToMean), part2(f.Max/f.Mean))
	default:
		what += fmt.Sprintf(": mean %s cd/m², darkest %s, brightest %s of it", digits2(f.Mean), part2(f.MinToMean), part2(f.Max/f.Mean))
	}
	d.letters(around, y, small, left, behind, what)
	return d.end()
}

// scale draws the legend: a bar of the colours with the levels' numbers.
func (d *drawing) scale(f svg.Frame, l light.Field, colours []string, x, top, low geom.Nm) {
	levels := shareLevels()
	h := min((low-top)/geom.Nm(len(colours)+1), 8*geom.Millimetre)
	y := top + h
	unit := "cd/m²"
	if l.Assumed {
		unit = "relative"
	}
	d.letters(x+5*geom.Millimetre, top+h/2, small*9/10, left, nightText, unit)
	d.letters(f.W()-2*geom.Millimetre, top+h/2, small*9/10, right, behind, "of mean")
	for i := range colours {
		k := len(colours) - 1 - i
		d.Empty("rect", "x", num(x), "y", num(y), "width", "4", "height", num(h), "fill", colours[k])
		if k > 0 {
			v := levels[k-1]
			line := y + h
			d.Empty("path", "d", "M"+num(x)+" "+num(line)+"h4.6", "stroke", nightText, "stroke-width", "0.12")
			if l.Mean > 0 {
				d.letters(x+5500*geom.Micrometre, line+small*4/10, small*8/10, left, nightText, digits2(v*l.Mean))
			}
			d.letters(f.W()-2*geom.Millimetre, line+small*4/10, small*8/10, right, behind, part2(v))
		}
		y += h
	}
	d.Empty("rect", "x", num(x), "y", num(top+h), "width", "4", "height", num(y-top-h), "fill", "none", "stroke", behind, "stroke-width", "0.15")
}

// bandColours returns the colour of each band, the darkest first.
func bandColours() []string {
	m := moreland.BlackBody()
	m.SetMin(0)
	m.SetMax(1)
	n := len(shareLevels()) + 1
	out := make([]string, n)
	for i := range out {
		c, err := m.At(0.04 + 0.9*float64(i)/float64(n-1))
		if err != nil {
			panic("picture: colour scale: " + err.Error()) // within its range by construction
		}
		q := color.NRGBAModel.Convert(c).(color.NRGBA)
		out[i] = fmt.Sprintf("#%02x%02x%02x", q.R, q.G, q.B)
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
