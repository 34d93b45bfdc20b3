package project

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// limit is a single limit of board.Rules by the name that a project uses.
type limit struct {
	name string
	of   func(*board.Rules) *geom.Nm
}

// limits are all of board.Rules, in its order.
func limits() []limit {
	return []limit{
		{"margin", func(r *board.Rules) *geom.Nm { return &r.Margin }},
		{"body_clearance", func(r *board.Rules) *geom.Nm { return &r.BodyClearance }},
		{"inner_radius", func(r *board.Rules) *geom.Nm { return &r.InnerRadius }},
		{"track", func(r *board.Rules) *geom.Nm { return &r.Track }},
		{"signal", func(r *board.Rules) *geom.Nm { return &r.Signal }},
		{"clearance", func(r *board.Rules) *geom.Nm { return &r.Clearance }},
		{"edge_clearance", func(r *board.Rules) *geom.Nm { return &r.EdgeClearance }},
		{"hole_clearance", func(r *board.Rules) *geom.Nm { return &r.HoleClearance }},
		{"screw_clear", func(r *board.Rules) *geom.Nm { return &r.ScrewClear }},
		{"hole_to_hole", func(r *board.Rules) *geom.Nm { return &r.HoleToHole }},
		{"hole_to_edge", func(r *board.Rules) *geom.Nm { return &r.HoleToEdge }},
		{"annular_ring", func(r *board.Rules) *geom.Nm { return &r.AnnularRing }},
		{"drill", func(r *board.Rules) *geom.Nm { return &r.Drill }},
		{"via_drill", func(r *board.Rules) *geom.Nm { return &r.ViaDrill }},
		{"via_pad", func(r *board.Rules) *geom.Nm { return &r.ViaPad }},
		{"neck", func(r *board.Rules) *geom.Nm { return &r.Neck }},
		{"spoke", func(r *board.Rules) *geom.Nm { return &r.Spoke }},
		{"spoke_gap", func(r *board.Rules) *geom.Nm { return &r.SpokeGap }},
		{"mask_margin", func(r *board.Rules) *geom.Nm { return &r.MaskMargin }},
		{"mask_web", func(r *board.Rules) *geom.Nm { return &r.MaskWeb }},
		{"legend_width", func(r *board.Rules) *geom.Nm { return &r.LegendWidth }},
		{"legend_text", func(r *board.Rules) *geom.Nm { return &r.LegendText }},
		{"legend_clear", func(r *board.Rules) *geom.Nm { return &r.LegendClear }},
	}
}

// rules reads single limits over the usual ones.
func (r *reader) rules(n ast.Node, path string, to *board.Rules) {
	var fields []field
	for _, l := range limits() {
		least := 10 * geom.Micrometre // a limit of nothing would switch the proof off
		if l.name == "margin" || l.name == "screw_clear" || l.name == "mask_margin" {
			least = 0
		}
		fields = append(fields, field{l.name, func(n ast.Node, path string) {
			set(l.of(to))(r.length(n, path, least, 20*geom.Millimetre))
		}})
	}
	r.mapping(n, path, fields...)
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

// join names the chains and tells panels and chains that do not fit together.
func (r *reader) join(p *Project, explicit [][]string) {
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
		p.Chains = [][]string{known}
		return
	}
	seen := map[string]diag.Place{}
	for i, c := range explicit {
		key := "chain."
		if _, ok := r.places["chain"]; !ok {
			key = "chains." + strconv.Itoa(i) + "."
		}
		var chain []string
		for j, name := range c {
			if name == "" {
				continue // already told
			}
			at := p.Place(key + strconv.Itoa(j))
			k, ok := where[strings.ToLower(name)]
			if !ok {
				f := r.diags.Add(diag.Error, "project-unknown-panel", "the chain names a panel %s that is not under panels", strconv.Quote(name))
				f.Place = at
				if s := nearest(name, known); s != "" {
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
		if len(chain) > 0 {
			p.Chains = append(p.Chains, chain)
		}
	}
	for i, q := range p.Panels {
		if _, ok := seen[q.Name]; !ok && q.Name != "" && where[strings.ToLower(q.Name)] == i {
			f := r.diags.Add(diag.Error, "project-not-fed", "panel %s is in no chain, so nothing feeds it", q.Name).Of(q.Name)
			f.Place = p.Place("panels." + strconv.Itoa(i) + ".name")
			f.Fix("add %s to chain, or leave chain out to feed all panels in their order here", q.Name)
		}
	}
}
