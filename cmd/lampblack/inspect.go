package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

func (a *app) inspect() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "inspect PACK.zip",
		Short: "Judge a fabrication pack, from here or from elsewhere",
		Long: `Inspect reads a fabrication pack, the zip that goes to a board house, as a strict front end would:
Gerber layers, drill files and the IPC-D-356A netlist. It shows the layers, the size, the holes
and, where attributes tell them, the nets; and it tells every break of the formats' rules with
file and line. Files are known by what they say they are, never by their names.

With -o it writes a picture of each layer as SVG into a folder, with what it found as result.json.`,
		Example: `  lampblack inspect out/dome/dome-fab.zip
  lampblack inspect my-pack.zip -o pictures
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
			if out != "" {
				if err := safe(out, project.Project{Panels: []project.Panel{{Drawing: args[0]}}}); err != nil {
					return err
				}
			}
			return a.inspectPack(cmd.Context(), args[0], out)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "folder for pictures of the layers; it is replaced whole")
	return c
}

func (a *app) inspectPack(ctx context.Context, name, out string) error {
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
	r, err := flow.Inspect(ctx, name, src, version, out != "")
	if err != nil {
		return err
	}
	if out != "" && len(r.Pictures) > 0 {
		files := append(r.Pictures, bundle.File{Path: string(result.ResultJSON), Data: r.JSON()})
		if err := bundle.Swap(out, files); err != nil {
			return failed("writing %s: %w; what was there before is untouched", out, err)
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
			fmt.Fprintf(a.out, ", %s × %s mm", fixed(r.Size[0], 2), fixed(r.Size[1], 2))
		}
		fmt.Fprint(a.out, "\n\n")
	}
	t := term.Table{Title: "Files", Head: []string{"<file", "<kind", "<function", "width mm", "height mm", "flashes", "draws", "regions", "errors", "warnings"}}
	for _, f := range r.Contents {
		w, h := "", ""
		if f.BBox != nil {
			w, h = fixed(f.BBox[2]-f.BBox[0], 2), fixed(f.BBox[3]-f.BBox[1], 2)
		}
		count := func(n int) string {
			if f.Kind != "gerber" {
				return ""
			}
			return fmt.Sprint(n)
		}
		t.Add(f.Name, f.Kind, f.Function, w, h, count(f.Flashes), count(f.Draws), count(f.Regions), f.Errors, f.Warnings)
	}
	a.table(t)
	t = term.Table{Title: "Holes", Head: []string{"<file", "diameter mm", "holes", "slots", "<use"}}
	for _, f := range r.Contents {
		for _, k := range f.Tools {
			t.Add(f.Name, fixed(k.D, 3), k.Holes, k.Slots, k.Function)
		}
	}
	a.table(t)
	if r.Figures != nil {
		f := r.Figures
		t = term.Table{Title: "Copper", Head: []string{"nets", "joints", "open", "least gap mm", "track mm", "ring mm", "hole mm", "to edge mm", "test points"}}
		t.Add(len(r.Nets), f.Joints, f.Open, fixed(f.MinClearance, 3), fixed(f.MinTrack, 3), fixed(f.MinRing, 3), fixed(f.MinHole, 3), fixed(f.MinEdge, 3), r.Points)
		a.table(t)
	}
	if a.all || len(r.Nets) <= 12 {
		t = term.Table{Title: "Nets", Head: []string{"<net", "pads", "vias"}}
		for _, n := range r.Nets {
			t.Add(n.Name, n.Pads, n.Vias)
		}
		a.table(t)
	} else {
		fmt.Fprintf(a.out, "%s, listed with --all\n\n", term.Plural(len(r.Nets), "net"))
	}
}
