package report

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"net/url"
	"path"
	"strings"

	"lampblack/export/paper"
	"lampblack/export/table"
	"lampblack/panel/work"
)

// Console is all that report.html tells. Texts are plain, numbers are written out with as many decimals as shall be seen,
// and paths are those below the output folder, with slashes.
type Console struct {
	Name, Revision, Date string // empty: not told
	Version              string // of Lampblack
	Summary              string // how much was built: "6 of 6 panels built, 228 LEDs"
	Verdict              Verdict
	Findings             []Finding // gravest first
	Picture, Wiring      Picture
	Supply               []table.Table // the supply, what hangs on it, and the chains
	Bright               []table.Table // how bright the lettering is, and its dimmers
	Panels               []Panel
	Unbuilt              []Unbuilt
	Arrays               []Array
	Nests                Nests
	Lists                []table.Table // parts and boards of the whole console
	Cost                 []table.Table // what it costs, and how long the work takes
	Priced               table.Table   // every line of that; without rows: no prices are told
	Files                []File        // of the whole console
}

// Verdict is what the supply is worth: a word and one sentence.
type Verdict struct{ Word, Sentence string }

// Finding is one finding.
type Finding struct {
	Severity string // "error", "warning" or "note"
	Code     string
	Panel    string // empty: the console
	Place    string // empty: none
	Text     string
	Advice   string
	Related  []string // other places that explain it
	Places   []Place  // of one that tells of several: each
	Number   int      // that stands at its places on the panel's picture; 0: nowhere
}

// Place is one of several places of a finding.
type Place struct {
	Text, Place, Advice string
	Related             []string
}

// shown is how many places of a finding stand open.
const shown = 4

// First returns the places that stand open.
func (f Finding) First() []Place { return f.Places[:min(shown, len(f.Places))] }

// Rest returns those that are folded away.
func (f Finding) Rest() []Place { return f.Places[min(shown, len(f.Places)):] }

// Picture is a picture file that stands in the page. Without data there is none.
type Picture struct {
	Path    string // its ending, .svg or .png, says what it is
	Data    []byte
	Alt     string // what it shows, for those who do not see it
	Caption string
	Inside  bool // it stands in the page alone, there is no such file
}

// Nests is the panels' sheets on stock.
type Nests struct {
	Table   table.Table // without rows: there is no stock
	Picture Picture
	Files   []File
}

// Fact is a name and a value; Aside says more about it, in small letters.
type Fact struct{ Name, Value, Aside string }

// Panel is one panel that was built.
type Panel struct {
	Name, Drawing string
	Glow          Picture
	Marked        Picture // where its findings are
	Boards        []Picture
	Sheets        []Picture // laser sheets and the map of the light, shown small
	Facts         []Fact
	Tables        []table.Table
	Files         []File // what to order, cut and solder from
	Pack          []File // what the zip for the board house holds
}

// Unbuilt is a panel that was not built, and why.
type Unbuilt struct {
	Name, Drawing, Reason, Advice string
	Marked                        Picture   // where its findings are
	Open                          []Picture // its boards with nets that stay open
}

// Array is several boards on one manufacturing panel.
type Array struct {
	Name    string
	Facts   []Fact
	Picture Picture
	Files   []File
	Pack    []File
}

// File is a file below the output folder and what it is.
type File struct{ Path, What string }

// Link is the file's address from the page's own folder.
func (f File) Link() string { return address(f.Path) }

// Name is the file's name without its folders.
func (f File) Name() string { return path.Base(f.Path) }

// Link is the picture file's address from the page's own folder.
func (p Picture) Link() string { return address(p.Path) }

// address makes a path below the page's folder an address: whatever its names hold, it is no other host's.
func address(p string) string {
	if strings.HasPrefix(p, "/") {
		p = "." + p
	}
	return (&url.URL{Path: p}).String()
}

// source writes the picture's bytes as the img's src attribute. Each picture stands in an img of its own and not inline, so that
// the ids in one SVG do not meet those in another.
func (p Picture) source(w *work.Watch, b *bytes.Buffer) {
	b.WriteString(`src="data:image/`)
	if path.Ext(p.Path) == ".svg" {
		b.WriteString("svg+xml,")
		escape(w, b, p.Data)
	} else {
		b.WriteString("png;base64,")
		base64To(w, b, p.Data)
	}
	b.WriteString(`"`)
}

// Cautions is what the builder must mind.
func (c Console) Cautions() []string { return Cautions() }

// HTML returns report.html: one page that needs no network, no script and no other file to be read. Its links lead to the
// files beside it. Texts of the user's are escaped by where they stand.
func HTML(w *work.Watch, c Console) []byte {
	return rendered(w, pageTemplate, struct {
		Console
		Style template.CSS
	}{c, paper.Edges(c.Name, c.Revision, c.Date) + pageStyle})
}

// rendered fills a page's template.
func rendered(w *work.Watch, page string, with any) []byte {
	// The bytes of pictures, most of the page, are put in after the template has run, which would copy them several times. The
	// marks for them cannot be in a text, since the template writes no text's quotes as such.
	var pictures []Picture
	mark := func(i int) string { return fmt.Sprintf(`src="picture:%d"`, i) }
	source := func(p Picture) template.HTMLAttr {
		pictures = append(pictures, p)
		return template.HTMLAttr(mark(len(pictures) - 1))
	}
	t := template.Must(template.New("page").Funcs(template.FuncMap{"class": paper.Class, "short": onePage, "source": source}).Parse(page + sharedTemplate))
	var b bytes.Buffer
	if err := t.Execute(&b, with); err != nil {
		panic("report: page: " + err.Error()) // the template is ours and its values are plain
	}
	w.Look()
	rest := bytes.ToValidUTF8(b.Bytes(), []byte("\uFFFD"))
	size := len(rest)
	for _, p := range pictures {
		size += max(base64.StdEncoding.EncodedLen(len(p.Data)), len(p.Data)+len(p.Data)/8)
	}
	out := bytes.NewBuffer(make([]byte, 0, size))
	for i, p := range pictures {
		before, after, _ := bytes.Cut(rest, []byte(mark(i)))
		out.Write(before)
		p.source(w, out)
		rest = after
	}
	out.Write(rest)
	return out.Bytes()
}

// onePage reports whether a table is printed on one page, with its caption: longer ones may be parted.
func onePage(rows [][]string) bool { return len(rows) <= 16 }
