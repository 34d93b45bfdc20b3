package term

import (
	"fmt"
	"io"
	"strings"

	"github.com/rivo/uniseg"

	"lampblack/export/table"
)

// Table prints a table with a blank line after it; one without rows prints nothing.
func Table(w io.Writer, t table.Table) {
	if len(t.Rows) == 0 {
		return
	}
	head := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = c.Heading(" ")
	}
	rows := [][]string{head}
	for _, r := range t.Rows {
		row := make([]string, len(r))
		for i, c := range r {
			row[i] = Clean(c)
		}
		rows = append(rows, row)
	}
	width := make([]int, len(t.Columns))
	for _, r := range rows {
		for i, c := range r {
			width[i] = max(width[i], uniseg.StringWidth(c))
		}
	}
	if t.Title != "" {
		fmt.Fprintln(w, Clean(t.Title))
	}
	for _, l := range lines(Clean(t.Reading)) {
		fmt.Fprintln(w, "  "+l)
	}
	for _, r := range rows {
		var b strings.Builder
		for i, c := range r {
			if i > 0 {
				b.WriteString("  ")
			}
			pad := strings.Repeat(" ", width[i]-uniseg.StringWidth(c))
			if t.Columns[i].Set == table.Right {
				b.WriteString(pad + c)
			} else {
				b.WriteString(c + pad)
			}
		}
		fmt.Fprintln(w, "  "+strings.TrimRight(b.String(), " "))
	}
	fmt.Fprintln(w)
}

// measure is how wide running text is set, in columns.
const measure = 100

// lines breaks running text.
func lines(text string) []string {
	var out []string
	for _, w := range strings.Fields(text) {
		if n := len(out); n > 0 && uniseg.StringWidth(out[n-1])+1+uniseg.StringWidth(w) <= measure {
			out[n-1] += " " + w
		} else {
			out = append(out, w)
		}
	}
	return out
}
