package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/panel/diag"
)

// opened is what the arguments of a command name.
type opened struct {
	project    project.Project
	home       string   // the folder of the project file, or of the first drawing
	drawings   []string // as they were named, where drawings were
	bare       bool     // drawings without a project
	findings   diag.List
	unreadable bool
}

// gone reports whether a bare drawing is not there.
func (o opened) gone() bool {
	return o.bare && slices.ContainsFunc(o.drawings, func(d string) bool {
		_, err := os.Stat(d)
		return errors.Is(err, fs.ErrNotExist)
	})
}

// open takes a project file, a folder holding one, or bare drawings; without arguments, the folder one stands in.
func open(args []string) (opened, error) {
	if len(args) == 0 {
		args = []string{"."}
	}
	var drawings []string
	file := ""
	for _, arg := range args {
		if arg == "" {
			return opened{}, usage("an argument is empty")
		}
		name := arg
		st, err := os.Stat(arg)
		folder := err == nil && st.IsDir()
		if folder {
			name = filepath.Join(arg, project.FileName)
		}
		ext := strings.ToLower(filepath.Ext(name))
		if !folder && ext != ".yaml" && ext != ".yml" {
			drawings = append(drawings, arg)
			continue
		}
		if file != "" {
			return opened{}, usage("two projects, %s and %s: name one", file, name)
		}
		file = name
	}
	if file != "" && len(drawings) > 0 {
		return opened{}, usage("a project (%s) and a drawing (%s): name either; a project lists its drawings itself", file, drawings[0])
	}
	if file == "" {
		p, l := project.Bare(drawings)
		return opened{project: p, home: filepath.Dir(drawings[0]), drawings: drawings, bare: true, findings: l}, nil
	}
	home := filepath.Dir(file)
	src, err := flow.ReadFile(file)
	if err != nil {
		o := opened{home: home, unreadable: true}
		f := o.findings.Add(diag.Error, "file-unreadable", "the project file cannot be read: %v", cause(err)).In(file, 0)
		if errors.Is(err, fs.ErrNotExist) {
			f.Code, f.Text = "file-missing", "there is no file "+file
			f.Fix("name a project file, a folder that holds a %s, or DXF drawings; 'lampblack new DIR' writes a project to start from", project.FileName)
		}
		return o, nil
	}
	p, l := project.Read(src, file)
	return opened{project: p, home: home, findings: l}, nil
}

// open is the function open, but drawings that a project names are that project: the one beside the first of them, or in the folder
// also, which may be empty. That is told at once.
func (a *app) open(args []string, also string) (opened, error) {
	o, err := open(args)
	if err != nil || !o.bare {
		return o, err
	}
	file, err := naming(o.drawings, also)
	if file == "" || err != nil {
		return o, err
	}
	told := fmt.Sprintf("%s names %s: that project is taken", file, strings.Join(o.drawings, ", "))
	o, err = open([]string{file})
	if n := len(o.project.Panels); n > 0 {
		told += fmt.Sprintf(", with all it says: %s", term.Plural(n, "panel"))
	}
	fmt.Fprintln(a.screen.W, told)
	return o, err
}

// naming returns the project file that names all of the drawings, "" where none names any.
func naming(drawings []string, also string) (string, error) {
	dirs := []string{filepath.Dir(drawings[0])}
	if also != "" {
		dirs = append(dirs, also)
	}
	for _, dir := range dirs {
		file := filepath.Join(dir, project.FileName)
		src, err := flow.ReadFile(file)
		if err != nil {
			continue // what cannot be read names nothing
		}
		p, l := project.Read(src, file)
		var named, others []string
		for _, d := range drawings {
			if names(p, d) {
				named = append(named, d)
			} else {
				others = append(others, d)
			}
		}
		switch {
		case len(others) == 0:
			return file, nil
		case l.HasErrors():
			// It names what it names, though it cannot be used before its errors, then told, are mended.
			if len(named) > 0 || slices.ContainsFunc(drawings, func(d string) bool { return project.Mentions(src, filepath.Base(d)) }) {
				return file, nil
			}
		case len(named) > 0:
			return "", usage("%s names %s, but not %s. Add this to it, then build the project:\n%s", file, strings.Join(named, ", "), strings.Join(others, ", "),
				lines(p, others))
		}
	}
	return "", nil
}

// names reports whether the project has the drawing, by whatever name.
func names(p project.Project, drawing string) bool {
	st, missing := os.Stat(drawing)
	for i := range p.Panels {
		if missing != nil {
			if filepath.Clean(p.Path(i)) == filepath.Clean(drawing) {
				return true
			}
		} else if other, err := os.Stat(p.Path(i)); err == nil && os.SameFile(st, other) {
			return true
		}
	}
	return false
}

// cause takes the path off an error, which the finding tells already.
func cause(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}
