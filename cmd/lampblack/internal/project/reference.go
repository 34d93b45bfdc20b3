package project

import (
	"fmt"
	"strings"
)

// Row is a key as README's tables have it.
type Row struct {
	Path  string // "panels[].name"
	Help  string // Markdown
	Usual string // Markdown: what holds if it is left out
	Bare  string // unit of a bare number
	brief bool   // it needs no row
}

// Reference returns the keys of the project file in the order of its description: those at a path and below it, all for
// the empty path.
func Reference(path string) []Row {
	var out []Row
	for _, r := range fileKeys().rows("") {
		if r.brief {
			continue
		}
		if rest, ok := strings.CutPrefix(r.Path, path); ok && (path == "" || rest == "" || rest[0] == '.' || rest[0] == '[') {
			out = append(out, r)
		}
	}
	return out
}

// Keys returns all keys of the project file as a table in Markdown.
func Keys() []byte { return []byte(Table(Reference(""))) }

// Table returns rows as a table in Markdown.
func Table(rows []Row) string {
	var b strings.Builder
	b.WriteString("| key | what | if left out | bare number |\n|---|---|---|---|\n")
	for _, r := range rows {
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", r.Path, r.Help, r.Usual, r.Bare)
	}
	return strings.ReplaceAll(b.String(), "|  |", "| |")
}
