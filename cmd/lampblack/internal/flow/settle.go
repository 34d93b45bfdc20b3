package flow

import (
	"slices"

	"lampblack/board/check"
	"lampblack/board/copper"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/led/judge"
	"lampblack/led/solve"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// mounting returns how the named panel's board is put together and built in.
func (s *session) mounting(name string) project.Mounting {
	for _, d := range s.drawings {
		if slices.ContainsFunc(d.Panels, func(q panel.Panel) bool { return q.Name == name }) {
			return d.Entry.Mounting
		}
	}
	return project.Mounting{}
}

// space is the room behind and before the panel's board, as far as the project tells it.
func (s *session) space(name string) check.Space {
	m := s.mounting(name)
	return check.Space{Behind: m.Behind, Sheet: m.Sheet}
}

// settle computes the currents again with the resistance of the boards' own copper, now that it is known.
func (s *session) settle(out *Outcome) {
	with := out.Circuit
	with.Boards = slices.Clone(with.Boards)
	known := false
	for i, b := range out.Built {
		if b.Stopped == "" && b.Copper != (copper.Figures{}) {
			with.Boards[i].Across = led.ThroughOhms{Plus: b.Copper.Plus, Minus: b.Copper.Minus}
			known = true
		}
	}
	if !known {
		return
	}
	var l diag.List
	if f := guard(func() { with, l = solve.Settle(with, s.request) }); f != nil || l.HasErrors() {
		return // what was computed without the boards' milliohms stands
	}
	out.Circuit = with
	for i := range out.Built {
		out.Built[i].Wiring = with.Boards[i]
	}
}

// judged returns what there is to say of the currents as they are known so far.
func (s *session) judged(out Outcome) (l diag.List) {
	if f := guard(func() { l = judge.Circuit(out.Circuit, s.request) }); f != nil {
		return diag.List{*f}
	}
	return l
}

// judge tells what there is to say of the currents, which are final now, and what stopped a board even if its neighbours'
// copper has taken the current below the limit since.
func (s *session) judge(out *Outcome) {
	l := s.judged(*out)
	for _, f := range s.stopping {
		if !slices.ContainsFunc(l, func(o diag.Finding) bool { return o.Code == f.Code && o.Panel == f.Panel }) {
			l = append(l, f)
		}
	}
	var panels []panel.Panel
	for _, b := range out.Built {
		panels = append(panels, b.Panel)
	}
	out.Findings = append(out.Findings, s.shifted(l, panels)...)
}
