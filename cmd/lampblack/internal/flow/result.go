package flow

import (
	"fmt"
	"path/filepath"
	"slices"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/result"
	"lampblack/export/sheet"
	"lampblack/led/design"
	"lampblack/panel/material"
)

// result fills out.Result from what was reached.
func (s *session) result(out *Outcome) {
	r := &out.Result
	*r = result.Console{
		Lampblack: s.set.Version, Console: s.project.Console, Revision: s.project.Revision, Date: s.day(), Copies: s.project.Copies,
		Chains: result.ChainsOf(out.Circuit), Panels: []result.Panel{}, Files: []string{},
		Findings: s.relative(result.FindingsOf(out.Findings)),
	}
	if len(out.Circuit.Boards) > 0 {
		r.Supply = result.SupplyOf(out.Circuit.Source, out.Spread)
	}
	r.Bright = result.BrightOf(out.Lamps, s.project.Wish())
	if out.Circuit.Solved && !s.supplyOnly {
		for _, a := range design.AnotherLots(out.Circuit, s.request, result.LotRatios()) {
			r.AnotherLots = append(r.AnotherLots, result.AnotherLotOf(a.Panel, a.Kind, a.LEDs, a.Ohms, a.For))
		}
	}
	if !s.supplyOnly {
		r.FabClass = s.project.Class
	}
	for _, o := range out.Orders {
		if !s.set.Pack {
			o.Files = nil // nothing is written
		}
		r.Orders = append(r.Orders, o.Order)
	}
	for _, n := range out.Nests {
		if !s.set.Pack {
			n.Files = nil
		}
		r.Nests = append(r.Nests, n.Nest)
	}
	r.Cost = result.CostsOf(out.Costs)
	for _, b := range out.Built {
		p := result.PanelOf(b.Panel)
		s.panelResult(&p, b)
		r.Panels = append(r.Panels, p)
	}
	if out.Packs > 0 && !s.supplyOnly && s.set.Pack {
		r.Files = result.ConsoleFiles()
		if out.costed == nil {
			r.Files = slices.DeleteFunc(r.Files, func(f string) bool { return f == string(result.CostCSV) })
		}
		if len(r.Nests) > 0 {
			r.Files = append(r.Files, string(result.NestsSVG))
		}
	}
}

// Owner is whose a project's output is.
func Owner(p project.Project) bundle.Owner {
	o := bundle.Owner{Console: p.Console}
	for _, q := range p.Panels {
		o.Drawings = append(o.Drawings, told(q.Drawing))
	}
	return o
}

func (s *session) panelResult(p *result.Panel, b Built) {
	p.Stopped, p.Unlit = b.Stopped, b.Unlit
	for _, m := range b.Boards {
		one := result.PanelBoard{Name: m.Name(), BBox: result.BBoxOf(b.Panel, m.Part.Box), Strings: result.StringsOf(m.Wiring), Groups: result.GroupsOf(m.Wiring)}
		if !s.supplyOnly {
			q := m.Part.Panel
			q.Origin = b.Panel.Origin // which stages are not told
			one.Board = result.BoardOf(result.Made{
				Panel: q, Wiring: m.Wiring, Board: m.Board, Figures: m.Figures, Placed: m.Placed, Routed: m.Routed, Filled: m.Filled,
				Copper: m.Copper, Travel: m.Travel, Paste: m.Paste,
			})
			if len(m.Board.Outline) > 0 {
				one.BBox = result.BBoxOf(b.Panel, m.Board.Outline.Box())
			}
		}
		if p.Boards = append(p.Boards, one); b.alone() {
			p.Strings, p.Groups, p.Board, p.Boards = one.Strings, one.Groups, one.Board, nil
		}
	}
	if s.supplyOnly {
		return
	}
	p.Room = result.RoomsOf(b.Panel, b.rooms())
	if p.Light = result.LightOf(b.Field); p.Light != nil {
		p.Light.Ending(b.Ends)
		p.Light.Lots = result.LotsOf(b.Lots)
		p.Light.Lasting = result.LastingOf(b.Panel, b.Words)
		p.Light.Edge = result.EdgeOf(b.Panel, b.edge)
		names, _ := b.groups()
		p.Light.Spill = result.SpillOf(b.Panel, b.Spills, names)
	}
	p.Windows = result.WindowsOf(b.Panel, b.Wiring(), b.Field.Windows())
	p.Seen = result.SeenOf(b.Panel, b.sights, refsOf(b.Panel, b.Wiring()))
	p.Screws = result.ScrewsOf(b.Panel, b.fastened.Mounts)
	p.Fit = result.FitOf(b.Panel, b.fastened.Adjusts, b.fastened.Held, s.project.Stack.Gap, s.project.Thick.LED.Range)
	p.Depth = result.DepthOf(b.Panel, b.sideways.Stands, b.sideways.View.Cut, s.project.Depth)
	p.Sheets = s.sheetsOf(b)
	if !s.set.Pack || b.Stopped != "" {
		return // nothing is written
	}
	for k, dir := range b.folders() {
		if k == 0 {
			p.Files = dir.paths()
		} else {
			p.Boards[k-1].Files = dir.paths()
		}
	}
}

// sheetsOf tells of the panel's sheets and its boards' spacer sheets.
func (s *session) sheetsOf(b Built) []result.Sheet {
	var out []result.Sheet
	m, st := s.mounting(b.Panel.Name), s.project.Stack
	thick := s.project.Thick
	add := func(one sheet.Sheet, name, of, what string, as material.Sheet) {
		f := one.Figures()
		out = append(out, result.Sheet{
			Name: name, Of: of, Material: what, Thickness: as.Sold.MM(), Least: as.Least.MM(), Most: as.Most.MM(), Measured: as.Measured, Width: f.W.MM(), Height: f.H.MM(), Cut: f.Cut, Holes: f.Holes, Engraved: f.Engraved,
		}.Rounded())
	}
	if cut := b.cut.Value.Sheets; len(cut) >= 3 {
		side := "its front painted"
		if m.PaintedBehind {
			side = "its back painted"
		}
		add(cut[0], "face", b.Panel.Name, clearAcrylic+", "+side, thick.Face)
		out[0].Behind = m.PaintedBehind
		grade := st.Grade + " acrylic"
		if st.Grade == "" {
			grade = fmt.Sprintf("opal acrylic that passes %.0f %% of the light", 100*st.Transmission)
		}
		add(cut[1], "diffuser", b.Panel.Name, grade, thick.Diffuser)
		add(cut[2], "led", b.Panel.Name, st.SheetKind+" acrylic", thick.LED)
		if m.Frame > 0 {
			add(cut[len(cut)-1], "frame", b.Panel.Name, "black acrylic", material.Bought(material.Cast, st.Gap))
			cut = cut[:len(cut)-1]
		}
		if len(cut) > 3 {
			add(cut[3], "plate", b.Panel.Name, "aluminium or acrylic of any colour", thick.Plate)
		}
	}
	for _, one := range b.Boards {
		for _, f := range one.spacer {
			add(f, "spacer", one.Name(), "acrylic of any colour", material.Bought(material.Cast, m.Spacer))
		}
	}
	return out
}

// relative names files as the project does, so that a result does not depend on the folder that lampblack is called in.
func (s *session) relative(l []result.Finding) []result.Finding {
	name := func(file string) string {
		if file != "" && file == s.project.File {
			return filepath.Base(file)
		}
		for i, q := range s.project.Panels {
			if file == s.project.Path(i) {
				return told(q.Drawing)
			}
		}
		return file
	}
	for i := range l {
		l[i].File = name(l[i].File)
		for j := range l[i].Related {
			l[i].Related[j].File = name(l[i].Related[j].File)
		}
		for j := range l[i].Places {
			p := &l[i].Places[j]
			p.File = name(p.File)
			for k := range p.Related {
				p.Related[k].File = name(p.Related[k].File)
			}
		}
	}
	return l
}
