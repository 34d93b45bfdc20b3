package picture

import (
	"context"
	"fmt"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/led"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Missing is a joint that no track makes, on a board that was laid out as far as it goes.
type Missing struct {
	Net      string
	From, To geom.Pt // the pads that must be joined
	Of, With string  // their pins
	At       geom.Pt // where the way ends
	Why      string
	Taken    []led.NetID // nets whose copper is in the way; none: pads, holes and edges are
	Reach    geom.Nm     // how far round At things are in the way: half a track and its clearance, and play
}

// Colours of a board with open nets, on paper.
const (
	bottomInk scene.Colour = 0x8fb0cf // copper of the bottom
	topInk    scene.Colour = 0xe0b48a // of the top
	bareInk   scene.Colour = 0xf3efe4
	padInk    scene.Colour = 0x9a8f7d
)

// mostTold bounds how many missing joints have a number and are told in words below the picture; all are drawn.
const mostTold = 12

// OpenNets returns an SVG of a board with nets that are open: seen from the front, both sides at once as far as they came, each
// missing joint as a dashed line, what is in its way outlined, the first with a number, and below what all that means. When ctx is done
// it returns nil.
func OpenNets(ctx context.Context, b board.Board, open []Missing) []byte {
	return wanted(ctx, func(w *work.Watch) []byte { return openNets(w, b, open) })
}

func openNets(watch *work.Watch, b board.Board, open []Missing) []byte {
	const (
		line = 4 * geom.Millimetre // of the words below
		high = 2 * geom.Millimetre
		wide = 150 * geom.Millimetre
	)
	box := b.Outline.Box()
	page := box.Grown(around)
	if w := wide; page.W() < w {
		page.Max.X += w - page.W()
	}
	d := newDrawing(watch, page.W(), page.H(), b.Name+": open nets")
	var words []string
	for i, m := range open {
		if i == mostTold {
			words = append(words, fmt.Sprintf("%d more are drawn without a number", len(open)-mostTold))
			break
		}
		words = append(words, fmt.Sprintf("%d  %s: from %s to %s. %s.", i+1, m.Net, m.Of, m.With, sentence(m.Why)))
	}
	var lines []string
	for _, s := range words {
		lines = append(lines, d.Wrapped(s, high, page.W()-2*around)...)
	}
	foot := around + geom.Nm(len(lines)+4)*line
	page.Min.Y -= foot
	d.page.H = page.H()
	f := scene.Frame{Box: page}
	d.ground(paper)
	d.open("board")
	d.add(&scene.Path{Shapes: f.Contours(material(b)...), Fill: scene.Solid(bareInk), EvenOdd: true})
	for _, side := range [2]geom.Side{geom.Bottom, geom.Top} {
		d.paint(copper(f, b, side), map[bool]scene.Colour{true: topInk, false: bottomInk}[side == geom.Top])
	}
	var pads []geom.Contour
	b.Pads(func(i, j int) bool {
		pads = append(pads, b.Parts[i].Pads[j].Contour(0))
		return true
	})
	d.fill(f.Contours(pads...), padInk)
	for _, p := range b.Parts {
		d.line(f.Contours(geom.Straight(p.Body...)), scene.Line(edgeInk, finePen))
	}
	d.line(f.Contours(append([]geom.Contour{b.Outline}, b.Cutouts...)...), scene.Line(edge, linePen))
	var holes []geom.Contour
	for _, h := range b.Holes {
		holes = append(holes, geom.Circle(h.At, h.D))
	}
	d.add(&scene.Path{Shapes: f.Contours(holes...), Fill: scene.Solid(paper), Stroke: scene.Line(edge, finePen)})
	d.close()

	d.open("in the way")
	d.line(f.Contours(inTheWay(b, open)...), scene.Line(doubtfulInk, boldPen))
	d.close()
	d.open("open")
	r := 1500 * geom.Micrometre
	for _, m := range open {
		p, q := f.Pt(m.From), f.Pt(m.To)
		d.add(&scene.Path{Open: true, Shapes: []geom.Contour{scene.Through(p.X, p.Y, q.X, q.Y)}, Stroke: scene.Line(wrongInk, boldPen).Dashed(geom.MM(1.6), geom.MM(0.9))})
		for _, at := range [2]geom.Pt{p, q} {
			d.fill(disc(at.X, at.Y, r/3), wrongInk)
		}
		e := f.Pt(m.At)
		d.run(scene.Line(wrongInk, linePen), e.X-r/2, e.Y-r/2, e.X+r/2, e.Y+r/2)
		d.run(scene.Line(wrongInk, linePen), e.X-r/2, e.Y+r/2, e.X+r/2, e.Y-r/2)
	}
	d.numbered(f, open[:min(len(open), mostTold)], r)
	d.close()

	y := d.page.H - foot + line
	d.letters(around, y, high*5/4, left, ink, fmt.Sprintf("%s: no board, as %s open", b.Name, netsAre(open)))
	y += line
	x := around
	says := func(long geom.Nm, draw func(x, mid geom.Nm), s string) {
		if x > around && x+long+geom.MM(2)+d.Wide(s, high) > d.page.W-around {
			x, y = around, y+line
		}
		draw(x, y-high/2)
		d.letters(x+long+geom.MM(1.5), y, high, left, ink, s)
		x += long + geom.MM(6.5) + d.Wide(s, high)
	}
	const long = 8 * geom.Millimetre
	says(long, func(x, mid geom.Nm) {
		d.add(&scene.Path{Open: true, Shapes: []geom.Contour{scene.Through(x, mid, x+long, mid)}, Stroke: scene.Line(wrongInk, boldPen).Dashed(geom.MM(1.6), geom.MM(0.9))})
	}, "must be joined, and no track finds a way")
	says(2*r, func(x, mid geom.Nm) {
		d.run(scene.Line(wrongInk, linePen), x+r/2, mid-r/2, x+3*r/2, mid+r/2)
		d.run(scene.Line(wrongInk, linePen), x+r/2, mid+r/2, x+3*r/2, mid-r/2)
	}, "where the way ends")
	says(long/2, func(x, mid geom.Nm) {
		d.line(scene.Rect(x, mid-geom.MM(0.8), long/2, geom.MM(1.6)), scene.Line(doubtfulInk, boldPen))
	}, "in its way")
	for _, k := range [2]struct {
		c    scene.Colour
		says string
	}{{topInk, "copper on top"}, {bottomInk, "on the bottom"}} {
		says(long/2, func(x, mid geom.Nm) { d.rect(x, mid-geom.MM(0.5), long/2, geom.MM(1), k.c) }, k.says)
	}
	y += line
	for _, s := range lines {
		y += line
		d.letters(around, y, high, left, ink, s)
	}
	return d.encoded()
}

// numbered puts each joint's number beside the middle of its line, clear of the others.
func (d *drawing) numbered(f scene.Frame, open []Missing, r geom.Nm) {
	var dots []geom.Pt
	for _, m := range open {
		dots = append(dots, f.Pt(m.From), f.Pt(m.To), f.Pt(m.At))
	}
	var bubbles []bubble
	for i, m := range open {
		p, q := f.Pt(m.From), f.Pt(m.To)
		mid := geom.Pt{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2}
		at := d.free(mid, r, bubbles, dots)
		bubbles = append(bubbles, bubble{at, i + 1})
		d.run(scene.Line(wrongInk, crossPen), mid.X, mid.Y, at.X, at.Y)
		d.add(&scene.Path{Shapes: disc(at.X, at.Y, r), Fill: scene.Solid(white), Stroke: scene.Line(wrongInk, linePen)})
		text := fmt.Sprint(i + 1)
		h := r * 9 / 10
		if w := d.Wide(text, h); w > r*3/2 {
			h = h * (r * 3 / 2) / w
		}
		d.letters(at.X, at.Y+h/2, h, centre, ink, text)
	}
}

// inTheWay returns the outlines of what stands in the way of the joints: copper of the nets that take the way, near where it ends;
// else the pads, holes and edges there.
func inTheWay(b board.Board, open []Missing) []geom.Contour {
	var out []geom.Contour
	told := map[string]bool{}
	add := func(c geom.Contour) {
		if key := fmt.Sprint(c); !told[key] {
			told[key] = true
			out = append(out, c)
		}
	}
	for _, m := range open {
		near := func(gap float64) bool { return gap <= float64(m.Reach) }
		if len(m.Taken) > 0 {
			const along = 8           // of Reach: so that the copper is seen as what it is
			var copper [2][]geom.Ring // by side
			for _, t := range b.Tracks {
				for _, s := range t.Path.Segments() {
					if slices.Contains(m.Taken, t.Net) && s.DistTo(m.At)-float64(t.Width/2) <= along*float64(m.Reach) {
						copper[t.On] = append(copper[t.On], geom.Stadium(s, t.Width/2).Ring(geom.FlattenTolerance))
					}
				}
			}
			for _, side := range copper {
				for _, r := range geom.UnionOf(side...).Rings() {
					add(geom.Straight(r...))
				}
			}
			continue
		}
		b.Pads(func(i, j int) bool {
			p := b.Parts[i].Pads[j]
			c := p.Contour(0)
			if p.At != m.From && p.At != m.To && near(c.Ring(geom.FlattenTolerance).DistTo(m.At)) {
				add(c)
			}
			return true
		})
		for _, h := range b.Holes {
			if near(h.At.Dist(m.At) - float64(h.D/2+b.HoleClear(h))) {
				add(geom.Circle(h.At, h.D+2*b.HoleClear(h)))
			}
		}
		for _, c := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
			for _, s := range c.Ring(geom.FlattenTolerance).Segments() {
				if g, ok := within(s, m.At, 3*m.Reach); ok && near(s.DistTo(m.At)) {
					add(geom.Stadium(g, 100*geom.Micrometre))
				}
			}
		}
	}
	return out
}

// within returns the part of a segment that lies within reach of a point.
func within(s geom.Segment, at geom.Pt, reach geom.Nm) (geom.Segment, bool) {
	n := s.Len()
	if n == 0 || s.DistTo(at) > float64(reach) {
		return s, false
	}
	v := s.B.Sub(s.A)
	mid := float64(at.Sub(s.A).Dot(v)) / n / n
	half := float64(reach) / n
	on := func(t float64) geom.Pt {
		t = max(0, min(1, t))
		return s.A.Add(geom.Vec{X: geom.Nm(math.Round(t * float64(v.X))), Y: geom.Nm(math.Round(t * float64(v.Y)))})
	}
	g := geom.Segment{A: on(mid - half), B: on(mid + half)}
	return g, g.A != g.B
}

func netsAre(open []Missing) string {
	var names []string
	for _, m := range open {
		if !slices.Contains(names, m.Net) {
			names = append(names, m.Net)
		}
	}
	if len(names) == 1 {
		return "net " + names[0] + " stays"
	}
	return fmt.Sprintf("%d nets stay", len(names))
}

// sentence begins a text with a capital.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
