// Package pdf writes scenes as PDF, a page each at true size, so that a print lies on the real thing.
//
// The file is made by codeberg.org/go-pdf/fpdf: its structure, its page sizes, what it says about itself, compression. The
// content of a page is written here, in millimetres: fpdf rounds the ends of lines to a hundredth of a point, 3.5 µm,
// and has no circular arcs in paths. Arcs become cubic curves within 0.03 % of their radius. Letters are outlines; over them
// lies the same text, invisible, in a font that every reader has, so that it can be found and read aloud.
//
// The same scene gives the same bytes: objects are sorted, and there is no identity. fpdf stamps a date always; where none
// is given it is blanked, since a file must not claim a day that nobody gave.
package pdf

import (
	"bytes"
	"fmt"
	"strings"
	"time"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"

	"lampblack/export/scene"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Document is what the file says about itself.
type Document struct {
	Title   string
	Version string    // of Lampblack
	Date    time.Time // zero: none
}

// undated is the date that fpdf is given, and that is blanked, where there is none.
func undated() time.Time { return time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC) }

// Encode returns a PDF with the pages. It asks not to be scaled when it is printed. It looks at the watch before each item.
func Encode(w *work.Watch, doc Document, pages ...scene.Page) []byte {
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 210, Ht: 297}})
	f.SetCatalogSort(true)
	f.SetCompression(true)
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.SetTitle(utf16be(doc.Title), false)
	f.SetCreator(utf16be(strings.TrimSpace("Lampblack "+doc.Version)), false)
	date := doc.Date.UTC()
	if doc.Date.IsZero() {
		date = undated()
	}
	f.SetCreationDate(date)
	f.SetModificationDate(date)
	ansi := f.UnicodeTranslatorFromDescriptor("") // ANSI 1252, which the fonts of every reader have
	for _, p := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: p.W.MM(), Ht: p.H.MM()})
		c := content{watch: w, f: f, step: p.Precision()}
		// Millimetres with Y down: ISO 32000-1, 8.3.2.3, has 1/72 inch and Y up.
		c.write("q\n")
		c.op("cm", point, 0, 0, -point, 0, p.H.MM()*point)
		c.group(&p.Body)
		c.write("Q\n")
		w.Look()
		c.flush()
		w.Look()
		words(w, f, ansi, &p.Body)
	}
	w.Look()
	var out bytes.Buffer
	work.Aside(w, func() { // packing a large page
		if err := f.Output(&out); err != nil {
			panic("export/scene/pdf: " + err.Error()) // writing to memory cannot fail, and no call above has a choice
		}
	})
	return settled(out.Bytes(), doc.Date.IsZero())
}

// point is a millimetre in PDF units of 1/72 inch.
const point = 72 / geom.InchMM

// settled puts into the places that fpdf left what it has no call for: the wish not to be scaled takes the place of the empty
// table of names, and dates that nobody gave become blanks. All places keep their lengths, so that the file's own table of
// places stays right.
func settled(src []byte, undate bool) []byte {
	names := []byte("/Names <<\n/EmbeddedFiles << /Names [\n  \n] >>\n>>")
	replace(src, names, []byte("/ViewerPreferences << /PrintScaling /None >>"))
	if undate {
		day := undated().Format("20060102150405")
		for _, key := range []string{"CreationDate", "ModDate"} {
			replace(src, fmt.Appendf(nil, "/%s (D:%s)", key, day), nil)
		}
	}
	return src
}

// replace overwrites the last occurrence of old with text and blanks.
func replace(src, old, text []byte) {
	i := bytes.LastIndex(src, old)
	if i < 0 || len(text) > len(old) {
		panic(fmt.Sprintf("export/scene/pdf: no room for %q", text))
	}
	n := copy(src[i:], text)
	copy(src[i+n:], bytes.Repeat([]byte(" "), len(old)-n))
}

// utf16be returns a text as the strings of a PDF have it beyond plain ASCII (ISO 32000-1, 7.9.2.2); fpdf's own way there goes
// wrong beyond U+FFFF.
func utf16be(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) < 0 {
		return s
	}
	out := []byte{0xfe, 0xff}
	for _, u := range utf16.Encode([]rune(s)) {
		out = append(out, byte(u>>8), byte(u))
	}
	return string(out)
}
