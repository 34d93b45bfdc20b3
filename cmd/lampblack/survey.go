package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/panel"
	"lampblack/panel/diag"
)

func (a *app) survey() *cobra.Command {
	return &cobra.Command{
		Use:   "survey DRAWING...",
		Short: "Show what a drawing holds and what would be taken for what",
		Long: `Survey shows what a DXF drawing holds: version, units, layers, loops, circles by diameter, texts,
gaps, and what build would take each thing for. It reads the drawing alone, without a project.

With --json one drawing gives one object, several drawings a list of them.`,
		Example: `  lampblack survey my-sketch.dxf
  lampblack survey --json dome.dxf focus.dxf`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("survey needs a drawing: lampblack survey my-sketch.dxf")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			var all []flow.Surveyed
			var findings diag.List
			unreadable := false
			for _, arg := range args {
				if st, err := os.Stat(arg); err == nil && st.IsDir() || strings.EqualFold(filepath.Ext(arg), ".yaml") {
					return usage("%s is no drawing: survey takes DXF files", arg)
				}
				s := flow.Survey(arg, panel.Options{}, nil)
				all = append(all, s)
				findings = append(findings, s.Findings...)
				unreadable = unreadable || s.Unreadable
			}
			end := a.tell(findings, unreadable)
			if a.json {
				var v any
				if len(all) == 1 {
					v = all[0].JSON()
				} else {
					var list []flow.SurveyResult
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
				surveyTables(a.out, s)
			}
			fmt.Fprintf(a.out, "%s in %s; %s.\n", term.Plural(panels, "panel"), term.Plural(len(all), "drawing"), term.Tally(findings))
			return end
		},
	}
}

// surveyTables shows one drawing.
func surveyTables(w io.Writer, s flow.Surveyed) {
	if s.Unreadable {
		return
	}
	r := s.Report
	fmt.Fprintln(w, r.File)
}
