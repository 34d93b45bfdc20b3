package flow

import (
	"context"

	"lampblack/board/fasten"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/stray"
	"lampblack/panel"
	"lampblack/panel/work"
)

// strayIn is a panel with its LEDs and what sits in its openings, and from where it is looked at.
type strayIn struct {
	Panel panel.Panel
	Stack stray.Stack
	Eyes  stray.Eyes
	Refs  []string // of its LEDs
}

type strayOut struct {
	says
	Sights []stray.Sight
}

// straying finds which LEDs are seen otherwise than through the lettering.
var straying = stage[strayIn, strayOut]{"stray light", func(ctx context.Context, in strayIn) (out strayOut) {
	var bare []int
	for i, m := range in.Panel.Mounts {
		if _, ok := fasten.ThreadFor(m.D); !ok {
			bare = append(bare, i)
		}
	}
	work.Until(ctx, func(w *work.Watch) {
		out.Sights = stray.Seen(w, in.Panel, in.Stack, in.Eyes, bare)
		out.Findings = stray.Judge(in.Panel, out.Sights, in.Refs)
	})
	return out
}}

func (s *session) strayIn(p panel.Panel, w led.Wiring) strayIn {
	p = sheets(p)
	p.Lettering, p.Symbols = nil, nil
	st := s.project.Stack
	return strayIn{p, stray.Stack{Stack: sheetsOf(s.project), Tips: st.Sunk, Opaque: st.SheetTransmission <= 0}, s.project.Eyes, refsOf(p, w)}
}

// mostUnscattered is what of the light may pass a diffuser straight before its edge is no longer as bright as its front.
const mostUnscattered = 0.01

// edges finds the diffuser's cut edges that glow, on all panels that were built, and tells of them.
func (s *session) edges(out *Outcome) {
	st := s.project.Stack
	if s.project.DarkEdges || st.Diffuser <= 0 || st.Finish == light.Clear || st.Unscattered() > mostUnscattered || s.set.Only != "" {
		return
	}
	panels, edges := make([]panel.Panel, len(out.Built)), make([]stray.Edge, len(out.Built))
	work.Each(s.ctx, len(out.Built), func(i int) {
		b := &out.Built[i]
		if panels[i] = b.Panel; b.Unlit || b.Stopped != "" || b.Field.Mean <= 0 {
			return
		}
		_, of := b.Field.Alone()
		in, lit := s.strayIn(b.Panel, b.Wiring()), of.Total()
		work.Until(s.ctx, func(w *work.Watch) {
			b.edge = stray.Glowing(w, in.Panel, in.Stack, in.Eyes, lit.At, of.Mean)
		})
		edges[i] = b.edge
	})
	out.Findings = append(out.Findings, s.shifted(stray.JudgeEdges(panels, edges), panels)...)
}

// refsOf returns the references of a panel's LEDs, in the order of its holes.
func refsOf(p panel.Panel, w led.Wiring) []string {
	refs := make([]string, len(p.LEDs))
	for _, d := range w.LEDs {
		if d.Hole < len(refs) {
			refs[d.Hole] = d.Ref
		}
	}
	return refs
}
