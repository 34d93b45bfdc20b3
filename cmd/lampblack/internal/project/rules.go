package project

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// rules reads the class of fabrication and single limits over it, in whichever order they stand.
func (r *reader) rules(n ast.Node, path string, p *Project) {
	type single struct {
		of func(*board.Rules) *geom.Nm
		v  geom.Nm
	}
	var singles []single
	fields := []field{{"class", func(n ast.Node, path string) {
		if c, ok := r.oneOf(n, path, board.Classes()); ok {
			p.Class = c
		}
	}}}
	for _, l := range board.Limits() {
		least := 10 * geom.Micrometre // a limit of nothing would switch the proof off
		if l.Name == "margin" || l.Name == "screw_clear" || l.Name == "mask_margin" {
			least = 0
		}
		fields = append(fields, field{l.Name, func(n ast.Node, path string) {
			if v, ok := r.length(n, path, least, 20*geom.Millimetre); ok {
				singles = append(singles, single{l.Of, v})
			}
		}})
	}
	r.mapping(n, path, fields...)
	margin := p.Rules.Margin
	p.Rules, _ = board.Class(p.Class)
	if _, ok := r.places["margin"]; ok {
		p.Rules.Margin = margin // the key of its own, above
	}
	for _, l := range singles {
		*l.of(&p.Rules) = l.v
	}
}

// fabrication reads what the boards are made of. Its bounds are what board houses keep on the shelf.
func (r *reader) fabrication(n ast.Node, path string, m *board.Laminate) {
	r.mapping(n, path,
		field{"thickness", func(n ast.Node, path string) { set(&m.Thickness)(r.length(n, path, geom.MM(0.4), geom.MM(3.2))) }},
		field{"copper", func(n ast.Node, path string) { set(&m.Copper)(r.length(n, path, board.Ounce/2, 4*board.Ounce)) }},
	)
}

// ruleSense tells limits that contradict each other.
func (r *reader) ruleSense(p *Project) {
	at := func(key string) *diag.Finding {
		f := r.diags.Add(diag.Error, "project-impossible-value", "")
		f.Place = p.Place(key)
		return f
	}
	u := p.Rules
	if least := u.ViaDrill + 2*u.AnnularRing; u.ViaPad < least {
		f := at("rules.via_pad")
		f.Text = "a via's pad of " + u.ViaPad.String() + " leaves less copper round its hole than annular_ring asks"
		f.Fix("make via_pad at least %v", least)
	}
	if u.ViaDrill < u.Drill {
		f := at("rules.via_drill")
		f.Text = "via_drill of " + u.ViaDrill.String() + " is finer than drill, the finest hole allowed"
		f.Fix("make via_drill at least %v", u.Drill)
	}
	if u.Signal < u.Track {
		f := at("rules.signal")
		f.Text = "signal tracks of " + u.Signal.String() + " are narrower than track, the narrowest allowed"
		f.Fix("make signal at least %v", u.Track)
	}
	if u.Spoke < u.Neck {
		f := at("rules.spoke")
		f.Text = "spokes of " + u.Spoke.String() + " are narrower than neck, the narrowest part of an area"
		f.Fix("make spoke at least %v", u.Neck)
	}
}

// fineSense tells limits below those of class fine, by name in the order of board.Limits. Distances that are ours alone
// to choose, as the margin, are no matter of the board house.
func (r *reader) fineSense(p *Project) {
	if r.diags.HasErrors() {
		return
	}
	fine, _ := board.Class("fine")
	// What is ours to choose has to be made all the same: as copper, as a gap, as a hole.
	floor := map[string]geom.Nm{
		"signal": fine.Track, "neck": fine.Track, "spoke": fine.Track, "spoke_gap": fine.Clearance, "via_drill": fine.Drill,
		"margin": 0, "body_clearance": 0, "screw_clear": 0,
	}
	var below []string
	first := ""
	for _, l := range board.Limits() {
		key := "rules." + l.Name
		if _, ok := r.places[key]; !ok {
			continue
		}
		least, ours := floor[l.Name]
		if !ours {
			least = *l.Of(&fine)
		}
		if v := *l.Of(&p.Rules); v < least {
			below = append(below, l.Name+" "+v.String()+" (fine: "+least.String()+")")
			if first == "" {
				first = key
			}
		}
	}
	if first == "" {
		return
	}
	f := r.diags.Add(diag.Warning, "project-rules-fine", "few board houses make what is below class fine: %s", strings.Join(below, ", "))
	f.Place = p.Place(first)
	f.Fix("ask your board house first, or keep to a class: rules: {class: fine}")
}

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
			if !ok {
				f := r.diags.Add(diag.Error, "project-unknown-panel", "the chain names a panel %s that is not under panels", strconv.Quote(name))
				f.Place = at
				if s, ok := diag.Nearest(name, known); ok {
					f.Fix("did you mean %s?", s)
				} else {
					f.Fix("add it under panels, or take it out of the chain")
				}
				continue
			}
			name = p.Panels[k].Name
			if first, twice := seen[name]; twice {
				f := r.diags.Add(diag.Error, "project-chain-twice", "panel %s stands twice along the feed", name).Of(name)
				f.Place = at
				f.Note(first, "it stands here already").Fix("take one of the two out")
				continue
			}
			seen[name] = at
			chain = append(chain, name)
		}
		if c.Boards = chain; len(chain) > 0 {
			p.Chains = append(p.Chains, r.start(p, c, i, known))
		}
	}
	r.loops(p)
	for i, q := range p.Panels {
		if _, ok := seen[q.Name]; !ok && q.Name != "" && where[strings.ToLower(q.Name)] == i {
			f := r.diags.Add(diag.Error, "project-not-fed", "panel %s is in no chain, so nothing feeds it", q.Name).Of(q.Name)
			f.Place = p.Place("panels." + strconv.Itoa(i) + ".name")
			f.Fix("add %s to chain, or leave chain out to feed all panels in their order here", q.Name)
		}
	}
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
	for _, n := range known {
		if strings.EqualFold(n, c.From) {
			c.From = n
			return c
		}
	}
	f := r.diags.Add(diag.Error, "project-unknown-panel", "the chain starts from a panel %s that is not under panels", strconv.Quote(c.From))
	f.Place = p.Place("chains." + strconv.Itoa(i) + ".from")
	if s, ok := diag.Nearest(c.From, known); ok {
		f.Fix("did you mean %s?", s)
	} else {
		f.Fix("name the panel whose OUT connector feeds it, or leave from out for one that the supply feeds")
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
			if c.From != "" && !fed[c.From] {
				continue
			}
			for _, n := range c.Boards {
				again = again || !fed[n]
				fed[n] = true
			}
		}
	}
	for i, c := range p.Chains {
		if c.From == "" || fed[c.From] {
			continue
		}
		f := r.diags.Add(diag.Error, "project-chain-loop", "this chain starts from panel %s, but no wire leads from the supply to %s", c.From, c.From).Of(c.From)
		f.Place = p.Place("chains." + strconv.Itoa(i) + ".from")
		f.Fix("let one of the chains start from the supply: leave its from out")
	}
}
