package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/report"
	"lampblack/panel/diag"
)

func (a *app) build() *cobra.Command {
	var date string
	var to target
	var made copies
	c := &cobra.Command{
		Use:   "build [PROJECT or DRAWING...]",
		Short: "Make the boards, laser sheets and lists of a console",
		Long: `Build makes everything: for each panel a fabrication pack (Gerber layers, drills,
netlist, zip), the laser sheets, pictures and parts lists; for the console its parts, its order,
its SPICE netlist and result.json.

PROJECT is a ` + project.FileName + ` or a folder that holds one; without it, the folder you are in. DRAWINGs are
DXF files. Where a ` + project.FileName + ` beside them names them, that project is built. Otherwise they are built
with the defaults: 12 V, 2 A, red 3 mm LEDs at 8 mA, all in one chain; then the ` + project.FileName + ` that this
assumes is written beside the output folder, also where the build fails, unless one is there already.

The files go into the folder out beside the project file, or beside the first drawing. It is replaced whole.
A panel with an error gets no pack; the others are built. Where nothing can be built, the last output
stays as it is; where some panels can, the folder holds those alone, and a warning names earlier packs that
are gone. A folder that holds anything lampblack did not write is refused; so are one made from another
project, and one with files that you edited, unless --replace is given.`,
		Example: `  lampblack build examples/observatory
  lampblack build my-sketch.dxf -o try
  lampblack build --copies 10    parts, boards, arrays and sheets for ten consoles
  lampblack build --date 2026-11-25 --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			var d time.Time
			if date != "" {
				var err error
				if d, err = project.ParseDate(date); err != nil {
					return usage("--date: %w", err)
				}
			}
			if err := to.named(cmd); err != nil {
				return err
			}
			return a.make(cmd.Context(), args, &to, d, made)
		},
	}
	made.flag(c)
	to.flags(c, "folder to write; it is replaced whole (default: out, beside the project or the first drawing)")
	c.Flags().StringVar(&date, "date", "", "date that the files carry, as 2026-11-25 (default: the project's, or none)")
	return c
}

func (a *app) check() *cobra.Command {
	var made copies
	c := &cobra.Command{
		Use:   "check [PROJECT or DRAWING...]",
		Short: "Do all of build's work, but write nothing",
		Long: `Check does all that build does, with the proof of every board and pack, and writes nothing but
its findings.`,
		Example: `  lampblack check my-desk
  lampblack check my-sketch.dxf --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.make(cmd.Context(), args, nil, time.Time{}, made)
		},
	}
	made.flag(c)
	return c
}

// make is build, or check without a target.
func (a *app) make(ctx context.Context, args []string, to *target, date time.Time, made copies) error {
	also := ""
	if to != nil && to.dir != "" {
		also = filepath.Dir(filepath.Clean(to.dir)) // where an earlier build of bare drawings left its project
	}
	o, err := a.open(args, also)
	if err != nil {
		return err
	}
	if made > 0 {
		o.project.Copies = int(made)
	}
	out := ""
	var folder bundle.Folder
	if to != nil {
		folder = to.folder(o)
		out = folder.Dir
		// With errors nothing is written; that a drawing is not there is told first, before whose folder it would go into.
		if err := folder.Check(); err != nil && !o.findings.HasErrors() && !o.gone() {
			return unwritten(folder, err, joining(o, folder))
		}
	}
	outcome, err := a.work(o, func(p project.Project, set flow.Settings) (flow.Outcome, error) {
		set.Date, set.Pack = date, to != nil
		return flow.Build(ctx, p, set)
	})
	if err != nil {
		return err
	}
	if to != nil && outcome.Packs > 0 {
		before := func(name string) ([]byte, error) {
			return os.ReadFile(filepath.Join(folder.Dir, filepath.FromSlash(name)))
		}
		outcome.Findings = append(append(outcome.Findings, dropped(folder, outcome)...), flow.NewEngine(flow.UsualBound()).Reissued(ctx, outcome, before)...).Sorted()
		if err := folder.Swap(outcome.Files); err != nil {
			_ = a.tell(outcome.Findings, false)
			return unwritten(folder, err, joining(o, folder))
		}
	}
	if to != nil {
		if err := a.drawOpen(outcome, filepath.Dir(filepath.Clean(out))); err != nil {
			return err
		}
	}
	var assumed string
	// A drawing that fails is mended by the project file as often as in the CAD program: layers, units.
	if o.bare && to != nil && !o.findings.HasErrors() && !outcome.Unreadable && !outcome.NoDrawing {
		if assumed, err = assume(o.project, out); err != nil {
			return err
		}
	}
	end := a.tell(outcome.Findings, outcome.Unreadable)
	if a.json {
		if err := a.print(outcome.Result.Sealed()); err != nil {
			return err
		}
		return end
	}
	consoleTables(a.out, outcome)
	boardTables(a.out, outcome)
	if assumed != "" {
		fmt.Fprintln(a.out, assumed)
	}
	if outcome.Packs > 0 {
		fmt.Fprintln(a.out, "Before you order and wire it:")
		for _, c := range report.Cautions() {
			fmt.Fprintln(a.out, "  - "+c)
		}
		fmt.Fprintln(a.out)
	}
	summary(a.out, outcome, out)
	return end
}

// drawOpen writes the pictures of boards that were refused for open nets, and takes those away of boards that have come out since.
// A file of that name that is not ours stays.
func (a *app) drawOpen(o flow.Outcome, dir string) error {
	for _, b := range o.Built {
		for _, m := range b.Boards {
			if b.Stopped != "" {
				continue
			}
			if err := (bundle.Picture{Name: filepath.Join(dir, flow.OpenNets(m.Name()))}).Remove(); err != nil {
				return failed("removing the picture of open nets: %w", cause(err))
			}
		}
	}
	for _, f := range o.Stuck {
		p := bundle.Picture{Name: filepath.Join(dir, f.Path)}
		if err := p.Write(f.Data); err != nil {
			_ = a.tell(o.Findings, false)
			return unwrittenPicture(p.Name, err)
		}
	}
	return nil
}

// work opens a progress line, runs f, and joins the findings of the project file.
func (a *app) work(o opened, f func(project.Project, flow.Settings) (flow.Outcome, error)) (flow.Outcome, error) {
	if o.findings.HasErrors() {
		return flow.Refused(o.project, o.findings, o.unreadable, version), nil
	}
	progress := a.screen.NewProgress()
	defer progress.Close()
	return f(o.project, flow.Settings{Version: version, Told: o.findings, Step: progress.Step})
}

// assume writes the project file that bare drawings were built with beside the output folder, unless there is one, and
// returns what to tell.
func assume(p project.Project, out string) (string, error) {
	dir := filepath.Dir(filepath.Clean(out))
	name := filepath.Join(dir, project.FileName)
	switch err := bundle.Fill(dir, []bundle.File{{Path: project.FileName, Data: p.YAML(dir)}}); {
	case errors.Is(err, os.ErrExist):
		return name + " is there already and stays as it is; this build did not use it, as it does not name the drawing", nil
	case err != nil:
		return "", failed("writing %s: %w", name, cause(err))
	}
	return "The project this assumed is written to " + name + ": edit it, then call lampblack build " + dir, nil
}

// dropped tells of panels whose earlier pack goes: they could not be built this time, are no longer in the project, or are of
// another one.
func dropped(out bundle.Folder, done flow.Outcome) diag.List {
	before, err := out.Listed()
	if err != nil {
		return nil
	}
	owner, other := out.Another()
	now := map[string]bool{}
	for _, f := range done.Files {
		now[panelOf(f.Path)] = true
	}
	var l diag.List
	for _, f := range before {
		if name := panelOf(f); name != "" && !now[name] {
			now[name] = true
			f := l.Add(diag.Warning, "build-pack-gone", "the earlier pack of %s is no longer in %s: this build made none, and the old one may not fit the rest", name, out.Dir).Of(name)
			switch {
			case other:
				f.Text = fmt.Sprintf("the pack of %s is no longer in %s: it was made from %s", name, out.Dir, owner)
				f.Fix("build that project into a folder of its own, with -o, to have it again")
			case done.Failed(name):
				f.Fix("mend its errors and build again before you order; a copy of the old pack can be made from the old drawing")
			default:
				f.Text = fmt.Sprintf("the earlier pack of %s is no longer in %s: the project has nothing of that name now", name, out.Dir)
				f.Fix("it may not fit the rest any more; if %s is still wanted, take it into the project again", name)
			}
		}
	}
	return l
}

// panelOf returns the folder that a file of the output lies in, "" for those of the whole console.
func panelOf(file string) string {
	dir, _, ok := strings.Cut(file, "/")
	if !ok {
		return ""
	}
	return dir
}

// summary is the last line.
func summary(w io.Writer, o flow.Outcome, out string) {
	tally := term.Tally(o.Findings)
	if o.Packs == 0 {
		what := "nothing is good to build"
		if out != "" {
			what = "nothing built"
			if _, err := os.Stat(out); err == nil {
				what += ", " + out + " left as it was"
			}
		}
		fmt.Fprintf(w, "%s; %s.\n", what, tally)
		return
	}
	where := "good to build"
	if out != "" {
		where = "built into " + out
	}
	leds, supply := 0, ""
	for _, b := range o.Built {
		if b.Stopped == "" {
			leds += b.LEDs()
		}
	}
	if r := o.Result.Supply; r != nil {
		supply = fmt.Sprintf(", supply %s", r.Verdict)
	}
	count := fmt.Sprintf("%d of %s", o.Packs, term.Plural(len(o.Built)+o.Lost, "panel"))
	if n := o.Result.Copies; n > 1 {
		where += fmt.Sprintf(" for %d consoles", n)
	}
	fmt.Fprintf(w, "%s %s, %s%s; %s.\n", count, where, term.Plural(leds, "LED"), supply, tally)
}
