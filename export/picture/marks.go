package picture

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"lampblack/export/scene"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Mark is a place of a finding on a panel, in its frame, and the number that stands there.
type Mark struct {
	At       geom.Pt
	Number   int
	Severity diag.Severity
}

// mostOfOne is how many places of one finding are marked.
const mostOfOne = 40

// Findings returns an SVG of the panel as drawn with the places of findings marked: at each a dot, and beside it the finding's
// number in a circle. Near places of one finding share a circle. When ctx is done it returns nil.
func Findings(ctx context.Context, p panel.Panel, e *lettering.Engraving, marks []Mark) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return findings(w, p, e.Or(w, p), marks) })
}

func findings(watch *work.Watch, p panel.Panel, e *lettering.Engraving, marks []Mark) []byte {
	box := p.Outline.Box()
	if len(p.Outline) == 0 || box.Empty() {
		box = geom.Box{}
	}
	for _, m := range marks {
		box = box.Union(geom.Box{Min: m.At, Max: m.At})
	}
	r := max(min(max(box.W(), box.H())/60, 4*geom.Millimetre), 2200*geom.Micrometre)
	const key = 8 * geom.Millimetre
	page := box.Grown(around + 3*r)
	page.Min.Y -= key
	if w := 100 * geom.Millimetre; page.W() < w {
		page.Max.X += w - page.W()
	}
	fr := scene.Frame{Box: page}
	d := newDrawing(watch, page.W(), page.H(), p.Name+": findings")
	d.ground(paper)
	thin := func(c scene.Colour) scene.Stroke { return scene.Line(c, linePen) }
	var mounts, lamps []geom.Contour
	for _, m := range p.Mounts {
		mounts = append(mounts, geom.Circle(m.At, m.D))
	}
	for _, h := range p.LEDs {
		lamps = append(lamps, geom.Circle(h.At, h.D))
	}
	d.add(&scene.Path{Name: "outline", Shapes: fr.Contours(p.Outline), Fill: scene.Solid(sheetFill), Stroke: scene.Line(ink, boldPen)})
	for _, o := range p.Openings {
		d.add(&scene.Path{Name: "opening", Shapes: fr.Contours(o.Contour), Fill: scene.Solid(paper), Stroke: thin(openingInk)})
	}
	d.add(&scene.Path{Name: "bodies", Shapes: fr.Contours(p.Bodies...), Stroke: thin(bodyInk).Dashed(geom.MM(1.8), geom.MM(1))},
		&scene.Path{Name: "mounts", Shapes: fr.Contours(mounts...), Fill: scene.Solid(paper), Stroke: thin(mountInk)},
		&scene.Path{Name: "leds", Shapes: fr.Contours(lamps...), Fill: scene.Solid(lampFill), Stroke: thin(lampInk)})
	d.open("lettering")
	for _, q := range letterings(watch, fr, p, e) {
		q.Fill = scene.Solid(letterInk)
		d.add(q)
	}
	d.close()
	left0 := d.marked(fr, marks, r)
	what := "findings, by their numbers in report.html"
	if left0 > 0 {
		what += fmt.Sprintf("; %d more places are told there", left0)
	}
	y := page.H() - around
	d.letters(around, y, small, left, edgeInk, p.Name+": "+what)
	return d.encoded()
}

// bubble is a number in a circle.
type bubble struct {
	at     geom.Pt // of the page
	number int
}

// marked draws the marks, and returns how many places it left out.
func (d *drawing) marked(fr scene.Frame, marks []Mark, r geom.Nm) (more int) {
	colour := func(s diag.Severity) scene.Colour {
		switch s {
		case diag.Error:
			return wrongInk
		case diag.Warning:
			return doubtfulInk
		}
		return openingInk
	}
	var bubbles []bubble
	var dots []geom.Pt
	for _, m := range marks {
		dots = append(dots, fr.Pt(m.At))
	}
	count := map[int]int{}
	d.open("findings")
	for i, m := range marks {
		if count[m.Number]++; count[m.Number] > mostOfOne {
			more++
			continue
		}
		at, pen := dots[i], scene.Line(colour(m.Severity), r/12)
		k := slices.IndexFunc(bubbles, func(b bubble) bool { return b.number == m.Number && b.at.Dist(at) < float64(5*r) })
		fresh := k < 0
		if fresh {
			k = len(bubbles)
			bubbles = append(bubbles, bubble{d.free(at, r, bubbles, dots), m.Number})
		}
		d.run(pen, at.X, at.Y, bubbles[k].at.X, bubbles[k].at.Y)
		d.fill(disc(at.X, at.Y, r/4), colour(m.Severity))
	}
	// Circles lie over all lines.
	for _, b := range bubbles {
		i := slices.IndexFunc(marks, func(m Mark) bool { return m.Number == b.number })
		d.add(&scene.Path{Shapes: disc(b.at.X, b.at.Y, r), Fill: scene.Solid(white), Stroke: scene.Line(colour(marks[i].Severity), r/6)})
		text := strconv.Itoa(b.number)
		h := r * 9 / 10
		if w := d.Wide(text, h); w > r*3/2 {
			h = h * (r * 3 / 2) / w
		}
		d.letters(b.at.X, b.at.Y+h/2, h, centre, ink, text)
	}
	d.close()
	return more
}

// free returns a place for a circle near its dot that covers no other circle, no dot, and lies on the page.
func (d *drawing) free(dot geom.Pt, r geom.Nm, bubbles []bubble, dots []geom.Pt) geom.Pt {
	first := dot.Add(geom.Vec{X: r * 3 / 2, Y: -r * 3 / 2})
	const half = math.Sqrt2 / 2
	// Up to the right first, then on round.
	turns := [8][2]float64{{half, -half}, {0, -1}, {-half, -half}, {-1, 0}, {-half, half}, {0, 1}, {half, half}, {1, 0}}
	for ring := range 10 {
		far := float64(r) * (2 + float64(1.1*float64(ring)))
		for _, t := range turns {
			at := dot.Add(geom.Vec{X: geom.Nm(math.Round(far * t[0])), Y: geom.Nm(math.Round(far * t[1]))})
			if at.X < r || at.Y < r || at.X > d.page.W-r || at.Y > d.page.H-around-2*r {
				continue
			}
			if slices.ContainsFunc(bubbles, func(b bubble) bool { return b.at.Dist(at) < float64(2*r)*1.1 }) ||
				slices.ContainsFunc(dots, func(p geom.Pt) bool { return p.Dist(at) < float64(r)*1.2 }) {
				continue
			}
			return at
		}
	}
	return first
}
