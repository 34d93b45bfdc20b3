// Package scripts has tests run scripts of calls of the whole tool.
package scripts

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Run runs each script of a folder, where lampblack is the program. examples/observatory, from the folder example, lies in the script's
// folder; draw makes drawings, and status checks the exit status of a failing call.
func Run(t *testing.T, folder, example string) {
	t.Helper()
	testscript.Run(t, testscript.Params{
		Dir: folder,
		Setup: func(env *testscript.Env) error {
			desk := filepath.Join(env.WorkDir, "examples", "observatory")
			return errors.Join(os.CopyFS(desk, os.DirFS(example)), os.RemoveAll(filepath.Join(desk, "out")))
		},
		Condition: func(cond string) (bool, error) {
			if cond == "root" { // whom no permissions stop
				return os.Geteuid() == 0, nil
			}
			return false, fmt.Errorf("no such condition: %s", cond)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"draw": draw,
			"lampblack": func(ts *testscript.TestScript, neg bool, args []string) {
				if err := ts.Exec("lampblack", args...); (err == nil) == neg {
					ts.Fatalf("lampblack %s: %v", strings.Join(args, " "), err)
				}
			},
			"recode": recode,
			"status": status,
		},
	})
}

// status N COMMAND... runs a command and wants exactly exit status N, which exec cannot ask for.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	err = ts.Exec(args[1], args[2:]...)
	if err != nil {
		x, ok := err.(interface{ ExitCode() int })
		if !ok {
			ts.Fatalf("%v: %v", args[1:], err)
		}
		got = x.ExitCode()
	}
	if got != want {
		ts.Fatalf("%v: exit status %d, want %d", args[1:], got, want)
	}
}

// recode HOW FILE writes a text file of UTF-8 anew as some editor would: mark, utf-16le, utf-16be, latin-1, windows (line ends).
func recode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: recode HOW FILE")
	}
	how, file := args[0], ts.MkAbs(args[1])
	text := ts.ReadFile(args[1])
	ways := map[string]encoding.Encoding{
		"mark": unicode.UTF8BOM, "utf-16le": unicode.UTF16(unicode.LittleEndian, unicode.UseBOM),
		"utf-16be": unicode.UTF16(unicode.BigEndian, unicode.UseBOM), "latin-1": charmap.ISO8859_1,
	}
	if how == "windows" {
		ts.Check(os.WriteFile(file, []byte(strings.ReplaceAll(text, "\n", "\r\n")), 0o644))
		return
	}
	if ways[how] == nil {
		ts.Fatalf("no such way: %s", how)
	}
	out, err := ways[how].NewEncoder().String(text)
	ts.Check(err)
	ts.Check(os.WriteFile(file, []byte(out), 0o644))
}

// draw FILE 'LAYER SHAPE NUMBERS...'... writes a DXF drawing in mm. Shapes: rect x0 y0 x1 y1; circle x y d;
// line x0 y0 x1 y1; arc x y r from to; text x y height WORD.
func draw(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: draw FILE 'LAYER SHAPE NUMBERS...'...")
	}
	src, err := drawing(args[1:])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), src, 0o644))
}

// drawing returns the DXF text of such shapes.
func drawing(shapes []string) ([]byte, error) {
	var b strings.Builder
	pair := func(code int, v any) { fmt.Fprintf(&b, "%3d\n%v\n", code, v) }
	pair(0, "SECTION")
	pair(2, "HEADER")
	pair(9, "$ACADVER")
	pair(1, "AC1009")
	pair(9, "$INSUNITS")
	pair(70, 4)
	pair(0, "ENDSEC")
	pair(0, "SECTION")
	pair(2, "ENTITIES")
	for _, s := range shapes {
		f := strings.Fields(s)
		if len(f) < 5 {
			return nil, fmt.Errorf("shape %q is too short", s)
		}
		layer, shape := f[0], f[1]
		var n []float64
		for _, w := range f[2:] {
			v, err := strconv.ParseFloat(w, 64)
			if err != nil {
				break // the word of a text
			}
			n = append(n, v)
		}
		entity := func(kind string, codes []int, values ...float64) {
			pair(0, kind)
			pair(8, layer)
			for i, c := range codes {
				pair(c, values[i])
			}
		}
		line := func(x0, y0, x1, y1 float64) { entity("LINE", []int{10, 20, 11, 21}, x0, y0, x1, y1) }
		want := map[string]int{"rect": 4, "circle": 3, "line": 4, "arc": 5, "text": 3}[shape]
		if want == 0 || len(n) != want {
			return nil, fmt.Errorf("shape %q: %d numbers", s, len(n))
		}
		switch shape {
		case "rect":
			line(n[0], n[1], n[2], n[1])
			line(n[2], n[1], n[2], n[3])
			line(n[2], n[3], n[0], n[3])
			line(n[0], n[3], n[0], n[1])
		case "circle":
			entity("CIRCLE", []int{10, 20, 40}, n[0], n[1], n[2]/2)
		case "line":
			line(n[0], n[1], n[2], n[3])
		case "arc":
			entity("ARC", []int{10, 20, 40, 50, 51}, n...)
		case "text":
			entity("TEXT", []int{10, 20, 40}, n...)
			pair(1, f[len(f)-1])
		}
	}
	pair(0, "ENDSEC")
	pair(0, "EOF")
	return []byte(b.String()), nil
}
