package flow

import (
	"context"
	"slices"

	"lampblack/board/copper"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/judge"
	"lampblack/led/part"
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

// circuitIn is the panels as a circuit sees them, LED holes, what is in the way between them and the words they light, and what is asked
// for.
type circuitIn struct {
	Panels  []panel.Panel
	Request led.Request
	Kinds   []part.LED // of the project's own
}

type circuitOut struct {
	says
	Circuit led.Circuit
	Fits    []diag.List // of each panel: holes that are not for the LEDs in them
}

// designing groups LEDs, chooses resistors and finds the currents of the whole console.
var designing = stage[circuitIn, circuitOut]{"circuit", func(ctx context.Context, in circuitIn) circuitOut {
	c, l := design.Circuit(ctx, in.Panels, in.Request)
	out := circuitOut{says: says{l}, Circuit: c}
	if len(c.Boards) == len(in.Panels) {
		for i, p := range in.Panels {
			out.Fits = append(out.Fits, fit(p, c.Boards[i], slices.Concat(in.Kinds, part.Kinds())))
		}
	}
	return out
}}

// currentsIn is a circuit, with what is known of its boards' copper.
type currentsIn struct {
	Circuit led.Circuit
	Request led.Request
}

// settling finds the currents again, with the boards' own copper.
var settling = stage[currentsIn, circuitOut]{"settle", func(_ context.Context, in currentsIn) circuitOut {
	c, l := solve.Settle(in.Circuit, in.Request)
	return circuitOut{says: says{l}, Circuit: c}
}}

// judging says what there is to say of the currents.
var judging = stage[currentsIn, says]{"judge", func(_ context.Context, in currentsIn) says {
	return says{judge.Circuit(in.Circuit, in.Request)}
}}

// settle computes the currents again with the resistance of the boards' own copper, now that it is known.
func (s *session) settle(out *Outcome) {
	with := out.Circuit
	with.Boards = slices.Clone(with.Boards)
	known := false
	i := 0
	for _, b := range out.Built {
		for _, m := range b.Boards {
			if b.Stopped == "" && m.Copper != (copper.Figures{}) {
				with.Boards[i].Across = led.ThroughOhms{Plus: m.Copper.Plus, Minus: m.Copper.Minus}
				known = true
			}
			i++
		}
	}
	if !known {
		return
	}
	settled, _, ok := settling.run(s, "", currentsIn{with, s.request})
	if !ok || settled.Value.Findings.HasErrors() {
		return // what was computed without the boards' milliohms stands
	}
	out.Circuit = settled.Value.Circuit
	for i, m := range out.made() {
		m.Wiring = out.Circuit.Boards[i]
	}
}

// judged returns what there is to say of the currents as they are known so far.
func (s *session) judged(out Outcome) diag.List {
	if len(out.Circuit.Boards) == 0 {
		return nil
	}
	l, fault, _ := judging.run(s, "", currentsIn{out.Circuit, s.request})
	if fault != nil {
		return diag.List{*fault}
	}
	return slices.Clone(l.Value.Findings)
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
