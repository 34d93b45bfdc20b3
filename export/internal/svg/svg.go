// Package svg writes geometry as SVG in millimetres: what export/sheet and export/picture share.
//
// A Frame maps the panel frame (Y up) to the page (Y down, origin at the upper left of a box), and mirrors it left to
// right where a thing is seen from behind. Lines and arcs stay lines and arcs. Numbers are written with up to four
// decimals (0.1 µm), so that the same geometry is always the same text.
package svg

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/panel/geom"
)

// Frame maps the panel frame to the page.
type Frame struct {
	Box    geom.Box // what is shown; its upper left corner (upper right when mirrored) is the page's origin
	Mirror bool     // seen from behind
	Digits int      // decimals written; 0 means 4
}

// W and H are the size of the page.
func (f Frame) W() geom.Nm { return f.Box.W() }
func (f Frame) H() geom.Nm { return f.Box.H() }

// XY returns the place of p on the page.
func (f Frame) XY(p geom.Pt) (x, y geom.Nm) {
	if f.Mirror {
		return f.Box.Max.X - p.X, f.Box.Max.Y - p.Y
	}
	return p.X - f.Box.Min.X, f.Box.Max.Y - p.Y
}

// Num writes a length in mm.
func (f Frame) Num(v geom.Nm) string {
	digits := f.Digits
	if digits == 0 {
		digits = 4
	}
	return Num(v, digits)
}

// Num writes a length in mm with up to so many decimals, half away from zero, without trailing zeros. Exact.
func Num(v geom.Nm, digits int) string {
	unit := geom.Nm(1)
	for range 6 - min(digits, 6) {
		unit *= 10
	}
	neg := v < 0
	if neg {
		v = -v
	}
	v = (v + unit/2) / unit * unit
	if v == 0 {
		return "0"
	}
	whole, frac := v/geom.Millimetre, v%geom.Millimetre
	s := strconv.FormatInt(int64(whole), 10)
	if frac != 0 {
		s += "." + strings.TrimRight(fmt.Sprintf("%06d", frac), "0")
	}
	if neg {
		return "-" + s
	}
	return s
}

func (f Frame) pair(p geom.Pt) string {
	x, y := f.XY(p)
	return f.Num(x) + " " + f.Num(y)
}

// Path returns path data of closed contours.
func (f Frame) Path(contours ...geom.Contour) string {
	var s strings.Builder
	for _, c := range contours {
		if len(c) == 0 {
			continue
		}
		s.WriteString("M" + f.pair(c[0].Pt))
		for i, e := range c.Edges() {
			if i == len(c)-1 && e.Straight() {
				break
			}
			f.edge(&s, e)
		}
		s.WriteString("Z")
	}
	return s.String()
}

// Open returns path data of an open line: the last vertex is its end.
func (f Frame) Open(c geom.Contour) string {
	if len(c) == 0 {
		return ""
	}
	var s strings.Builder
	s.WriteString("M" + f.pair(c[0].Pt))
	for _, e := range c.Edges()[:len(c)-1] {
		f.edge(&s, e)
	}
	return s.String()
}

func (f Frame) edge(s *strings.Builder, e geom.Arc) {
	if e.Straight() {
		s.WriteString("L" + f.pair(e.To))
		return
	}
	// A page has Y down, so what turns counter-clockwise on the panel has sweep flag 0, unless it is seen from behind.
	large, sweep := "0", "0"
	if math.Abs(e.Bulge) > 1 {
		large = "1"
	}
	if (e.Bulge < 0) != f.Mirror {
		sweep = "1"
	}
	r := f.Num(geom.Nm(math.Round(e.Radius())))
	s.WriteString("A" + r + " " + r + " 0 " + large + " " + sweep + " " + f.pair(e.To))
}

// Rings returns path data of closed polygons.
func (f Frame) Rings(rings ...geom.Ring) string {
	var s strings.Builder
	for _, r := range rings {
		if len(r) < 3 {
			continue
		}
		f.points(&s, r)
		s.WriteString("Z")
	}
	return s.String()
}

// Region returns path data of a region; fill it by the even-odd or the non-zero rule alike.
func (f Frame) Region(g geom.Region) string { return f.Rings(g.Rings()...) }

// Line returns path data of an open line of straight pieces.
func (f Frame) Line(l geom.Polyline) string {
	var s strings.Builder
	f.points(&s, l)
	if len(l) == 1 {
		s.WriteString("h0")
	}
	return s.String()
}

// points writes a run of points, relative to the one before where it is written: short, and the error does not grow,
// because each step starts from the rounded place of the last.
func (f Frame) points(s *strings.Builder, pts []geom.Pt) {
	digits := f.Digits
	if digits == 0 {
		digits = 4
	}
	unit := geom.Nm(1)
	for range 6 - min(digits, 6) {
		unit *= 10
	}
	round := func(v geom.Nm) geom.Nm {
		if v < 0 {
			return -((-v + unit/2) / unit * unit)
		}
		return (v + unit/2) / unit * unit
	}
	var lastX, lastY geom.Nm
	steps := false // once the command for them is written
	for i, p := range pts {
		x, y := f.XY(p)
		x, y = round(x), round(y)
		switch {
		case i == 0:
			s.WriteString("M" + f.Num(x) + " " + f.Num(y))
		case x == lastX && y == lastY:
			continue
		default:
			if !steps {
				s.WriteString("l")
				steps = true
			} else {
				s.WriteString(" ")
			}
			s.WriteString(f.Num(x-lastX) + " " + f.Num(y-lastY))
		}
		lastX, lastY = x, y
	}
}

// Writer collects the elements of one document.
type Writer struct {
	buf   bytes.Buffer
	depth int
}

// Start opens the document: w by h mm, one user unit is one millimetre.
func (w *Writer) Start(width, height geom.Nm, title, desc string) {
	wd, ht := Num(width, 4), Num(height, 4)
	w.buf.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
	w.Open("svg", "xmlns", "http://www.w3.org/2000/svg", "width", wd+"mm", "height", ht+"mm", "viewBox", "0 0 "+wd+" "+ht)
	w.Text("title", title)
	if desc != "" {
		w.Text("desc", desc)
	}
}

// End closes the document and returns it.
func (w *Writer) End() []byte {
	w.Close("svg")
	return w.buf.Bytes()
}

// Open starts an element; attrs are names and values in turn.
func (w *Writer) Open(name string, attrs ...string) {
	w.tag(name, ">", attrs)
	w.depth++
}

// Close ends an element.
func (w *Writer) Close(name string) {
	w.depth--
	w.indent()
	w.buf.WriteString("</" + name + ">\n")
}

// Empty writes an element without content.
func (w *Writer) Empty(name string, attrs ...string) { w.tag(name, "/>", attrs) }

// Text writes an element that holds nothing but text.
func (w *Writer) Text(name, content string, attrs ...string) {
	w.indent()
	w.buf.WriteString("<" + name)
	w.attrs(attrs)
	w.buf.WriteString(">" + escape(content) + "</" + name + ">\n")
}

func (w *Writer) tag(name, end string, attrs []string) {
	w.indent()
	w.buf.WriteString("<" + name)
	w.attrs(attrs)
	w.buf.WriteString(end + "\n")
}

// attrs writes names and values; a pair with an empty value is left out.
func (w *Writer) attrs(attrs []string) {
	for i := 0; i+1 < len(attrs); i += 2 {
		if attrs[i+1] != "" {
			w.buf.WriteString(" " + attrs[i] + `="` + escape(attrs[i+1]) + `"`)
		}
	}
}

func (w *Writer) indent() { w.buf.WriteString(strings.Repeat(" ", w.depth)) }

// escape makes text safe in content and attributes, and drops what XML 1.0 does not allow.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '&':
			b.WriteString("&amp;")
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '"':
			b.WriteString("&quot;")
		case r < ' ' && r != '\n' && r != '\t', r == 0xfffe, r == 0xffff:
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
