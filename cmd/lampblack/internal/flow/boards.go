package flow

import (
	"slices"
	"strings"

	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// parted finds the boards of each good panel, and tells names that clash, and those of boards that there are not. From here on
// circuit, chain and most stages know boards. Not sound when boards cannot be told apart, or are not there: then there is nothing
// to build.
func (s *session) parted(good []panel.Panel, told *diag.List) (built []Built, sound bool) {
	built, sound = make([]Built, len(good)), true
	lists := make([]diag.List, len(good))
	work.Each(s.ctx, len(good), func(i int) {
		b := &built[i]
		if b.Panel, b.Unlit = good[i], s.unlit(good[i]); b.Unlit {
			return
		}
		parts, fault, ok := parting.run(s, b.Panel.Name, partsIn{footing(b.Panel), s.project.Rules})
		if !ok {
			b.Stopped, b.Boards = parting.name, []Made{{Part: shape.Part{Panel: b.Panel, Of: b.Panel.Name}}}
			if fault != nil {
				lists[i] = diag.List{*fault}
			}
			return
		}
		lists[i] = parts.Value.Findings
		for _, q := range parts.Value.Parts {
			b.Boards = append(b.Boards, Made{Part: q})
		}
	})
	s.owners = map[string]string{}
	for i, b := range built {
		*told = append(*told, s.shifted(lists[i].WithPanel(b.Panel.Name), good)...)
		if len(b.Boards) < 2 {
			continue
		}
		if !s.supplyOnly {
			s.total += (len(b.Boards) - 1) * s.perBoard()
		}
		for _, m := range b.Boards {
			s.owners[m.Name()] = b.Panel.Name
			if k := slices.IndexFunc(good, func(q panel.Panel) bool { return strings.EqualFold(q.Name, m.Name()) }); k >= 0 {
				sound = false
				told.Add(diag.Error, "project-same-name", "a board of panel %s is named %s, as a panel is", b.Panel.Name, good[k].Name).
					Of(good[k].Name).About(diag.PanelKey(good[k].Name, "name")).In(s.fileOf(good[k]), 0).Fix("give the panel another name in %s", project.FileName)
			}
		}
	}
	for i := range s.drawings {
		d := &s.drawings[i]
		d.Parts = make([][]shape.Part, len(d.Panels))
		for k, q := range d.Panels {
			for _, b := range built {
				if b.Panel.Name == q.Name {
					d.Parts[k] = []shape.Part{} // none, for a panel that is not lit
					for _, m := range b.Boards {
						d.Parts[k] = append(d.Parts[k], m.Part)
					}
				}
			}
		}
	}
	unknown := s.unknownBoards(built)
	*told = append(*told, unknown...)
	return built, sound && len(unknown) == 0
}

const unknownBoard = "project-unknown-board"

// unknownBoards tells boards that the project names in chains and groups but that there are not, and those that a chain leaves
// out which names others of their panel.
func (s *session) unknownBoards(built []Built) diag.List {
	var l diag.List
	var names []string
	for _, b := range built {
		for _, m := range b.Boards {
			if !b.alone() {
				names = append(names, m.Name())
			}
		}
	}
	entry := func(name string) bool {
		return slices.ContainsFunc(s.drawings, func(d Drawing) bool { return strings.EqualFold(d.Entry.Name, name) })
	}
	missing := func(key, name string) {
		if name == "" || entry(name) || slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, name) }) {
			return
		}
		f := l.Add(diag.Error, unknownBoard, "the project names a board %s that there is not", name).About(key)
		if len(names) > 0 {
			f.Fix("the boards of panels with several are %s", strings.Join(names, ", "))
		} else {
			f.Fix("no panel has several boards: name the panel")
		}
		f.Place = s.project.Place(key)
	}
	fed := map[string]bool{}
	for _, c := range s.project.Chains {
		for _, name := range c.Boards {
			missing("chain", name)
			fed[strings.ToLower(name)] = true
		}
		missing("chains", c.From)
	}
	for _, g := range s.project.Groups {
		for _, name := range g.Panels {
			missing("groups", name)
		}
	}
	for _, b := range built {
		some := slices.ContainsFunc(b.Boards, func(m Made) bool { return fed[strings.ToLower(m.Name())] })
		if b.alone() || !some {
			continue
		}
		for _, m := range b.Boards {
			if !fed[strings.ToLower(m.Name())] {
				l.Add(diag.Error, unknownBoard, "the chain names other boards of panel %s, but not %s, so nothing feeds it", b.Panel.Name, m.Name()).
					About("chain").Fix("add it, or name the panel, which stands for all its boards")
				l[len(l)-1].Place = s.project.Place("chain")
			}
		}
	}
	return l
}

// ofPanel returns a finding of a board of a panel with several as one of the panel, which says which board it is.
func (s *session) ofPanel(f diag.Finding) diag.Finding {
	for i, k := range f.Subject.Keys {
		if rest, ok := strings.CutPrefix(k, "panels."); ok {
			name, rest, _ := strings.Cut(rest, ".")
			if owner, ok := s.owners[name]; ok {
				f.Subject.Keys = slices.Clone(f.Subject.Keys)
				f.Subject.Keys[i] = diag.PanelKey(owner, rest)
			}
		}
	}
	if owner, ok := s.owners[f.Panel]; ok {
		f.Subject.Board, f.Panel = f.Panel, owner
	}
	return f
}

// boardRef is what chains and groups know of a board: its name, that of its panel, and where it is, for the order of the chain.
type boardRef struct {
	name, panel string
	box         geom.Box
}

// boards returns the boards of an entry's panels, in their order.
func (d Drawing) boards() []boardRef {
	var all []boardRef
	for k, q := range d.Panels {
		if k >= len(d.Parts) || d.Parts[k] == nil {
			all = append(all, boardRef{q.Name, q.Name, q.Outline.Box()})
			continue
		}
		for _, one := range d.Parts[k] {
			all = append(all, boardRef{one.Name, q.Name, one.Box})
		}
	}
	return all
}
