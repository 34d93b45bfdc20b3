package flow

import (
	"context"
	"strings"
	"time"

	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/excellon"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// packMeta is what the files of all packs tell of where they come from.
type packMeta struct {
	Console, Revision, Version string
	Mask                       string
	Date                       time.Time // zero: none
	Day                        string    // the same, as people read it
	Clearance                  geom.Nm
	Stencil                    geom.Nm // how thick
}

func (s *session) meta() packMeta {
	p := s.project
	return packMeta{p.Console, p.Revision, s.set.Version, p.Mask, s.date(), s.day(), p.Rules.Clearance, p.Stencil}
}

// list is a further file of a pack.
type list struct {
	name, what string
	data       []byte
}

// fabFiles writes the fabrication pack of an artwork: layers, drills, job file, netlist, further lists and README.txt.
func fabFiles(w *work.Watch, a export.Artwork, m packMeta, page report.Pack, lists ...list) ([]bundle.File, diag.List) {
	page.Console, page.Revision, page.Version, page.Date, page.Mask, page.Stencil = m.Console, m.Revision, m.Version, m.Day, m.Mask, m.Stencil
	gm := gerber.Meta{Project: m.Console, Revision: m.Revision, Version: m.Version, Date: m.Date, Clearance: m.Clearance, Mask: m.Mask}
	dm := excellon.Meta{Project: m.Console, Revision: m.Revision, Version: m.Version, Date: m.Date}
	var fab []bundle.File
	add := func(name string, data []byte) { fab = append(fab, bundle.File{Path: name, Data: data}) }
	for i, l := range a.Layers {
		w.Look()
		add(export.FileName(a.Name, l.Function), gerber.Layer(a, i, gm))
	}
	for i, d := range a.Drills {
		w.Look()
		add(export.DrillFileName(a.Name, d.Plated), excellon.Drill(a, i, dm))
	}
	w.Look()
	add(export.JobFileName(a.Name), gerber.Job(a, gm))
	w.Look()
	ipc, l := netlist.IPC(a, netlist.Meta{Project: m.Console, Revision: m.Revision, Version: m.Version})
	w.Look()
	l = append(l, export.Limits(a)...)
	add(export.NetlistFileName(a.Name), ipc)
	for _, x := range lists {
		add(x.name, x.data)
		page.Extra = append(page.Extra, x.name+"\t"+x.what)
	}
	add(export.ReadMeFileName, report.ReadMe(a, page))
	return fab, l
}

// fabOf returns the files of a pack among those of its folder, named as they are in its zip.
func fabOf(files []bundle.File) []bundle.File {
	var fab []bundle.File
	for _, f := range files {
		if name, ok := strings.CutPrefix(f.Path, result.PackFolder); ok {
			fab = append(fab, bundle.File{Path: name, Data: f.Data})
		}
	}
	return fab
}

// readBack reads a pack's own bytes and compares them with what was to be written.
func readBack(ctx context.Context, w *work.Watch, want export.Artwork, fab []bundle.File) (readback.Pack, diag.List) {
	var files []readback.File
	for _, f := range fab {
		files = append(files, readback.File{Name: f.Path, Data: f.Data})
	}
	pack, l := readback.Open(ctx, files)
	w.Look()
	if l.HasErrors() {
		return pack, l.WithPanel(want.Name)
	}
	return pack, append(l, readback.Compare(want, pack.Artwork)...).WithPanel(want.Name)
}

// travel is the way of the drill's spindle over a board, in the order written and in the board's own order.
func travel(a export.Artwork) (short, plain geom.Nm) {
	for _, d := range a.Drills {
		p, s := excellon.Travel(d)
		plain, short = plain+p, short+s
	}
	return short, plain
}
