package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel/diag"
)

// opened is what the arguments of a command name.
type opened struct {
	project    project.Project
	bare       bool // drawings without a project
	findings   diag.List
	unreadable bool
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
		return opened{project: p, bare: true, findings: l}, nil
	}
	src, err := flow.ReadFile(file)
	if err != nil {
		o := opened{unreadable: true}
		f := o.findings.Add(diag.Error, "file-unreadable", "the project file cannot be read: %v", cause(err)).In(file, 0)
		if errors.Is(err, fs.ErrNotExist) {
			f.Code, f.Text = "file-missing", "there is no file "+file
			f.Fix("name a project file, a folder that holds a %s, or DXF drawings; 'lampblack new DIR' writes a project to start from", project.FileName)
		}
		return o, nil
	}
	p, l := project.Read(src, file)
	return opened{project: p, findings: l}, nil
}

// cause takes the path off an error, which the finding tells already.
func cause(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}
