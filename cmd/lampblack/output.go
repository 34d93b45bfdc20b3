package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
)

// outName is the folder that build writes unless told another: beside the project file, or beside the first drawing.
const outName = "out"

// target is where a command writes its files, as its flags say.
type target struct {
	dir     string // empty: as the project says
	replace bool
}

// flags gives a command the flags of a target.
func (t *target) flags(c *cobra.Command, usual string) {
	c.Flags().StringVarP(&t.dir, "out", "o", "", usual)
	c.Flags().BoolVar(&t.replace, "replace", false, "replace also the output of another project, and files edited since; never what lampblack did not write")
}

// named refuses an empty name of a folder.
func (t *target) named(c *cobra.Command) error {
	if t.dir == "" && c.Flags().Changed("out") {
		return usage("-o needs the name of a folder")
	}
	return nil
}

// folder is what a build of the project replaces.
func (t *target) folder(o opened) bundle.Folder {
	f := bundle.Folder{Dir: t.dir, By: flow.Owner(o.project), Replace: t.replace}
	if f.Dir == "" {
		f.Dir = filepath.Join(o.home, outName)
	}
	if o.project.File != "" {
		f.Inputs = append(f.Inputs, o.project.File)
	}
	for i := range o.project.Panels {
		f.Inputs = append(f.Inputs, o.project.Path(i))
	}
	f.Inputs = append(f.Inputs, o.project.Beside()...)
	return f
}

// unwritten is what there is to say where a folder is not written: what would be lost, and what to do. A drawing without a
// project, whose folder is another's, may be meant to be a panel of that; more says so.
func unwritten(f bundle.Folder, err error, more string) error {
	var r *bundle.Refusal
	if !errors.As(err, &r) {
		return failed("%s cannot be written: %w; what is there is untouched. Name a folder that can be written with -o", f.Dir, cause(err))
	}
	do := "choose another folder with -o"
	switch r.Why {
	case bundle.Foreign:
		do += ", or move that away"
	case bundle.Edited:
		do = "move what you changed to another place to keep it, or lose it with --replace"
	case bundle.Another:
		do += ", or replace it with --replace" + more
	}
	return usage("%w; %s", err, do)
}

// unwrittenFile is the same of a single file.
func unwrittenFile(name string, err error) error {
	var r *bundle.Refusal
	if errors.As(err, &r) {
		return usage("%w; choose another name", err)
	}
	return failed("%s cannot be written: %w; choose another name", name, cause(err))
}

// unwrittenPicture is the same of a picture beside the output, whose name nobody chose.
func unwrittenPicture(name string, err error) error {
	var r *bundle.Refusal
	if errors.As(err, &r) {
		return usage("%w; move it away and build again", err)
	}
	return failed("%s cannot be written: %w", name, cause(err))
}

// joining says how a bare drawing, whose folder is another project's, becomes a panel of the project in that folder, if there is one.
func joining(o opened, f bundle.Folder) string {
	if !o.bare {
		return ""
	}
	file := filepath.Join(filepath.Dir(filepath.Clean(f.Dir)), project.FileName)
	src, err := flow.ReadFile(file)
	if err != nil {
		return ""
	}
	p, l := project.Read(src, file)
	if l.HasErrors() {
		return ""
	}
	return fmt.Sprintf(". If they belong to one console, add to %s:\n%s", file, lines(p, o.drawings))
}

// lines shows what is to be written into a project file for more drawings.
func lines(p project.Project, drawings []string) string {
	return "    " + strings.Join(p.Adding(drawings), "\n    ")
}
