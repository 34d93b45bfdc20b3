package flow

import (
	"context"

	"lampblack/led/design"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/frame"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

type frameIn struct {
	Panel panel.Panel // without what is engraved
	Wall  geom.Nm
	Group []int // of each LED; nil: there are none
}

type frameOut struct {
	says
	Walls geom.Region
}

// framing makes the walls in a panel's gap.
var framing = stage[frameIn, frameOut]{"frame", func(ctx context.Context, in frameIn) frameOut {
	return frameOut{Walls: frame.Of(ctx, in.Panel, in.Wall, in.Group)}
}}

// frames puts the walls that the project wants into the gap of each panel, before its light is asked for.
func (s *session) frames(out *Outcome) {
	faults := make([]*diag.Finding, len(out.Built))
	work.Each(s.ctx, len(out.Built), func(i int) {
		b := &out.Built[i]
		wall := s.mounting(b.Panel.Name).Frame
		if wall == 0 {
			return
		}
		foot := footing(b.Panel)
		foot.Room, foot.BodyDepth, foot.Controls = nil, b.Panel.BodyDepth, b.Panel.Controls
		made, fault, ok := framing.run(s, b.Panel.Name, frameIn{foot, wall, s.groupsOf(*b)})
		switch {
		case ok:
			b.Panel.Frame = made.Value.Walls
		case fault != nil:
			b.Stopped, faults[i] = framing.name, fault.Of(b.Panel.Name)
		}
	})
	for _, f := range faults {
		if f != nil {
			out.Findings = append(out.Findings, *f)
		}
	}
}

// groupsOf returns the group of each LED of a panel, 0 for none; nil where all are of one. Groups go by kind, board and what is lit, so
// that they are known before there is a circuit.
func (s *session) groupsOf(b Built) []int {
	of := make([]int, len(b.Panel.LEDs))
	index := map[string]int{}
	for _, m := range b.Boards {
		w, groups, ok := design.Lamps(m.Part.Panel, s.request, gauged)
		if !ok {
			return nil // the circuit tells it
		}
		for _, d := range w.LEDs {
			name := groups[d.String]
			if _, ok := index[name]; !ok {
				index[name] = len(index)
			}
			hole := d.Hole
			if len(m.Part.LEDs) > 0 {
				hole = m.Part.LEDs[d.Hole]
			}
			of[hole] = index[name]
		}
	}
	if len(index) < 2 {
		return nil
	}
	return of
}
