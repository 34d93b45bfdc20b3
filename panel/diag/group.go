package diag

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Together says how several findings like this one are told in one, with %d for their number: "%d words are dark". No other
// percent sign in it means anything.
func (f *Finding) Together(text string) *Finding { f.Many = text; return f }

// Each returns the findings that this one tells together, or itself alone.
func (f Finding) Each() List {
	if len(f.Like) > 0 {
		return f.Like
	}
	return List{f}
}

// Count returns how many it tells of, with those that are nowhere listed.
func (f Finding) Count() int {
	n := 0
	for _, g := range f.Each() {
		n += 1 + g.More
	}
	return n
}

// kin is what findings have in common that are told together.
type kin struct {
	severity     Severity
	code, panel  string
	file, advice string
	many         string
	spares       bool
	line, column int
	question     *Question // each is answered by itself
}

// Grouped returns a copy in which findings of one kind about one panel are told in one: the first of them, in whose Like all
// stand in full. Notes are grouped whatever they say, others where they are made to be told together or where one advice mends
// all. What shows lines of a file is told together only of one line.
func (l List) Grouped() List {
	var out List
	at := map[kin]int{}
	own := map[int]bool{} // whose Like is this list's to append to
	for _, f := range l {
		k := kin{f.Severity, f.Code, f.Panel, f.Place.File, f.Advice, f.Many, f.Spares, 0, 0, f.Question}
		if f.Place.Source != "" {
			k.line, k.column = f.Place.Line, f.Place.Column
		}
		switch {
		case f.Severity == Note:
			k.advice, k.many = "", ""
		case f.Many != "":
			k.advice = ""
		}
		i, ok := at[k]
		if !ok {
			at[k] = len(out)
			out = append(out, f)
			continue
		}
		if !own[i] {
			own[i] = true
			out[i].Like = slices.Clone(out[i].Each())
		}
		out[i].Like = append(out[i].Like, f.Each()...)
		out[i].Changes = common(out[i].Changes, f.Changes) // what does for one alone does not for all
	}
	for i := range out {
		out[i].tellTogether()
	}
	return out
}

// tellTogether gives a finding that tells of several its text and advice.
func (f *Finding) tellTogether() {
	n := f.Count()
	if n == 1 {
		return
	}
	first, same, many := f.Each()[0], true, ""
	for _, g := range f.Each() {
		same = same && g.Text == first.Text
		if many == "" {
			many = g.Many
		}
		if f.Advice == "" {
			f.Advice, f.Clicks = g.Advice, g.Clicks
		}
	}
	switch {
	case many != "":
		f.Text = strings.Replace(many, "%d", strconv.Itoa(n), 1)
	case same:
		f.Text = fmt.Sprintf("%s (%d times)", first.Text, n)
	default:
		f.Text = fmt.Sprintf("%s (and %d more like it)", first.Text, n-1)
	}
}
