package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
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
		Use:   "survey DRAWING... | PROJECT",
		Short: "Show what a drawing holds and what would be taken for what",
		Long: `Survey shows what a DXF drawing holds: version, units, layers, loops, circles by diameter, texts,
gaps, and what build would take each thing for. It reads the drawing alone, without a project; of a project
or the folder of one, all drawings, as the project wants them read: with its layers, roles, units and join.
Where shapes had to decide, it writes the roles: that a project file could say, to be pasted and
corrected, and what it is unsure of.

With --picture the drawing is drawn on a page for A4: each thing in its role, open ends ringed, and
numbers that a list below explains: questions, what is wrong, what things are taken for and why, what is
not used. As SVG, or as PDF, PNG or DXF where the file's name ends so. It goes into a new file, or in place of such a picture that
nobody changed since. Of a project with several panels each gets its own, as desk-dome.svg for desk.svg. With --json
one drawing gives one object, several drawings a list of them.`,
		Example: `  lampblack survey my-sketch.dxf
  lampblack survey my-sketch.dxf --picture my-sketch.svg
  lampblack survey --json dome.dxf focus.dxf
  lampblack survey my-desk --picture desk.svg`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("survey needs a drawing: lampblack survey my-sketch.dxf")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			asked, told, err := surveyed(args)
			if err != nil {
				return err
			}
			if image != "" && len(args) > 1 {
				return usage("--picture shows one drawing: name one")
			}
			if image != "" && !slices.Contains([]string{".svg", ".pdf", ".png", ".dxf"}, strings.ToLower(filepath.Ext(image))) {
				return usage("--picture %s: the ending says what is drawn; end it in .svg, .pdf, .png or .dxf", image)
			}
			for i := range asked {
				if image == "" {
					continue
				}
				p := &asked[i].picture
				p.Name, p.Inputs = image, []string{asked[i].file}
				if len(asked) > 1 {
					ext := filepath.Ext(image)
					p.Name = strings.TrimSuffix(image, ext) + "-" + asked[i].name + ext
				}
				if err := p.Check(); err != nil {
					return unwrittenFile(p.Name, err)
				}
			}
			var all []flow.Surveyed
			findings, unreadable := told.list, told.unreadable
			for _, q := range asked {
				s := flow.Survey(cmd.Context(), q.file, q.options, nil)
				all = append(all, s)
				findings = append(findings, s.Findings...)
				unreadable = unreadable || s.Unreadable
			}
			if err := cmd.Context().Err(); err != nil {
				return err
			}
			if image != "" {
				findings = told.list
				for i := range all {
					all[i].Findings = picture.SurveyMarks(all[i].Findings, asked[i].picture.Name)
					findings = append(findings, all[i].Findings...)
				}
			}
			end := a.tell(findings, unreadable)
			for i, s := range all {
				if image == "" || s.Unreadable || s.Report.Units.Name == "" {
					continue
				}
				p := asked[i].picture
				data, err := encoded(p.Name, picture.SurveyPage(s.Report, s.Findings, flow.Faces(cmd.Context(), asked[i].project, s.Report.Panels)))
				if err != nil {
					return failed("drawing the picture: %w", err)
				}
				if err := p.Write(data); err != nil {
					return unwrittenFile(p.Name, err)
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

// toSurvey is a drawing to be looked at, and how.
type toSurvey struct {
	file, name string
	options    read.Options
	project    project.Project // that it is of; of a bare drawing one with nothing but that
	picture    bundle.Picture
}

// toldOf is what is told of a project before its drawings.
type toldOf struct {
	list       diag.List
	unreadable bool
}

// surveyed returns the drawings that the arguments name, or those of the project that they name, as it wants them read.
func surveyed(args []string) ([]toSurvey, toldOf, error) {
	var out []toSurvey
	for _, arg := range args {
		st, err := os.Stat(arg)
		ext := strings.ToLower(filepath.Ext(arg))
		if folder := err == nil && st.IsDir(); !folder && ext != ".yaml" && ext != ".yml" {
			p := project.New("")
			p.Panels = []project.Panel{{Drawing: arg}}
			out = append(out, toSurvey{file: arg, project: p})
			continue
		}
		if len(args) > 1 {
			return nil, toldOf{}, usage("%s is a project: name it alone, it lists its drawings itself", arg)
		}
		o, err := open(args)
		if err != nil {
			return nil, toldOf{}, err
		}
		told := toldOf{o.findings, o.unreadable}
		for i, p := range o.project.Panels {
			if p.Name != "" && p.Drawing != "" {
				out = append(out, toSurvey{file: o.project.Path(i), name: p.Name, options: flow.Options(o.project, p), project: o.project})
			}
		}
		return out, told, nil
	}
	return out, toldOf{}, nil
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
