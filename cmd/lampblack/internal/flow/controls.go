package flow

import (
	"context"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// sittingIn is a panel with its lettering, its LEDs in their places, and the sheets that its controls sit in.
type sittingIn struct {
	Of    engraved
	Stack seat.Stack
	Tips  geom.Nm // of the LEDs below the LED sheet's front
}

// sitting judges what sits in a panel's openings, and what it hides.
var sitting = stage[sittingIn, says]{"controls", func(_ context.Context, in sittingIn) says {
	p, e := in.Of.Panel, in.Of.areas()
	return says{append(seat.Judge(p, in.Stack, in.Tips), seat.Hidden(p, e.Texts, e.Symbols)...)}
}}

// sat judges what sits in the openings of all panels: no board is needed for that.
func (s *session) sat(panels []panel.Panel) diag.List {
	var all diag.List
	for _, p := range panels {
		if len(p.Controls) == 0 || s.supplyOnly {
			continue
		}
		var kept memo.Kept[says]
		whole, fault, ok := s.engraved(p)
		if ok {
			kept, fault, _ = sitting.run(s, p.Name, sittingIn{whole, sheetsOf(s.project), s.project.Stack.Sunk})
		}
		if fault != nil {
			all = append(all, *fault)
		}
		all = append(all, kept.Value.Findings...)
	}
	return s.shifted(all, panels)
}
