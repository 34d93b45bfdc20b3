package project

import (
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// mostLimit bounds single limits of the board but those of its size.
const mostLimit = 20 * geom.Millimetre

// ruleKeys are the class of fabrication and single limits over it.
func ruleKeys() mapping[draft] {
	m := mapping[draft]{keys: []key[draft]{{name: "class", is: bind(choice{words: board.Classes()}, func(d *draft) *string { return &d.Class }),
		help:  "of fabrication, which gives all limits below: `easy`, which also old lines hold, `usual`, or `fine`, the floor that most board houses hold without extra cost",
		usual: "`" + board.UsualClass + "`", eg: board.Classes()}}}
	for _, l := range board.Limits() {
		least := 10 * geom.Micrometre // a limit of nothing would switch the proof off
		if l.Name == "margin" || l.Name == "screw_room" || l.Name == "mask_beyond_pad" {
			least = 0
		}
		most := mostLimit
		if l.Most {
			least, most = 30*geom.Millimetre, 1000*geom.Millimetre
		}
		var usual []string
		for _, name := range board.Classes() {
			c, _ := board.Class(name)
			usual = append(usual, strconv.FormatFloat(l.Of(&c).MM(), 'f', -1, 64))
		}
		m.keys = append(m.keys, key[draft]{name: l.Name, was: formerLimits[l.Name], is: bind(lengths(least, most), func(d *draft) *geom.Nm { return l.Of(&d.limits) }),
			help: l.What, usual: strings.Join(usual, ", ") + " mm", eg: []string{usual[1] + " mm"}})
	}
	return m
}

// formerLimits are the names that limits had, as key.was tells them.
var formerLimits = map[string][]string{
	"board_to_body":     {"body clearance"},
	"thinnest_track":    {"track"},
	"string_track":      {"signal"},
	"copper_gap":        {"clearance"},
	"copper_to_edge":    {"edge clearance"},
	"copper_to_hole":    {"hole clearance"},
	"between_holes":     {"hole to hole"},
	"screw_room":        {"screw clear"},
	"smallest_hole":     {"drill"},
	"thinnest_area":     {"neck"},
	"relief_bridge":     {"spoke"},
	"relief_gap":        {"spoke gap"},
	"mask_beyond_pad":   {"mask margin"},
	"mask_between_pads": {"mask web"},
	"legend_gap":        {"legend clear"},
}

// settleRules gives each limit its value: its own, wherever that stands, or the class's.
func (d *draft) settleRules(r *reader) {
	d.Rules, _ = board.Class(d.Class)
	if r.has("margin") {
		d.Rules.Margin = d.margin // the key of its own, at the top
	}
	for _, l := range board.Limits() {
		if r.has("rules." + l.Name) {
			*l.Of(&d.Rules) = *l.Of(&d.limits)
		}
	}
	d.Least = board.FloorsOf(d.Rules, func(limit string) bool { return r.has("rules."+limit) || limit == "margin" && r.has("margin") })
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
		f.Fix("make via_pad at least %v", least).By("via_pad: "+least.String(), diag.Set, "rules.via_pad", least.String())
	}
	if u.ViaDrill < u.Drill {
		f := at("rules.via_drill")
		f.Text = "via_drill of " + u.ViaDrill.String() + " is finer than smallest_hole, the finest hole allowed"
		f.Fix("make via_drill at least %v", u.Drill).By("via_drill: "+u.Drill.String(), diag.Set, "rules.via_drill", u.Drill.String())
	}
	if u.Signal < u.Track {
		f := at("rules.string_track")
		f.Text = "tracks within a string of " + u.Signal.String() + " are narrower than thinnest_track, the narrowest allowed"
		f.Fix("make string_track at least %v", u.Track).By("string_track: "+u.Track.String(), diag.Set, "rules.string_track", u.Track.String())
	}
	if u.Spoke < u.Neck {
		f := at("rules.relief_bridge")
		f.Text = "bridges to an area of " + u.Spoke.String() + " are narrower than thinnest_area, the narrowest part of an area"
		f.Fix("make relief_bridge at least %v", u.Neck).By("relief_bridge: "+u.Neck.String(), diag.Set, "rules.relief_bridge", u.Neck.String())
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
		"string_track": fine.Track, "thinnest_area": fine.Track, "relief_bridge": fine.Track, "relief_gap": fine.Clearance, "via_drill": fine.Drill,
		"margin": 0, "board_to_body": 0, "screw_room": 0,
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
		if v := *l.Of(&p.Rules); v < least && !l.Most || v > least && l.Most {
			below = append(below, l.Name+" "+v.String()+" (fine: "+least.String()+")")
			if first == "" {
				first = key
			}
		}
	}
	if first == "" {
		return
	}
	f := r.diags.Add(diag.Warning, "project-rules-fine", "few board houses make what is beyond class fine: %s", strings.Join(below, ", "))
	f.Place = p.Place(first)
	f.Fix("ask your board house first, or keep to a class: rules: {class: fine}")
}
