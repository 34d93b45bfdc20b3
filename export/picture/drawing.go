package picture

import (
	"cmp"
	"context"
	"slices"
	"unicode/utf8"

	"lampblack/board"
	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/export/scene/typeset"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// drawing is a page in the making: what is added goes into the innermost group that is open.
type drawing struct {
	watch *work.Watch
	page  scene.Page
	in    []*scene.Group
	typeset.Setter
}

func newDrawing(watch *work.Watch, w, h geom.Nm, title string) *drawing {
	return &drawing{watch: watch, page: scene.Page{W: w, H: h, Title: title, Step: geom.Micrometre}}
}

// wanted returns what f draws. Once ctx is done that means nothing.
func wanted(ctx context.Context, f func(w *work.Watch) []byte) (data []byte) {
	work.Until(ctx, func(w *work.Watch) { data = f(w) })
	return data
}

// encoded returns the page as SVG.
func (d *drawing) encoded() []byte { return svg.Encode(d.watch, d.page) }

// add draws items.
func (d *drawing) add(items ...scene.Item) {
	d.watch.Look()
	if n := len(d.in); n > 0 {
		d.in[n-1].Add(items...)
		return
	}
	d.page.Body.Add(items...)
}

// open starts a group.
func (d *drawing) open(name string) *scene.Group {
	g := &scene.Group{Name: name}
	d.add(g)
	d.in = append(d.in, g)
	return g
}

// close ends the innermost group.
func (d *drawing) close() { d.in = d.in[:len(d.in)-1] }

// fill draws closed shapes that are filled.
func (d *drawing) fill(shapes []geom.Contour, c scene.Colour) {
	d.add(&scene.Path{Shapes: shapes, Fill: scene.Solid(c)})
}

// line draws closed shapes as lines.
func (d *drawing) line(shapes []geom.Contour, s scene.Stroke) {
	d.add(&scene.Path{Shapes: shapes, Stroke: s})
}

// rect fills a rectangle of the page.
func (d *drawing) rect(x, y, w, h geom.Nm, c scene.Colour) { d.fill(scene.Rect(x, y, w, h), c) }

// ground fills the whole page.
func (d *drawing) ground(c scene.Colour) { d.rect(0, 0, d.page.W, d.page.H, c) }

// disc returns a circle of the page.
func disc(x, y, r geom.Nm) []geom.Contour {
	return []geom.Contour{geom.Circle(geom.Pt{X: x, Y: y}, 2*r)}
}

// run draws an open line through points of the page, given as x and y in turn.
func (d *drawing) run(s scene.Stroke, xy ...geom.Nm) { d.runs(s, xy) }

// runs draws several open lines alike.
func (d *drawing) runs(s scene.Stroke, lines ...[]geom.Nm) {
	p := &scene.Path{Open: true, Stroke: s}
	for _, xy := range lines {
		p.Shapes = append(p.Shapes, scene.Through(xy...))
	}
	d.add(p)
}

// align is where a label lies to its point.
type align int

const (
	left align = iota
	centre
	right
)

// measures returns a width and a height in mm as a caption has them: to a hundredth, as all lists have them.
func measures(w, h geom.Nm) string {
	const step = 10 * geom.Micrometre
	return scene.Decimal(w, step) + " × " + scene.Decimal(h, step) + " mm"
}

// letters writes a label on the baseline through (x, y) of the page.
func (d *drawing) letters(x, y, h geom.Nm, at align, colour scene.Colour, s string) {
	if s == "" {
		return
	}
	g := d.Glyphs(s, geom.Pt{X: x - d.Wide(s, h)*geom.Nm(at)/2, Y: y}, h)
	g.Fill = scene.Solid(colour)
	d.add(g)
}

// areas returns the copper areas of a side.
func areas(f scene.Frame, b board.Board, side geom.Side) []*scene.Path {
	var out []*scene.Path
	for _, a := range b.Areas {
		if a.On == side {
			out = append(out, &scene.Path{Shapes: f.Region(geom.Region{a.Fill}), EvenOdd: true})
		}
	}
	return out
}

// inked returns the silkscreen areas of a side.
func inked(f scene.Frame, b board.Board, side geom.Side) []*scene.Path {
	var out []*scene.Path
	for _, k := range b.Ink {
		if k.On == side {
			out = append(out, &scene.Path{Shapes: f.Region(geom.Region{k.Fill}), EvenOdd: true})
		}
	}
	return out
}

// copper returns the tracks, pads and vias of a side.
func copper(f scene.Frame, b board.Board, side geom.Side) []*scene.Path {
	var tracks []board.Stroke
	for _, t := range b.Tracks {
		if t.On == side {
			tracks = append(tracks, board.Stroke{On: side, Width: t.Width, Path: t.Path})
		}
	}
	out := strokes(f, tracks)
	var pads []geom.Contour
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			pads = append(pads, p.Contour(0))
		}
		return true
	})
	for _, q := range b.Spots {
		if q.On == side {
			pads = append(pads, q.Pad().Contour(0))
		}
	}
	for _, v := range b.Vias {
		pads = append(pads, geom.Circle(v.At, v.D))
	}
	if len(pads) > 0 {
		out = append(out, &scene.Path{Shapes: f.Contours(pads...)})
	}
	return out
}

// strokes returns lines with round ends, one path for each width.
func strokes(f scene.Frame, all []board.Stroke) []*scene.Path {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b board.Stroke) int { return cmp.Compare(a.Width, b.Width) })
	var out []*scene.Path
	for i, s := range sorted {
		if i == 0 || s.Width != sorted[i-1].Width {
			out = append(out, &scene.Path{Open: true, Stroke: scene.Stroke{Width: f.Scaled(s.Width)}.Round()})
		}
		p := out[len(out)-1]
		p.Shapes = append(p.Shapes, f.Line(s.Path))
	}
	return out
}

// paint draws paths in a colour; their shapes are shared, not copied.
func (d *drawing) paint(paths []*scene.Path, c scene.Colour) {
	for _, p := range paths {
		q := *p
		if q.Open {
			q.Stroke.Paint = scene.Solid(c)
		} else {
			q.Fill = scene.Solid(c)
		}
		d.add(&q)
	}
}

// clipped returns the text, no longer than n characters.
func clipped(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	r := []rune(s)
	return string(r[:n-1]) + "…"
}

// Heights of capitals in captions.
const (
	big   = 2600 * geom.Micrometre
	small = 2 * geom.Millimetre
)
