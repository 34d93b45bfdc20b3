package compare

import (
	"maps"
	"path"
	"slices"
	"strings"

	"lampblack/export/result"
)

// Renamed returns the old names of panels, and of their boards, that only the new side has, by the new ones: of the same drawing, or with
// the same outline and the same LEDs.
func Renamed(was, is result.Console) map[string]string {
	out := map[string]string{}
	taken := map[string]bool{}
	for _, fits := range []func(p, q result.Panel) bool{
		func(p, q result.Panel) bool { return p.Drawing != "" && p.Drawing == q.Drawing },
		twins,
	} {
		for _, q := range is.Panels {
			if _, ok := out[q.Name]; ok || named(was.Panels, q.Name) >= 0 {
				continue
			}
			var of []result.Panel
			for _, p := range was.Panels {
				if named(is.Panels, p.Name) < 0 && !taken[p.Name] && fits(p, q) {
					of = append(of, p)
				}
			}
			if len(of) != 1 { // of two nobody can tell which
				continue
			}
			p := of[0]
			taken[p.Name] = true
			out[q.Name] = p.Name
			for _, b := range q.Boards {
				if rest, ok := strings.CutPrefix(b.Name, q.Name); ok {
					out[b.Name] = p.Name + rest
				}
			}
		}
	}
	return out
}

// twins reports whether two panels have the same outline and the same LEDs, some at least.
func twins(p, q result.Panel) bool {
	at := framesOf(p, q)
	m := match(p.Holes.LED, q.Holes.LED, at.new[0]-at.old[0], at.new[1]-at.old[1])
	return size(p.BBox) == size(q.BBox) && !differ(p.OutlineArea, q.OutlineArea) && len(m.pairs) > 0 && len(m.gone)+len(m.added) == 0 &&
		!slices.ContainsFunc(m.pairs, func(k [2]int) bool {
			a, b := p.Holes.LED[k[0]], q.Holes.LED[k[1]]
			return far(a.X, a.Y, b.X-at.new[0]+at.old[0], b.Y-at.new[1]+at.old[1]) > placeTol
		})
}

// called returns a console with panels and boards by other names.
func called(c result.Console, names map[string]string) result.Console {
	if len(names) == 0 {
		return c
	}
	name := func(s *string) {
		if n, ok := names[*s]; ok {
			*s = n
		}
	}
	files := func(all []string) []string {
		all = slices.Clone(all)
		for i, f := range all {
			dir := path.Dir(f)
			head, rest, _ := strings.Cut(dir, "/")
			name(&head)
			all[i] = path.Join(head, rest, path.Base(f))
		}
		return all
	}
	c.Panels = slices.Clone(c.Panels)
	for i := range c.Panels {
		p := &c.Panels[i]
		name(&p.Name)
		p.Files = files(p.Files)
		p.Boards, p.Sheets, p.Screws, p.Fit = slices.Clone(p.Boards), slices.Clone(p.Sheets), slices.Clone(p.Screws), slices.Clone(p.Fit)
		for k := range p.Boards {
			name(&p.Boards[k].Name)
			p.Boards[k].Files = files(p.Boards[k].Files)
		}
		for k := range p.Sheets {
			name(&p.Sheets[k].Of)
		}
		for k := range p.Screws {
			name(&p.Screws[k].Board)
		}
		for k := range p.Fit {
			name(&p.Fit[k].Board)
		}
		if p.Depth != nil {
			d := *p.Depth
			d.Boards = slices.Clone(d.Boards)
			for k := range d.Boards {
				name(&d.Boards[k].Board)
			}
			p.Depth = &d
		}
	}
	c.Chains = slices.Clone(c.Chains)
	for i := range c.Chains {
		k := &c.Chains[i]
		name(&k.From)
		k.Links = slices.Clone(k.Links)
		for j := range k.Links {
			name(&k.Links[j].Panel)
		}
		if k.Back != nil {
			back := *k.Back
			name(&back.Panel)
			k.Back = &back
		}
	}
	c.Orders = slices.Clone(c.Orders)
	for i := range c.Orders {
		c.Orders[i].Boards = slices.Clone(c.Orders[i].Boards)
		for k := range c.Orders[i].Boards {
			name(&c.Orders[i].Boards[k].Panel)
		}
	}
	c.Nests = slices.Clone(c.Nests)
	for i := range c.Nests {
		n := &c.Nests[i]
		n.Pieces, n.TooLarge = slices.Clone(n.Pieces), slices.Clone(n.TooLarge)
		for k := range n.Pieces {
			name(&n.Pieces[k].Panel)
		}
		for k := range n.TooLarge {
			name(&n.TooLarge[k])
		}
	}
	if c.Bright != nil {
		b := *c.Bright
		b.Panels = slices.Clone(b.Panels)
		for i := range b.Panels {
			name(&b.Panels[i].Panel)
		}
		c.Bright = &b
	}
	c.AnotherLots = slices.Clone(c.AnotherLots)
	for i := range c.AnotherLots {
		name(&c.AnotherLots[i].Panel)
	}
	c.Findings = slices.Clone(c.Findings)
	for i := range c.Findings {
		name(&c.Findings[i].Panel)
		name(&c.Findings[i].Board)
	}
	digests := map[string]string{}
	for _, f := range slices.Sorted(maps.Keys(c.Digests)) {
		digests[files([]string{f})[0]] = c.Digests[f]
	}
	if len(c.Digests) > 0 {
		c.Digests = digests
	}
	return c
}
