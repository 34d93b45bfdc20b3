// Package svg writes a scene as SVG 1.1 in millimetres.
//
// One user unit is a millimetre, and the page has its true size. Groups keep their names as ids, their titles and labels;
// letters are drawn once each and used from there, as are shapes that several paths share. There are no fonts, no style
// sheets and no other files. Lines and arcs stay lines and arcs. Numbers are exact decimals of the page's Step, written
// relative to the rounded place before, so that the same scene is the same text on every machine.
//
// Layers of drawing programs are groups with ids; canvas's writer of SVG, which this project has for its letters, knows no
// groups, titles or labels, and formats floating-point numbers: hence this one.
package svg

import (
	"bytes"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/scene"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Encode returns the page as an SVG document. It looks at the watch before each item.
func Encode(watch *work.Watch, p scene.Page) []byte {
	w := writer{watch: watch, step: p.Precision(), letters: map[rune][]geom.Contour{}, shared: map[*geom.Contour]int{}}
	w.gather(&p.Body, map[*geom.Contour]int{})
	wide, high := w.num(p.W), w.num(p.H)
	w.buf.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
	w.open("svg", "xmlns", "http://www.w3.org/2000/svg", "width", wide+"mm", "height", high+"mm", "viewBox", "0 0 "+wide+" "+high)
	w.text("title", p.Title)
	if p.Desc != "" {
		w.text("desc", p.Desc)
	}
	w.definitions()
	for _, it := range p.Body.Items {
		w.item(it, "")
	}
	w.close("svg")
	return w.buf.Bytes()
}

// Revised returns a written document whose title tells a revision, if it does not yet: for pictures that are drawn without knowing it.
func Revised(document []byte, revision string) []byte {
	words := escape("revision " + revision)
	begin, end := bytes.Index(document, []byte("<title>")), bytes.Index(document, []byte("</title>"))
	if revision == "" || begin < 0 || end < begin || bytes.Contains(document[begin:end], []byte(words)) {
		return document
	}
	return slices.Concat(document[:end], []byte(", "+words), document[end:])
}

// writer is a document in the making.
type writer struct {
	watch   *work.Watch
	buf     bytes.Buffer
	depth   int
	step    geom.Nm
	clips   int
	letters map[rune][]geom.Contour
	shared  map[*geom.Contour]int // shapes that several paths have, by their first, with their number
	share   []*scene.Path         // the first of each
}

// gather finds the letters and the shapes that are drawn more than once.
func (w *writer) gather(g *scene.Group, seen map[*geom.Contour]int) {
	for _, it := range g.Items {
		w.watch.Step()
		switch it := it.(type) {
		case *scene.Group:
			w.gather(it, seen)
		case *scene.Glyphs:
			for _, l := range it.Letters {
				w.letters[l.Rune] = l.Shapes
			}
		case *scene.Path:
			if len(it.Shapes) == 0 {
				continue
			}
			key := &it.Shapes[0]
			if seen[key]++; seen[key] == 2 {
				w.share = append(w.share, it)
				w.shared[key] = len(w.share)
			}
		}
	}
}

// definitions writes what is drawn from one copy: letters of a millimetre, and shapes that paths share.
func (w *writer) definitions() {
	if len(w.letters)+len(w.share) == 0 {
		return
	}
	runes := make([]rune, 0, len(w.letters))
	for r := range w.letters {
		runes = append(runes, r)
	}
	slices.Sort(runes)
	w.open("defs")
	step := w.step
	w.step = 100 // letters are enlarged
	for _, r := range runes {
		w.empty("path", "id", letter(r), "d", w.path(w.letters[r], false))
	}
	w.step = step
	for i, p := range w.share {
		w.watch.Look()
		w.empty("path", "id", shape(i+1), "d", w.path(p.Shapes, p.Open))
	}
	w.close("defs")
}

func letter(r rune) string { return "letter-" + strconv.Itoa(int(r)) }
func shape(n int) string   { return "shape-" + strconv.Itoa(n) }

// item writes an item; what its group says of the paint already is inherited.
func (w *writer) item(it scene.Item, inherited string) {
	w.watch.Look()
	switch it := it.(type) {
	case *scene.Group:
		w.group(it)
	case *scene.Glyphs:
		w.glyphs(it)
	case *scene.Path:
		if len(it.Shapes) == 0 {
			return
		}
		how := paint(it)
		if joined(how) == inherited {
			how = nil
		}
		w.shape(it, how)
	}
}

func (w *writer) group(g *scene.Group) {
	clip := ""
	if g.Clip != nil {
		w.clips++
		clip = "clip-" + strconv.Itoa(w.clips)
		w.open("clipPath", "id", clip)
		w.empty("path", "d", w.path(g.Clip, false), "clip-rule", "evenodd")
		w.close("clipPath")
		clip = "url(#" + clip + ")"
	}
	attrs := []string{"id", g.Name, "aria-label", g.Label, "clip-path", clip}
	common := alike(w.watch, g.Items)
	w.open("g", append(attrs, common...)...)
	if g.Title != "" {
		w.text("title", g.Title)
	}
	for _, it := range g.Items {
		w.item(it, joined(common))
	}
	w.close("g")
}

// alike returns the paint of a group of paths that are all painted alike; nil for others.
func alike(w *work.Watch, items []scene.Item) []string {
	var common []string
	n := 0
	for _, it := range items {
		w.Look()
		p, ok := it.(*scene.Path)
		if !ok {
			return nil
		}
		if len(p.Shapes) == 0 {
			continue
		}
		how := paint(p)
		if n++; n == 1 {
			common = how
		} else if joined(how) != joined(common) {
			return nil
		}
	}
	if n < 2 {
		return nil
	}
	return common
}

func joined(attrs []string) string { return strings.Join(attrs, "\x00") }

// shape writes a path: from the copy that it shares, as a circle, or as path data.
func (w *writer) shape(p *scene.Path, how []string) {
	head := []string{"id", p.Name, "aria-label", p.Label}
	if n := w.shared[&p.Shapes[0]]; n > 0 {
		w.empty("use", append(append(head, "href", "#"+shape(n)), how...)...)
		return
	}
	if at, r, ok := circle(p); ok {
		w.empty("circle", append(append(head, "cx", w.num(at.X), "cy", w.num(at.Y), "r", w.num(r)), how...)...)
		return
	}
	w.empty("path", append(append(head, "d", w.path(p.Shapes, p.Open)), how...)...)
}

// circle reports whether a path is one circle, as geom.Circle makes them.
func circle(p *scene.Path) (at geom.Pt, r geom.Nm, ok bool) {
	if len(p.Shapes) != 1 || p.Open || len(p.Shapes[0]) != 2 {
		return geom.Pt{}, 0, false
	}
	a, b := p.Shapes[0][0], p.Shapes[0][1]
	if a.Bulge != b.Bulge || a.Bulge != 1 && a.Bulge != -1 || a.Y != b.Y {
		return geom.Pt{}, 0, false
	}
	return geom.Pt{X: (a.X + b.X) / 2, Y: a.Y}, max(b.X-a.X, a.X-b.X) / 2, true
}

// paint returns the attributes of how a path is painted, which groups may have in its place.
func paint(p *scene.Path) []string {
	out := []string{"fill", "none"}
	if !p.Fill.None() {
		out[1] = p.Fill.Colour.String()
		if p.Fill.Percent < 100 {
			out = append(out, "fill-opacity", percent(p.Fill))
		}
		if p.EvenOdd {
			out = append(out, "fill-rule", "evenodd")
		}
	}
	s := p.Stroke
	if s.None() {
		return out
	}
	out = append(out, "stroke", s.Colour.String())
	if s.Percent < 100 {
		out = append(out, "stroke-opacity", percent(s.Paint))
	}
	out = append(out, "stroke-width", scene.Decimal(s.Width, geom.Micrometre))
	if len(s.Dashes) > 0 {
		var dashes []string
		for _, d := range s.Dashes {
			dashes = append(dashes, scene.Decimal(d, geom.Micrometre))
		}
		out = append(out, "stroke-dasharray", strings.Join(dashes, " "))
	}
	if s.Cap == scene.RoundCap {
		out = append(out, "stroke-linecap", "round")
	}
	if s.Join == scene.RoundJoin {
		out = append(out, "stroke-linejoin", "round")
	}
	return out
}

// percent writes hundredths: exact, as decimals of lengths are, a hundredth being ten micrometres of a millimetre.
func percent(p scene.Paint) string {
	return scene.Decimal(geom.Nm(p.Percent)*10*geom.Micrometre, geom.Micrometre)
}

func (w *writer) glyphs(g *scene.Glyphs) {
	if g.Text == "" {
		return
	}
	w.open("g", "aria-label", g.Text, "fill", g.Fill.Colour.String(),
		"transform", "translate("+w.num(g.At.X)+" "+w.num(g.At.Y)+") scale("+scene.Decimal(g.Height, geom.Micrometre)+")")
	for _, l := range g.Letters {
		x := ""
		if l.X != 0 {
			x = scene.Decimal(l.X, 100)
		}
		w.empty("use", "href", "#"+letter(l.Rune), "x", x)
	}
	w.close("g")
}
