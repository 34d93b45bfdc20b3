package flow

import (
	"context"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/picture"
	"lampblack/export/result"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

type markIn struct {
	Of    engraved
	Marks []picture.Mark
}

// marking draws a panel with the places of its findings.
var marking = stage[markIn, filesOut]{"marks", func(ctx context.Context, in markIn) (out filesOut) {
	out.add(in.Of.Panel.Name, result.FindingsSVG, picture.Findings(ctx, in.Of.Panel, in.Of.areas(), in.Marks))
	return out
}}

// mark numbers the findings that have a place on a panel, by where they stand in the list, and draws these panels. Those that
// were built get the picture as a file; of others the report alone shows it. It reports false, and the fault if there is one, when a
// panel could not be drawn.
func (s *session) mark(out *Outcome) (fault *diag.Finding, ok bool) {
	for i := range out.Built {
		b := &out.Built[i]
		var marks []picture.Mark
		for k := range out.Findings {
			f := &out.Findings[k]
			if f.Panel != b.Panel.Name {
				continue
			}
			for _, g := range f.Each() {
				at := g.Place.At
				if at == nil {
					continue
				}
				f.Mark = diag.Mark{Number: k + 1, On: result.FindingsSVG.Of(b.Panel.Name)}
				if !s.wanted(*b) {
					f.Mark.On = string(result.ReportHTML)
				}
				marks = append(marks, picture.Mark{At: onPanel(b.Panel, *at), Number: k + 1, Severity: f.Severity})
			}
		}
		if len(marks) == 0 {
			continue
		}
		var drawn memo.Kept[filesOut]
		whole, fault, ok := s.engraved(b.Panel)
		if ok {
			drawn, fault, ok = marking.run(s, b.Panel.Name, markIn{whole, marks})
		}
		if !ok && b.Stopped == engraving.name {
			continue // its fault is told
		}
		if !ok {
			if fault != nil {
				fault.Panel = b.Panel.Name
			}
			return fault, false
		}
		b.marked = drawn.Value.Files
		if s.wanted(*b) {
			b.marks = b.marked
		}
	}
	return nil, true
}

// onPanel brings a place on the drawing to the panel's frame. A finding may point far off the panel: no farther than geom takes.
func onPanel(p panel.Panel, at diag.Point) geom.Pt {
	far := geom.MaxCoord.MM() / 2
	in := func(v float64) geom.Nm { return geom.MM(max(-far, min(v, far))) }
	return geom.Pt{X: in(at.X - p.Origin.X), Y: in(at.Y - p.Origin.Y)}
}
