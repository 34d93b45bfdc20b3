package project

import (
	"strconv"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// join names the chains and tells panels and chains that do not fit together.
func (r *reader) join(p *Project, explicit []Run) {
	if len(p.Panels) == 0 {
		if _, ok := r.places["panels"]; !ok || !r.diags.HasErrors() {
			f := r.diags.Add(diag.Error, "project-no-panels", "the project has no panels")
			f.Place = p.Place("panels")
			f.Fix("list them: panels: [{name: dome, drawing: dome.dxf}]")
		}
		return
	}
	var known []string
	where := map[string]int{}
	for i, q := range p.Panels {
		if q.Name == "" {
			continue
		}
		key := "panels." + strconv.Itoa(i)
		if j, twice := where[strings.ToLower(q.Name)]; twice {
			f := r.diags.Add(diag.Error, "project-same-name", "two panels are named %s", q.Name).Of(q.Name)
			f.Place = p.Place(key + ".name")
			f.Note(p.Place("panels."+strconv.Itoa(j)+".name"), "the other one is here").Fix("give one another name")
			continue
		}
		where[strings.ToLower(q.Name)] = i
		known = append(known, q.Name)
	}
	if len(explicit) == 0 {
		p.Chains = []Run{{Boards: known}}
		return
	}
	seen := map[string]diag.Place{}
	parted := map[string]bool{} // panels of which boards are named
	for i, c := range explicit {
		key := "chain."
		if _, ok := r.places["chain"]; !ok {
			key = "chains." + strconv.Itoa(i) + "."
			if _, ok := r.places[key+"boards"]; ok {
				key += "boards."
			}
		}
		var chain []string
		for j, name := range c.Boards {
			if name == "" {
				continue // already told
			}
			at := p.Place(key + strconv.Itoa(j))
			k, ok := where[strings.ToLower(name)]
			if of, one := boardOf(name, where); !ok && one { // whether there is such a board, the drawing will tell
				name = strings.ToLower(name[len(p.Panels[of].Name):])
				name = p.Panels[of].Name + name
				if first, twice := seen[name]; twice {
					f := r.diags.Add(diag.Error, "project-chain-twice", "board %s stands twice along the feed", name).Of(p.Panels[of].Name)
					f.Place = at
					f.Note(first, "it stands here already").Fix("take one of the two out").By("take this one out", diag.Remove, key+strconv.Itoa(j), nil)
					continue
				}
				seen[name], parted[p.Panels[of].Name] = at, true
				chain = append(chain, name)
				continue
			}
			if !ok {
				f := r.diags.Add(diag.Error, "project-unknown-panel", "the chain names a panel %s that is not under panels", strconv.Quote(name))
				f.Place = at
				if s, ok := diag.Nearest(name, known); ok {
					f.Fix("did you mean %s?", s).By("write "+s, diag.Set, key+strconv.Itoa(j), s)
				} else {
					f.Fix("add it under panels, or take it out of the chain").By("take it out of the chain", diag.Remove, key+strconv.Itoa(j), nil)
				}
				continue
			}
			name = p.Panels[k].Name
			if first, twice := seen[name]; twice {
				f := r.diags.Add(diag.Error, "project-chain-twice", "panel %s stands twice along the feed", name).Of(name)
				f.Place = at
				f.Note(first, "it stands here already").Fix("take one of the two out").By("take this one out", diag.Remove, key+strconv.Itoa(j), nil)
				continue
			}
			seen[name] = at
			chain = append(chain, name)
		}
		for _, name := range chain {
			if of, ok := boardOf(name, where); ok {
				if first, twice := seen[p.Panels[of].Name]; twice {
					f := r.diags.Add(diag.Error, "project-chain-twice", "panel %s stands along the feed, and its board %s as well", p.Panels[of].Name, name).Of(p.Panels[of].Name)
					f.Place = seen[name]
					f.Note(first, "the panel stands here").Fix("name the panel, which stands for all its boards, or each of its boards")
				}
			}
		}
		if c.Boards = chain; len(chain) > 0 {
			p.Chains = append(p.Chains, r.start(p, c, i, known))
		}
	}
	r.loops(p)
	for i, q := range p.Panels {
		if _, ok := seen[q.Name]; !ok && !parted[q.Name] && q.Name != "" && where[strings.ToLower(q.Name)] == i {
			f := r.diags.Add(diag.Error, "project-not-fed", "panel %s is in no chain, so nothing feeds it", q.Name).Of(q.Name)
			f.Place = p.Place("panels." + strconv.Itoa(i) + ".name")
			f.Fix("add %s to chain, or leave chain out to feed all panels in their order here", q.Name)
			if r.has("chain") {
				f.By("feed it last of the chain", diag.Add, "chain", q.Name).By("feed all panels in their order here", diag.Remove, "chain", nil)
			}
		}
	}
}

// boardOf returns the panel of which a name is a board's: the panel's, a dash and a letter. A panel of that name goes before.
func boardOf(name string, where map[string]int) (int, bool) {
	if _, panel := where[strings.ToLower(name)]; panel || len(name) < 3 {
		return 0, false
	}
	k, ok := where[strings.ToLower(name[:len(name)-2])]
	return k, ok && isBoard(name, name[:len(name)-2])
}

// isBoard reports whether the name may be that of a board of the panel.
func isBoard(name, panel string) bool {
	n := len(panel)
	return len(name) == n+2 && strings.EqualFold(name[:n], panel) && name[n] == '-' && letter(name[n+1])
}

func letter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

// panelOf returns the panel of a name in a chain, which may be that of one of its boards.
func (p *Project) panelOf(name string) string {
	board := ""
	for _, q := range p.Panels {
		if q.Name == name {
			return name
		}
		if isBoard(name, q.Name) {
			board = q.Name
		}
	}
	if board != "" {
		return board
	}
	return name
}

// start completes a run: where it starts, and the length of its further feed.
func (r *reader) start(p *Project, c Run, i int, known []string) Run {
	if c.BothEnds && c.BackLength < 0 {
		c.BackLength = p.Defaults.FeedLength
	}
	c.BackLength = max(c.BackLength, 0)
	if c.From == "" {
		return c
	}
	where := map[string]int{}
	for k, n := range known {
		if strings.EqualFold(n, c.From) {
			c.From = n
			return c
		}
		where[strings.ToLower(n)] = k
	}
	if of, ok := boardOf(c.From, where); ok {
		c.From = known[of] + strings.ToLower(c.From[len(known[of]):])
		return c
	}
	f := r.diags.Add(diag.Error, "project-unknown-panel", "the chain starts from a panel %s that is not under panels", strconv.Quote(c.From))
	f.Place = p.Place("chains." + strconv.Itoa(i) + ".from")
	if s, ok := diag.Nearest(c.From, known); ok {
		f.Fix("did you mean %s?", s).By("write "+s, diag.Set, "chains."+strconv.Itoa(i)+".from", s)
	} else {
		f.Fix("name the panel whose OUT connector feeds it, or leave from out for one that the supply feeds").
			By("the supply feeds it", diag.Remove, "chains."+strconv.Itoa(i)+".from", nil)
	}
	c.From = ""
	return c
}

// loops tells chains that start from panels which they feed themselves.
func (r *reader) loops(p *Project) {
	fed := map[string]bool{}
	for again := true; again; {
		again = false
		for _, c := range p.Chains {
			if c.From != "" && !fed[p.panelOf(c.From)] {
				continue
			}
			for _, n := range c.Boards {
				n = p.panelOf(n)
				again = again || !fed[n]
				fed[n] = true
			}
		}
	}
	for i, c := range p.Chains {
		if c.From == "" || fed[p.panelOf(c.From)] {
			continue
		}
		f := r.diags.Add(diag.Error, "project-chain-loop", "this chain starts from panel %s, but no wire leads from the supply to %s", c.From, c.From).Of(c.From)
		f.Place = p.Place("chains." + strconv.Itoa(i) + ".from")
		f.Fix("let one of the chains start from the supply: leave its from out").By("the supply feeds this one", diag.Remove, "chains."+strconv.Itoa(i)+".from", nil)
	}
}

// groupSense tells groups of kinds and panels that there are not.
func (r *reader) groupSense(p *Project) {
	var kinds, panels []string
	for _, k := range p.Kinds {
		kinds = append(kinds, k.Name)
	}
	for _, k := range part.Kinds() {
		kinds = append(kinds, k.Name)
	}
	for _, q := range p.Panels {
		panels = append(panels, q.Name)
	}
	r.setSense(p)
	r.brightSense(p)
	for i, g := range p.Groups {
		key := "groups." + strconv.Itoa(i)
		for _, c := range []struct {
			key, what   string
			names, know []string
		}{{"leds", "LED kind", g.LEDs, kinds}, {"panels", "panel", g.Panels, panels}} {
			for j, name := range c.names {
				known := false
				for _, k := range c.know {
					known = known || strings.EqualFold(k, name) || c.what == "panel" && isBoard(name, k)
				}
				if known || name == "" {
					continue
				}
				f := r.diags.Add(diag.Error, "project-unknown-member", "the group %s names a %s %s that there is not", g.Name, c.what, strconv.Quote(name))
				f.Place = p.Place(key + "." + c.key + "." + strconv.Itoa(j))
				if s, ok := diag.Nearest(name, c.know); ok {
					f.Fix("did you mean %s?", s).By("write "+s, diag.Set, key+"."+c.key+"."+strconv.Itoa(j), s)
				} else {
					f.Fix("use one of: %s", strings.Join(c.know, ", "))
				}
			}
		}
	}
}
