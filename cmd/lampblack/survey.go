package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/bundle"
	"lampblack/export/picture"
	"lampblack/export/result"
	"lampblack/export/result/tables"
	"lampblack/export/scene"
	"lampblack/export/scene/dxf"
	"lampblack/export/scene/pdf"
	"lampblack/export/scene/png"
	"lampblack/export/scene/svg"
	"lampblack/export/table"
	"lampblack/panel/diag"
	"lampblack/panel/read"
)

func (a *app) survey() *cobra.Command {
	image := ""
	c := &cobra.Command{
		Use:   "survey DRAWING...",
		Short: "Show what a drawing holds and what would be taken for what",
		Long: `Survey shows what a DXF drawing holds: version, units, layers, loops, circles by diameter, texts,
gaps, and what build would take each thing for. It reads the drawing alone, without a project.
Where shapes had to decide, it writes the roles: that a project file could say, to be pasted and
corrected, and what it is unsure of.

With --picture the drawing is drawn with each thing in its role and open ends marked: as SVG, or as
PDF, PNG or DXF where the file's name ends so. It goes into a new file, or in place of such a picture that
nobody changed since. With --json
one drawing gives one object, several drawings a list of them.`,
		Example: `  lampblack survey my-sketch.dxf
  lampblack survey my-sketch.dxf --picture my-sketch.svg
  lampblack survey --json dome.dxf focus.dxf`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("survey needs a drawing: lampblack survey my-sketch.dxf")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if image != "" && len(args) > 1 {
				return usage("--picture shows one drawing: name one")
			}
			shown := bundle.Picture{Name: image, Inputs: args}
			if image != "" {
				if err := shown.Check(); err != nil {
					return unwrittenFile(image, err)
				}
			}
			var all []flow.Surveyed
			var findings diag.List
			unreadable := false
			for _, arg := range args {
				if st, err := os.Stat(arg); err == nil && st.IsDir() || strings.EqualFold(filepath.Ext(arg), ".yaml") {
					return usage("%s is no drawing: survey takes DXF files", arg)
				}
				s := flow.Survey(cmd.Context(), arg, read.Options{}, nil)
				all = append(all, s)
				findings = append(findings, s.Findings...)
				unreadable = unreadable || s.Unreadable
			}
			if err := cmd.Context().Err(); err != nil {
				return err
			}
			end := a.tell(findings, unreadable)
			if image != "" && !unreadable && all[0].Report.Units.Name != "" {
				data, err := encoded(image, picture.SurveyPage(all[0].Report, all[0].Findings))
				if err != nil {
					return failed("drawing the picture: %w", err)
				}
				if err := shown.Write(data); err != nil {
					return unwrittenFile(image, err)
				}
			}
			if a.json {
				var v any
				if len(all) == 1 {
					v = all[0].JSON()
				} else {
					var list []result.Survey
					for _, s := range all {
						list = append(list, s.JSON())
					}
					v = list
				}
				if err := a.print(v); err != nil {
					return err
				}
				return end
			}
			panels := 0
			for _, s := range all {
				panels += len(s.Report.Panels)
				a.surveyTables(s)
			}
			fmt.Fprintf(a.out, "%s in %s; %s.\n", term.Plural(panels, "panel"), term.Plural(len(all), "drawing"), term.Tally(findings))
			return end
		},
	}
	c.Flags().StringVar(&image, "picture", "", "draw it into this file: SVG, or by its ending .pdf, .png or .dxf")
	return c
}

// surveyPixels is how many pixels a millimetre of a survey's PNG has: about 200 an inch.
const surveyPixels = 8

// encoded returns a page in the format that the file's name asks for.
func encoded(name string, p scene.Page) ([]byte, error) {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".pdf":
		return pdf.Encode(nil, pdf.Document{Title: p.Title}, p), nil
	case ".png":
		return png.Encode(p, surveyPixels), nil
	case ".dxf":
		return dxf.Encode(p)
	}
	return svg.Encode(nil, p), nil
}

// mostRows bounds each table of a survey unless all is asked for; a drawing may hold a hundred thousand things.
const mostRows = 40

// surveyTables shows one drawing.
func (a *app) surveyTables(s flow.Surveyed) {
	if s.Unreadable || s.Report.Units.Name == "" {
		return // the findings tell why there is nothing to show
	}
	r := s.Report
	version := "of a version it does not tell"
	if r.Version != "" {
		version = strings.TrimSpace(r.Release + " (" + r.Version + ")")
	}
	kind := ""
	if r.Binary {
		kind = "binary "
	}
	fmt.Fprintf(a.out, "%s: %sDXF %s, units %s", r.File, kind, version, r.Units.Name)
	if r.Units.MMPerUnit != 1 {
		fmt.Fprintf(a.out, " (%s mm each)", table.Plain(r.Units.MMPerUnit))
	}
	if r.Units.Assumed {
		fmt.Fprintf(a.out, ", assumed: %s", r.Units.Why)
	}
	fmt.Fprintf(a.out, "; extents x %s to %s, y %s to %s mm\n", table.Fixed(r.Extents.Min.X, 2), table.Fixed(r.Extents.Max.X, 2), table.Fixed(r.Extents.Min.Y, 2), table.Fixed(r.Extents.Max.Y, 2))
	if r.Guessed {
		fmt.Fprintln(a.out, "It has none of our layers: what things are taken for comes from their shapes.")
	}
	fmt.Fprintln(a.out)

	for _, t := range tables.Survey(r) {
		a.table(t)
	}
	a.proposal(s)
}

// proposal writes the roles that a project file could say of a drawing whose roles were guessed.
func (a *app) proposal(s flow.Surveyed) {
	lines := s.Proposal()
	if len(lines) == 0 {
		return
	}
	fmt.Fprintln(a.out, "To say so in the project file, paste this into the drawing's entry under panels, and correct it:")
	fmt.Fprintln(a.out)
	for _, l := range lines {
		fmt.Fprintln(a.out, "    "+l)
	}
	fmt.Fprintln(a.out)
}

// table prints a table, cut to mostRows unless all is asked for.
func (a *app) table(t table.Table) {
	rest := len(t.Rows) - mostRows
	if !a.all && rest > 0 {
		t.Title += fmt.Sprintf(" (%d more with --all)", rest)
		t.Rows = t.Rows[:mostRows]
	}
	term.Table(a.out, t)
}
