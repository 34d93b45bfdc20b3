package flow

import (
	"reflect"
	"slices"

	"lampblack/board/check"
	"lampblack/board/copper"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
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

// settle computes the currents again with the resistance of the boards' own copper, now that it is known, and takes the
// findings about them from that.
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
	var before, after diag.List
	req := Request(s.project, s.drawings)
	if f := guard(func() {
		_, before = led.Settle(out.Circuit, req)
		with, after = led.Settle(with, req)
	}); f != nil || slices.ContainsFunc(after, func(f diag.Finding) bool { return f.Code == "led-no-operating-point" }) {
		return // what was computed without the boards' milliohms stands
	}
	var panels []panel.Panel
	for _, b := range out.Built {
		panels = append(panels, b.Panel)
	}
	for _, old := range s.shifted(before, panels) {
		if i := slices.IndexFunc(out.Findings, func(f diag.Finding) bool { return reflect.DeepEqual(f, old) }); i >= 0 {
			out.Findings = slices.Delete(out.Findings, i, i+1)
		}
	}
	out.Findings = append(out.Findings, s.shifted(after, panels)...)
	out.Circuit = with
	for i := range out.Built {
		out.Built[i].Wiring = with.Boards[i]
	}
}
