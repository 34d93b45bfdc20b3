package flow

import (
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/excellon"
	"lampblack/export/gerber"
	"lampblack/export/netlist"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// fabFiles writes the fabrication pack of an artwork: layers, drills, job file, netlist and README.txt.
func (s *session) fabFiles(a export.Artwork, clearance geom.Nm, page report.Pack) ([]bundle.File, diag.List) {
	page.Console, page.Revision, page.Version, page.Date = s.project.Console, s.project.Revision, s.set.Version, s.day()
	gm := gerber.Meta{Project: s.project.Console, Revision: s.project.Revision, Version: s.set.Version, Date: s.date(), Clearance: clearance}
	dm := excellon.Meta{Project: s.project.Console, Revision: s.project.Revision, Version: s.set.Version, Date: s.date()}
	var fab []bundle.File
	add := func(name string, data []byte) { fab = append(fab, bundle.File{Path: name, Data: data}) }
	for i, l := range a.Layers {
		add(export.FileName(a.Name, l.Function), gerber.Layer(a, i, gm))
	}
	for i, d := range a.Drills {
		add(export.DrillFileName(a.Name, d.Plated), excellon.Drill(a, i, dm))
	}
	add(export.JobFileName(a.Name), gerber.Job(a, gm))
	ipc, l := netlist.IPC(a, netlist.Meta{Project: s.project.Console, Revision: s.project.Revision, Version: s.set.Version})
	l = append(l, export.Limits(a)...)
	add(export.NetlistFileName(a.Name), ipc)
	add(export.ReadMeFileName, report.ReadMe(a, page))
	return fab, l
}

// readBack reads a pack's own bytes and compares them with what was to be written.
func readBack(want export.Artwork, fab []bundle.File) (readback.Pack, diag.List) {
	var files []readback.File
	for _, f := range fab {
		files = append(files, readback.File{Name: f.Path, Data: f.Data})
	}
	pack, l := readback.Open(files)
	if l.HasErrors() {
		return pack, l
	}
	return pack, append(l, readback.Compare(want, pack.Artwork)...)
}

// travel is the way of the drill's spindle over a board, in the order written and in the board's own order.
func travel(a export.Artwork) (short, plain geom.Nm) {
	for _, d := range a.Drills {
		p, s := excellon.Travel(d)
		plain, short = plain+p, short+s
	}
	return short, plain
}
