package flow

import (
	"context"

	"lampblack/board/height"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/picture"
	"lampblack/export/result"
	"lampblack/export/sheet"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// sideIn is a panel as it is put together, its sheets as they are cut but for what is engraved in them, and where the project wants to
// see it cut through.
type sideIn struct {
	Built  risingIn
	Sheets []height.Solid
	Line   *height.Line // nil: not told
}

type sideOut struct {
	filesOut
	View   picture.SideView
	Stands []height.Stand
}

// siding cuts the panel through and draws it from the side.
var siding = stage[sideIn, sideOut]{"side view", func(ctx context.Context, in sideIn) (out sideOut) {
	built := in.Built.built()
	path := built.TellingPath()
	if in.Line != nil {
		if built.Meets(*in.Line) {
			path = []height.Line{*in.Line}
		} else {
			out.Findings.Add(diag.Warning, "height-section-off", "the line that section tells does not meet the panel: the side view is cut where most is seen").
				Of(built.Panel.Name).About(diag.PanelKey(built.Panel.Name, "section")).Fix("tell a line through the panel, in mm of the drawing")
		}
	}
	out.View = picture.SideView{Panel: built.Panel, Boards: built.Boards, Cut: built.Across(in.Sheets, path...), Told: in.Built.Told.Depth}
	for _, b := range built.Boards {
		_, back := built.Span(b)
		out.View.Behind = max(out.View.Behind, back)
	}
	out.Stands = built.Stands()
	out.add(built.Panel.Name, result.SideSVG, picture.Side(ctx, out.View))
	return out
}}

// solids are the sheets of a panel, and where they lie; spacers are those of each of its boards.
func solids(built height.In, sheets []sheet.Sheet, spacers [][]sheet.Sheet) []height.Solid {
	s := built.Stack
	at := seat.Stack{Face: s.Face, Diffuser: s.Diffuser, Gap: s.Gap, LED: s.Sheet, Plate: s.Plate}
	var out []height.Solid
	for i, one := range sheets {
		edge, holes := one.Drawn()
		if len(edge) == 0 {
			continue // the frame, which is no sheet of the panel: its walls are Panel.Frame
		}
		from, to := at.Span(panel.Sheet(i))
		out = append(out, height.Solid{Name: panel.Sheet(i).String(), From: from, To: to, Edge: edge, Holes: holes})
	}
	for i, sheets := range spacers {
		for _, one := range sheets {
			edge, holes := one.Drawn()
			front, _ := built.Span(built.Boards[i])
			out = append(out, height.Solid{Name: "spacer sheet", From: front - built.Room(built.Boards[i]), To: front, Edge: edge, Holes: holes})
		}
	}
	return out
}

// sideIn is a panel whose sheets are cut, and whose boards have these names: their files are written side by side with it.
func (s *session) sideIn(b *Built, names []string, built risingIn, slots []panel.Slot) sideIn {
	var spacers [][]sheet.Sheet
	if s.mounting(b.Panel.Name).Spacer > 0 {
		for i, proven := range built.Boards {
			kept, _, _ := spacing.run(s, names[i], s.spacerIn(b.Panel, proven, slots)) // a fault is told where it is written
			spacers = append(spacers, kept.Value.Sheets)
		}
	}
	in := sideIn{Built: built, Sheets: solids(built.built(), b.cut.Value.Sheets, spacers)}
	if i, ok := s.drawn(b.Panel); ok {
		in.Line = sectionOf(s.drawings[i].Entry.Section, b.Panel)
	}
	return in
}

// sectionOf returns the line that the project tells for a panel, in its frame; nil where it tells none.
func sectionOf(t project.Section, p panel.Panel) *height.Line {
	at := func(x, y float64) geom.Pt { return geom.PtMM(x-p.Origin.X, y-p.Origin.Y) }
	box := p.Outline.Box()
	switch {
	case t.A != nil && t.B != nil:
		return &height.Line{A: at(t.A.X, t.A.Y), B: at(t.B.X, t.B.Y)}
	case t.X != nil:
		x := at(t.X.MM(), 0).X
		return &height.Line{A: geom.Pt{X: x, Y: box.Min.Y}, B: geom.Pt{X: x, Y: box.Max.Y}}
	case t.Y != nil:
		y := at(0, t.Y.MM()).Y
		return &height.Line{A: geom.Pt{X: box.Min.X, Y: y}, B: geom.Pt{X: box.Max.X, Y: y}}
	}
	return nil
}
