package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/compare"
	"lampblack/export/compare/pack"
	"lampblack/export/result"
)

func (a *app) compare() *cobra.Command {
	return &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Tell what changed between two consoles, and whether old boards still fit",
		Long: `Compare tells what changed: LEDs, screws, openings, boards, strings and resistors, feed, supply, currents, light,
sheets, lettering, findings. LEDs are matched by place: one within 6 mm of where one was has moved, and other
reference numbers are told once as such. Then it tells of each old board whether it fits the new console, and
why not.

OLD and NEW are each a project (` + project.FileName + `, or a folder that holds one), a DXF drawing, the output folder of an
earlier build, or a fabrication pack, from here or from elsewhere: its zip, or its files in a folder (fab). Projects are
built in memory, with the date of the other side; nothing is written.
A pack knows nothing of light, supply and strings: of two packs, edge, laminate, parts, how pins are joined, holes,
copper, soldermask and silkscreen are compared. A pack against a project or an output folder is set against the pack of
that board there.
What no figure tells, as the thickness of copper and the print on boards, is found by the packs. An output folder whose
files, or whose ` + string(result.ResultJSON) + `, were edited since they were written is not compared.

The exit status is 0 where all is the same, 1 where something differs, 2 where the call is wrong, and 3 where not all
could be compared and nothing else differs.`,
		Example: `  lampblack compare my-desk/out my-desk
  lampblack compare my-desk/out my-desk --json
  lampblack compare ordered/dome-fab.zip my-desk/out`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usage("compare takes two: lampblack compare OLD NEW")
			}
			return a.compareSides(cmd.Context(), args[0], args[1])
		},
	}
}

func (a *app) compareSides(ctx context.Context, was, is string) error {
	both, err := a.sides(ctx, [2]string{was, is})
	if err != nil {
		return err
	}
	d, err := set(ctx, both[0], both[1])
	if err != nil {
		return err
	}
	d.Old, d.New = was, is
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

// set sets two sides against each other. Of a console and a pack, that board's pack is taken.
func set(ctx context.Context, was, is side) (d compare.Difference, err error) {
	if was.console != nil && is.console != nil {
		return consoles(ctx, was, is), nil
	}
	name := ""
	for _, s := range [2]side{was, is} {
		if s.pack != nil && name == "" {
			name = s.pack.Name()
		}
	}
	both := [2]*side{&was, &is}
	for i, s := range both {
		if s.console == nil {
			continue
		}
		if name, err = s.boardFor(name, both[1-i].name); err != nil {
			return d, err
		}
		if err := s.alone(flow.PackFolder(ctx, s.packFiles(name))); err != nil {
			return d, failed("the pack of %s in %s cannot be compared: %w", name, s.name, err)
		}
	}
	d = pack.Boards(ctx, cmp.Or(name, "board"), *was.pack, *is.pack)
	for _, s := range both {
		if s.partly != "" {
			d.Unknown = append(d.Unknown, fmt.Sprintf("what of %s could not be read: %s (lampblack inspect tells all)", s.name, s.partly))
		}
	}
	return compare.Sorted(d, name), nil
}

// consoles sets two consoles against each other: by their figures, then board by board by what their packs hold, then by what is bought.
func consoles(ctx context.Context, was, is side) compare.Difference {
	d := compare.Consoles(*was.console, *is.console)
	var order []string
	for _, p := range append(slices.Clone(was.console.Panels), is.console.Panels...) {
		order = append(order, p.Name)
	}
	for _, p := range was.console.Panels {
		k := slices.IndexFunc(is.console.Panels, func(q result.Panel) bool { return q.Name == p.Name })
		if k < 0 {
			continue
		}
		for _, b := range p.Every() {
			if slices.ContainsFunc(is.console.Panels[k].Every(), func(c result.PanelBoard) bool { return c.Name == b.Name }) {
				packed(ctx, &d, p.Name, b.Name, was, is)
			}
		}
	}
	list := string(result.PartsCSV)
	if changes, ok := compare.Parts(was.files[list], is.files[list]); ok {
		d.Changes = append(d.Changes, changes...)
	} else {
		d.Unknown = append(d.Unknown, "what is bought, as one side has no readable "+list)
	}
	for _, s := range [2]side{was, is} {
		if s.unsealed {
			d.Unknown = append(d.Unknown, fmt.Sprintf("whether %s of %s was edited, as it has no seal: it is believed", result.ResultJSON, s.name))
		}
	}
	return compare.Sorted(d, order...)
}

// packed adds what the packs of one board tell.
func packed(ctx context.Context, d *compare.Difference, panel, board string, was, is side) {
	a, b := was.packFiles(board), is.packFiles(board)
	switch {
	case len(a) == 0 && len(b) == 0 || slices.EqualFunc(a, b, func(f, g bundle.File) bool { return bytes.Equal(f.Data, g.Data) }):
		return
	case len(a) == 0 || len(b) == 0:
		d.Unknown = append(d.Unknown, fmt.Sprintf("copper, holes and print of board %s, as one side has no pack of it", board))
		return
	}
	p, l := flow.PackFolder(ctx, a)
	q, m := flow.PackFolder(ctx, b)
	d.Packed(panel, board, pack.Boards(ctx, board, p, q))
	if text := cmp.Or(unread(l), unread(m)); text != "" {
		d.Unknown = append(d.Unknown, fmt.Sprintf("what of board %s could not be read: %s", board, text))
	}
}

// boardFor returns which board of a console a pack is to be set against: the one that has its name, also as its file is called, or the
// only one.
func (s side) boardFor(name, file string) (string, error) {
	all := s.boards()
	base := strings.TrimSuffix(strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)), "-fab")
	for _, n := range []string{name, base} {
		if slices.Contains(all, n) {
			return n, nil
		}
	}
	switch len(all) {
	case 0:
		return "", failed("%s cannot be compared with a pack: it has no board with one", s.name)
	case 1:
		return all[0], nil
	}
	return "", failed("%s is a pack of board %q, and %s has no board of that name, but %s: name the pack of one of them", file, name, s.name, strings.Join(all, ", "))
}

// differences shows them panel by panel, then which boards fit.
func (a *app) differences(d compare.Difference) {
	panel := "\x00"
	for _, c := range d.Changes {
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
	if len(d.Changes) > 0 {
		fmt.Fprintln(a.out, "Boards already made:")
		for _, b := range d.Boards {
			if b.Fits {
				fmt.Fprintf(a.out, "  - %s fits\n", result.Printable(b.Board))
				continue
			}
			fmt.Fprintf(a.out, "  - %s does not fit: %s\n", result.Printable(b.Board), term.Clean(strings.Join(b.Why, "; ")))
		}
	}
	for _, u := range d.Unknown {
		fmt.Fprintln(a.out, "Not compared: "+term.Clean(u)+".")
	}
	switch {
	case d.Same:
		fmt.Fprintln(a.out, "The same in all that was compared.")
	case len(d.Changes) == 0:
		fmt.Fprintln(a.out, "No change in what was compared, but not all was.")
	default:
		fmt.Fprintf(a.out, "%s.\n", term.Plural(len(d.Changes), "change"))
	}
}
