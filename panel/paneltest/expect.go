// Package paneltest helps tests of everything that reads drawings: a bad drawing states in comments of its own
// (group code 999) what must be found in it, and Expect compares.
//
//	999
//	WANT dxf-open-outline 12.5,40
//
// A WANT line names a finding's code and, where it has one, its position in the drawing's millimetres. Codes and
// places must match strictly, wording does not matter; missing and surplus findings both fail.
package paneltest

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampblack/panel/diag"
)

// File is a drawing on disk.
type File struct {
	Name string // base name
	Data []byte
}

// Files reads the files that match the pattern, in order of their names; none is a failure.
func Files(t testing.TB, pattern string) []File {
	t.Helper()
	paths, err := filepath.Glob(pattern)
	if err != nil || len(paths) == 0 {
		t.Fatalf("no files match %s (%v)", pattern, err)
	}
	slices.Sort(paths)
	var out []File
	for _, p := range paths {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, File{filepath.Base(p), b})
	}
	return out
}

// Wants returns what the drawing says must be found in it, sorted: "code" or "code x,y" with two decimals.
func Wants(src []byte) ([]string, error) {
	var out []string
	for _, line := range strings.Split(string(src), "\n") {
		rest, ok := strings.CutPrefix(strings.TrimSpace(line), "WANT ")
		if !ok {
			continue
		}
		f := strings.Fields(rest)
		switch len(f) {
		case 1:
			out = append(out, f[0])
		case 2:
			var x, y float64
			if n, err := fmt.Sscanf(f[1], "%g,%g", &x, &y); n != 2 {
				return nil, fmt.Errorf("bad WANT line %q: %v", line, err)
			}
			out = append(out, f[0]+" "+point(x, y))
		default:
			return nil, fmt.Errorf("bad WANT line %q", line)
		}
	}
	slices.Sort(out)
	return out, nil
}

// Found returns the findings in the form of Wants.
func Found(l diag.List) []string {
	var out []string
	for _, f := range l {
		s := f.Code
		if p := f.Place.At; p != nil {
			s += " " + point(p.X, p.Y)
		}
		out = append(out, s)
	}
	slices.Sort(out)
	return out
}

func point(x, y float64) string {
	round := func(v float64) float64 { return math.Round(v*100)/100 + 0 } // + 0 makes -0 a 0
	return fmt.Sprintf("%.2f,%.2f", round(x), round(y))
}

// Expect fails unless the findings are exactly those that the drawing wants, and every error and warning has advice.
func Expect(t testing.TB, f File, l diag.List) {
	t.Helper()
	want, err := Wants(f.Data)
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	if len(want) == 0 {
		t.Errorf("%s: no WANT lines", f.Name)
	}
	if got := Found(l); !slices.Equal(got, want) {
		t.Errorf("%s:\nfound %q\nwant  %q", f.Name, got, want)
		for _, x := range l {
			t.Logf("%s: %s [%s]", x.Severity, x.Text, x.Code)
		}
	}
	for _, x := range l {
		if x.Severity != diag.Note && x.Advice == "" {
			t.Errorf("%s: no advice for %s: %s", f.Name, x.Code, x.Text)
		}
	}
}

// Subjects fails if an error or a warning does not say what it is about: a place on a drawing, in a file or on the board, a key of
// the project, a part, a net, a string, a panel as a whole. Nothing later could find that out but by its words.
func Subjects(t testing.TB, l diag.List) {
	t.Helper()
	for _, f := range l {
		if f.Severity != diag.Note && !f.HasSubject() {
			t.Errorf("%s [%s]: about what?", f.Text, f.Code)
		}
	}
}
