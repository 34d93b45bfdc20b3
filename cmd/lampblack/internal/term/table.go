package term

import (
	"fmt"
	"io"
	"strings"

	"github.com/rivo/uniseg"
)

// Table is one stage's figures. A head that begins with < is aligned left (texts), any other right (numbers); the unit
// stands in the head.
type Table struct {
	Title string
	Head  []string
	Rows  [][]string
}

// Add appends a row; each cell is printed by fmt.Sprint.
func (t *Table) Add(cells ...any) {
	row := make([]string, len(cells))
	for i, c := range cells {
		row[i] = clean(fmt.Sprint(c))
	}
	t.Rows = append(t.Rows, row)
}

// Write prints the table with a blank line after it; a table without rows prints nothing.
func (t Table) Write(w io.Writer) {
	if len(t.Rows) == 0 {
		return
	}
	left := make([]bool, len(t.Head))
	head := make([]string, len(t.Head))
	width := make([]int, len(t.Head))
	for i, h := range t.Head {
		head[i], left[i] = strings.CutPrefix(h, "<")
		width[i] = uniseg.StringWidth(head[i])
	}
	for _, r := range t.Rows {
		for i, c := range r {
			width[i] = max(width[i], uniseg.StringWidth(c))
		}
	}
	if t.Title != "" {
		fmt.Fprintln(w, clean(t.Title))
	}
	for _, r := range append([][]string{head}, t.Rows...) {
		var b strings.Builder
		for i, c := range r {
			if i > 0 {
				b.WriteString("  ")
			}
			pad := strings.Repeat(" ", width[i]-uniseg.StringWidth(c))
			if left[i] {
				b.WriteString(c + pad)
			} else {
				b.WriteString(pad + c)
			}
		}
		fmt.Fprintln(w, "  "+strings.TrimRight(b.String(), " "))
	}
	fmt.Fprintln(w)
}
