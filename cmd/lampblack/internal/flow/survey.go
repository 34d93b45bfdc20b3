package flow

import (
	"fmt"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// Surveyed is one drawing as `survey` sees it.
type Surveyed struct {
	Report     read.Report
	Findings   diag.List
	Unreadable bool
}

// SurveyResult is what `survey --json` prints. Lengths are mm in the drawing's frame.
type SurveyResult struct {
	File     string          `json:"file"`
	Version  string          `json:"version"`
	Units    UnitsResult     `json:"units"`
	Panels   []PanelResult   `json:"panels"`
	Entities []CountResult   `json:"entities"`
	Circles  []CirclesResult `json:"circles"`
	Loops    []CurveResult   `json:"loops"`
	Texts    []WordsResult   `json:"texts"`
	OpenEnds [][2]float64    `json:"open_ends"`
	Skipped  []SkipResult    `json:"skipped"`
	Roles    []RoleResult    `json:"roles"`
	Findings []FindingResult `json:"findings"`
}

// UnitsResult is the length of a drawing unit.
type UnitsResult struct {
	Name      string  `json:"name"`
	MMPerUnit float64 `json:"mm_per_unit"`
	Assumed   bool    `json:"assumed"`
}

// CountResult is how many entities of a type lie on a layer and what they are taken for; an empty role: nothing.
type CountResult struct {
	Type  string `json:"type"`
	Layer string `json:"layer"`
	Role  string `json:"role"`
	Count int    `json:"count"`
}

// CirclesResult counts round holes of one diameter.
type CirclesResult struct {
	D     float64 `json:"d"`
	Role  string  `json:"role"`
	Count int     `json:"count"`
}

// CurveResult is a closed line; D is 0 unless it is round.
type CurveResult struct {
	Layer     string     `json:"layer"`
	Role      string     `json:"role"`
	AreaMM2   float64    `json:"area_mm2"`
	Perimeter float64    `json:"perimeter_mm"`
	Bbox      [4]float64 `json:"bbox_mm"`
	D         float64    `json:"d,omitempty"`
}

// WordsResult is a text and what it is taken for.
type WordsResult struct {
	Text   string  `json:"text"`
	Layer  string  `json:"layer"`
	Role   string  `json:"role"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Height float64 `json:"height"`
}

// RoleResult is a rule that the project file could have under roles.
type RoleResult struct {
	Role   string `json:"role"`
	Rule   string `json:"rule"`
	Count  int    `json:"count"`
	Unsure string `json:"unsure,omitempty"`
}

// SkipResult is what was left out, and why.
type SkipResult struct {
	Type   string `json:"type"`
	Layer  string `json:"layer"`
	Reason string `json:"reason"`
	Count  int    `json:"count"`
}

// Survey looks at one drawing.
func Survey(path string, opt read.Options, load func(string) ([]byte, error)) Surveyed {
	out := Surveyed{Report: read.Report{File: path}}
	if load == nil {
		load = ReadFile
	}
	src, err := load(path)
	if err != nil {
		out.Unreadable = true
		out.Findings.Add(diag.Error, fileCode(err), "%s", fileText(err, path)).In(path, 0).
			Fix("check the name and where the file lies")
		return out
	}
	if f := guard(func() {
		d, l := dxf.Read(src, path)
		report, more := read.Survey(d, opt)
		for i := range report.Panels {
			report.Panels[i].Drawing = told(path)
		}
		out.Report, out.Findings = report, append(l, more...)
	}); f != nil {
		f.In(path, 0)
		out.Findings = diag.List{*f}
	}
	for i := range out.Findings {
		if out.Findings[i].Place.File == "" {
			out.Findings[i].Place.File = path
		}
	}
	out.Findings = out.Findings.Sorted()
	return out
}

// JSON returns the survey as `survey --json` prints it.
func (s Surveyed) JSON() SurveyResult {
	r := SurveyResult{
		File: s.Report.File, Version: s.Report.Version,
		Units:    UnitsResult{s.Report.Units.Name, s.Report.Units.MMPerUnit, s.Report.Units.Assumed},
		Panels:   []PanelResult{},
		Entities: []CountResult{}, Circles: []CirclesResult{}, OpenEnds: [][2]float64{}, Skipped: []SkipResult{},
		Loops: []CurveResult{}, Texts: []WordsResult{}, Roles: []RoleResult{},
		Findings: Findings(s.Findings),
	}
	for _, p := range s.Report.Panels {
		r.Panels = append(r.Panels, Panel(p))
	}
	for _, c := range s.Report.Counts {
		r.Entities = append(r.Entities, CountResult{c.Type, c.Layer, string(c.Role), c.N})
	}
	for _, c := range s.Report.Circles {
		r.Circles = append(r.Circles, CirclesResult{num(c.D, 6), string(c.Role), c.N})
	}
	for _, l := range s.Report.Loops {
		r.Loops = append(r.Loops, CurveResult{
			l.Layer, string(l.Role), num(l.AreaMM2, 4), num(l.Perimeter, 4),
			[4]float64{num(l.Box.Min.X, 6), num(l.Box.Min.Y, 6), num(l.Box.Max.X, 6), num(l.Box.Max.Y, 6)}, num(l.D, 6),
		})
	}
	for _, t := range s.Report.Texts {
		r.Texts = append(r.Texts, WordsResult{t.Text.Text, t.Layer, string(t.Role), num(t.Text.At.X, 6), num(t.Text.At.Y, 6), num(t.Text.Height, 6)})
	}
	for _, p := range s.Report.Proposal {
		r.Roles = append(r.Roles, RoleResult{string(p.Rule.Role), p.Rule.String(), p.Count, p.Unsure})
	}
	for _, e := range s.Report.Open {
		r.OpenEnds = append(r.OpenEnds, [2]float64{num(e.At.X, 6), num(e.At.Y, 6)})
	}
	for _, k := range s.Report.Skipped {
		r.Skipped = append(r.Skipped, SkipResult{k.Type, k.Layer, k.Reason, k.Count})
	}
	return r
}

// Proposal returns the lines of a roles block for the project file, one rule a line, with what is unsure of it; none
// when nothing was guessed.
func (s Surveyed) Proposal() []string {
	list := s.Report.Proposal
	if len(list) == 0 {
		return nil
	}
	var out []string
	if u := s.Report.Units; u.Assumed && len(s.Report.Panels) > 0 {
		out = append(out, "units: "+project.UnitWord(u.Name)+"  # "+u.Why)
	}
	out = append(out, "roles:")
	for i := 0; i < len(list); {
		end := i + 1
		for end < len(list) && list[end].Rule.Role == list[i].Rule.Role {
			end++
		}
		one := func(p read.Proposed) string {
			line := project.Plain(p.Rule.String()) + fmt.Sprintf("  # %d", p.Count)
			if p.Unsure != "" {
				line += "; unsure: " + p.Unsure
			}
			return line
		}
		if end == i+1 {
			out = append(out, "  "+string(list[i].Rule.Role)+": "+one(list[i]))
		} else {
			out = append(out, "  "+string(list[i].Rule.Role)+":")
			for _, p := range list[i:end] {
				out = append(out, "    - "+one(p))
			}
		}
		i = end
	}
	return out
}
