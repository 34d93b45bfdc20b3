package flow

import (
	"context"
	"slices"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/result"
	"lampblack/export/sheet"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

type fastenIn struct {
	Panel  panel.Panel
	Boards []memo.Kept[boardOut]
	heightIn
	Climate  material.Climate
	Slots    bool                  // sheets may have some where they grow
	Engraved memo.Kept[engraveOut] // where no screw's head may come
}

type fastenOut struct {
	says
	Mounts  []fasten.Mount
	Adjusts []fasten.Adjustment // of each board
	Held    []fasten.Support    // of each board
	Slots   []panel.Slot
}

// fastening chooses screws and spacers.
var fastening = stage[fastenIn, fastenOut]{"screws", func(_ context.Context, in fastenIn) fastenOut {
	var boards []board.Board
	for _, b := range in.Boards {
		boards = append(boards, b.Value.Board)
	}
	boards = in.Kinds.Measured(boards)
	mounts := fasten.Mounts(in.Panel, boards, in.Stack)
	l := fasten.Judge(in.Panel, mounts, boards, in.Stack)
	out := fastenOut{says: says{append(l, fasten.Controls(in.Panel, boards, in.Stack)...)}, Mounts: mounts}
	for _, b := range boards {
		out.Adjusts = append(out.Adjusts, fasten.Adjust(b, in.Stack, fasten.ThreadOf(b.Name, mounts)))
		held := fasten.SupportOf(in.Panel, b, mounts, in.Stack, in.Climate, in.Engraved.Value.covers())
		out.Held = append(out.Held, held)
	}
	if in.Slots {
		var cramped []int
		out.Slots, cramped = fasten.Slots(in.Panel, mounts, out.Held, in.Stack, in.Climate)
		out.Mounts, out.Held = fasten.Slotted(in.Panel, mounts, out.Held, out.Slots)
		out.Findings = append(out.Findings, fasten.JudgeSlots(in.Panel, mounts, out.Slots, cramped)...)
	}
	for i, b := range boards {
		out.Findings = append(out.Findings, fasten.JudgeSupport(in.Panel, b, out.Held[i])...)
	}
	return out
}}

// covers are the areas that are engraved.
func (o engraveOut) covers() []geom.Region {
	if o.Engraving == nil {
		return nil
	}
	return slices.Concat(o.Texts, o.Symbols)
}

// climate is what the console has to stand: where the project tells no temperatures, a room that is heated at times.
func (s *session) climate() material.Climate {
	c := material.UsualClimate()
	if a := s.project.Ambient; a.Min < a.Max {
		c.Coldest, c.Warmest = min(a.Min, c.Built), max(a.Max, c.Built)
	}
	return c
}

func (s *session) fastenIn(p panel.Panel, boards []memo.Kept[boardOut], engraved memo.Kept[engraveOut]) fastenIn {
	foot := footing(p)
	foot.Controls, foot.BodyDepth = p.Controls, p.BodyDepth
	return fastenIn{foot, boards, s.heightIn(p.Name), s.climate(), s.mounting(p.Name).Slots, engraved}
}

// stack is what lies on the screws of a panel.
func (s *session) stack(name string) fasten.Stack {
	m, st := s.mounting(name), s.project.Stack
	told := m.Sheet
	if m.Spacer > 0 { // which lies behind the plate
		told = m.Spacer + s.project.Plate
	}
	return fasten.Stack{
		Face: st.Face, Diffuser: st.Diffuser, Gap: st.Gap, Sheet: st.Sheet, Sunk: st.Sunk, Told: told, Plate: s.project.Plate,
		Drilled: m.Spacer > 0, Framed: m.Frame > 0, Thick: s.project.Thick,
	}
}

type spacerIn struct {
	Board memo.Kept[boardOut]
	Panel panel.Panel // its mounts and their slots
	Sheet sheet.Options
}

// spacing draws the sheet that keeps a board off the LED sheet.
var spacing = stage[spacerIn, cutOut]{"spacer sheet", func(ctx context.Context, in spacerIn) (out cutOut) {
	b := in.Board.Value.Board
	s := sheet.Spacer(ctx, b, in.Panel, in.Sheet)
	out.Findings = sheet.CheckSpacer(b, s)
	out.sheet(ctx, b.Name, s, result.SheetSpacer, result.SpacerDXF)
	out.Sheets = append(out.Sheets, s)
	return out
}}

func (s *session) spacerIn(p panel.Panel, b memo.Kept[boardOut], slots []panel.Slot) spacerIn {
	return spacerIn{b, panel.Panel{Mounts: sheets(p).Mounts, Slots: slots}, s.cutIn(p.Name, engraved{}).Sheet}
}

// sheet adds a sheet as SVG and as DXF.
func (o *filesOut) sheet(ctx context.Context, of string, s sheet.Sheet, svg, dxf result.Name) {
	o.add(of, svg, s.SVG(ctx))
	data, err := s.DXF(ctx)
	if err != nil {
		o.Findings.Add(diag.Error, "sheet-drawing", "a sheet cannot be written as DXF: %v", err).Of(of).Ours()
		return
	}
	o.add(of, dxf, data)
}
