package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// workers is the package that runs the others' work on all cores: who imports it runs goroutines.
const workers = "lampblack/panel/work"

// parallel returns the folders of the packages that run goroutines: by a go statement, by the Go method of a group, or by
// the workers' package. Tests are left out; whoever only calls such a package is covered by its tests.
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
		if dir := path.Dir(at); startsGoroutines(f) && !slices.Contains(out, dir) {
			out = append(out, dir)
		}
		return nil
	})
	return out, err
}

func startsGoroutines(f *ast.File) bool {
	found := slices.ContainsFunc(f.Imports, func(i *ast.ImportSpec) bool { return strings.Trim(i.Path.Value, `"`) == workers })
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			found = true
		case *ast.CallExpr:
			if s, ok := n.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == "Go" {
				found = true
			}
		}
		return !found
	})
	return found
}
