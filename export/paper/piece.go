package paper

import (
	"strconv"
	"strings"

	"lampblack/export/scene"
	"lampblack/export/scene/typeset"
	"lampblack/export/table"
	"lampblack/panel/geom"
)

// Measures of a page. A4 is 210 × 297 mm, Letter 215.9 × 279.4 mm (ISO 216; ANSI Y14.1): what lies between 20 mm and 277 mm from the top of
// A4 lies on Letter too, printed unscaled about the same middle, with 8 mm and more of margin there.
const (
	pageWide = 210 * geom.Millimetre
	pageHigh = 297 * geom.Millimetre
	side     = 18 * geom.Millimetre
	column   = pageWide - 2*side
	headLine = 22 * geom.Millimetre // baseline of the head
	top      = 29 * geom.Millimetre
	bottom   = 265 * geom.Millimetre
	footLine = 273 * geom.Millimetre
)

// Heights of capitals, and from one line to the next.
const (
	textCaps    = 2300 * geom.Micrometre // as 9 point type
	textStep    = 4300 * geom.Micrometre
	smallCaps   = 1950 * geom.Micrometre
	smallStep   = 3500 * geom.Micrometre
	chapterCaps = 4300 * geom.Micrometre
	sectionCaps = 2900 * geom.Micrometre
	titleCaps   = 6500 * geom.Micrometre
)

const (
	black scene.Colour = 0x000000
	grey  scene.Colour = 0x555555 // of words that stand aside: 7:1 on white
	rule  scene.Colour = 0x999999

	finePen  = 150 * geom.Micrometre
	heavyPen = 900 * geom.Micrometre
)

// piece is what no page's end parts: a line, a row, a picture.
type piece struct {
	high   geom.Nm
	before geom.Nm // room above it, but at the top of a page
	fresh  bool    // begins a page
	tied   bool    // stays on one page with the next
	kind   kind
	again  *piece // a table's head: drawn above it where it begins a page
	shrunk func(high geom.Nm) (piece, bool)
	draw   func(on *scene.Group, x, y geom.Nm) // x, y: its upper left corner
}

// kind is what a piece may change places with: words go before a picture that finds no room, and nothing else does.
type kind int

const (
	other kind = iota
	words
	picture
)

// layout makes pieces of blocks.
type layout struct {
	set typeset.Setter
	out []piece
}

func (l *layout) words(on *scene.Group, x, y, caps geom.Nm, c scene.Colour, s string) {
	if s == "" {
		return
	}
	g := l.set.Glyphs(s, geom.Pt{X: x, Y: y}, caps)
	g.Fill = scene.Solid(c)
	on.Add(g)
}

func line(on *scene.Group, pen geom.Nm, c scene.Colour, xy ...geom.Nm) {
	on.Add(&scene.Path{Open: true, Shapes: []geom.Contour{scene.Through(xy...)}, Stroke: scene.Line(c, pen)})
}

// box draws the frame of a rectangle.
func box(on *scene.Group, pen geom.Nm, x, y, w, h geom.Nm) {
	on.Add(&scene.Path{Shapes: scene.Rect(x, y, w, h), Stroke: scene.Line(black, pen)})
}

// lines appends a text, indented, with a mark before its first line.
func (l *layout) lines(text, mark string, indent, before geom.Nm) {
	rows := l.set.Wrapped(text, textCaps, column-indent)
	for i, s := range rows {
		p := piece{high: textStep, kind: words, draw: func(on *scene.Group, x, y geom.Nm) {
			l.words(on, x+indent, y+textCaps+(textStep-textCaps)/2, textCaps, black, s)
			if i == 0 && mark != "" {
				l.words(on, x+indent-l.set.Wide(mark, textCaps)-1500*geom.Micrometre, y+textCaps+(textStep-textCaps)/2, textCaps, black, mark)
			}
		}}
		if i == 0 {
			p.before = before
		}
		// Neither the first line nor the last stands alone on a page.
		p.tied = len(rows) > 1 && (i == 0 || i == len(rows)-2)
		l.out = append(l.out, p)
	}
}

func (l *layout) block(b Block) {
	switch b := b.(type) {
	case Chapter:
		rows := l.set.Wrapped(b.Title, chapterCaps, column)
		for i, s := range rows {
			p := piece{high: 8 * geom.Millimetre, tied: true, draw: func(on *scene.Group, x, y geom.Nm) {
				l.words(on, x, y+6*geom.Millimetre, chapterCaps, black, s)
				if i == len(rows)-1 {
					line(on, 2*finePen, black, x, y+7800*geom.Micrometre, x+column, y+7800*geom.Micrometre)
				}
			}}
			if i == 0 {
				p.before, p.fresh = 9*geom.Millimetre, b.Fresh
			}
			l.out = append(l.out, p)
		}
	case Section:
		for i, s := range l.set.Wrapped(string(b), sectionCaps, column) {
			p := piece{high: 5 * geom.Millimetre, tied: true, kind: words, draw: func(on *scene.Group, x, y geom.Nm) {
				l.words(on, x, y+4*geom.Millimetre, sectionCaps, black, s)
			}}
			if i == 0 {
				p.before = 5 * geom.Millimetre
			}
			l.out = append(l.out, p)
		}
	case Text:
		l.lines(string(b), "", 0, 2*geom.Millimetre)
	case Points:
		for _, s := range b {
			l.lines(s, "–", 5*geom.Millimetre, geom.Millimetre)
		}
	case Steps:
		for i, s := range b {
			l.lines(s, strconv.Itoa(i+1), 7*geom.Millimetre, 1200*geom.Micrometre)
		}
	case Mind:
		l.mind(b)
	case Grid:
		l.grid(b)
	case Figures:
		l.figures(b)
	}
}

// mind sets what to mind between two heavy bars.
func (l *layout) mind(b Mind) {
	const in = 4 * geom.Millimetre
	for k, s := range b {
		for i, row := range l.set.Wrapped(s, textCaps, column-2*in) {
			p := piece{high: textStep, tied: true}
			if i == 0 {
				p.high += geom.Millimetre
			}
			if k == 0 && i == 0 {
				p.before = 3 * geom.Millimetre
			}
			high := p.high
			p.draw = func(on *scene.Group, x, y geom.Nm) {
				l.words(on, x+in, y+high-textStep+textCaps+(textStep-textCaps)/2, textCaps, black, row)
				for _, at := range [...]geom.Nm{x + heavyPen/2, x + column - heavyPen/2} {
					line(on, heavyPen, black, at, y, at, y+high)
				}
			}
			l.out = append(l.out, p)
		}
	}
	if n := len(l.out); len(b) > 0 {
		l.out[n-1].tied = false
	}
}

// figures sets pictures side by side, each with its caption below.
func (l *layout) figures(b Figures) {
	if len(b) == 0 {
		return
	}
	const gap = 6 * geom.Millimetre
	each := (column - gap*geom.Nm(len(b)-1)) / geom.Nm(len(b))
	captions, below := make([][]string, len(b)), geom.Nm(0)
	sizes, high := make([]float64, len(b)), geom.Nm(0)
	for i, f := range b {
		wide := each
		if f.Wide > 0 {
			wide = min(wide, f.Wide)
		}
		k := min(float64(wide)/float64(max(f.Page.W, 1)), float64(bottom-top-40*geom.Millimetre)/float64(max(f.Page.H, 1)))
		if f.Most > 0 {
			k = min(k, f.Most)
		}
		sizes[i], high = k, max(high, geom.Nm(float64(f.Page.H)*k))
		captions[i] = l.set.Wrapped(f.Caption, smallCaps, each)
		below = max(below, smallStep*geom.Nm(len(captions[i])))
	}
	if below > 0 {
		below += 1500 * geom.Micrometre
	}
	var at func(factor float64) piece
	at = func(factor float64) piece {
		tall := geom.Nm(float64(high) * factor)
		return piece{high: tall + below, before: 3 * geom.Millimetre, kind: picture,
			shrunk: func(room geom.Nm) (piece, bool) {
				// Smaller than two thirds it would rather begin the next page.
				k := float64(room-below) / float64(max(high, 1))
				return at(k), k >= 2.0/3 && k < 1
			},
			draw: func(on *scene.Group, x, y geom.Nm) {
				for i, f := range b {
					k := sizes[i] * factor
					left := x + geom.Nm(i)*(each+gap) + (each-geom.Nm(float64(f.Page.W)*k))/2
					on.Add(scene.Placed(f.Page, geom.Pt{X: left, Y: y}, k, finePen/2))
					for n, s := range captions[i] {
						l.words(on, x+geom.Nm(i)*(each+gap), y+tall+1500*geom.Micrometre+smallStep*geom.Nm(n)+smallCaps, smallCaps, grey, s)
					}
				}
			}}
	}
	l.out = append(l.out, at(1))
}

// lower begins a text with a small letter.
func lower(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// heading is what stands above a column.
func heading(c table.Column) string { return c.Heading(", ") }
