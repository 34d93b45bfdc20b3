package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/compare"
	"lampblack/export/result"
)

func (a *app) compare() *cobra.Command {
	var image string
	c := &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Tell what changed between two consoles, and whether old boards still fit",
		Long: `Compare tells what changed: LEDs, screws, openings and what sits in them, lettering, boards, strings and
resistors, sheets, feed, supply, brightness, panels of another name; and behind that what follows from it, as copper,
light, currents, findings, what is bought. LEDs are matched by place: one within 6 mm of where one was has moved, and
other reference numbers are told once as such. Then it tells of each old board whether it fits the new console, and
why not. One of which not all could be compared is not proved to fit.

OLD and NEW are each a project (` + project.FileName + `, or a folder that holds one), a DXF drawing, the output folder of an
earlier build, or a fabrication pack, from here or from elsewhere: its zip, or its files in a folder (fab). Projects are
built in memory, with the date of the other side; nothing is written.
A pack knows nothing of light, supply and strings: of two packs, edge, laminate, parts, how pins are joined, holes,
copper, soldermask and silkscreen are compared. A pack against a project or an output folder is set against the pack of
that board there.
What no figure tells, as the thickness of copper and the print on boards, is found by the packs. An output folder whose
files, or whose ` + string(result.ResultJSON) + `, were edited since they were written is not compared.

With -o it writes all of that into a page (.html) or for print (.pdf), with pictures of each panel and board, old and
new over each other: what both have is grey, what only the old one has hatched, what only the new one has full.

The exit status is 0 where all is the same, 1 where something differs, 2 where the call is wrong, and 3 where not all
could be compared and nothing else differs.`,
		Example: `  lampblack compare my-desk/out my-desk
  lampblack compare my-desk/out my-desk --json
  lampblack compare my-desk/out/shutter/shutter-fab.zip my-desk
  lampblack compare my-desk/out my-desk -o changed.html`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usage("compare takes two: lampblack compare OLD NEW")
			}
			if ext := strings.ToLower(filepath.Ext(image)); cmd.Flags().Changed("out") && ext != ".html" && ext != ".pdf" {
				return usage("-o %s: the ending says what is written; end it in .html or .pdf", image)
			}
			return a.compareSides(cmd.Context(), args[0], args[1], image)
		},
	}
	c.Flags().StringVarP(&image, "out", "o", "", "write it with pictures, old and new over each other, into this file: a page (.html), or to print (.pdf)")
	return c
}

func (a *app) compareSides(ctx context.Context, was, is, image string) error {
	sheet := bundle.Picture{Name: image, Inputs: []string{was, is}}
	if image != "" {
		if err := sheet.Check(); err != nil {
			return unwrittenFile(image, err)
		}
	}
	both, err := a.sides(ctx, [2]string{was, is})
	if err != nil {
		return err
	}
	m := meeting{was: both[0], is: both[1], draw: image != ""}
	d, err := m.set(ctx)
	if err != nil {
		return err
	}
	d.Old, d.New = was, is
	if m.draw {
		if err := sheet.Write(m.paper(ctx, d, image)); err != nil {
			return unwrittenFile(image, err)
		}
	}
	if a.json {
		if err := a.print(d); err != nil {
			return err
		}
	} else {
		a.differences(d)
	}
	switch {
	case len(d.Changes) > 0:
		return &exit{status: statusErrors}
	case !d.Same:
		return &exit{status: statusFailed}
	}
	return nil
}

// differences shows what was changed panel by panel, then what follows from that, then which boards fit.
func (a *app) differences(d compare.Difference) {
	panel, follows := "\x00", false
	for _, c := range d.Changes {
		if c.Follows && !follows {
			fmt.Fprintln(a.out, "What follows from that:")
			panel, follows = "\x00", true
		}
		if c.Panel != panel {
			panel = c.Panel
			head := "console"
			if panel != "" {
				head = panel
			}
			fmt.Fprintln(a.out, result.Printable(head))
		}
		text := c.Text
		if c.Board != "" {
			text = c.Board + ": " + text
		}
		fmt.Fprintln(a.out, "  - "+term.Clean(text))
	}
	if !d.Same && len(d.Boards) > 0 {
		fmt.Fprintln(a.out, "Boards already made:")
		for _, b := range d.Boards {
			text := result.Printable(b.Board) + " " + b.Says()
			if len(b.Why) > 0 {
				text += ": " + term.Clean(strings.Join(b.Why, "; "))
			}
			fmt.Fprintln(a.out, "  - "+text)
		}
	}
	for _, u := range d.Unknown {
		fmt.Fprintln(a.out, "Not compared: "+term.Clean(u)+".")
	}
	fmt.Fprintln(a.out, d.Sum()+".")
}
