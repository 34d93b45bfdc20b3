package main

import (
	"context"
	"errors"
	"fmt"
	"io"
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
	"lampblack/export/report"
	"lampblack/panel/diag"
)

func (a *app) build() *cobra.Command {
	var out, date string
	c := &cobra.Command{
		Use:   "build [PROJECT or DRAWING...]",
		Short: "Make the boards, laser sheets and lists of a console",
		Long: `Build makes everything: for each panel a fabrication pack (Gerber layers, drills,
netlist, zip), the laser sheets, pictures and parts lists; for the console its parts, its order,
its SPICE netlist and result.json.

PROJECT is a ` + project.FileName + ` or a folder that holds one; without it, the folder you are in. DRAWINGs are
DXF files, built with the defaults: 12 V, 2 A, red 3 mm LEDs at 8 mA, all in one chain; then the
` + project.FileName + ` that this assumes is written beside the output folder, also where the build fails,
unless one is there already.

A panel with an error gets no pack; the others are built. Where nothing can be built, the last
output folder stays as it is; where some panels can, it holds those alone, and a warning names earlier
packs that are gone. A folder that holds anything lampblack did not write is refused.`,
		Example: `  lampblack build examples/observatory
  lampblack build my-sketch.dxf -o try
  lampblack build --date 2026-11-25 --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			var d time.Time
			if date != "" {
				var err error
				if d, err = project.ParseDate(date); err != nil {
					return usage("--date: %w", err)
				}
			}
			if out == "" {
				return usage("-o needs the name of a folder")
			}
			return a.make(cmd.Context(), args, out, d)
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "out", "folder to write; it is replaced whole")
	c.Flags().StringVar(&date, "date", "", "date that the files carry, as 2026-11-25 (default: the project's, or none)")
	return c
}

func (a *app) check() *cobra.Command {
	return &cobra.Command{
		Use:   "check [PROJECT or DRAWING...]",
		Short: "Do all of build's work, but write nothing",
		Long: `Check does all that build does, with the proof of every board and pack, and writes nothing but
its findings.`,
		Example: `  lampblack check my-desk
  lampblack check my-sketch.dxf --json`,
		RunE: func(cmd *cobra.Command, args []string) error { return a.make(cmd.Context(), args, "", time.Time{}) },
	}
}

// make is build, or check when out is empty.
func (a *app) make(ctx context.Context, args []string, out string, date time.Time) error {
	o, err := open(args)
	if err != nil {
		return err
	}
	if out != "" {
		if err := safe(out, o.project); err != nil {
			return err
		}
	}
	outcome, err := a.work(o, func(p project.Project, set flow.Settings) (flow.Outcome, error) {
		set.Date, set.Pack = date, out != ""
		return flow.Build(ctx, p, set)
	})
	if err != nil {
		return err
	}
	if out != "" && outcome.Packs > 0 {
		outcome.Findings = append(outcome.Findings, dropped(out, outcome.Files)...).Sorted()
		if err := bundle.Swap(out, outcome.Files); err != nil {
			_ = a.tell(outcome.Findings, false)
			return failed("writing %s: %w; what was there before is untouched", out, err)
		}
	}
	var assumed string
	// A drawing that fails is mended by the project file as often as in the CAD program: layers, units.
	if o.bare && out != "" && !o.findings.HasErrors() && (outcome.Packs > 0 || drawings(outcome)) {
		if assumed, err = assume(o.project, out); err != nil {
			return err
		}
	}
	end := a.tell(outcome.Findings, outcome.Unreadable)
	if a.json {
		if err := a.print(outcome.Result); err != nil {
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

// work opens a progress line, runs f, and joins the findings of the project file.
func (a *app) work(o opened, f func(project.Project, flow.Settings) (flow.Outcome, error)) (flow.Outcome, error) {
	if o.findings.HasErrors() {
		return flow.Refused(o.project, o.findings, o.unreadable, version), nil
	}
	progress := a.screen.NewProgress()
	defer progress.Close()
	return f(o.project, flow.Settings{Version: version, Told: o.findings, Step: progress.Step})
}

// drawings reports whether all bare drawings could be read as such, so that a project file could say how to take them.
func drawings(o flow.Outcome) bool {
	return !o.Unreadable && !slices.ContainsFunc(o.Findings, func(f diag.Finding) bool {
		return f.Severity == diag.Error && strings.HasPrefix(f.Code, "dxf-not")
	})
}

// assume writes the project file that bare drawings were built with beside the output folder, unless there is one, and
// returns what to tell.
func assume(p project.Project, out string) (string, error) {
	dir := filepath.Dir(filepath.Clean(out))
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", failed("writing %s: %w", project.FileName, err)
	}
	name := filepath.Join(dir, project.FileName)
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return name + " is there already and stays as it is; this build did not use it", nil
	}
	if err != nil {
		return "", failed("writing %s: %w", name, err)
	}
	_, err = f.Write(p.YAML(dir))
	if err = errors.Join(err, f.Close()); err != nil {
		return "", failed("writing %s: %w", name, errors.Join(err, os.Remove(name)))
	}
	return "The project this assumed is written to " + name + ": edit it, then call lampblack build " + dir, nil
}

// safe refuses an output folder whose replacement would lose anything but an earlier output.
func safe(out string, p project.Project) error {
	abs, err := filepath.Abs(out)
	if err != nil {
		return failed("%s: %w", out, err)
	}
	// What the project needs must not lie where the output goes.
	inputs := []string{"."}
	if p.File != "" {
		inputs = append(inputs, p.File)
	}
	for i := range p.Panels {
		inputs = append(inputs, p.Path(i))
	}
	for _, in := range inputs {
		in, err := filepath.Abs(in)
		if err != nil {
			return failed("%s: %w", out, err)
		}
		if rel, err := filepath.Rel(abs, in); err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
			return usage("-o %s: this folder is replaced whole, but it holds what you work on; choose one that may be replaced", out)
		}
	}
	st, err := os.Stat(out)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return failed("%s: %w", out, cause(err))
	}
	if !st.IsDir() {
		return usage("-o %s: there is a file of that name; name a folder", out)
	}
	foreign, err := bundle.Foreign(out)
	if err != nil {
		return failed("%s: %w", out, cause(err))
	}
	if foreign != "" {
		return usage("-o %s: this folder is replaced whole, but lampblack did not write %s in it; choose another folder, or move that away",
			out, foreign)
	}
	return nil
}

// dropped tells of panels whose earlier pack goes because they could not be built this time.
func dropped(out string, files []bundle.File) diag.List {
	before, err := bundle.Listed(out)
	if err != nil {
		return nil
	}
	now := map[string]bool{}
	for _, f := range files {
		now[panelOf(f.Path)] = true
	}
	var l diag.List
	for _, f := range before {
		if name := panelOf(f); name != "" && !now[name] {
			now[name] = true
			l.Add(diag.Warning, "build-pack-gone", "the earlier pack of %s is no longer in %s: this build made none, and the old one may not fit the rest", name, out).
				Fix("mend its errors and build again before you order; a copy of the old pack can be made from the old drawing")
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
			leds += len(b.Wiring.LEDs)
		}
	}
	if r := o.Result.Supply; r != nil {
		supply = fmt.Sprintf(", supply %s", r.Verdict)
	}
	count := fmt.Sprintf("%d of %s", o.Packs, term.Plural(len(o.Built)+o.Lost, "panel"))
	fmt.Fprintf(w, "%s %s, %s%s; %s.\n", count, where, term.Plural(leds, "LED"), supply, tally)
}
