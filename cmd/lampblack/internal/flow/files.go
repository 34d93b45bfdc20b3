package flow

import (
	"slices"
	"strings"
	"time"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/export/bundle"
	"lampblack/export/netlist"
	"lampblack/export/parts"
	"lampblack/export/picture"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/export/sheet"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

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
	b.Travel = drillTravel(a)
	fab, l := s.fabFiles(a, b.Board.Rules.Clearance, report.Pack{Wiring: b.Wiring, Source: c.Source, FuseAmps: fuse(c, name)})
	for _, f := range fab {
		b.Files = append(b.Files, bundle.File{Path: result.PackFolder + f.Path, Data: f.Data})
	}
	out := func(file result.Name, data []byte) {
		b.Files = append(b.Files, bundle.File{Path: file.Within(name), Data: data})
	}
	out(result.PanelZip, bundle.Zip(fab))
	sheets := sheet.Options{Kerf: s.project.Kerf}
	l = append(l, sheet.Check(b.Panel, sheets)...)
	out(result.SheetFace, sheet.Face(b.Panel, sheets))
	out(result.SheetDiffuser, sheet.Diffuser(b.Panel, sheets))
	out(result.SheetLED, sheet.LED(b.Panel, sheets))
	out(result.BoardTop, picture.Top(b.Board))
	out(result.BoardBottom, picture.Bottom(b.Board))
	out(result.AssemblySVG, picture.Assembly(b.Board))
	print := picture.Print{Version: s.set.Version, Date: s.date()}
	out(result.AssemblyPDF, picture.AssemblyPDF(b.Board, print))
	out(result.PanelPDF, picture.PanelPDF(b.Panel, b.Board, print))
	out(result.GlowPNG, picture.Glow(b.Panel, b.Field, s.project.Stack))
	out(result.GlowMap, picture.GlowMap(b.Panel, b.Field, s.project.Stack))
	out(result.PanelParts, parts.Parts(b.item()).CSV())
	out(result.PlacementCSV, parts.Placement(b.Board).CSV())
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
	var fab []bundle.File
	for _, f := range b.Files {
		if name, ok := strings.CutPrefix(f.Path, result.PackFolder); ok {
			fab = append(fab, bundle.File{Path: name, Data: f.Data})
		}
	}
	pack, l := readBack(artwork(b), fab)
	var raised board.Board
	if !l.HasErrors() {
		var more diag.List
		raised, more = readback.Raise(pack, b.Board.Rules)
		l = append(l, more...)
	}
	l = ownPack(l, b.Panel.Name)
	if l.HasErrors() {
		return l
	}
	for _, f := range check.Audit(s.ctx, raised, b.Wiring) {
		// The board itself was judged before; here only its errors would be news.
		if f.Severity == diag.Error {
			f.Text = "read back from the pack: " + f.Text
			l = append(l, f)
		}
	}
	return l
}

// ownPack fits what the reader tells of a pack of ours in the folder dir: what it passes over is no news for the user.
func ownPack(l diag.List, dir string) diag.List {
	l = slices.DeleteFunc(l, func(f diag.Finding) bool { return f.Severity == diag.Note })
	for i := range l {
		if f := &l[i].Place.File; *f != "" {
			*f = dir + "/" + result.PackFolder + *f
		}
	}
	return l
}

// item is the panel's board as the lists take it.
func (b *Built) item() parts.Item { return parts.Item{Board: b.Board, Wiring: b.Wiring} }

// items are the boards that were built.
func (out *Outcome) items() []parts.Item {
	var all []parts.Item
	for i := range out.Built {
		if out.Built[i].Stopped == "" {
			all = append(all, out.Built[i].item())
		}
	}
	return all
}

// consoleFiles gathers the files of all panels and writes those of the whole console.
func (s *session) consoleFiles(out *Outcome) {
	for _, b := range out.Built {
		if b.Stopped != "" {
			continue
		}
		for _, f := range b.Files {
			out.Files = append(out.Files, bundle.File{Path: b.Panel.Name + "/" + f.Path, Data: f.Data})
		}
	}
	for _, o := range out.Orders {
		for _, f := range o.files {
			out.Files = append(out.Files, bundle.File{Path: result.OrderFolder(o.Name) + "/" + f.Path, Data: f.Data})
		}
	}
	add := func(name result.Name, data []byte) {
		out.Files = append(out.Files, bundle.File{Path: string(name), Data: data})
	}
	add(result.PartsCSV, parts.Parts(out.items()...).CSV())
	add(result.OrderCSV, parts.Order(out.items()...).CSV())
	add(result.ChainCir, netlist.Deck(out.Circuit, s.project.Console))
	add(result.WiringSVG, picture.Wiring(out.Circuit, s.project.Console))
	add(result.ConsolePNG, picture.Console(s.lit(out)))
	add(result.ReportHTML, report.HTML(s.report(out)))
	add(result.ResultJSON, out.Result.JSON())
}
