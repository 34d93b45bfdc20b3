// Package scene is one model of a picture for all formats: a page in true size, and on it groups, paths and runs of letters.
//
// What is drawn is data, and in whole nanometres: paths are geom.Contours, so that arcs stay arcs, and letters are outlines
// beside the text that they say. The page's frame has its origin at the upper left, X right and Y down; a bulge is what it is
// in geom, where the page's X and Y take the place of the panel's: positive from X toward Y. Frame brings panels and boards
// into it. Later items cover earlier ones. A group or path with a name is a layer: formats that have layers give them that
// name.
//
// The children write it: svg, pdf, png and dxf. What a format cannot show they say in their own comments.
package scene

import (
	"lampblack/panel/geom"
)

// Page is one picture.
type Page struct {
	W, H  geom.Nm
	Title string
	Desc  string // what else there is to say; may be empty
	// Step is what coordinates that are written as text are rounded to; 0 means a tenth of a micrometre.
	Step geom.Nm
	Body Group // all that is on the page
}

// Precision returns what coordinates that are written as text are rounded to.
func (p Page) Precision() geom.Nm {
	if p.Step <= 0 {
		return geom.Micrometre / 10
	}
	return p.Step
}

// Item is a *Group, *Path or *Glyphs.
type Item interface{ item() }

// Group is items that belong together.
type Group struct {
	Name  string         // of a layer, unique on the page; may be empty
	Title string         // the name as people say it; may be empty
	Label string         // what it shows, in words, for those who do not see it; may be empty
	Clip  []geom.Contour // only what lies within is shown, by the even-odd rule; nil: everything
	Items []Item
}

// Path is closed shapes or open lines, painted alike.
type Path struct {
	Name  string // of a layer, unique on the page; may be empty
	Label string // what it shows, in words; may be empty
	// Shapes are closed curves, or with Open lines from the first vertex to the last. Paths that share one slice are
	// drawn from one copy of it where the format can.
	Shapes  []geom.Contour
	Open    bool
	Fill    Paint
	EvenOdd bool // how Fill tells the inside of several shapes; else by a winding number that is not zero
	Stroke  Stroke
}

// Glyphs is a run of letters on a level baseline: outlines, and the text that they say.
type Glyphs struct {
	Text    string
	At      geom.Pt // where the baseline starts
	Height  geom.Nm // of capitals
	Fill    Paint
	Letters []Letter // those that leave ink
}

// Letter is one letter of a run, in the measure of capitals a millimetre high.
type Letter struct {
	Rune rune
	X    geom.Nm // of its origin, from the start of the run
	// Shapes are its outline, with the origin at the baseline, for both fill rules. Letters of one page that are the same
	// rune have the same outline.
	Shapes []geom.Contour
}

func (*Group) item()  {}
func (*Path) item()   {}
func (*Glyphs) item() {}

// Add puts items on top of what is in the group.
func (g *Group) Add(items ...Item) { g.Items = append(g.Items, items...) }

// Outlines returns the letters' shapes where they stand on the page.
func (g *Glyphs) Outlines() []geom.Contour {
	var out []geom.Contour
	scaled := func(v geom.Nm) geom.Nm { return geom.Nm(mulDiv(int64(v), int64(g.Height), int64(geom.Millimetre))) }
	for _, l := range g.Letters {
		for _, c := range l.Shapes {
			moved := make(geom.Contour, len(c))
			for i, v := range c {
				moved[i] = geom.Vertex{Pt: geom.Pt{X: g.At.X + scaled(l.X+v.X), Y: g.At.Y + scaled(v.Y)}, Bulge: v.Bulge}
			}
			out = append(out, moved)
		}
	}
	return out
}

// mulDiv returns a*b/c, to the nearest whole number, halves away from zero; c is positive. Lengths on a page are below
// 2^40 nm and heights of letters below 2^23, so that the product fits.
func mulDiv(a, b, c int64) int64 {
	p := a * b
	if p < 0 {
		return -((-p + c/2) / c)
	}
	return (p + c/2) / c
}

// Through returns the line through points of a page, given as x and y in turn.
func Through(xy ...geom.Nm) geom.Contour {
	c := make(geom.Contour, len(xy)/2)
	for i := range c {
		c[i].Pt = geom.Pt{X: xy[2*i], Y: xy[2*i+1]}
	}
	return c
}

// Rect returns a rectangle of a page, by its upper left corner and its size.
func Rect(x, y, w, h geom.Nm) []geom.Contour {
	return []geom.Contour{geom.Rect(geom.Box{Min: geom.Pt{X: x, Y: y}, Max: geom.Pt{X: x + w, Y: y + h}})}
}
