package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/result"
	"lampblack/export/result/tables"
	"lampblack/export/table"
	"lampblack/panel/diag"
)

func (a *app) inspect() *cobra.Command {
	var to target
	var rules string
	c := &cobra.Command{
		Use:   "inspect PACK.zip",
		Short: "Judge a fabrication pack, from here or from elsewhere",
		Long: `Inspect judges a fabrication pack, the zip that goes to a board house, as a careful front end would.
It reads Gerber layers, drill files, the job file and the IPC-D-356A netlist, and tells every break of
the formats' rules with file and line. It raises the pack to a board and proves that, as build does:
shorts, opens, gaps, widths, rings, holes, soldermask. And it compares what the files say twice: the
netlist, the component layers, the silkscreen's polarity marks, masks, paste, drills, edge, job file and
README.txt must all be of one board. What a board house would hold the order for, or what would not work,
is an error, status 1; what could not be judged is a warning.

The limits are those of the class fine, with the gap that the job file states where that is wider. --rules
names another class, or a project, whose own limits then count: those that it does not name may give way at
a screw or an LED as in build, which is a warning that tells what is left there.

With -o it writes a picture of each layer as SVG into a folder, with what it found as result.json.`,
		Example: `  lampblack inspect out/dome/dome-fab.zip
  lampblack inspect my-pack.zip -o pictures
  lampblack inspect my-pack.zip --rules usual
  lampblack inspect my-pack.zip --json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("inspect takes one pack: lampblack inspect PACK.zip")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if st, err := os.Stat(args[0]); err == nil && st.IsDir() {
				return usage("%s is a folder: inspect takes the zip that goes to the board house", args[0])
			}
			if err := to.named(cmd); err != nil {
				return err
			}
			against, err := a.against(rules)
			if err != nil {
				return err
			}
			return a.inspectPack(cmd.Context(), args[0], against, to)
		},
	}
	c.Flags().StringVar(&rules, "rules", "", "judge by a class of fabrication ("+strings.Join(flow.Classes(), ", ")+"), or by the rules of a project (default: fine)")
	to.flags(c, "folder for pictures of the layers; it is replaced whole")
	return c
}

// against returns the limits that --rules names: a class, or a project by its file or folder.
func (a *app) against(rules string) (flow.Against, error) {
	if rules == "" {
		rules = flow.FinestClass
	}
	if class, ok := flow.AgainstClass(rules); ok {
		return class, nil
	}
	if _, err := os.Stat(rules); err != nil {
		return flow.Against{}, usage("--rules: %q is neither a class of fabrication (%s) nor a project", rules, strings.Join(flow.Classes(), ", "))
	}
	o, err := a.open([]string{rules}, "")
	if err != nil {
		return flow.Against{}, err
	}
	if o.findings.HasErrors() {
		return flow.Against{}, a.tell(o.findings, o.unreadable)
	}
	return flow.Against{Name: "the rules of " + o.project.Console, Rules: o.project.Rules, Least: o.project.Least, Project: true}, nil
}

func (a *app) inspectPack(ctx context.Context, name string, against flow.Against, to target) error {
	out := to.dir
	folder := bundle.Folder{Dir: out, By: bundle.Owner{Pack: filepath.Base(name)}, Inputs: []string{name}, Replace: to.replace}
	if out != "" {
		if err := folder.Check(); err != nil {
			return unwritten(folder, err, "")
		}
	}
	src, err := flow.ReadFile(name)
	if err != nil {
		var l diag.List
		if errors.Is(err, fs.ErrNotExist) {
			l.Add(diag.Error, "file-missing", "there is no file %s", name).In(name, 0).Fix("name the zip of a fabrication pack")
		} else {
			l.Add(diag.Error, "file-unreadable", "the pack cannot be read: %v", cause(err)).In(name, 0).Fix("name the zip of a fabrication pack; files above 512 MB are not read")
		}
		end := a.tell(l, true)
		if a.json {
			if err := a.print(flow.Uninspected(name, l, version)); err != nil {
				return err
			}
		}
		return end
	}
	r, err := flow.Inspect(ctx, name, src, against, version, out != "")
	if err != nil {
		return err
	}
	if out != "" && len(r.Pictures) > 0 {
		files := append(r.Pictures, bundle.File{Path: string(result.ResultJSON), Data: r.JSON()})
		if err := folder.Swap(files); err != nil {
			return unwritten(folder, err, "")
		}
	}
	end := a.tell(r.List, false)
	if a.json {
		if err := a.print(r.Pack); err != nil {
			return err
		}
		return end
	}
	a.inspectTables(r)
	where := ""
	if out != "" && len(r.Pictures) > 0 {
		where = fmt.Sprintf(", %s in %s", term.Plural(len(r.Pictures), "picture"), out)
	}
	if r.Against != nil && len(r.Judged) > 0 {
		fmt.Fprintf(a.out, "Judged by %s, copper gap %s mm: %s.\n", r.Against.By, table.Fixed(r.Against.Gap, 2), strings.Join(r.Judged, "; "))
	}
	verdict := "good"
	if r.List.HasErrors() {
		verdict = "not good"
	}
	fmt.Fprintf(a.out, "%s: %s%s; %s.\n", r.File, verdict, where, term.Tally(r.List))
	return end
}

// inspectTables shows what a pack holds.
func (a *app) inspectTables(r flow.Inspected) {
	if r.Board != "" || r.Size != nil {
		fmt.Fprintf(a.out, "%s", r.File)
		if r.Board != "" {
			fmt.Fprintf(a.out, ", board %s", r.Board)
		}
		if r.Part == "Array" {
			fmt.Fprint(a.out, ", several boards on one panel")
		}
		if r.Size != nil {
			fmt.Fprintf(a.out, ", %s × %s mm", table.Fixed(r.Size[0], 2), table.Fixed(r.Size[1], 2))
		}
		fmt.Fprint(a.out, "\n\n")
	}
	a.table(tables.PackFiles(r.Pack))
	a.table(tables.PackHoles(r.Pack))
	a.table(tables.PackCopper(r.Pack))
	if a.all || len(r.Nets) <= 12 {
		a.table(tables.PackNets(r.Pack))
	} else {
		fmt.Fprintf(a.out, "%s, listed with --all\n\n", term.Plural(len(r.Nets), "net"))
	}
}
