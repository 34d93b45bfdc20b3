package flow

import (
	"context"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/height"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/sheet"
	"lampblack/panel"
)

// heightIn is what a board is built into.
type heightIn struct {
	Stack fasten.Stack
	Told  height.Told
	Kinds height.Kinds
}

// of is the board alone, built in.
func (in heightIn) of(b board.Board) height.In {
	return height.In{Panel: panel.Panel{Name: b.Name}, Boards: in.Kinds.Measured([]board.Board{b}), Stack: in.Stack, Kinds: in.Kinds}
}

func (s *session) heightIn(name string) heightIn {
	return heightIn{s.stack(name), height.Told{Behind: s.mounting(name).Behind, Depth: s.project.Depth}, s.project.Heights}
}

// behind is what is free behind the boards of a panel; nil where the project does not tell.
func (s *session) behind(name string) *heightIn {
	in := s.heightIn(name)
	if in.Told == (height.Told{}) {
		return nil
	}
	return &in
}

type risingIn struct {
	Panel  panel.Panel
	Boards []memo.Kept[boardOut]
	Mounts []fasten.Mount
	heightIn
}

type risingOut struct {
	says
	Reliefs []height.Relief
}

// built is the panel as it is put together.
func (in risingIn) built() height.In {
	var boards []board.Board
	for _, b := range in.Boards {
		boards = append(boards, b.Value.Board)
	}
	return height.In{Panel: in.Panel, Boards: in.Kinds.Measured(boards), Mounts: in.Mounts, Stack: in.Stack, Kinds: in.Kinds}
}

// rising finds what stands up before and behind the boards of a panel: whether that fits, and what the sheets are cut for it.
var rising = stage[risingIn, risingOut]{"heights", func(_ context.Context, in risingIn) risingOut {
	built := in.built()
	reliefs, l := built.Reliefs()
	return risingOut{says{append(l, built.Judge(in.Told)...)}, reliefs}
}}

func (s *session) risingIn(p panel.Panel, boards []memo.Kept[boardOut], mounts []fasten.Mount) risingIn {
	foot := footing(p)
	foot.Controls, foot.BodyDepth = p.Controls, p.BodyDepth
	return risingIn{foot, boards, mounts, s.heightIn(p.Name)}
}

// relief is what the sheets are cut for what stands out of the boards.
func (o risingOut) relief() sheet.Relief {
	var out sheet.Relief
	for _, r := range o.Reliefs {
		if r.LED {
			out.LED = append(out.LED, r.Shape)
		}
		if r.Plate {
			out.Plate = append(out.Plate, r.Shape)
		}
	}
	return out
}
