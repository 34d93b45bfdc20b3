// Package pdf turns our own SVG drawings into a PDF of the same size, a page each, so that a print lies on the real thing.
//
// In go documents as export/internal/svg writes them, in millimetres: groups with translate and scale, paths of lines and
// circular arcs, rectangles, circles, and letters by use. Out comes PDF 1.7 (ISO 32000-1): the same lines in black and
// colour, no fonts, no pictures, no random identity, and a date only if one is given. Arcs become cubic curves within
// 0.03 % of their radius. The viewer is asked not to scale when it prints. What an SVG may hold beyond that is refused by a
// panic that carries the package's name: the drawings are ours.
//
// canvas, which this project draws with elsewhere, stamps every PDF with the clock; fpdf does too. Hence this package.
package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Document is what the file says about itself.
type Document struct {
	Title   string
	Version string    // of Lampblack
	Date    time.Time // zero: none
}

// point is a millimetre in PDF units of 1/72 inch.
const point = 72 / 25.4

// Write returns a PDF with a page for each SVG document.
func Write(doc Document, pages ...[]byte) []byte {
	w := &file{}
	w.buf.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	// Objects by number: 1 catalogue, 2 page tree, 3 information, then page and content in turn.
	kids := make([]string, len(pages))
	for i := range pages {
		kids[i] = fmt.Sprintf("%d 0 R", 4+2*i)
	}
	w.object("<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None /PickTrayByPDFSize true >> >>")
	w.object(fmt.Sprintf("<< /Type /Pages /Count %d /Kids [%s] >>", len(pages), strings.Join(kids, " ")))
	info := "<< /Title " + text(doc.Title) + " /Creator " + text("Lampblack "+doc.Version)
	if !doc.Date.IsZero() {
		info += " /CreationDate " + text(doc.Date.UTC().Format("D:20060102150405Z"))
	}
	w.object(info + " >>")
	for i, src := range pages {
		wide, high, content := render(src)
		w.object(fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %s %s] /Resources << >> /Contents %d 0 R >>",
			num(wide*point), num(high*point), 5+2*i))
		w.stream(content)
	}
	return w.end()
}

// file collects numbered objects.
type file struct {
	buf   bytes.Buffer
	begin []int
}

func (w *file) open() {
	w.begin = append(w.begin, w.buf.Len())
	fmt.Fprintf(&w.buf, "%d 0 obj\n", len(w.begin))
}

func (w *file) object(s string) {
	w.open()
	w.buf.WriteString(s + "\nendobj\n")
}

func (w *file) stream(content []byte) {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, err := z.Write(content)
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		panic("export/internal/pdf: " + err.Error()) // a bytes.Buffer never fails
	}
	w.open()
	fmt.Fprintf(&w.buf, "<< /Length %d /Filter /FlateDecode >>\nstream\n", packed.Len())
	w.buf.Write(packed.Bytes())
	w.buf.WriteString("\nendstream\nendobj\n")
}

func (w *file) end() []byte {
	at := w.buf.Len()
	fmt.Fprintf(&w.buf, "xref\n0 %d\n0000000000 65535 f \n", len(w.begin)+1)
	for _, b := range w.begin {
		fmt.Fprintf(&w.buf, "%010d 00000 n \n", b)
	}
	fmt.Fprintf(&w.buf, "trailer\n<< /Size %d /Root 1 0 R /Info 3 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(w.begin)+1, at)
	return w.buf.Bytes()
}

// text returns a string object: as UTF-16 with its mark, in hexadecimal, where it is more than plain ASCII.
func text(s string) string {
	plain := true
	for _, r := range s {
		plain = plain && r >= ' ' && r <= '~'
	}
	if plain {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, r := range s {
		if r > 0xffff {
			r -= 0x10000
			fmt.Fprintf(&b, "%04X%04X", 0xd800+r>>10, 0xdc00+r&0x3ff)
			continue
		}
		fmt.Fprintf(&b, "%04X", r)
	}
	return b.String() + ">"
}

// num writes a number with at most five decimals; PDF knows no exponents.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 5, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
