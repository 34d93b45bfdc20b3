// Package writing holds how a piece of lettering asks to be set: the font that it wants, and the structure of a text of several
// paragraphs. It is what drawings say and what package lettering obeys, and knows neither.
//
// Lengths are in heights of a capital letter of the text, so that a text keeps its look however large its drawing is.
package writing

// Font is what a text asks its letters to be. The zero Font asks for nothing.
type Font struct {
	Style  string // of the drawing's table of styles: "TITLES"; empty: its standard
	File   string // font file that the style or the text itself names: "plate.ttf", "simplex.shx"
	Family string // that either names: "Plate Gothic"
	Bold   bool
	Italic bool
}

// Block is a text of several paragraphs, or of letters that differ.
type Block struct {
	Paragraphs []Paragraph
	Width      float64 // lines break at it; 0: nowhere
	Spacing    float64 // of lines, as a factor of the usual one; 0: 1
	Exact      bool    // tall letters get no more room
	Columns    Columns
}

// Columns are the columns that a block runs through; the zero Columns are one.
type Columns struct {
	Count   int
	Width   float64
	Gutter  float64
	Heights []float64 // of each; a column without one is as high as its text
}

// Paragraph is a run of lines.
type Paragraph struct {
	Runs               []Run
	First, Left, Right float64 // indents: of its first line from Left, and of all
	Align              Align
	Tabs               []Tab
	NewColumn          bool // it starts a column
}

// Align is how the lines of a paragraph stand.
type Align uint8

const (
	ByAnchor Align = iota // as the text is anchored
	AtLeft
	AtCentre
	AtRight
	Justified   // both edges, but for the last line
	Distributed // both edges
)

// Tab is a stop.
type Tab struct {
	At    float64 // from the left edge
	Align Align   // AtLeft, AtCentre or AtRight
}

// Run is letters of one look.
type Run struct {
	Text     string
	Font     Font
	Height   float64 // of a capital; 0: 1
	Width    float64 // factor of the letters' width; 0: 1
	Slant    float64 // radians, to the right
	Tracking float64 // factor of the letters' distance; 0: 1
	Rise     Rise
	Under    bool
	Over     bool
	Through  bool
	Stack    *Stack // a fraction in place of Text
}

// Rise is where small letters stand among tall ones.
type Rise uint8

const (
	OnBaseline Rise = iota
	Centred
	AtTop
)

// Stack is a fraction, or limits, one above the other.
type Stack struct {
	Above, Below string
	Bar          Bar
}

// Bar is what parts a Stack.
type Bar uint8

const (
	NoBar Bar = iota
	Level
	Diagonal
)
