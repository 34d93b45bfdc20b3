package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// listed is a package as go list tells of it.
type listed struct {
	ImportPath, Dir string
	Standard        bool
	GoFiles         []string
	ImportMap       map[string]string
	Module          *struct{ Main bool }
}

// checker holds what is parsed once for all systems.
type checker struct {
	set    *token.FileSet
	parsed map[string]*ast.File
}

// compiles checks that packages would compile for a system, as windows/arm64: that every name and type in them is one there. That takes a
// hundredth of the time that building for it does, since of other packages only the declarations are looked at, and no code is made.
func (c *checker) compiles(dir, target string, packages ...string) error {
	system, processor, ok := strings.Cut(target, "/")
	if !ok {
		return fmt.Errorf("%s is no system and processor, as linux/amd64", target)
	}
	list := exec.Command("go", append([]string{"list", "-deps", "-json=ImportPath,Dir,Standard,GoFiles,ImportMap,Module"}, packages...)...)
	list.Dir = dir
	list.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+processor, "CGO_ENABLED=0", "GOFLAGS=")
	var told bytes.Buffer
	list.Stderr = &told
	out, err := list.Output()
	if err != nil {
		return fmt.Errorf("%s: go list: %w\n%s", target, err, told.Bytes())
	}
	done := imports{"unsafe": types.Unsafe}
	var wrong []error
	for in := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := in.Decode(&p); err == io.EOF {
			break
		} else if err != nil {
			return err
		}
		if p.ImportPath == "unsafe" {
			continue
		}
		files, err := c.files(p)
		if err != nil {
			return err
		}
		ours := p.Module != nil && p.Module.Main
		as := types.Config{
			Importer: importer{done, p.ImportMap}, Sizes: types.SizesFor("gc", processor), IgnoreFuncBodies: !ours, FakeImportC: true,
			Error: func(err error) { wrong = append(wrong, fmt.Errorf("%s: %w", target, err)) },
		}
		done[p.ImportPath], _ = as.Check(p.ImportPath, c.set, files, nil) // what is wrong, Error is told
	}
	return errors.Join(wrong...)
}

// files parses a package's files.
func (c *checker) files(p listed) ([]*ast.File, error) {
	var out []*ast.File
	for _, name := range p.GoFiles {
		name = filepath.Join(p.Dir, name)
		if c.parsed[name] == nil {
			f, err := parser.ParseFile(c.set, name, nil, parser.SkipObjectResolution)
			if err != nil {
				return nil, err
			}
			c.parsed[name] = f
		}
		out = append(out, c.parsed[name])
	}
	return out, nil
}

// imports are packages that were checked, by path.
type imports map[string]*types.Package

// importer finds what one package imports; by says which packages stand for the paths that it writes.
type importer struct {
	done imports
	by   map[string]string
}

func (i importer) Import(path string) (*types.Package, error) {
	if p, ok := i.by[path]; ok {
		path = p
	}
	if p := i.done[path]; p != nil {
		return p, nil
	}
	return nil, fmt.Errorf("there is no package %s", path)
}
