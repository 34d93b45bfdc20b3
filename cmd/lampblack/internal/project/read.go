package project

import (
	"errors"
	"time"

	"lampblack/board"
	"lampblack/panel/diag"
)

// Read reads a project file's bytes: UTF-8, with a byte order mark or without, or UTF-16 with one, and lines that end as any
// system ends them. file is its name for findings. The project is meaningful only without an Error finding.
func Read(src []byte, file string) (Project, diag.List) {
	d := draft{Project: New("Console"), limits: board.UsualRules()}
	d.File = file
	d.sheets = sheets{Stack: d.Stack, grade: d.Stack.Grade, thick: d.Thick}
	text, _ := decoded(src[:min(len(src), 2*maxBytes+8)]) // enough to tell that it is too large
	text = plainLines(text)
	r := newReader(text, file, d.places)
	root := r.parse(text)
	if root == nil {
		if len(r.diags) == 0 {
			r.diags.Add(diag.Error, "project-empty", "the project file is empty").In(file, 0).
				Fix("%s", diag.Deed{Typed: "'lampblack new DIR' writes one to start from", Clicked: "undo brings back what stood in it; 'Begin anew' under Files goes back to the beginning"})
		}
		return d.Project, r.diags
	}
	fileKeys().read(r, root, spot{}, &d)
	d.settle(r)
	return d.Project, r.diags
}

// dates are days that files may carry.
func dates() parsed[time.Time] {
	return parsed[time.Time]{name: "date", parse: ParseDate, pattern: `(?:19[89][0-9]|[2-9][0-9]{3})-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])`}
}

// ParseDate reads the day that files may carry: 2026-11-25.
func ParseDate(s string) (time.Time, error) {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil || d.Year() < 1980 { // a zip archive can carry no earlier day
		return time.Time{}, errors.New("a date is written as year-month-day, 2026-11-25, and not before 1980")
	}
	return d, nil
}
