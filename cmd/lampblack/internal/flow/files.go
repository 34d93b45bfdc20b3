package flow

import (
	"context"
	"path"
	"slices"
	"strings"

	"lampblack/board/fasten"
	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/export/bundle"
	"lampblack/export/netlist"
	"lampblack/export/parts"
	"lampblack/export/picture"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/export/scene/svg"
	"lampblack/export/table"
	"lampblack/export/wires"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// The stages of the whole console's files. Those that show currents in full are written anew whenever one changes.

type chainIn struct {
	Circuit           led.Circuit
	Console, Revision string
	Cuts              []wires.Cut
	Idle              []string // connectors that no wire leads to
}

// chaining writes the netlist and draws the wiring and the harness.
var chaining = stage[chainIn, filesOut]{"chain", func(_ context.Context, in chainIn) (out filesOut) {
	title := picture.Titled(in.Console, in.Revision)
	out.add("", result.ChainCir, netlist.Deck(in.Circuit, title))
	out.add("", result.WiringSVG, picture.Wiring(in.Circuit, title))
	out.add("", result.HarnessSVG, picture.HarnessSheet(in.Cuts, wires.Notes(in.Cuts, in.Idle), in.Console, in.Revision))
	return out
}}

type buyIn struct {
	Boards   []buyBoard
	Arrays   []parts.Array
	Mounts   []fasten.Mount
	Beside   toBuy
	Revision string
}

type buyBoard struct {
	Board  memo.Kept[boardOut]
	Wiring led.Wiring
	Idle   []string // connectors that no wire leads to
}

// buying lists the parts and the boards of the console.
var buying = stage[buyIn, filesOut]{"parts", func(_ context.Context, in buyIn) (out filesOut) {
	var items []parts.Item
	for _, b := range in.Boards {
		items = append(items, parts.Item{Board: b.Board.Value.Board, Wiring: b.Wiring, Quantity: in.Beside.Copies, Idle: b.Idle})
	}
	items = parts.Counted(in.Arrays, items...)
	out.add("", result.PartsCSV, in.Beside.list(parts.Hardware(in.Mounts, in.Beside.Copies), items...).CSV())
	out.add("", result.WiresCSV, wires.Table(in.Beside.Cuts, in.Beside.Copies).CSV())
	out.add("", result.OrderCSV, parts.Order(in.Revision, packOf(in.Arrays), in.Arrays, items...).CSV())
	return out
}}

type showIn struct {
	Panels []showPanel // in the order of the feed
}

type showPanel struct {
	Of  engraved
	Lit memo.Kept[lightOut]
	At  geom.Pt
	Set bool
}

// showing draws all panels lit, in their places.
var showing = stage[showIn, filesOut]{"console", func(ctx context.Context, in showIn) (out filesOut) {
	var all []picture.Placed
	for _, q := range in.Panels {
		all = append(all, picture.Placed{Panel: q.Of.Panel, Engraving: q.Of.areas(), Field: atNight(q.Lit.Value.Field), At: q.At, Set: q.Set})
	}
	out.add("", result.ConsolePNG, picture.Console(ctx, all))
	return out
}}

// atNight is the light of a panel in the dark: of sets of LEDs that of the last.
func atNight(f light.Field) light.Field {
	if n := len(f.Sets); n > 0 {
		return f.Sets[n-1].Field
	}
	return f
}

type reportIn struct{ Page report.Console }

var reporting = stage[reportIn, filesOut]{"report", func(ctx context.Context, in reportIn) (out filesOut) {
	work.Until(ctx, func(w *work.Watch) { out.add("", result.ReportHTML, report.HTML(w, in.Page)) })
	return out
}}

// ahead draws the console while boards are still being made: all that its picture hangs on is the panels' light. Where a board
// comes to nothing, another is drawn at its turn.
func (s *session) ahead(built []Built, c led.Circuit) {
	if !s.set.Pack || s.set.Later {
		return
	}
	for i := range built {
		b := &built[i]
		if !s.wanted(*b) || b.Unlit {
			continue
		}
		whole, _, ok := s.engraved(b.Panel)
		if !ok {
			return
		}
		if b.lit, _, ok = lighting.run(s, b.Panel.Name, s.lightIn(b.Wiring(), whole)); !ok {
			return
		}
	}
	_ = guard(func() {
		if all, _, ok := s.lit(&Outcome{Built: built, Circuit: c}); ok {
			_, _, _ = showing.run(s, "", showIn{all})
		}
	}) // told at its turn
}

// consoleFiles gathers the files of all panels and writes those of the whole console. It reports false, and the fault if there
// is one, when they could not be written.
func (s *session) consoleFiles(out *Outcome) (fault *diag.Finding, ok bool) {
	buy := buyIn{Arrays: s.arrays(out), Mounts: out.mounts(), Beside: s.toBuy(out), Revision: s.project.Revision}
	for _, b := range out.Built {
		if b.Stopped != "" {
			continue
		}
		for _, m := range b.Boards {
			buy.Boards = append(buy.Boards, buyBoard{m.proven, partsOf(m.Wiring), parts.Idle(m.Wiring, buy.Beside.Cuts)})
		}
		for _, dir := range b.folders() {
			for i, name := range dir.paths() {
				out.Files = append(out.Files, bundle.File{Path: name, Data: dir.files[i].Data})
			}
		}
	}
	for _, o := range out.Orders {
		for _, f := range o.files {
			out.Files = append(out.Files, bundle.File{Path: result.OrderFolder(o.Name) + "/" + f.Path, Data: f.Data})
		}
	}
	all, fault, ok := s.lit(out)
	if !ok {
		return fault, false
	}
	if out.costed != nil {
		out.Files = append(out.Files, *out.costed)
	}
	var trials memo.Kept[trialOut]
	writing := []func() wrote{
		func() (w wrote) {
			w.files, w.fault, w.ok = s.stockFiles(out)
			return w
		},
		func() (w wrote) {
			if trials, w.fault, w.ok = trialling.run(s, "", s.trialIn()); w.ok && len(trials.Value.Findings) > 0 { // of ours: a sheet that cannot be written
				w.fault, w.ok = &trials.Value.Findings[0], false
			}
			w.files = trials.Value.Files
			return w
		},
		func() wrote { return written(buying.run(s, "", buy)) },
		func() wrote {
			return written(chaining.run(s, "", chainIn{out.Circuit, s.project.Console, out.Result.Revision, buy.Beside.Cuts, idle(out.Circuit, buy.Beside.Cuts)}))
		},
	}
	if !s.set.Later {
		writing = append([]func() wrote{ // the longest first
			func() wrote { return written(guiding.run(s, "", s.guide(out))) },
			func() wrote { return written(consoleSolid.run(s, "", s.consoleSolidIn(out))) },
			func() wrote { return written(showing.run(s, "", showIn{all})) },
		}, writing...)
	}
	fault, ok = s.gather(out, writing...)
	if ok && !s.set.Later { // with pictures and lists from the files above
		fault, ok = s.gather(out,
			func() wrote { return written(lasering.run(s, "", s.laser(out, trials))) },
			func() wrote { return written(reporting.run(s, "", reportIn{s.report(out)})) })
	}
	revised(out.Files, out.Result.Revision)
	ok = ok && work.Until(s.ctx, func(w *work.Watch) { out.Result.Digests = bundle.Digests(w, out.Files) })
	if ok {
		out.Files = append(out.Files, bundle.File{Path: string(result.ResultJSON), Data: out.Result.JSON()})
	}
	return fault, ok
}

// wrote is files that were written, or why they were not.
type wrote struct {
	files []bundle.File
	fault *diag.Finding
	ok    bool
}

func written(o memo.Kept[filesOut], fault *diag.Finding, ok bool) wrote {
	return wrote{o.Value.Files, fault, ok}
}

// gather writes files of the console side by side. It reports false, and the first fault if there is one, when some could not be written.
func (s *session) gather(out *Outcome, writing ...func() wrote) (fault *diag.Finding, ok bool) {
	done := make([]wrote, len(writing)) // of what is not begun, as the run was stopped: not ok
	work.Each(s.ctx, len(writing), func(i int) { done[i] = writing[i]() })
	for _, w := range done {
		if out.Files = append(out.Files, w.files...); !w.ok {
			return w.fault, false
		}
	}
	return nil, true
}

// revised tells the revision in the titles of pictures and of sheets, which are drawn without it, so that another one redraws nothing.
func revised(files []bundle.File, revision string) {
	for i, f := range files {
		if path.Ext(f.Path) == ".svg" {
			files[i].Data = svg.Revised(f.Data, revision)
		}
	}
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

// items are the boards that were built, as the lists of the whole console take them.
func (s *session) items(out *Outcome) []parts.Item { return s.itemsFor(out, s.project.Copies) }

// itemsFor are the boards of so many consoles.
func (s *session) itemsFor(out *Outcome, copies int) []parts.Item {
	var all []parts.Item
	cuts := s.cuts(out)
	for _, b := range out.Built {
		if b.Stopped != "" {
			continue
		}
		for _, m := range b.Boards {
			one := m.item()
			one.Quantity, one.Idle = copies, parts.Idle(m.Wiring, cuts)
			all = append(all, one)
		}
	}
	return parts.Counted(out.arraysFor(copies), all...)
}

// packOf returns the pack to upload, of a board or of an array.
func packOf(arrays []parts.Array) func(name string) string {
	return func(name string) string {
		for _, a := range arrays {
			if a.Name == name {
				return result.OrderZip.Of(strings.TrimPrefix(name, result.OrderFolder("")))
			}
		}
		return result.PanelZip.Of(name)
	}
}

// ordered is the list of boards to order.
func (s *session) ordered(out *Outcome) table.Table {
	return parts.Order(s.project.Revision, packOf(s.arrays(out)), s.arrays(out), s.items(out)...)
}
