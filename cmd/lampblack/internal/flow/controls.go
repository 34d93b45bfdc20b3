package flow

import (
	"context"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// sittingIn is a panel, its LEDs in their places, and the sheets that its controls sit in.
type sittingIn struct {
	Panel panel.Panel
	Stack seat.Stack
	Tips  geom.Nm // of the LEDs below the LED sheet's front
}

// sitting judges what sits in a panel's openings.
var sitting = stage[sittingIn, says]{"controls", func(_ context.Context, in sittingIn) says {
	return says{seat.Judge(in.Panel, in.Stack, in.Tips)}
}}

// sat judges what sits in the openings of all panels: no board is needed for that.
func (s *session) sat(panels []panel.Panel) diag.List {
	var all diag.List
	for _, p := range panels {
		if len(p.Controls) == 0 || s.supplyOnly {
			continue
		}
		foot := sheets(p)
		foot.Lettering, foot.Symbols = nil, nil
		kept, fault, _ := sitting.run(s, p.Name, sittingIn{foot, sheetsOf(s.project), s.project.Stack.Sunk})
		if fault != nil {
			all = append(all, *fault)
		}
		all = append(all, kept.Value.Findings...)
	}
	return s.shifted(all, panels)
}
