// Package diag describes what the user must know: findings.
//
// A stage collects findings in a List while it works, and the caller asks Err or HasErrors whether to go on.
// A finding is about the user's drawing, project or board; a failed file or machine is an error, and a broken
// invariant of ours a panic. Findings know nothing of terminals or JSON: cmd/lampblack/internal/term prints them.
package diag

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Severity says how much a finding weighs.
type Severity uint8

const (
	Note    Severity = iota // something was decided, skipped or healed
	Warning                 // it will work, but the user should look
	Error                   // this panel, or the project, is not built
)

// String returns the severity's name as result.json has it: "note", "warning" or "error".
func (s Severity) String() string {
	switch s {
	case Note:
		return "note"
	case Warning:
		return "warning"
	case Error:
		return "error"
	}
	return fmt.Sprintf("severity(%d)", s)
}

// Point is a position in millimetres: the drawing's frame once a finding reaches the user, the panel's frame
// before (see List.Shifted).
type Point struct{ X, Y float64 }

// Place is where a finding points. Every field may be empty.
type Place struct {
	File   string // the drawing or project file, as the user named it
	Line   int    // from 1; 0 when unknown
	Column int    // from 1; 0 when unknown
	Source string // the line itself, for a caret under Column
	Layer  string // DXF layer
	Handle string // DXF handle of the entity
	At     *Point // position on the drawing
}

// Mark is where a picture shows a finding's places.
type Mark struct {
	Number int    // that stands at each; 0: nowhere
	On     string // the picture's file, below the output folder
}

// Related is a second place that explains a finding.
type Related struct {
	Place Place
	Text  string
}

// Finding is one thing the user must know.
type Finding struct {
	Code     string // stable, kebab-case, its first word names the stage: "dxf-open-outline"
	Severity Severity
	Panel    string // name of the panel, empty for the whole console
	Subject  Subject
	Place    Place
	Text     string // what is so, in a builder's words
	Advice   string // what to do about it
	Clicks   string // the same in the workshop's page, where that is done otherwise there; empty: as Advice says
	Related  []Related
	Question *Question // what the user alone can say; nil: nothing
	Changes  []Change  // of the project file, each of which does what Advice says

	Many string // how several like it are told in one, see Together
	Like List   // what it tells together, each in full, see Grouped; empty: itself alone
	More int    // how many further ones like it were found that are nowhere listed, see Capped

	Mark Mark // on a picture

	// First says that it is to be told before all others: what was taken for granted, on which the rest hangs.
	First bool
	// Spares says of an Error that it is none of the boards': they are right and are built all the same.
	Spares bool
	// Instead is the code of a finding of an earlier stage that says the same of the same panel: this one takes its place.
	Instead string
}

// Question asks which of several fair readings is meant.
type Question struct {
	Things  string // what it is about: "6 circles of 3.2 mm near the edge"
	Assumed string // role that is taken meanwhile
	Choices []Choice
	At      []Point // where the things are on the drawing, mm; of very many some
}

// Asks hangs a question on the finding.
func (f *Finding) Asks(q Question) *Finding { f.Question = &q; return f }

// Add appends a finding and returns it, so that place and advice can be hung on:
//
//	l.Add(diag.Error, "shape-led-outside", "LED hole lies outside the board").At(x, y).Fix("move it inside")
func (l *List) Add(s Severity, code, format string, args ...any) *Finding {
	*l = append(*l, Finding{Code: code, Severity: s, Text: fmt.Sprintf(format, args...)})
	return &(*l)[len(*l)-1]
}

// At sets the position, in mm.
func (f *Finding) At(x, y float64) *Finding { f.Place.At = &Point{x, y}; return f }

// In sets the file and line (0 when unknown).
func (f *Finding) In(file string, line int) *Finding {
	f.Place.File, f.Place.Line = file, line
	return f
}

// Of sets the panel.
func (f *Finding) Of(panel string) *Finding { f.Panel = panel; return f }

// Note adds a related place.
func (f *Finding) Note(p Place, format string, args ...any) *Finding {
	f.Related = append(f.Related, Related{p, fmt.Sprintf(format, args...)})
	return f
}

// Fix sets the advice. Deeds among its arguments are told as one does them at a terminal in Advice, and in Clicks as in the page.
func (f *Finding) Fix(format string, args ...any) *Finding {
	typed, clicked := slices.Clone(args), slices.Clone(args)
	f.Clicks = ""
	for i, a := range args {
		if d, ok := a.(Deed); ok {
			typed[i], clicked[i] = d.Typed, d.Clicked
			f.Clicks = d.Clicked
		}
	}
	f.Advice = fmt.Sprintf(format, typed...)
	if f.Clicks != "" {
		f.Clicks = fmt.Sprintf(format, clicked...)
	}
	return f
}

// SparesBoards says that no board is wrong for it.
func (f *Finding) SparesBoards() *Finding { f.Spares = true; return f }

// InsteadOf names the finding of an earlier stage whose place it takes.
func (f *Finding) InsteadOf(code string) *Finding { f.Instead = code; return f }

// ToldFirst says that all others come after it.
func (f *Finding) ToldFirst() *Finding { f.First = true; return f }

// Ours sets the advice of a finding that no drawing and no setting can be blamed for.
func (f *Finding) Ours() *Finding { return f.Fix("this is a fault of Lampblack: please report it") }

// List is the findings of a stage.
type List []Finding

// HasErrors reports whether any finding is an Error.
func (l List) HasErrors() bool { return l.Count(Error) > 0 }

// Count counts the findings of severity s.
func (l List) Count(s Severity) int {
	n := 0
	for i := range l {
		if l[i].Severity == s {
			n++
		}
	}
	return n
}

// Err returns an error that tells the first Error finding and how many there are, or nil without one.
func (l List) Err() error {
	n := l.Count(Error)
	for _, f := range l {
		if f.Severity != Error {
			continue
		}
		if n > 1 {
			return fmt.Errorf("%s [%s] (and %d more)", f.Text, f.Code, n-1)
		}
		return errors.New(f.Text + " [" + f.Code + "]")
	}
	return nil
}

// Shifted returns a copy with every position moved by (dx, dy) mm: from a panel's frame to its drawing's.
func (l List) Shifted(dx, dy float64) List {
	out := slices.Clone(l)
	move := func(p *Point) *Point {
		if p == nil {
			return nil
		}
		return &Point{p.X + dx, p.Y + dy}
	}
	for i := range out {
		out[i].Place.At = move(out[i].Place.At)
		out[i].Related = slices.Clone(out[i].Related)
		for j := range out[i].Related {
			out[i].Related[j].Place.At = move(out[i].Related[j].Place.At)
		}
	}
	return out
}

// WithPanel returns a copy in which findings without a panel carry this one.
func (l List) WithPanel(name string) List {
	out := slices.Clone(l)
	for i := range out {
		if out[i].Panel == "" {
			out[i].Panel = name
		}
	}
	return out
}

// Capped returns the first most findings of each code; the last of a code that has more counts them.
func (l List) Capped(most int) List {
	var out List
	count := map[string]int{}
	last := map[string]int{}
	for _, f := range l {
		if count[f.Code]++; count[f.Code] <= most {
			last[f.Code] = len(out)
			out = append(out, f)
		}
	}
	for code, i := range last {
		if n := count[code] - most; n > 0 {
			out[i].More += n
		}
	}
	return out
}

func first(f Finding) int {
	if f.First {
		return 1
	}
	return 0
}

func asks(f Finding) int {
	if f.Question != nil {
		return 1
	}
	return 0
}

// Sorted returns a copy in a total order: gravest first, of these questions first, then panel, file, line, position, code, text.
func (l List) Sorted() List {
	out := slices.Clone(l)
	at := func(p *Point) Point {
		if p == nil {
			return Point{}
		}
		return *p
	}
	slices.SortStableFunc(out, func(a, b Finding) int {
		pa, pb := at(a.Place.At), at(b.Place.At)
		return cmp.Or(
			cmp.Compare(first(b), first(a)),
			cmp.Compare(b.Severity, a.Severity),
			cmp.Compare(asks(b), asks(a)),
			strings.Compare(a.Panel, b.Panel),
			strings.Compare(a.Place.File, b.Place.File),
			cmp.Compare(a.Place.Line, b.Place.Line),
			cmp.Compare(a.Place.Column, b.Place.Column),
			strings.Compare(a.Code, b.Code),
			cmp.Compare(pa.X, pb.X),
			cmp.Compare(pa.Y, pb.Y),
			strings.Compare(a.Text, b.Text),
		)
	})
	return out
}
