package desk

import (
	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// Understood is what was made of the drawings: of each entry of the project's panels one Reading, and all findings.
type Understood struct {
	Console  string           `json:"console"`
	Readings []Reading        `json:"readings"`
	Findings []result.Finding `json:"findings"`
}

// Reading is one entry of the project's panels and what its drawing was taken for.
type Reading struct {
	Entry  int           `json:"entry"` // from 0
	Name   string        `json:"name"`
	Survey result.Survey `json:"survey"`
}

func understand(a *asked) (given, error) {
	p, l, err := a.project()
	if err != nil {
		return given{}, err
	}
	out := Understood{Console: p.Console, Readings: []Reading{}}
	all := append(diag.List{}, l...)
	for i, e := range p.Panels {
		s := flow.Survey(a.ctx, p.Path(i), flow.Options(p, e), a.read)
		if err := a.ctx.Err(); err != nil {
			return given{}, err
		}
		all = append(all, s.Findings...)
		out.Readings = append(out.Readings, Reading{i, e.Name, s.JSON()})
	}
	out.Findings = result.FindingsOf(all.Sorted())
	return given{gives: out}, nil
}
