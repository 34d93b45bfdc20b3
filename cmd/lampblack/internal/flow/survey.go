package flow

import (
	"context"
	"fmt"

	"lampblack/board"
	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/result"
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

// Survey looks at one drawing. Once ctx is done what it returns means nothing.
func Survey(ctx context.Context, path string, opt read.Options, load func(string) ([]byte, error)) Surveyed {
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
	return surveyed(ctx, src, path, opt)
}

// surveyed looks at a drawing's bytes.
func surveyed(ctx context.Context, src []byte, path string, opt read.Options) Surveyed {
	out := Surveyed{Report: read.Report{File: path}}
	if f := guard(func() {
		d, l := dxf.Read(ctx, src, path)
		report, more := read.Survey(ctx, d, opt)
		for i := range report.Panels {
			q := &report.Panels[i]
			q.Drawing = told(path)
			q.Room = shape.Rooms(*q, board.UsualRules())
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
	out.Findings = out.Findings.Sorted().Grouped()
	return out
}

// JSON returns the survey as `survey --json` prints it.
func (s Surveyed) JSON() result.Survey { return result.SurveyOf(s.Report, s.Findings) }

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
	if s.Report.Together != "" {
		out = append(out, "sheets: "+string(s.Report.Together))
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
