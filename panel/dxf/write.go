package dxf

import (
	"bytes"
	"fmt"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/yofu/dxf/color"
	"github.com/yofu/dxf/drawing"
	"github.com/yofu/dxf/entity"
	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/insunit"
	"github.com/yofu/dxf/table"
	"golang.org/x/text/encoding/charmap"
)

// library is held while github.com/yofu/dxf works: its drawings share default layers and styles, which it numbers
// anew each time.
var library sync.Mutex

// Write returns the drawing as an ASCII DXF file of release 2000 (AC1015) in millimetres: circles as CIRCLE, other
// paths as LWPOLYLINE with bulges, straight ones of two points as LINE, texts as TEXT, or MTEXT when they have several
// lines. Read gives the same drawing back, but for types, handles and fillings, which become closed lines. Numbers have
// 16 decimals, as the reader's float64 need them.
//
// The structure of the file, layers and CIRCLE and LINE are the library's; LWPOLYLINE and texts are our own, since the
// library's polylines have no bulge and its texts lack the anchor (11, 21) unless both alignments are set.
func Write(d Drawing) ([]byte, error) {
	library.Lock()
	defer library.Unlock()
	w := drawing.New()
	w.Header().InsUnit = insunit.Millimeters
	layers := map[string]*table.Layer{}
	for _, l := range writtenLayers(d) {
		if l == "0" {
			continue
		}
		// White is drawn in the colour that shows: layers tell things apart, colours are for the user to give.
		made, err := w.AddLayer(l, color.White, table.LT_CONTINUOUS, false)
		if err != nil {
			return nil, fmt.Errorf("layer %s: %w", l, err)
		}
		layers[l] = made
	}
	for i := range d.Entities {
		e := &d.Entities[i]
		made := entityOf(e)
		if made == nil {
			continue
		}
		if l, ok := layers[layerToWrite(e.Layer)]; ok {
			made.SetLayer(l)
		}
		w.AddEntity(made)
	}
	if b := d.Extents(); !b.Empty() {
		h := w.Header()
		h.ExtMin, h.ExtMax = []float64{b.Min.X, b.Min.Y, 0}, []float64{b.Max.X, b.Max.Y, 0}
	}
	var out bytes.Buffer
	if _, err := w.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("writing DXF: %w", err)
	}
	return out.Bytes(), nil
}

// writtenLayers lists the layers of the drawing's things and of its table, each once whatever its case, in order.
func writtenLayers(d Drawing) []string {
	var out []string
	seen := map[string]bool{}
	add := func(name string) {
		name = layerToWrite(name)
		if !seen[strings.ToUpper(name)] {
			seen[strings.ToUpper(name)] = true
			out = append(out, name)
		}
	}
	for _, l := range d.Layers {
		add(l.Name)
	}
	for i := range d.Entities {
		add(d.Entities[i].Layer)
	}
	return out
}

// layerToWrite returns a layer's name without the characters that DXF forbids in names (DXF Reference, "Symbol table
// names").
func layerToWrite(name string) string {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune("<>/\\\":;?*|,=`", r) || r < ' ' {
			return '_'
		}
		return r
	}, strings.TrimSpace(name))
	if name == "" {
		return "0"
	}
	return ansi(name)
}

// entityOf returns the library's entity, nil for what has no size.
func entityOf(e *Entity) entity.Entity {
	if e.Text != nil {
		return &written{entity.NewText(), func(w *written, f format.Formatter) { w.text(f, e.Text) }}
	}
	p := e.Path
	n := len(p.Vertices)
	if n < 2 {
		return nil
	}
	if p.Closed && n == 2 {
		if a, b := p.Vertices[0], p.Vertices[1]; a.Bulge == b.Bulge && (a.Bulge == 1 || a.Bulge == -1) {
			c := entity.NewCircle()
			c.Center = []float64{a.X + (b.X-a.X)/2, a.Y + (b.Y-a.Y)/2, 0}
			c.Radius = a.Dist(b.XY) / 2
			return c
		}
	}
	if !p.Closed && n == 2 && p.Vertices[0].Bulge == 0 {
		l := entity.NewLine()
		l.Start, l.End = []float64{p.Vertices[0].X, p.Vertices[0].Y, 0}, []float64{p.Vertices[1].X, p.Vertices[1].Y, 0}
		return l
	}
	return &written{entity.NewText(), func(w *written, f format.Formatter) { w.polyline(f, p) }}
}

// written is an entity that we format ourselves; the library numbers it and keeps its layer.
type written struct {
	*entity.Text
	as func(*written, format.Formatter)
}

// Format writes the entity, for the library.
func (w *written) Format(f format.Formatter) { w.as(w, f) }

func (w *written) head(f format.Formatter, typ, class string) {
	f.WriteString(0, typ)
	f.WriteHex(5, w.Handle())
	f.WriteString(100, "AcDbEntity")
	f.WriteString(8, w.Layer().Name())
	f.WriteString(100, class)
}

// polyline writes LWPOLYLINE (DXF Reference, LWPOLYLINE).
func (w *written) polyline(f format.Formatter, p Path) {
	w.head(f, "LWPOLYLINE", "AcDbPolyline")
	f.WriteInt(90, len(p.Vertices))
	closed := 0
	if p.Closed {
		closed = 1
	}
	f.WriteInt(70, closed)
	for _, v := range p.Vertices {
		f.WriteFloat(10, v.X)
		f.WriteFloat(20, v.Y)
		if v.Bulge != 0 {
			f.WriteFloat(42, v.Bulge)
		}
	}
}

// text writes TEXT, or MTEXT where there are several lines (DXF Reference, TEXT and MTEXT).
func (w *written) text(f format.Formatter, t *Text) {
	at := func(code int, p XY) {
		f.WriteFloat(code, p.X)
		f.WriteFloat(code+10, p.Y)
		f.WriteFloat(code+20, 0)
	}
	if strings.Contains(t.Text, "\n") && !t.Mirror {
		w.head(f, "MTEXT", "AcDbMText")
		at(10, t.At)
		f.WriteFloat(40, t.Height)
		f.WriteFloat(41, 0) // no width to break lines at
		// 1 to 9 from the top left row by row; the baseline of the first line is near its bottom.
		f.WriteInt(71, [...]int{Baseline: 7, BottomLine: 7, Middle: 4, TopLine: 1}[t.V]+int(t.H))
		f.WriteInt(72, 1)
		s := strings.NewReplacer(`\`, `\\`, "{", `\{`, "}", `\}`, "^", "^ ", "\n", `\P`).Replace(t.Text)
		if t.Width != 1 {
			s = fmt.Sprintf(`{\W%.9g;%s}`, t.Width, s)
		}
		s = ansi(s)
		for len(s) > 250 { // in pieces of at most 250 bytes; the last goes into 1
			f.WriteString(3, s[:250])
			s = s[250:]
		}
		f.WriteString(1, s)
		f.WriteFloat(50, t.Angle/deg)
		return
	}
	w.head(f, "TEXT", "AcDbText")
	h, v := int(t.H), int(t.V)
	first := t.At
	if t.Span > 0 && h == 0 && v == 0 && !t.Mirror {
		h = 5 // fit between two points
	}
	at(10, first)
	f.WriteFloat(40, t.Height)
	s := strings.NewReplacer("%%", "%%%%%%", "^", "^ ", "\n", " ").Replace(t.Text)
	f.WriteString(1, ansi(s))
	f.WriteFloat(50, t.Angle/deg)
	f.WriteFloat(41, t.Width)
	f.WriteString(7, table.ST_STANDARD.Name())
	if t.Mirror {
		f.WriteInt(71, 2)
	}
	if h != 0 || v != 0 {
		f.WriteInt(72, h)
		if h == 5 {
			s, c := sincos(t.Angle)
			at(11, t.At.Add(XY{c, s}.Times(t.Span)))
		} else {
			at(11, t.At)
		}
	}
	f.WriteString(100, "AcDbText")
	if v != 0 && h != 5 {
		f.WriteInt(73, v)
	}
}

// ansi writes what an R2000 file without a code page can hold: the characters of ANSI_1252 as single bytes, which is
// what readers assume, others as \U+nnnn. Those beyond four digits have no such form and become a question mark.
func ansi(s string) string {
	var b strings.Builder
	for _, r := range s {
		c, single := charmap.Windows1252.EncodeRune(r)
		switch {
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		case r < 0x7f:
			b.WriteRune(r)
		case single:
			b.WriteByte(c)
		case r <= 0xffff:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	out := b.String()
	if !utf8.ValidString(out) || len(out) == utf8.RuneCountInString(out) {
		return out
	}
	// Bytes that happen to be UTF-8 would be read as such.
	return escaped(s)
}

func escaped(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		case r < 0x7f:
			b.WriteRune(r)
		case r <= 0xffff:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}
