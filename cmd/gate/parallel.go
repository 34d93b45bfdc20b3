package main

import (
	"bufio"
	"bytes"
	"go/ast"
	"go/build/constraint"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"runtime"
	"slices"
	"strings"
)

// workers is the package that runs the others' work on all cores: who calls it runs goroutines, but for until, which only ends work
// that nobody waits for.
const workers, until = "lampblack/panel/work", "Until"

// parallel returns the folders of the packages that run goroutines: by a go statement, by the Go method of a group, or by
// a call of the workers' package. Tests are left out; whoever only calls such a package is covered by its tests.
func parallel(root fs.FS) ([]string, error) {
	var out []string
	err := fs.WalkDir(root, ".", func(at string, d fs.DirEntry, err error) error {
		switch n := d.Name(); {
		case err != nil:
			return err
		case d.IsDir():
			if n == "testdata" || n == "node_modules" || strings.HasPrefix(n, ".") && n != "." {
				return fs.SkipDir
			}
			return nil
		case !strings.HasSuffix(n, ".go") || strings.HasSuffix(n, "_test.go"):
			return nil
		}
		src, err := fs.ReadFile(root, at)
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), at, src, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		if dir := path.Dir(at); here(src) && startsGoroutines(f) && !slices.Contains(out, dir) {
			out = append(out, dir)
		}
		return nil
	})
	return out, err
}

// here reports whether a file is one for this system, which alone the race detector can run: what WebAssembly has is not.
func here(src []byte) bool {
	for lines := bufio.NewScanner(bytes.NewReader(src)); lines.Scan() && !strings.HasPrefix(lines.Text(), "package "); {
		if c, err := constraint.Parse(lines.Text()); err == nil && constraint.IsGoBuild(lines.Text()) {
			return c.Eval(func(tag string) bool {
				return tag == runtime.GOOS || tag == runtime.GOARCH || tag == "unix" && runtime.GOOS != "windows" || tag == "cgo" || tag == "gc" || strings.HasPrefix(tag, "go1.")
			})
		}
	}
	return true
}

func startsGoroutines(f *ast.File) bool {
	called := "" // the workers' package, in this file
	for _, i := range f.Imports {
		if strings.Trim(i.Path.Value, `"`) == workers {
			if called = path.Base(workers); i.Name != nil {
				called = i.Name.Name
			}
		}
	}
	found := false
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			found = true
		case *ast.CallExpr:
			s, ok := n.Fun.(*ast.SelectorExpr)
			if !ok {
				break
			}
			x, named := s.X.(*ast.Ident)
			if s.Sel.Name == "Go" || named && called != "" && x.Name == called && s.Sel.Name != until {
				found = true
			}
		}
		return !found
	})
	return found
}
