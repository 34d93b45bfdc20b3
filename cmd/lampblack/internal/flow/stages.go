package flow

import (
	"lampblack/board"
	"lampblack/board/check"
	"lampblack/board/copper"
	"lampblack/board/fill"
	"lampblack/board/legend"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/board/shape"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/result"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// Built is one panel and how far it came.
type Built struct {
	Panel   panel.Panel
	Wiring  led.Wiring
	Field   light.Field
	Board   board.Board
	Figures check.Figures
	Routed  route.Figures
	Placed  place.Figures
	Filled  fill.Figures
	Copper  copper.Figures      // zero without both connectors
	Travel  *result.DrillTravel // of the drill, once the pack is written
	Files   []bundle.File       // below the panel's folder
	Stopped string              // the stage that found an error; empty: none did
}

// stages is how many steps of progress one board is.
const stages = 9

// step is one stage of a board's way.
type step struct {
	name string
	do   func() diag.List
}

// board makes the board of a panel and proves it.
func (s *session) board(b *Built, c led.Circuit) diag.List {
	var shaped board.Board
	wish := s.wishes(b.Panel.Name, c)
	return s.run(b, []step{
		{"light", func() diag.List {
			b.Field = light.Evaluate(s.ctx, b.Panel, b.Wiring, s.project.Stack)
			return light.Judge(b.Panel, b.Field, s.project.Stack, s.project.Light)
		}},
		{"shape", func() (more diag.List) {
			shaped, more = shape.DeriveFor(b.Panel, b.Wiring, s.project.Rules, s.project.Laminate)
			return append(more, bare(b.Panel, s.project.Rules)...)
		}},
		{"place", func() (more diag.List) {
			b.Board, b.Placed, more = place.Place(s.ctx, shaped, b.Panel, b.Wiring, wish)
			return more
		}},
		{"route", func() (more diag.List) {
			b.Board, b.Routed, more = route.Route(s.ctx, b.Board, route.Options{})
			if more.HasErrors() {
				more = tryOthers(s.ctx, b, shaped, wish, more)
			}
			return more
		}},
		{"fill", func() (more diag.List) {
			b.Board, b.Filled, more = fill.Fill(s.ctx, b.Board, fill.Usual())
			b.Copper, _ = copper.Through(s.ctx, b.Board, b.Wiring.Conductors(), copper.Usual())
			return more
		}},
		{"legend", func() diag.List {
			b.Board = legend.Draw(s.ctx, b.Board, legend.Options{
				Name: b.Panel.Name, Revision: s.project.Revision, Supply: b.Wiring.Label, Date: s.day(),
			})
			return nil
		}},
		{"check", func() diag.List {
			b.Figures = check.Measure(s.ctx, b.Board)
			return append(check.Audit(s.ctx, b.Board, b.Wiring), check.Mountable(b.Board, s.space(b.Panel.Name))...)
		}},
	})
}

// write writes a proven board's files and judges them.
func (s *session) write(b *Built, c led.Circuit) diag.List {
	return s.run(b, []step{
		{"write", func() (more diag.List) {
			more = s.panelFiles(b, c)
			return more
		}},
		{"read back", func() diag.List { return s.prove(b) }},
	})
}

// run takes a panel through stages; one with an error is the last.
func (s *session) run(b *Built, steps []step) diag.List {
	var l diag.List
	for _, st := range steps {
		if s.ctx.Err() != nil {
			break
		}
		var more diag.List
		if f := guard(func() { more = st.do() }); f != nil {
			more = append(more, *f)
		}
		l = append(l, more...)
		s.step(b.Panel.Name + ": " + st.name)
		if more.HasErrors() {
			b.Stopped, b.Files = st.name, nil
			break
		}
	}
	return l
}

// artwork lowers the finished board, with the component layers for whoever solders it.
func artwork(b *Built) export.Artwork {
	a := export.Lower(b.Board)
	a.Name = b.Panel.Name
	a.Layers = append(a.Layers, export.Components(b.Board)...)
	return a
}
