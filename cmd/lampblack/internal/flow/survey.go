package flow

import (
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// Surveyed is one drawing as `survey` sees it.
type Surveyed struct {
	Report     panel.Report
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
	OpenEnds [][2]float64    `json:"open_ends"`
	Skipped  []SkipResult    `json:"skipped"`
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

// SkipResult is what was left out, and why.
type SkipResult struct {
	Type   string `json:"type"`
	Layer  string `json:"layer"`
	Reason string `json:"reason"`
	Count  int    `json:"count"`
}

// Survey looks at one drawing.
func Survey(path string, opt panel.Options, read func(string) ([]byte, error)) Surveyed {
	out := Surveyed{Report: panel.Report{File: path}}
	if read == nil {
		read = ReadFile
	}
	src, err := read(path)
	if err != nil {
		out.Unreadable = true
		out.Findings.Add(diag.Error, fileCode(err), "%s", fileText(err, path)).In(path, 0).
			Fix("check the name and where the file lies")
		return out
	}
	if f := guard(func() {
		d, l := dxf.Read(src, path)
		report, more := panel.Survey(d, opt)
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
	for _, e := range s.Report.Open {
		r.OpenEnds = append(r.OpenEnds, [2]float64{num(e.At.X, 6), num(e.At.Y, 6)})
	}
	for _, k := range s.Report.Skipped {
		r.Skipped = append(r.Skipped, SkipResult{k.Type, k.Layer, k.Reason, k.Count})
	}
	return r
}
