package picture

import (
	"strconv"
	"strings"

	"lampblack/export/scene"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// Colours of the panel.
const (
	paint    scene.Colour = 0x3b3430 // the painted face
	paintRim scene.Colour = 0x75685c
	glow     scene.Colour = 0xf7ead0 // lettering
	lamp     scene.Colour = 0xe39a35 // LED holes
	behind   scene.Colour = 0xa7937b // bodies
	screw    scene.Colour = 0x8fb3a4
)

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
	f := scene.Frame{Box: page}
	d := newDrawing(page.W(), page.H(), p.Name+": panel")
	d.ground(night)

	face := []geom.Contour{p.Outline}
	for _, o := range p.Openings {
		face = append(face, o.Contour)
	}
	for _, m := range p.Mounts {
		face = append(face, geom.Circle(m.At, m.D))
	}
	d.add(&scene.Path{Name: "face", Shapes: f.Contours(face...), Fill: scene.Solid(paint), EvenOdd: true, Stroke: scene.Line(paintRim, geom.MM(0.25))})
	var mounts []geom.Contour
	for _, m := range p.Mounts {
		mounts = append(mounts, geom.Circle(m.At, m.D))
	}
	d.add(&scene.Path{Name: "mounts", Shapes: f.Contours(mounts...), Stroke: scene.Line(screw, geom.MM(0.35))})
	d.add(&scene.Path{Name: "bodies", Shapes: f.Contours(p.Bodies...), Stroke: scene.Line(behind, geom.MM(0.3)).Dashed(geom.MM(1.6), geom.MM(1))})
	d.add(&scene.Path{Name: "edge", Shapes: f.Contours(p.Board...), Stroke: scene.Line(screw, geom.MM(0.3)).Dashed(geom.MM(4), geom.MM(1))})
	d.open("leds")
	for _, h := range p.LEDs {
		d.add(&scene.Path{Shapes: f.Contours(geom.Circle(h.At, h.D)), Fill: scene.Paint{Colour: lamp, Percent: 28}, Stroke: scene.Line(lamp, geom.MM(0.25))})
	}
	d.close()
	d.open("lettering")
	for _, q := range letterings(f, p) {
		q.Fill = scene.Solid(glow)
		d.add(q)
	}
	d.close()

	y := page.H() - around
	d.letters(around, y-5*geom.Millimetre, big, left, nightText, p.Name)
	d.letters(page.W()-around, y-5*geom.Millimetre, small, right, behind,
		measures(p.Outline.Box().W(), p.Outline.Box().H())+", seen from the front")
	d.key(around, y, p)
	return d.encoded()
}

// letterings returns the lettering and symbols of a panel, as areas to be painted.
func letterings(f scene.Frame, p panel.Panel) []*scene.Path {
	var out []*scene.Path
	add := func(g geom.Region, label string) {
		if len(g) > 0 {
			out = append(out, &scene.Path{Label: label, Shapes: f.Region(g), EvenOdd: true})
		}
	}
	for _, t := range p.Lettering {
		add(lettering.Outline(t), strings.ReplaceAll(t.Text, "\n", " "))
	}
	for _, s := range p.Symbols {
		add(lettering.SymbolRegion(s, lettering.Stroke), "")
	}
	return out
}

// key writes what the marks mean and how many there are.
func (d *drawing) key(x, y geom.Nm, p panel.Panel) {
	const h, wide = 2 * geom.Millimetre, 300 * geom.Micrometre
	for _, k := range []struct {
		n         int
		one, many string
		stroke    scene.Stroke
		fill      scene.Paint
	}{
		{len(p.LEDs), "LED hole", "LED holes", scene.Line(lamp, wide), scene.Solid(0x553a1d)},
		{len(p.Openings), "opening", "openings", scene.Line(paintRim, wide), scene.Solid(night)},
		{len(p.Bodies), "body behind", "bodies behind", scene.Line(behind, wide).Dashed(geom.MM(1), geom.MM(0.6)), scene.Paint{}},
		{len(p.Mounts), "mount", "mounts", scene.Line(screw, wide), scene.Paint{}},
	} {
		if k.n == 0 {
			continue
		}
		label := strconv.Itoa(k.n) + " " + k.many
		if k.n == 1 {
			label = "1 " + k.one
		}
		d.add(&scene.Path{Shapes: disc(x+geom.Millimetre, y-h/2, geom.Millimetre), Fill: k.fill, Stroke: k.stroke})
		d.letters(x+3*geom.Millimetre, y, h*9/10, left, behind, label)
		x += 3*geom.Millimetre + d.wide(label, h*9/10) + 4*geom.Millimetre
	}
}
