package picture

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"lampblack/board"
	"lampblack/export/internal/svg"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
)

// drawing is a document in the making. Letters are drawn once, one millimetre high, and used from there.
type drawing struct {
	svg.Writer
	used []rune
}

func newDrawing(w, h geom.Nm, title, desc string) *drawing {
	d := &drawing{}
	d.Start(w, h, title, desc)
	return d
}

// align is where a label lies to its point.
type align int

const (
	left align = iota
	centre
	right
)

func num(v geom.Nm) string { return svg.Num(v, 3) }

// measures returns a width and a height in mm as a caption has them: to a hundredth, as all lists have them.
func measures(w, h geom.Nm) string { return svg.Num(w, 2) + " × " + svg.Num(h, 2) + " mm" }

func letter(r rune) panel.Text {
	return panel.Text{Text: string(r), Height: geom.Millimetre, Width: 1}
}

// wide returns the length of a label whose capitals are h high.
func (d *drawing) wide(s string, h geom.Nm) geom.Nm {
	return lettering.Advance(panel.Text{Text: s, Height: h, Width: 1})
}

// letters writes a label on the baseline through (x, y) of the page.
func (d *drawing) letters(x, y, h geom.Nm, at align, colour, s string) {
	if s == "" {
		return
	}
	w := geom.Nm(0)
	for _, r := range s {
		w += lettering.Advance(letter(r))
	}
	size := strconv.FormatFloat(h.MM(), 'f', -1, 64)
	shift := geom.Nm(float64(w) * h.MM() * float64(at) / 2)
	d.Open("g", "aria-label", s, "fill", colour, "transform", "translate("+num(x-shift)+" "+num(y)+") scale("+size+")")
	at0 := geom.Nm(0)
	for _, r := range s {
		if r != ' ' && len(lettering.Missing(letter(r))) == 0 {
			if i, ok := slices.BinarySearch(d.used, r); !ok {
				d.used = slices.Insert(d.used, i, r)
			}
			place := ""
			if at0 != 0 {
				place = svg.Num(at0, 4)
			}
			d.Empty("use", "href", "#letter-"+strconv.Itoa(int(r)), "x", place)
		}
		at0 += lettering.Advance(letter(r))
	}
	d.Close("g")
}

// end closes the document, after the letters that were used.
func (d *drawing) end() []byte {
	if len(d.used) > 0 {
		f := svg.Frame{Digits: 4}
		d.Open("defs")
		for _, r := range d.used {
			d.Empty("path", "id", "letter-"+strconv.Itoa(int(r)), "d", f.Region(lettering.Outline(letter(r))))
		}
		d.Close("defs")
	}
	return d.End()
}

func (d *drawing) clip(id, path string) {
	d.Open("clipPath", "id", id)
	d.Empty("path", "d", path, "clip-rule", "evenodd")
	d.Close("clipPath")
}

// areas draws the copper areas of a side in the current colour.
func (d *drawing) areas(f svg.Frame, b board.Board, side geom.Side) {
	for _, a := range b.Areas {
		if a.On == side {
			d.Empty("path", "d", f.Region(geom.Region{a.Fill}), "fill", "currentColor", "fill-rule", "evenodd")
		}
	}
}

// copper draws the tracks, pads and vias of a side in the current colour.
func (d *drawing) copper(f svg.Frame, b board.Board, side geom.Side) {
	var tracks []board.Stroke
	for _, t := range b.Tracks {
		if t.On == side {
			tracks = append(tracks, board.Stroke{On: side, Width: t.Width, Path: t.Path})
		}
	}
	d.strokes(f, tracks)
	var pads []geom.Contour
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			pads = append(pads, p.Contour(0))
		}
		return true
	})
	for _, v := range b.Vias {
		pads = append(pads, geom.Circle(v.At, v.D))
	}
	if len(pads) > 0 {
		d.Empty("path", "d", f.Path(pads...), "fill", "currentColor")
	}
}

// strokes draws lines with round ends in the current colour, one path for each width.
func (d *drawing) strokes(f svg.Frame, all []board.Stroke) {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b board.Stroke) int { return cmp.Compare(a.Width, b.Width) })
	for i := 0; i < len(sorted); {
		var path strings.Builder
		width := sorted[i].Width
		for ; i < len(sorted) && sorted[i].Width == width; i++ {
			path.WriteString(f.Line(sorted[i].Path))
		}
		if path.Len() > 0 {
			d.Empty("path", "d", path.String(), "fill", "none", "stroke", "currentColor", "stroke-width", num(width),
				"stroke-linecap", "round", "stroke-linejoin", "round")
		}
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
