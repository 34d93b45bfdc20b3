package flow

import (
	"cmp"
	"context"
	"slices"

	"lampblack/board/height"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export"
	"lampblack/export/result"
	"lampblack/export/solid"
	"lampblack/led"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// boardSolidIn is a board as it is built in.
type boardSolidIn struct {
	Name, Version, Mask string
	Board               memo.Kept[boardOut]
	Built               heightIn
	Lamps               solid.Lamps
}

type solidOut struct {
	filesOut
	Node solid.Node
}

// boardSolid makes a board in three dimensions.
var boardSolid = stage[boardSolidIn, solidOut]{"board solid", func(ctx context.Context, in boardSolidIn) (out solidOut) {
	work.Until(ctx, func(w *work.Watch) {
		built := in.Built.of(in.Board.Value.Board)
		out.Node = solid.Board(w, built, built.Boards[0], in.Mask, in.Lamps)
		out.add(in.Name, result.BoardGLB, solid.Encode(w, generator(in.Version), out.Node))
	})
	return out
}}

// generator is the program as files name it.
func generator(version string) string { return "Lampblack " + version }

// panelSolidIn is a panel as it is put together, its sheets as they are cut.
type panelSolidIn struct {
	Of     engraved
	Built  risingIn
	Sheets []height.Solid
	Boards []memo.Kept[solidOut]
	Behind bool
	Lamps  solid.Lamps
}

// panelSolid makes a panel's stack in three dimensions.
var panelSolid = stage[panelSolidIn, solidOut]{"panel solid", func(ctx context.Context, in panelSolidIn) (out solidOut) {
	work.Until(ctx, func(w *work.Watch) {
		s := solid.Stack{In: in.Built.built(), Sheets: in.Sheets, Words: in.Of.areas(), Behind: in.Behind, Lamps: in.Lamps}
		s.In.Panel = in.Of.Panel
		for _, b := range in.Boards {
			s.Boards = append(s.Boards, b.Value.Node)
		}
		out.Node = solid.Panel(w, s)
	})
	return out
}}

type consoleSolidIn struct {
	Console, Version string
	Panels           []memo.Kept[solidOut]
	Stand            []export.Standing
}

// consoleSolid puts the panels together.
var consoleSolid = stage[consoleSolidIn, filesOut]{"console solid", func(ctx context.Context, in consoleSolidIn) (out filesOut) {
	work.Until(ctx, func(w *work.Watch) {
		var panels []solid.Node
		for _, q := range in.Panels {
			panels = append(panels, q.Value.Node)
		}
		out.add("", result.ConsoleGLB, solid.Encode(w, generator(in.Version), solid.Console(in.Console, panels, export.Desk(in.Stand))))
	})
	return out
}}

func (s *session) boardSolidIn(panel, name string, proven memo.Kept[boardOut], w led.Wiring) boardSolidIn {
	built := s.heightIn(panel)
	built.Told = height.Told{} // what is behind is not shown
	return boardSolidIn{name, s.set.Version, s.project.Mask, proven, built, lampsOf(w)}
}

// lampsOf returns how the kinds of LEDs of some boards are seen, by name.
func lampsOf(all ...led.Wiring) solid.Lamps {
	var out solid.Lamps
	for _, w := range all {
		for _, d := range w.LEDs {
			if one := solid.LampOf(d.Kind.Name, d.Kind.Colour, d.Kind.RGB); !slices.Contains(out, one) {
				out = append(out, one)
			}
		}
	}
	slices.SortFunc(out, func(a, b solid.Lamp) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

// panelSolidIn is a panel whose sheets are cut; its boards' own solids are made side by side with it.
func (s *session) panelSolidIn(b *Built, whole engraved, side sideIn) panelSolidIn {
	in := panelSolidIn{Of: whole, Built: side.Built, Sheets: side.Sheets, Behind: s.mounting(b.Panel.Name).PaintedBehind}
	in.Built.Told = height.Told{}
	var all []led.Wiring
	for k := range b.Boards {
		m := &b.Boards[k] // no copy of all of it: its files are being written meanwhile
		name := m.Part.Name
		kept, _, _ := boardSolid.run(s, name, s.boardSolidIn(b.Panel.Name, name, m.proven, m.Wiring)) // a fault is told where it is written
		in.Boards, all = append(in.Boards, kept), append(all, m.Wiring)
	}
	in.Lamps = lampsOf(all...)
	return in
}

// consoleSolidIn is the panels that were built, as they stand.
func (s *session) consoleSolidIn(out *Outcome) consoleSolidIn {
	in := consoleSolidIn{Console: cmp.Or(s.project.Console, "console"), Version: s.set.Version}
	for _, q := range s.spots(out) {
		b := out.Built[q.built]
		if !b.written() {
			continue
		}
		in.Panels = append(in.Panels, b.solid)
		in.Stand = append(in.Stand, export.Standing{Box: geom.Box{Max: geom.Pt{}.Add(b.Panel.Outline.Box().Max.Sub(b.Panel.Outline.Box().Min))}, At: q.at, Set: q.set})
	}
	return in
}
