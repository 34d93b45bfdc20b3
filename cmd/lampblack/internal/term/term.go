// Package term shows findings, tables and progress to people, and the same data as JSON to programs.
//
// In go findings and cells of text, out comes plain text: results for standard output, findings and progress for standard
// error. What a terminal can do (colour, progress) is decided once, when a Screen is made. Nothing here prints a time or a
// path that the user did not write.
package term

import (
	"encoding/json"
	"io"
	"os"

	"golang.org/x/term"
)

// Screen is where findings and progress go, and what it can show.
type Screen struct {
	W           io.Writer
	Colour      bool
	Interactive bool // a person watches it
}

// NewScreen looks at the writer and the environment: colour and progress only on a terminal, colour only without
// NO_COLOR (https://no-color.org: set and not empty) and with a TERM that is not dumb.
func NewScreen(w io.Writer, getenv func(string) string) Screen {
	s := Screen{W: w}
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		s.Interactive = true
		s.Colour = getenv("NO_COLOR") == "" && getenv("TERM") != "dumb"
	}
	return s
}

// JSON writes v indented, with a line end, and < > & as they are.
func JSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// ink is a colour of the terminal's own palette, so that it stays readable on any background.
type ink string

const (
	red    ink = "\x1b[1;31m"
	yellow ink = "\x1b[1;33m"
	cyan   ink = "\x1b[1;36m"
	bold   ink = "\x1b[1m"
)

func (s Screen) paint(c ink, text string) string {
	if !s.Colour {
		return text
	}
	return string(c) + text + "\x1b[0m"
}
