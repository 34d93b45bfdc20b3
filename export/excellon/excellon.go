// Package excellon writes drill files in XNC, the open and strict subset of the Excellon family.
//
// In goes an export.Artwork in the panel frame, in whole nanometres; out come bytes in millimetres with explicit decimal
// points, exact to the nanometre. The files keep to the XNC Format Specification, revision 2021.11: header with tools,
// attributes in comments as in Gerber files, drilled hits, slots by routing. Plated and unplated holes are two files.
//
// Tools go by diameter; the hits of a tool go in an order with a short travel (see order.go). The same artwork and Meta
// give the same bytes; a date is written only if Meta has one. More than 99 tools are more than XNC has numbers for:
// export.Limits finds that before anything is written.
package excellon

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"lampblack/export"
	"lampblack/panel/geom"
)

// Meta is what a file says about itself beyond its holes.
type Meta struct {
	Project  string    // name of the console; as the Gerber files have it, or the files belong apart
	Revision string    // of the board; "1" when empty
	Version  string    // of Lampblack; "dev" when empty
	Date     time.Time // zero: the files carry no date
}

// Drill returns drill i of a as an XNC file.
func Drill(a export.Artwork, i int, m Meta) []byte {
	d := a.Drills[i]
	w := &writer{}
	w.header(a, d, m)
	tools, at, standing := sorted(d.Tools), geom.Pt{}, -1
	use := func(t int) {
		if t != standing {
			w.line(toolName(d, t))
			standing = t
		}
	}
	for _, t := range tools {
		for _, p := range Ordered(hitsOf(d, t), at) {
			use(t)
			w.point(p)
			w.line("")
			at = p
		}
	}
	// Slots go last: some readers do not come back from routing to drilling.
	for _, t := range tools {
		for _, s := range slotsOf(d, t) {
			use(t)
			w.slot(s.Path)
		}
	}
	w.line("M30")
	return w.buf
}

type writer struct{ buf []byte }

func (w *writer) line(s string) { w.buf = append(append(w.buf, s...), '\n') }

func (w *writer) header(a export.Artwork, d export.Drill, m Meta) {
	version, revision := m.Version, m.Revision
	if revision == "" {
		revision = "1"
	}
	if version == "" {
		version = "dev"
	}
	w.line("M48")
	w.line("; #@! TF.GenerationSoftware,Lampblack,lampblack," + text(version))
	if !m.Date.IsZero() {
		w.line("; #@! TF.CreationDate," + m.Date.Format("2006-01-02T15:04:05-07:00"))
	}
	id := export.Identity(a, m.Project, revision)
	w.line("; #@! TF.ProjectId," + text(a.Name) + "," + id + "," + text(revision))
	w.line("; #@! TF.Part," + a.Part())
	w.line("; #@! TF.SameCoordinates," + id)
	w.line("; #@! TF.FileFunction," + d.FileFunction())
	w.line("; #@! TF.FilePolarity,Positive")
	w.line("METRIC")
	for _, t := range sorted(d.Tools) {
		w.line("; #@! TA.AperFunction," + d.Tools[t].Function)
		w.buf = append(append(w.buf, toolName(d, t)...), 'C')
		w.buf = appendMM(w.buf, d.Tools[t].D)
		w.line("")
	}
	w.line("%")
	w.line("G05")
}

// slot routes along the path.
func (w *writer) slot(path geom.Polyline) {
	w.buf = append(w.buf, "G00"...)
	w.point(path[0])
	w.line("\nM15")
	for _, p := range path[1:] {
		w.buf = append(w.buf, "G01"...)
		w.point(p)
		w.line("")
	}
	w.line("M16\nG05")
}

func (w *writer) point(p geom.Pt) {
	w.buf = appendMM(append(w.buf, 'X'), p.X)
	w.buf = appendMM(append(w.buf, 'Y'), p.Y)
}

// sorted returns the indices of the tools by diameter, then function.
func sorted(tools []export.Tool) []int {
	out := make([]int, len(tools))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Or(cmp.Compare(tools[a].D, tools[b].D), cmp.Compare(tools[a].Function, tools[b].Function))
	})
	return out
}

// toolName numbers the tools from 1 in sorted order, with two digits.
func toolName(d export.Drill, tool int) string {
	return fmt.Sprintf("T%02d", slices.Index(sorted(d.Tools), tool)+1)
}

func hitsOf(d export.Drill, tool int) []geom.Pt {
	var out []geom.Pt
	for _, h := range d.Hits {
		if h.Tool == tool {
			out = append(out, h.At)
		}
	}
	return out
}

func slotsOf(d export.Drill, tool int) []export.Slot {
	var out []export.Slot
	for _, s := range d.Slots {
		if s.Tool == tool && len(s.Path) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// text keeps a user's text on its line.
func text(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' || r == ',' {
			return '_'
		}
		return r
	}, s)
}

// appendMM appends a length in mm with three to six decimals, as many as it needs.
func appendMM(b []byte, v geom.Nm) []byte {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	b = append(strconv.AppendInt(b, int64(v/geom.Millimetre), 10), '.')
	frac, digit := int64(v%geom.Millimetre), int64(100_000)
	for n := 0; n < 3 || frac > 0; n++ {
		b = append(b, '0'+byte(frac/digit))
		frac %= digit
		digit /= 10
	}
	return b
}
