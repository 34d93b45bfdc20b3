package flow

import (
	"path"
	"slices"
	"strings"
	"time"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/excellon"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/parts"
	"lampblack/export/picture"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/export/sheet"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// engraving is the width of an engraved line: a CO2 laser defocused for engraving burns about that (common practice).
const engraving = 300 * geom.Micrometre

// date is the date that files carry; zero: none.
func (s *session) date() time.Time {
	if !s.set.Date.IsZero() {
		return s.set.Date
	}
	return s.project.Date
}

// day is the date as people read it; empty without one.
func (s *session) day() string {
	if d := s.date(); !d.IsZero() {
		return d.Format(time.DateOnly)
	}
	return ""
}

// panelFiles writes a panel's files: the fabrication pack, its zip, the sheets, the pictures and the lists.
func (s *session) panelFiles(b *Built, c led.Circuit) diag.List {
	name, a := b.Panel.Name, artwork(b)
	gm := gerber.Meta{Project: s.project.Console, Revision: s.project.Revision, Version: s.set.Version, Date: s.date(), Clearance: b.Board.Rules.Clearance}
	dm := excellon.Meta{Project: s.project.Console, Revision: s.project.Revision, Version: s.set.Version, Date: s.date()}
	var fab []bundle.File
	add := func(name string, data []byte) { fab = append(fab, bundle.File{Path: name, Data: data}) }
	for i, l := range a.Layers {
		add(export.FileName(name, l.Function), gerber.Layer(a, i, gm))
	}
	for i, d := range a.Drills {
		add(export.DrillFileName(name, d.Plated), excellon.Drill(a, i, dm))
	}
	add(export.JobFileName(name), gerber.Job(a, gm))
	ipc, l := netlist.IPC(a, netlist.Meta{Project: s.project.Console, Revision: s.project.Revision, Version: s.set.Version})
	l = append(l, export.Limits(a)...)
	add(export.NetlistFileName(name), ipc)
	add("README.txt", report.ReadMe(a, report.Pack{
		Console: s.project.Console, Revision: s.project.Revision, Version: s.set.Version, Date: s.day(),
		Wiring: b.Wiring, Source: c.Source, FuseAmps: fuse(c, name),
	}))
	for _, f := range fab {
		b.Files = append(b.Files, bundle.File{Path: "fab/" + f.Path, Data: f.Data})
	}
	out := func(name string, data []byte) { b.Files = append(b.Files, bundle.File{Path: name, Data: data}) }
	out(name+"-fab.zip", bundle.Zip(fab))
	sheets := sheet.Options{Kerf: s.project.Kerf, Stroke: engraving}
	l = append(l, sheet.Check(b.Panel, sheets)...)
	out("sheet-face.svg", sheet.Face(b.Panel, sheets))
	out("sheet-diffuser.svg", sheet.Diffuser(b.Panel, sheets))
	out("sheet-led.svg", sheet.LED(b.Panel, sheets))
	out("board-top.svg", picture.Top(b.Board))
	out("board-bottom.svg", picture.Bottom(b.Board))
	out("assembly.svg", picture.Assembly(b.Board))
	out("parts.csv", parts.PartsCSV(parts.Item{Board: b.Board, Wiring: b.Wiring}))
	out("placement.csv", parts.PlacementCSV(b.Board))
	return l
}

// fuse is the advised fuse of the chain that feeds a panel; 0: none.
func fuse(c led.Circuit, name string) part.Amp {
	for _, t := range c.Tables().Chains {
		for _, k := range t.Segments {
			if k.Panel == name {
				return t.Fuse
			}
		}
	}
	return 0
}

// prove reads the pack back from its own bytes and judges what was written, not what was meant.
func (s *session) prove(b *Built) diag.List {
	var files []readback.File
	for _, f := range b.Files {
		if strings.HasPrefix(f.Path, "fab/") {
			files = append(files, readback.File{Name: path.Base(f.Path), Data: f.Data})
		}
	}
	pack, l := readback.Open(files)
	if !l.HasErrors() {
		l = append(l, readback.Compare(artwork(b), pack.Artwork)...)
	}
	var raised board.Board
	if !l.HasErrors() {
		var more diag.List
		raised, more = readback.Raise(pack, b.Board.Rules)
		l = append(l, more...)
	}
	// What the reader passes over in files of our own is no news for the user.
	l = slices.DeleteFunc(l, func(f diag.Finding) bool { return f.Severity == diag.Note })
	for i := range l {
		if f := &l[i].Place.File; *f != "" {
			*f = b.Panel.Name + "/fab/" + *f
		}
	}
	if l.HasErrors() {
		return l
	}
	for _, f := range check.Audit(raised, b.Wiring) {
		// The board itself was judged before; here only its errors would be news.
		if f.Severity == diag.Error {
			f.Text = "read back from the pack: " + f.Text
			l = append(l, f)
		}
	}
	return l
}

// consoleFiles gathers the files of all panels and writes those of the whole console.
func (s *session) consoleFiles(out *Outcome) {
	var items []parts.Item
	for _, b := range out.Built {
		if b.Stopped != "" {
			continue
		}
		items = append(items, parts.Item{Board: b.Board, Wiring: b.Wiring})
		for _, f := range b.Files {
			out.Files = append(out.Files, bundle.File{Path: b.Panel.Name + "/" + f.Path, Data: f.Data})
		}
	}
	add := func(name string, data []byte) { out.Files = append(out.Files, bundle.File{Path: name, Data: data}) }
	add("parts.csv", parts.PartsCSV(items...))
	add("order.csv", parts.OrderCSV(items...))
	add("chain.cir", netlist.Deck(out.Circuit, s.project.Console))
	add("result.json", out.Result.JSON())
}
