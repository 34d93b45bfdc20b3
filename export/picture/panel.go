package picture

import (
	"strconv"
	"strings"

	"lampblack/export/internal/svg"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// Colours of the panel.
const (
	paint    = "#3b3430" // the painted face
	paintRim = "#75685c"
	glow     = "#f7ead0" // lettering
	lamp     = "#e39a35" // LED holes
	behind   = "#a7937b" // bodies
	screw    = "#8fb3a4"
)

// engraved is the width of an open line of the lettering, as export/sheet has it where nothing else is asked for.
const engraved = 400 * geom.Micrometre

// Panel returns the panel as it was drawn, seen from the front at true size: the face with its lettering and openings,
// and behind it, as if the face were clear, the bodies and the LED holes.
func Panel(p panel.Panel) []byte {
	box := p.Outline.Box()
	if box.Empty() {
		box = geom.Box{}
	}
	for _, c := range p.Bodies {
		box = box.Union(c.Box())
	}
	page := box.Grown(around)
	page.Min.Y -= caption + 4*geom.Millimetre
	if w := 84 * geom.Millimetre; page.W() < w { // room for the legend
		extra := (w - page.W()) / 2
		page.Min.X -= extra
		page.Max.X += extra
	}
	f := svg.Frame{Box: page, Digits: 3}
	d := newDrawing(f.W(), f.H(), p.Name+": panel", "")
	d.Empty("rect", "width", f.Num(f.W()), "height", f.Num(f.H()), "fill", night)

	face := []geom.Contour{p.Outline}
	for _, o := range p.Openings {
		face = append(face, o.Contour)
	}
	for _, m := range p.Mounts {
		face = append(face, geom.Circle(m.At, m.D))
	}
	d.Empty("path", "id", "face", "d", f.Path(face...), "fill", paint, "fill-rule", "evenodd", "stroke", paintRim, "stroke-width", "0.25")
	var mounts []geom.Contour
	for _, m := range p.Mounts {
		mounts = append(mounts, geom.Circle(m.At, m.D))
	}
	d.Empty("path", "id", "mounts", "d", f.Path(mounts...), "fill", "none", "stroke", screw, "stroke-width", "0.35")
	d.Empty("path", "id", "bodies", "d", f.Path(p.Bodies...), "fill", "none", "stroke", behind, "stroke-width", "0.3",
		"stroke-dasharray", "1.6 1")
	if len(p.Board) > 0 {
		d.Empty("path", "id", "board", "d", f.Path(p.Board...), "fill", "none", "stroke", screw, "stroke-width", "0.3",
			"stroke-dasharray", "4 1")
	}
	d.Open("g", "id", "leds", "fill", lamp, "fill-opacity", "0.28", "stroke", lamp, "stroke-width", "0.25")
	for _, h := range p.LEDs {
		x, y := f.XY(h.At)
		d.Empty("circle", "cx", f.Num(x), "cy", f.Num(y), "r", f.Num(h.D/2))
	}
	d.Close("g")
	d.Open("g", "id", "lettering", "fill", glow)
	for _, t := range p.Lettering {
		if g := lettering.Outline(t); len(g) > 0 {
			d.Empty("path", "aria-label", strings.ReplaceAll(t.Text, "\n", " "), "d", f.Region(g))
		}
	}
	for _, s := range p.Symbols {
		d.Empty("path", "d", f.Region(lettering.SymbolRegion(s, engraved)))
	}
	d.Close("g")

	y := f.H() - around
	d.letters(around, y-5*geom.Millimetre, big, left, nightText, p.Name)
	d.letters(f.W()-around, y-5*geom.Millimetre, small, right, behind,
		measures(p.Outline.Box().W(), p.Outline.Box().H())+", seen from the front")
	d.key(around, y, p)
	return d.end()
}

// key writes what the marks mean and how many there are.
func (d *drawing) key(x, y geom.Nm, p panel.Panel) {
	h := 2 * geom.Millimetre
	for _, k := range []struct {
		n            int
		one, many    string
		stroke, fill string
		dash         string
	}{
		{len(p.LEDs), "LED hole", "LED holes", lamp, "#553a1d", ""},
		{len(p.Openings), "opening", "openings", paintRim, night, ""},
		{len(p.Bodies), "body behind", "bodies behind", behind, "none", "1 0.6"},
		{len(p.Mounts), "mount", "mounts", screw, "none", ""},
	} {
		if k.n == 0 {
			continue
		}
		label := strconv.Itoa(k.n) + " " + k.many
		if k.n == 1 {
			label = "1 " + k.one
		}
		d.Empty("circle", "cx", num(x+geom.Millimetre), "cy", num(y-h/2), "r", "1", "fill", k.fill, "stroke", k.stroke,
			"stroke-width", "0.3", "stroke-dasharray", k.dash)
		d.letters(x+3*geom.Millimetre, y, h*9/10, left, behind, label)
		x += 3*geom.Millimetre + d.wide(label, h*9/10) + 4*geom.Millimetre
	}
}
