package dxf

import (
	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// XY is a position or direction in the drawing's own frame, in millimetres: X right, Y up. It may lie far from zero.
type XY = geom.XY

// Vertex is a corner of a Path and the shape of the edge that leaves it: Bulge is tan(θ/4) of the included angle,
// positive counter-clockwise, 0 straight (DXF Reference, LWPOLYLINE group 42).
type Vertex struct {
	XY
	Bulge float64
}

// Path is a run of lines and arcs. The bulge of the last vertex counts only when the path is closed.
type Path struct {
	Vertices []Vertex
	Closed   bool
}

// HAlign is where a text's anchor lies along it, in the text's own reading direction.
type HAlign uint8

const (
	Left HAlign = iota
	Centre
	Right
)

// VAlign is where a text's anchor lies across it.
type VAlign uint8

const (
	Baseline VAlign = iota
	BottomLine
	Middle
	TopLine
)

// Text is a piece of writing. Lines are separated by "\n" and stand 5/3 of the height apart.
type Text struct {
	Text   string
	At     XY      // the anchor
	Height float64 // of a capital letter, mm
	Angle  float64 // radians, counter-clockwise; of a mirrored text, that of its unmirrored image
	Width  float64 // width factor
	Span   float64 // mm that the text fills from its anchor on, whatever the font; 0: as long as it gets
	H      HAlign
	V      VAlign
	Mirror bool           // reads backwards seen from the front
	Slant  float64        // radians by which it leans to the right
	Font   writing.Font   // that it asks for
	Block  *writing.Block // of several paragraphs, or looks; nil: Text alone tells
}

// Insert places a block. Read gives what the block holds instead; it is for drawings that are to be written.
type Insert struct {
	Block string
	At    XY      // where the block's origin comes to lie
	Turn  float64 // radians, counter-clockwise
}

// Block is a part drawn once, round its own origin, and placed often. What lies on layer 0 in it takes the layer of the
// Insert.
type Block struct {
	Name     string
	Entities []Entity
}

// Entity is a thing drawn. It has either a Path or a Text, or to be written an Insert.
type Entity struct {
	Type   string // as the file calls it: "LINE"
	Layer  string
	Handle string  // of the entity itself, or of the one in the block it came from
	Block  string  // innermost block it came from
	Line   int     // line in the file on which the entity starts, 0 in binary files
	Fill   bool    // the boundary of a filled area (HATCH, SOLID, TRACE); areas within one another alternate
	Weight uint8   // its line weight, hundredths of a mm on paper at any scale; 0: none is told
	Colour uint32  // an index of CAD's colours, or TrueColour and 0xRRGGBB; 0: its layer's
	Width  float32 // of a polyline, mm; 0: none
	Style  string  // line type, as the file names it: "DASHED"; empty: its layer's, or drawn through
	Pen    *Pen    // how its line is drawn; nil: through. Shared: never written to
	Path   Path
	Text   *Text
	Insert *Insert
	Holes  *[]Path // of a filled area that is to be written: what is left out of it; Read gives each boundary as an Entity of its own
}

// Pen is how a line is drawn that is not drawn through.
type Pen struct {
	// Dashes are its lengths by turns, mm: of a dash, less than 0 of a gap, 0 of a dot; the first is no gap. nil: it has none.
	Dashes []float64
	Runs   bool // they run on over corners
	// Parted says that its width changes: what is as wide as something is an area of its own, and Lines is what is left.
	Parted bool
	Lines  []Path
}

// scaled returns the pen of a drawing k times as large.
func (p *Pen) scaled(k float64) *Pen {
	if p == nil {
		return nil
	}
	out := &Pen{Runs: p.Runs, Parted: p.Parted}
	for _, d := range p.Dashes {
		out.Dashes = append(out.Dashes, d*k)
	}
	for _, l := range p.Lines {
		out.Lines = append(out.Lines, l.scaled(k))
	}
	return out
}

func (p Path) scaled(k float64) Path {
	vs := make([]Vertex, len(p.Vertices))
	for i, v := range p.Vertices {
		vs[i] = Vertex{v.Times(k), v.Bulge}
	}
	return Path{vs, p.Closed}
}

// TrueColour marks an Entity's colour as red, green and blue in place of an index.
const TrueColour = 1 << 24

// Layer is an entry of the layer table, or a layer that entities name without one.
type Layer struct {
	Name   string
	Off    bool
	Frozen bool
	Colour uint8   // index of CAD's colours, 1 red 2 yellow 3 green 4 cyan 5 blue 6 magenta 7 black or white; 0: as CAD likes
	Style  string  // line type; empty: drawn through. Write does not ask
	Width  float64 // weight of its lines on paper, mm, written as the nearest that DXF has: 0 to 2.11; 0: as CAD likes
}

// Skip counts entities that were left out for one reason.
type Skip struct {
	Type   string
	Layer  string
	Reason string // "on a layer that is switched off"
	Count  int
	Line   int // of the first
	Handle string
	At     *XY // of the first, where known
}

// Drawing is what a DXF file shows in its model space.
type Drawing struct {
	Name     string // of the file, as the user gave it
	Version  string // "AC1015", empty when the file doesn't tell
	Binary   bool
	Units    Units
	Entities []Entity
	Layers   []Layer
	Blocks   []Block // for Inserts; none when read
	Skipped  []Skip
}

// Box is an axis-parallel rectangle in the drawing's frame, mm.
type Box = geom.XYBox

// EmptyBox holds nothing and grows with With.
func EmptyBox() Box { return geom.EmptyXYBox() }

// Box returns the bounding box of the path, arcs at their extremes.
func (p Path) Box() Box {
	b := EmptyBox()
	for _, e := range p.Edges() {
		b = b.Union(e.Box())
	}
	if len(p.Vertices) == 1 {
		b = b.With(p.Vertices[0].XY)
	}
	return b
}

// Extents returns the bounding box of all paths, arcs at their extremes; texts don't count.
func (d Drawing) Extents() Box {
	b := EmptyBox()
	for i := range d.Entities {
		if d.Entities[i].Text == nil {
			b = b.Union(d.Entities[i].Path.Box())
		}
	}
	return b
}

// Scaled returns the drawing k times as large about the frame's zero, for a unit the user knows better.
func (d Drawing) Scaled(k float64) Drawing {
	out := d
	out.Entities = scaled(d.Entities, k)
	out.Blocks = make([]Block, len(d.Blocks))
	for i, b := range d.Blocks {
		out.Blocks[i] = Block{b.Name, scaled(b.Entities, k)}
	}
	out.Skipped = make([]Skip, len(d.Skipped))
	for i, s := range d.Skipped {
		if s.At != nil {
			p := s.At.Times(k)
			s.At = &p
		}
		out.Skipped[i] = s
	}
	return out
}

func scaled(all []Entity, k float64) []Entity {
	out := make([]Entity, len(all))
	pens := map[*Pen]*Pen{}
	for i, e := range all {
		e.Path, e.Width = e.Path.scaled(k), e.Width*float32(k)
		if e.Pen != nil {
			if pens[e.Pen] == nil {
				pens[e.Pen] = e.Pen.scaled(k)
			}
			e.Pen = pens[e.Pen]
		}
		if e.Text != nil {
			t := *e.Text
			t.At, t.Height, t.Span = t.At.Times(k), t.Height*k, t.Span*k
			e.Text = &t
		}
		if e.Insert != nil {
			q := *e.Insert
			q.At = q.At.Times(k)
			e.Insert = &q
		}
		out[i] = e
	}
	return out
}
