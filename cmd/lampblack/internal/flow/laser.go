package flow

import (
	"context"
	"slices"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/bundle"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/export/result/tables"
	"lampblack/export/sheet"
	"lampblack/export/table"
	"lampblack/panel/work"
)

type trialIn struct{ Sheet sheet.Options }

type trialOut struct {
	filesOut
	Kerf, Engraving []byte // pictures of them
}

// trialling draws the pieces that measure what the laser does.
var trialling = stage[trialIn, trialOut]{"trial pieces", func(ctx context.Context, in trialIn) (out trialOut) {
	kerf, ladder := sheet.KerfGauge(ctx, in.Sheet), sheet.EngravingLadder(ctx, in.Sheet)
	out.sheet(ctx, "", kerf, result.TestKerf, result.TestKerfDXF)
	out.sheet(ctx, "", ladder, result.TestEngraving, result.TestEngravingDXF)
	out.Kerf, out.Engraving = sheet.Preview(ctx, "kerf gauge", kerf), sheet.Preview(ctx, "engraving ladder", ladder)
	return out
}}

type laserIn struct{ Page report.Laser }

// lasering writes the page for whoever stands at the laser.
var lasering = stage[laserIn, filesOut]{"laser", func(ctx context.Context, in laserIn) (out filesOut) {
	work.Until(ctx, func(w *work.Watch) { out.add("", result.LaserHTML, report.LaserHTML(w, in.Page)) })
	return out
}}

// andPlate names the plate behind the other sheets, where there is one.
func (s *session) andPlate() string {
	if s.project.Plate > 0 {
		return ", plate"
	}
	return ""
}

func (s *session) trialIn() trialIn {
	return trialIn{sheet.Options{Kerf: s.project.Kerf, Behind: s.project.Defaults.PaintedBehind, Laser: s.project.Laser}}
}

// laser gathers laser.html from what was built.
func (s *session) laser(out *Outcome, trials memo.Kept[trialOut]) laserIn {
	r, kerf := out.Result, s.project.Kerf
	l := report.Laser{
		Name: orElse(r.Console, "Console"), Revision: r.Revision, Date: r.Date, Version: r.Lampblack, Kerf: kerf.String(), Kerfless: kerf == 0,
		Tables: []table.Table{tables.Sheets(r), tables.Controls(r), tables.Screws(r), tables.Fit(r)},
		Trials: []report.Picture{
			{Path: string(result.TestKerf), Data: trials.Value.Kerf, Caption: "test-kerf: how wide the laser cuts.",
				Alt: "The kerf gauge: a window cut into twenty pieces, and a scale in tenths of a millimetre above its right end."},
			{Path: string(result.TestEngraving), Data: trials.Value.Engraving, Caption: "test-engraving: what the laser engraves.",
				Alt: "The engraving ladder: lines from thin to wide, paint left between two fields, letters from small to large, and a field."},
		},
	}
	show := func(to *[]report.Picture, path, caption, alt string) {
		if i := slices.IndexFunc(out.Files, func(f bundle.File) bool { return f.Path == path }); i >= 0 {
			*to = append(*to, report.Picture{Path: path, Data: out.Files[i].Data, Caption: caption, Alt: alt})
		}
	}
	if len(r.Nests) > 0 {
		l.Tables = append(l.Tables, tables.Nests(r))
		show(&l.Nests, string(result.NestsSVG), "The sheets on stock; nest-*.svg and .dxf are for the laser.", "Where each sheet lies on the stock.")
	}
	for _, b := range out.Built {
		if !b.written() {
			continue
		}
		behind := s.mounting(b.Panel.Name).PaintedBehind
		l.Front, l.Behind = l.Front || !behind, l.Behind || behind
		frame := ""
		if s.mounting(b.Panel.Name).Frame > 0 {
			frame = ", frame"
		}
		show(&l.Panels, result.SheetsSVG.Of(b.Panel.Name), b.Panel.Name+": face, diffuser, LED sheet"+s.andPlate()+frame+", each from the front.",
			"The sheets of panel "+b.Panel.Name+".")
	}
	return laserIn{l}
}
