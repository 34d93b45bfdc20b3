// Package paper is one model of what people read with a tool in hand: chapters of words, steps, pictures and tables with boxes to
// tick and lines to write on. Pages lays it out to print, HTML writes it for a browser, and both say the same.
//
// Pages are A4 high and wide, and all that is on them lies so far within that they print on Letter without scaling as well. They are
// black on white: nothing is told by a colour alone.
package paper

import (
	"strings"

	"lampblack/export/scene"
	"lampblack/export/table"
	"lampblack/panel/geom"
)

// Paper is a text and whose it is. Texts are plain.
type Paper struct {
	Kind           string // what it is: "Building guide"
	Name           string // of the console
	Revision, Date string // empty: not told
	Version        string // of Lampblack
	Summary        string // a sentence below the title; may be empty
	Blocks         []Block
}

// Title is what the paper calls itself.
func (p Paper) Title() string { return p.Name + ": " + lower(p.Kind) }

// Described is what a file of the paper says of itself: the title, and of which revision it is.
func (p Paper) Described() string {
	return strings.Join(told("", p.Title(), "revision ", p.Revision), ", ")
}

// Block is a Chapter, Section, Text, Points, Steps, Mind, Grid or Figures.
type Block interface{ block() }

// Chapter begins one. Fresh ones begin a page of their own.
type Chapter struct {
	Title string
	Fresh bool
}

// Section begins a part of a chapter.
type Section string

// Text is a paragraph.
type Text string

// Points are short texts below each other, in no order.
type Points []string

// Steps are texts in the order in which they are done.
type Steps []string

// Mind is what could hurt someone or break something: it stands in a frame.
type Mind []string

// Grid is a table to work with.
type Grid struct {
	table.Table
	Tick  bool   // with a box before each row
	Write string // heading of a column to write in, at the right; empty: none
}

// Figures stand side by side.
type Figures []Figure

// Figure is a picture that is drawn as large as there is room.
type Figure struct {
	Page    scene.Page
	Caption string
	Alt     string  // what it shows, for those who do not see it
	Wide    geom.Nm // at most; 0: the column
	Most    float64 // times its own size at most; 0: as large as there is room
}

func (Chapter) block() {}
func (Section) block() {}
func (Text) block()    {}
func (Points) block()  {}
func (Steps) block()   {}
func (Mind) block()    {}
func (Grid) block()    {}
func (Figures) block() {}
