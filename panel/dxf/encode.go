package dxf

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/yofu/dxf/format"
)

// tags writes group codes and values as text: the library's Formatter with numbers, line ends and groups as we want them.
// Of the Formatter only the four Write methods are used, by the library too.
type tags struct {
	format.Formatter
	out  bytes.Buffer
	eol  string
	skip func(code int) bool // groups that are not written; nil: none

	binary, wide bool // the binary form of DXF, with codes of two bytes
}

// put writes a group as CAD programs do, the code right-justified in three places.
func (t *tags) put(code int, value string) {
	switch {
	case t.skip != nil && t.skip(code):
	case t.binary:
		t.out.Write(appendGroup(nil, t.wide, code, value))
	default:
		fmt.Fprintf(&t.out, "%3d%s%s%s", code, t.eol, value, t.eol)
	}
}

// WriteString writes a text.
func (t *tags) WriteString(code int, v string) { t.put(code, v) }

// WriteInt writes a whole number.
func (t *tags) WriteInt(code, v int) { t.put(code, strconv.Itoa(v)) }

// WriteHex writes a handle.
func (t *tags) WriteHex(code, v int) { t.put(code, hex(v)) }

// WriteFloat writes the shortest number that reads back as v.
func (t *tags) WriteFloat(code int, v float64) { t.put(code, realText(v)) }

func hex(handle int) string { return fmt.Sprintf("%X", handle) }

// realText returns the shortest decimal that reads back as v, with the point that tells it from a whole number.
func realText(v float64) string {
	if v == 0 {
		v = 0 // no sign
	}
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}

// rounded returns the number nearest to v that has so many decimals.
func rounded(v float64, places int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', places, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// encoder writes entities in a drawing's unit. The groups are those of the DXF Reference, "ENTITIES section", release
// 2000; groups that a release does not know are for the Formatter to leave out.
type encoder struct {
	f       format.Formatter
	per     float64 // drawing units in a millimetre
	places  int     // decimals of lengths
	release Release
	fonts   fonts
	styles  names // of texts
}

// encoderOf returns an encoder for a unit. Lengths are rounded to a thousandth of a nanometre: so short that numbers look
// as they were meant, so fine that whole nanometres read back, even as the difference of two numbers.
func encoderOf(f format.Formatter, mmPerUnit float64, r Release) encoder {
	places := 9
	if mmPerUnit > 1 {
		places = min(17, places+int(math.Ceil(math.Log10(mmPerUnit))))
	}
	return encoder{f: f, per: 1 / mmPerUnit, places: places, release: r, styles: namesFor(r)}
}

// Decimals of what is no length: 1e-12 degrees and a bulge of 1e-15 move a point of a metre's arc by less than a
// thousandth of a nanometre.
const anglePlaces, bulgePlaces = 12, 15

func (e encoder) unit(mm float64) float64       { return rounded(mm*e.per, e.places) }
func (e encoder) length(code int, mm float64)   { e.f.WriteFloat(code, e.unit(mm)) }
func (e encoder) angle(code int, rad float64)   { e.f.WriteFloat(code, rounded(rad/deg, anglePlaces)) }
func (e encoder) bulge(code int, bulge float64) { e.f.WriteFloat(code, rounded(bulge, bulgePlaces)) }

func (e encoder) at(code int, p XY) {
	e.length(code, p.X)
	e.length(code+10, p.Y)
	e.f.WriteFloat(code+20, 0)
}

// title is what all entities begin with. Owner and handle may be empty.
type title struct {
	handle, owner, layer string
	colour               uint32 // as Entity.Colour
	style                string // line type; empty: the layer's
	runs                 bool   // whose dashes run on over corners
	weight               int    // hundredths of mm; 0: the layer's
}

// head begins an entity ("Common group codes for entities": 5 handle, 330 owner, 100, 8 layer, 6 line type, 62 colour by index; one of
// red, green and blue is for later releases; 370 line weight).
func (e encoder) head(t title, typ, class string) {
	e.f.WriteString(0, typ)
	if t.handle != "" {
		e.f.WriteString(5, t.handle)
	}
	if t.owner != "" {
		e.f.WriteString(330, t.owner)
	}
	e.f.WriteString(100, "AcDbEntity")
	e.f.WriteString(8, t.layer)
	if t.style != "" {
		e.f.WriteString(6, t.style)
	}
	if t.colour > 0 && t.colour < 256 {
		e.f.WriteInt(62, int(t.colour))
	}
	if t.weight > 0 {
		e.f.WriteInt(370, t.weight)
	}
	e.f.WriteString(100, class)
}

// line writes LINE: 10 start, 11 end.
func (e encoder) line(t title, a, b XY) {
	e.head(t, "LINE", "AcDbLine")
	e.at(10, a)
	e.at(11, b)
}

// circle writes CIRCLE: 10 centre, 40 radius.
func (e encoder) circle(t title, c XY, r float64) {
	e.head(t, "CIRCLE", "AcDbCircle")
	e.at(10, c)
	e.length(40, r)
}

// arc writes ARC: CIRCLE's groups, and 50, 51 the angles of its ends, counter-clockwise from the first.
func (e encoder) arc(t title, a Edge) {
	if a.Bulge < 0 {
		a = a.Reversed()
	}
	c := a.Centre()
	turn := func(p XY) float64 {
		w := math.Atan2(p.Y-c.Y, p.X-c.X)
		if w < 0 {
			w += 2 * math.Pi
		}
		return w
	}
	e.head(t, "ARC", "AcDbCircle")
	e.at(10, c)
	e.length(40, a.Radius())
	e.f.WriteString(100, "AcDbArc")
	e.angle(50, turn(a.From))
	e.angle(51, turn(a.To))
}

// filling writes HATCH: solid (2, 70), of so many boundaries (91), each a polyline (92 bit 2; bit 1 the outer one) with bulges
// (72), closed (73), of so many vertices (93), from no other entity (97); 75 by the even-odd rule, 98 no seed points. R12 has
// none: there its boundaries are closed lines.
func (e encoder) filling(t title, of []Path) {
	if e.release == R12 {
		for _, p := range of {
			e.polyline(t, p, 0)
		}
		return
	}
	e.head(t, "HATCH", "AcDbHatch")
	e.at(10, XY{})
	for i, v := range []float64{0, 0, 1} {
		e.f.WriteFloat(210+10*i, v)
	}
	e.f.WriteString(2, "SOLID")
	e.f.WriteInt(70, 1)
	e.f.WriteInt(71, 0)
	e.f.WriteInt(91, len(of))
	for i, p := range of {
		kind := 2
		if i == 0 {
			kind |= 1
		}
		e.f.WriteInt(92, kind)
		e.f.WriteInt(72, 1)
		e.f.WriteInt(73, 1)
		e.f.WriteInt(93, len(p.Vertices))
		for _, v := range p.Vertices {
			e.length(10, v.X)
			e.length(20, v.Y)
			e.bulge(42, v.Bulge)
		}
		e.f.WriteInt(97, 0)
	}
	e.f.WriteInt(75, 0)
	e.f.WriteInt(76, 1)
	e.f.WriteInt(98, 0)
}

// polyline writes LWPOLYLINE (90 number of vertices, 70 bit 1 closed, 128 dashes run on, 43 width, 10 and 20 and 42 bulge of each), which R12 has
// not: there it is POLYLINE (66 vertices follow, 70, 40 and 41 width) with VERTEX records (10, 42) and SEQEND.
func (e encoder) polyline(t title, p Path, width float64) {
	closed := 0
	if p.Closed {
		closed = 1
	}
	if t.runs {
		closed |= 128
	}
	if e.release == R12 {
		e.head(t, "POLYLINE", "")
		e.f.WriteInt(66, 1)
		e.at(10, XY{})
		e.f.WriteInt(70, closed)
		if width > 0 {
			e.length(40, width)
			e.length(41, width)
		}
	} else {
		e.head(t, "LWPOLYLINE", "AcDbPolyline")
		e.f.WriteInt(90, len(p.Vertices))
		e.f.WriteInt(70, closed)
		if width > 0 {
			e.length(43, width)
		}
	}
	for _, v := range p.Vertices {
		if e.release == R12 {
			e.head(t, "VERTEX", "")
			e.at(10, v.XY)
		} else {
			e.length(10, v.X)
			e.length(20, v.Y)
		}
		if v.Bulge != 0 {
			e.bulge(42, v.Bulge)
		}
	}
	if e.release == R12 {
		e.head(t, "SEQEND", "")
	}
}

// insert writes INSERT: 2 block, 10 where, 50 turned by; scales of 1 are not told.
func (e encoder) insert(t title, i Insert, block string) {
	e.head(t, "INSERT", "AcDbBlockReference")
	e.f.WriteString(2, block)
	e.at(10, i.At)
	if i.Turn != 0 {
		e.angle(50, i.Turn)
	}
}

// text writes TEXT, or MTEXT where there are several lines, or letters that differ or that are not as the style has them. R12 has no
// MTEXT: there each line is a TEXT, all its letters alike.
func (e encoder) text(t title, x Text) {
	lines := strings.Split(x.Text, "\n")
	plain := len(lines) == 1 && x.Font == e.fonts.of[x.Font.Style]
	if x.Block != nil {
		_, plain = switched(*x.Block, textWords)
	}
	switch {
	case plain || len(lines) == 1 && e.release == R12:
		e.oneLine(t, x)
	case e.release != R12:
		e.paragraph(t, x)
	default:
		// The anchor is that of the lines together; baselines are 5/3 of the height apart.
		n := float64(len(lines) - 1)
		first := map[VAlign]float64{Baseline: n, BottomLine: n, Middle: n / 2, TopLine: 0}[x.V]
		s, c := sincos(x.Angle)
		at := x.At
		for i, l := range lines {
			if strings.TrimSpace(l) == "" {
				continue
			}
			up := (first - float64(i)) * x.Height * 5 / 3
			x.Text, x.Block, x.At = l, nil, at.Add(XY{X: -s, Y: c}.Times(up))
			e.oneLine(t, x)
		}
	}
}

// textWords escapes characters of a TEXT.
func textWords(s string) string {
	return strings.NewReplacer("%%", "%%%%%%", "^", "^ ", "\n", " ").Replace(s)
}

// styleOf returns the name of a text's style.
func (e encoder) styleOf(x Text) string {
	return e.named(x.style())
}

// named returns the name that a style is written by.
func (e encoder) named(style string) string {
	if style == "" {
		return styleName
	}
	name, _ := e.styles.of(style)
	return name
}

// style returns what style the text's letters are of.
func (t Text) style() string {
	if t.Block != nil {
		for _, p := range t.Block.Paragraphs {
			if len(p.Runs) > 0 {
				return p.Runs[0].Font.Style
			}
		}
	}
	return t.Font.Style
}

// letterWidth is what a capital takes along its line, of its height: a guess.
const letterWidth = 0.9

// oneLine writes TEXT: 10 where it begins, 40 height, 1, 50 angle, 41 width factor, 7 style, 71 bit 2 backwards, 72 and 73
// how it is anchored at 11, 51 slant. Readers take 11 where 72 or 73 is not 0, and compute 10 with their own font. There are simple
// ones that take 10 all the same: for them the length of the text is guessed.
func (e encoder) oneLine(t title, x Text) {
	e.head(t, "TEXT", "AcDbText")
	h, v := int(x.H), int(x.V)
	if x.Span > 0 && h == 0 && v == 0 && !x.Mirror {
		h = 5 // fit between two points
	}
	first := x.At
	if h != 5 && !x.Mirror {
		s, c := sincos(x.Angle)
		back := letterWidth * x.Height * x.Width * float64(utf8.RuneCountInString(x.Text)) * float64(h) / 2
		down := x.Height * [...]float64{Baseline: 0, BottomLine: 0, Middle: 0.5, TopLine: 1}[x.V]
		first = first.Sub(XY{X: c, Y: s}.Times(back)).Sub(XY{X: -s, Y: c}.Times(down))
	}
	e.at(10, first)
	e.length(40, x.Height)
	says := textWords(x.Text)
	if x.Block != nil && e.release != R12 {
		if s, ok := switched(*x.Block, textWords); ok {
			says = s
		}
	}
	e.f.WriteString(1, e.words(says))
	if x.Angle != 0 {
		e.angle(50, x.Angle)
	}
	if x.Width != 1 {
		e.f.WriteFloat(41, x.Width)
	}
	if x.Slant != 0 {
		e.angle(51, x.Slant)
	}
	e.f.WriteString(7, e.styleOf(x))
	if x.Mirror {
		e.f.WriteInt(71, 2)
	}
	if h != 0 || v != 0 {
		e.f.WriteInt(72, h)
		second := x.At
		if h == 5 {
			s, c := sincos(x.Angle)
			second = x.At.Add(XY{X: c, Y: s}.Times(x.Span))
		}
		e.at(11, second)
	}
	e.f.WriteString(100, "AcDbText")
	if v != 0 && h != 5 {
		e.f.WriteInt(73, v)
	}
}

// paragraph writes MTEXT: 10 where, 40 height, 41 width to break lines at (0: none), 71 attachment, 72 direction, 3 and 1
// the text, 7 style, 50 angle, 44 and 73 spacing of lines, 75, 76, 48, 49 columns and 46 their heights, 210 the side that it reads from.
func (e encoder) paragraph(t title, x Text) {
	b := x.blockOf()
	e.head(t, "MTEXT", "AcDbMText")
	e.at(10, x.At)
	e.length(40, x.Height)
	wide := x.Width
	if !(wide > 0) {
		wide = 1
	}
	e.length(41, b.Width*x.Height*wide)
	// 1 to 9 from the top left row by row; the baseline of the last line is near its bottom.
	e.f.WriteInt(71, [...]int{Baseline: 7, BottomLine: 7, Middle: 4, TopLine: 1}[x.V]+int(x.H))
	e.f.WriteInt(72, 1)
	if x.Mirror { // its own coordinates are a mirror's, but for where it is
		x.Angle, x.Slant = -x.Angle, -x.Slant
	}
	s := e.words(x.inline(e.fonts.of[x.style()]))
	for len(s) > mtextPiece {
		n := mtextPiece
		for n > mtextPiece-4 && e.release.utf8() && s[n]&0xc0 == 0x80 { // not within a character
			n--
		}
		e.f.WriteString(3, s[:n])
		s = s[n:]
	}
	e.f.WriteString(1, s)
	e.f.WriteString(7, e.styleOf(x))
	if x.Mirror {
		for i, v := range []float64{0, 0, -1} {
			e.f.WriteFloat(210+10*i, v)
		}
	}
	if x.Angle != 0 {
		e.angle(50, x.Angle)
	}
	if b.Exact {
		e.f.WriteInt(73, 2)
	}
	if b.Spacing > 0 {
		e.f.WriteFloat(44, b.Spacing)
	}
	if c := b.Columns; c.Count > 1 {
		e.f.WriteInt(75, 1)
		e.f.WriteInt(76, c.Count)
		e.length(48, c.Width*x.Height*wide)
		e.length(49, c.Gutter*x.Height*wide)
		for _, h := range c.Heights {
			e.length(46, h*x.Height)
		}
	}
}

// mtextPiece is the most bytes that one group of an MTEXT holds (DXF Reference, MTEXT group 3).
const mtextPiece = 250
