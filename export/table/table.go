// Package table is the one model of a table: what a column is called, its unit and its alignment are said once, and the
// terminal, the report and comma-separated files show the same.
//
// Cells are texts, numbers written out with as many decimals as shall be seen. Nothing here knows what is told.
package table

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Table is a title, how to read it, columns, and rows of as many cells.
type Table struct {
	Title   string
	Columns []Column
	Rows    [][]string
	Reading string // how to read it, in a sentence or two; empty: it reads itself
}

// Column is what stands above a column's cells, and how these are set.
type Column struct {
	Name, Unit string // an empty unit: none
	Set        Set
}

// Set is how a column's cells are set.
type Set uint8

const (
	Right  Set = iota // numbers
	Left              // short texts, kept on one line
	Broken            // long texts, on several lines where there is no room
)

// Number is a column of numbers.
func Number(name, unit string) Column { return Column{name, unit, Right} }

// Text is a column of short texts.
func Text(name string) Column { return Column{name, "", Left} }

// Long is a column of long texts.
func Long(name string) Column { return Column{name, "", Broken} }

// Heading returns what stands above the column, with sep before the unit.
func (c Column) Heading(sep string) string {
	if c.Name == "" || c.Unit == "" {
		return c.Name + c.Unit
	}
	return c.Name + sep + c.Unit
}

// New returns a table without rows.
func New(title string, columns ...Column) Table { return Table{Title: title, Columns: columns} }

// Read returns the table with words on how to read it.
func (t Table) Read(how string) Table { t.Reading = how; return t }

// Add appends a row; each cell is written by fmt.Sprint. It panics unless there is one for each column.
func (t *Table) Add(cells ...any) {
	if len(cells) != len(t.Columns) {
		panic(fmt.Sprintf("export/table: %s: %d cells in %d columns", t.Title, len(cells), len(t.Columns)))
	}
	row := make([]string, len(cells))
	for i, c := range cells {
		row[i] = fmt.Sprint(c)
	}
	t.Rows = append(t.Rows, row)
}

// With returns the table with the rows of another behind its own. Columns go by their names: what the other lacks stays empty. It
// panics on a column that t lacks.
func (t Table) With(more Table) Table {
	rows := slices.Clone(t.Rows)
	for _, r := range more.Rows {
		row := make([]string, len(t.Columns))
		for i, c := range more.Columns {
			at := slices.IndexFunc(t.Columns, func(o Column) bool { return o.Name == c.Name })
			if at < 0 {
				panic("export/table: " + t.Title + " has no column " + c.Name)
			}
			row[at] = r[i]
		}
		rows = append(rows, row)
	}
	t.Rows = rows
	return t
}

// Arranged returns the table with the columns of these names alone, in that order. It panics on a name that no column has.
func (t Table) Arranged(names ...string) Table {
	out := Table{Title: t.Title, Reading: t.Reading, Rows: make([][]string, len(t.Rows))}
	for _, n := range names {
		at := slices.IndexFunc(t.Columns, func(c Column) bool { return c.Name == n })
		if at < 0 {
			panic("export/table: " + t.Title + " has no column " + n)
		}
		out.Columns = append(out.Columns, t.Columns[at])
		for i, r := range t.Rows {
			out.Rows[i] = append(out.Rows[i], r[at])
		}
	}
	return out
}

// CSV returns the table as comma-separated values (RFC 4180) in UTF-8, with a line of headings as programs like them: the
// name, then the unit, joined by _.
func (t Table) CSV() []byte {
	head := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = strings.ReplaceAll(c.Heading("_"), " ", "_")
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true // RFC 4180, 2.1
	if err := w.WriteAll(append([][]string{head}, t.Rows...)); err != nil {
		panic("export/table: " + err.Error()) // a bytes.Buffer never fails
	}
	return b.Bytes()
}

// Fixed returns v with k decimals; what rounds to nothing has no sign.
func Fixed(v float64, k int) string {
	s := strconv.FormatFloat(v, 'f', k, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Plain returns v with up to six digits, and no more than it needs: for what the user said, which is not rounded.
func Plain(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
