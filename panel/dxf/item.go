package dxf

import (
	"math"
	"strings"
)

// item is an entity as the file has it: in drawing units and its own coordinates, before blocks are expanded.
type item struct {
	typ, layer, handle string
	line               int
	group              int     // number of the group that it starts with, from 1, comments not counted
	colour             uint32  // as Entity.Colour; byBlock: as the INSERT says
	style              string  // name of the line type; empty: the layer's
	dashed             float32 // factor of its lengths; 0: 1
	runs               bool    // its dashes run on over corners
	wide               float64 // of a polyline's pen, in drawing units; 0: its line weight counts
	pen                int     // its line weight, hundredths of mm; negative: the layer's, or as CAD likes
	paper, hidden      bool
	plane              plane
	fault              string // why it can't be used; the next field says how grave that is
	weight             gravity

	// One of these is set.
	path  Path
	parts []Path // of a filling: its boundaries
	taper []Path // of a polyline whose pen widens or narrows: what its pieces cover, beside the path
	bare  []Path // of such a one: its pieces without a width
	arc   *ellipse
	spl   *spline
	text  *Text
	ins   *insert
}

// Names that say where an entity's line type is told.
const (
	byLayerStyle = "BYLAYER"
	byBlockStyle = "BYBLOCK"
)

// penOfLayer is the line weight of an entity that has its layer's (370 is -1).
const penOfLayer = -1

// byBlock is the colour of an entity in a block that takes the INSERT's (62 is 0 there).
const byBlock = 1 << 31

// styleNamed returns the name of a line type, empty for those that say nothing of their own.
func styleNamed(name string) string {
	switch strings.ToUpper(name) {
	case "BYLAYER", "BYBLOCK", "CONTINUOUS":
		return ""
	}
	return strings.Clone(name)
}

// gravity says what kind of fault an item has.
type gravity uint8

const (
	unused gravity = iota // of no use for a panel: a note
	empty                 // of no size: a note
	doubt                 // usable by nobody without a third dimension or missing parts: a warning
	broken                // nonsense in the file: an error
)

// insert is an INSERT, and the ATTRIB texts that follow it.
type insert struct {
	block            string
	at               XY
	sx, sy, rot      float64
	cols, rows       int
	colStep, rowStep float64
	attribs          []item
}

// itemList is items in pieces of equal size, so that a long list is never copied to grow.
type itemList [][]item

const itemsAPiece = 2048

func (l *itemList) add(it item) {
	n := len(*l)
	if n == 0 || len((*l)[n-1]) == cap((*l)[n-1]) && n > 1 || n == 1 && len((*l)[0]) == itemsAPiece {
		size := itemsAPiece
		if n == 0 {
			size = 4 // most blocks hold a few
		}
		*l = append(*l, make([]item, 0, size))
		n++
	}
	(*l)[n-1] = append((*l)[n-1], it)
}

func (l itemList) len() int {
	n := 0
	for _, piece := range l {
		n += len(piece)
	}
	return n
}

// block is a BLOCK.
type block struct {
	base  XY
	items itemList
	xref  bool
}

const deg = math.Pi / 180

// fields is what the group codes of one entity say, as far as many kinds of entity share them.
type fields struct {
	x, y, z        [4]float64 // 10..13, 20..23, 30..33
	has            [4]bool    // 10..13
	r              [10]float64
	hasR           [10]bool // 40..49
	angle          [4]float64
	hasAngle       [4]bool // 50..53
	flags          [10]int // 70..79
	hasFlag        [10]bool
	name           string // 2
	bad            bool   // a number that is none, or too large
	badCode, badAt int
	normal         vec3
}

// common reads what all entities share into it, and the usual numbers into f.
func (p *parser) common(typ string, gs []group, f *fields) item {
	it := item{typ: typ, layer: "0", line: p.entityLine, group: p.entityGroup, pen: penOfLayer}
	*f = fields{normal: vec3{0, 0, 1}}
	real := func(g *group) float64 {
		v, ok := g.real()
		if !ok && !f.bad {
			f.bad, f.badCode, f.badAt = true, g.code, g.line
		}
		return v
	}
	for i := range gs {
		g := &gs[i]
		switch c := g.code; {
		case c == 8:
			it.layer = p.layerName(g.text)
		case c == 5:
			it.handle = trim(g.text)
		case c == 6:
			it.style = p.layerName(g.text)
		case c == 62:
			if n := g.int(); n >= 0 && n < 256 && it.colour < TrueColour {
				it.colour = uint32(n)
				if n == 0 {
					it.colour = byBlock
				}
			}
		case c == 370: // DXF Reference: -1 the layer's, -2 the block's, -3 as usual
			it.pen = g.int()
		case c == 420:
			it.colour = TrueColour | uint32(g.int())&0xffffff
		case c == 2:
			f.name = g.text
		case c == 67:
			it.paper = g.int() == 1
		case c == 60:
			it.hidden = g.int() == 1
		case c >= 10 && c <= 13:
			f.x[c-10], f.has[c-10] = real(g), true
		case c >= 20 && c <= 23:
			f.y[c-20] = real(g)
		case c >= 30 && c <= 33:
			f.z[c-30] = real(g)
		case c >= 40 && c <= 49:
			f.r[c-40], f.hasR[c-40] = real(g), true
		case c >= 50 && c <= 53:
			f.angle[c-50], f.hasAngle[c-50] = real(g), true
		case c >= 70 && c <= 79:
			f.flags[c-70], f.hasFlag[c-70] = g.int(), true
		case c == 210:
			f.normal.x = real(g)
		case c == 220:
			f.normal.y = real(g)
		case c == 230:
			f.normal.z = real(g)
		}
	}
	if f.normal == (vec3{}) {
		p.aimless++
	}
	if f.hasR[8] && f.r[8] > 0 && f.r[8] < 1e6 && typ != "MTEXT" { // there it is another thing's
		it.dashed = float32(f.r[8])
	}
	it.plane = f.normal.plane()
	if f.bad {
		it.fault, it.weight = "a number in it is none, or far too large", broken
	}
	return it
}

func (f *fields) at(i int) XY { return XY{X: f.x[i], Y: f.y[i]} }

// or returns group 40+i, or d without it.
func (f *fields) or(i int, d float64) float64 {
	if f.hasR[i] {
		return f.r[i]
	}
	return d
}

func (it *item) spoil(g gravity, why string) {
	if it.fault == "" || it.weight < g {
		it.fault, it.weight = why, g
	}
}

// unusedReason says why entities of this type mean nothing for a panel.
func unusedReason(typ string) string {
	switch typ {
	case "POINT":
		return "a point has no size"
	case "DIMENSION", "LARGE_RADIAL_DIMENSION", "ARC_DIMENSION", "LEADER", "MULTILEADER", "MLEADER", "TOLERANCE":
		return "dimensions and leaders are not part of the panel"
	case "XLINE", "RAY":
		return "construction lines have no end"
	case "ATTDEF":
		return "templates of block texts are not shown"
	case "IMAGE", "OLE2FRAME", "OLEFRAME", "WIPEOUT", "PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY":
		return "pictures and frames of other files have no exact edges"
	case "3DFACE", "3DSOLID", "BODY", "REGION", "SURFACE", "MESH", "EXTRUDEDSURFACE", "REVOLVEDSURFACE", "PLANESURFACE",
		"LOFTEDSURFACE", "SWEPTSURFACE", "NURBSURFACE", "HELIX":
		return "a panel is drawn flat: surfaces and bodies are not read; explode a region into lines and arcs"
	case "VIEWPORT", "ACAD_PROXY_ENTITY", "LIGHT", "SUN", "SECTION", "ACAD_TABLE":
		return "it shows nothing that is cut or engraved"
	case "SHAPE":
		return "shapes come from a font file that the drawing doesn't hold; explode them"
	case "MLINE":
		return "multiple lines are not read; explode them"
	}
	return "this kind of entity is not read; explode it into lines, arcs and texts"
}
