package main

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/compare"
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

OLD and NEW are each a project (` + project.FileName + `, or a folder that holds one), a DXF drawing, or the output folder of an
earlier build. Projects are built in memory, with the date of the other side; nothing is written.
A pack alone (zip) is not read: it knows nothing of light, supply and strings. Name the output folder that it came in.
What no figure tells, as the thickness of copper and the print on boards, is found by the files, if both sides are
of the same version of Lampblack, date, name and revision; where they are not, nothing is called the same.

The exit status is 0 where all is the same, 1 where something differs, 2 where the call is wrong, and 3 where not all
could be compared and nothing else differs.`,
		Example: `  lampblack compare my-desk/out my-desk
  lampblack compare my-desk/out my-desk --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usage("compare takes two: the old one and the new one")
			}
			return a.compareSides(cmd.Context(), args[0], args[1])
		},
	}
}

func (a *app) compareSides(ctx context.Context, was, is string) error {
	names := [2]string{was, is}
	var sides [2]result.Console
	var date time.Time
	var built []int
	for i, name := range names {
		c, ok, err := output(name)
		if err != nil {
			return failed("%s cannot be compared: %w", name, err)
		}
		if !ok {
			built = append(built, i)
			continue
		}
		sides[i] = c
		if date, err = dateOf(c); err != nil {
			return failed("%s cannot be compared: %w", name, err)
		}
	}
	for _, i := range built {
		var err error
		if sides[i], err = a.inMemory(ctx, names[i], date); err != nil {
			return err
		}
		if date, err = dateOf(sides[i]); err != nil {
			return failed("%s cannot be compared: %w", names[i], err)
		}
	}
	d := compare.Consoles(sides[0], sides[1])
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

func dateOf(c result.Console) (time.Time, error) {
	if c.Date == "" {
		return time.Time{}, nil
	}
	return project.ParseDate(c.Date)
}

// inMemory builds a project or a drawing. One with errors in what it says is no side to compare.
func (a *app) inMemory(ctx context.Context, name string, date time.Time) (result.Console, error) {
	if strings.EqualFold(filepath.Ext(name), ".zip") {
		return result.Console{}, failed("%s is a pack, which knows nothing of supply, strings and light: name the output folder that it came in", name)
	}
	o, err := a.open([]string{name}, "")
	if err != nil {
		return result.Console{}, err
	}
	done, err := a.work(o, func(p project.Project, set flow.Settings) (flow.Outcome, error) {
		set.Date, set.Pack = date, true
		return flow.Build(ctx, p, set)
	})
	if err != nil {
		return result.Console{}, err
	}
	if done.Unreadable || o.findings.HasErrors() || done.Packs == 0 && done.Findings.HasErrors() {
		_ = a.tell(done.Findings, true)
		return result.Console{}, failed("%s cannot be compared: it could not be built", name)
	}
	return done.Result, nil
}

// output reads the output folder of an earlier build; ok is false where name is none. Files that are gone or were edited since
// are an error: what lies there is not what result.json tells of.
func output(name string) (c result.Console, ok bool, err error) {
	if st, err := os.Stat(name); err != nil || !st.IsDir() {
		return c, false, nil
	}
	if _, err := os.Stat(filepath.Join(name, project.FileName)); err == nil {
		return c, false, nil
	}
	file := filepath.Join(name, string(result.ResultJSON))
	src, err := flow.ReadFile(file)
	if err != nil {
		return c, false, fmt.Errorf("it has neither a %s nor a readable %s: %w", project.FileName, result.ResultJSON, cause(err))
	}
	if c, err = consoleOf(src); err != nil {
		return c, false, fmt.Errorf("%s: %w", file, err)
	}
	for _, f := range slices.Sorted(maps.Keys(c.Digests)) {
		if !filepath.IsLocal(filepath.FromSlash(f)) {
			return c, false, fmt.Errorf("%s names a file outside its folder: %q", file, result.Printable(f))
		}
		b, err := flow.ReadFile(filepath.Join(name, filepath.FromSlash(f)))
		if err != nil {
			return c, false, fmt.Errorf("its file %s cannot be read: %w", result.Printable(f), cause(err))
		}
		if bundle.Digests(nil, []bundle.File{{Path: f, Data: b}})[f] != c.Digests[f] {
			return c, false, fmt.Errorf("its file %s was changed since it was built: build it again, or put the file back", result.Printable(f))
		}
	}
	return c, true, nil
}

// consoleOf reads a result.json, also one of anybody's making.
func consoleOf(src []byte) (result.Console, error) {
	var c result.Console
	if err := json.Unmarshal(src, &c); err != nil {
		return c, err
	}
	if c.Lampblack == "" || len(c.Panels) == 0 {
		return c, fmt.Errorf("it does not tell of a console and its panels")
	}
	return c, nil
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
		fmt.Fprintln(a.out, "The same: supply, feed, panels, boards, strings, light, sheets, findings, and the files of boards and sheets.")
	case len(d.Changes) == 0:
		fmt.Fprintln(a.out, "No change in what was compared, but not all was.")
	default:
		fmt.Fprintf(a.out, "%s.\n", term.Plural(len(d.Changes), "change"))
	}
}
