package desk

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/result"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// Offering asks how things of an entry can be given a role, or in its place LEDs a kind, or openings room behind them.
type Offering struct {
	Entry  int      `json:"entry"`
	Things []string `json:"things"`
	Role   string   `json:"role,omitempty"` // "ignore": they mean nothing
	Kind   string   `json:"kind,omitempty"`
	Room   string   `json:"room,omitempty"` // beyond their edge: "3 mm"
}

// Offered are the ways, the narrowest first.
type Offered struct {
	Offers []Offer `json:"offers"`
}

// Offer is one way to give things a role: changes that are made together, and what has the role by them.
type Offer struct {
	Words   string   `json:"words"` // "all 12 circles of 16 mm on layer 0"
	Count   int      `json:"count"`
	Things  []string `json:"things"`
	Changes []Change `json:"changes"`
}

// mostNear bounds the things that are told one by one.
const mostNear = 12

// offer makes each offer on a copy of the project and looks what it comes to: what is offered is what understand will say. A rule that
// says otherwise of what was chosen goes; where nothing was ruled yet, and a first rule would take what was guessed from other
// things, these are ruled as they were guessed.
func offer(a *asked) (given, error) {
	var in Offering
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	p, l, err := a.project()
	if err != nil {
		return given{}, err
	}
	if in.Entry < 0 || in.Entry >= len(p.Panels) {
		return given{}, fmt.Errorf("there is no entry %d of panels", in.Entry)
	}
	if in.Kind == "" && in.Room == "" && !slices.ContainsFunc(rolesOf(), func(r Role) bool { return r.Role == in.Role }) {
		return given{}, fmt.Errorf("there is no role %q", in.Role)
	}
	src, err := a.read(project.FileName)
	if err != nil {
		return given{}, err
	}
	o := offering{asked: a, project: p, told: l, src: src, entry: in.Entry, role: panel.Role(in.Role)}
	if o.now, err = a.engine.flow.Survey(a.ctx, p, in.Entry, a.settings(l)); err != nil {
		return given{}, err
	}
	o.all = shapesOf(o.now)
	for _, id := range in.Things {
		k := slices.IndexFunc(o.all, func(s shape) bool { return s.id == id })
		if k < 0 {
			return given{}, errors.New("what was chosen is not in the drawing any more: choose it again")
		}
		o.chosen = append(o.chosen, k)
	}
	if len(o.chosen) == 0 {
		return given{}, errors.New("nothing is chosen")
	}
	out := Offered{Offers: []Offer{}}
	if in.Kind != "" || in.Room != "" {
		t := kindOf(in.Kind, cmp.Or(p.Panels[in.Entry].LED, p.Defaults.LED))
		if in.Kind == "" {
			t = roomOf(in.Room)
		}
		all, err := o.traits(t)
		out.Offers = append(out.Offers, all...)
		return given{gives: out}, err
	}
	for _, w := range o.ways() {
		one, ok, err := o.judged(w)
		if err != nil {
			return given{}, err
		}
		if !ok {
			continue
		}
		// Of two that come to the same, the wider says it in fewer words.
		out.Offers = slices.DeleteFunc(out.Offers, func(x Offer) bool { return slices.Equal(x.Things, one.Things) })
		out.Offers = append(out.Offers, one)
	}
	slices.SortStableFunc(out.Offers, func(a, b Offer) int { return cmp.Compare(a.Count, b.Count) })
	return given{gives: out}, nil
}

// shape is a thing as rules see it.
type shape struct {
	id, layer string
	role      panel.Role
	kind      read.RuleKind // CircleRule, ShapeRule, LineRule, FillRule or TextRule
	w, h      float64       // the greater first; of a circle its diameter twice, of a text its height
	at        geom.XY       // in the middle
	rule      read.Rule     // of the project, that gives it its role
	ruled     bool
}

func shapesOf(s flow.Surveyed) []shape {
	var out []shape
	ids := names{}
	for i := range s.Report.Loops {
		l := &s.Report.Loops[i]
		x := shape{id: ids.loop(l), layer: l.Layer, role: l.Role, kind: read.ShapeRule, w: max(l.Box.W(), l.Box.H()), h: min(l.Box.W(), l.Box.H()), at: l.Box.Centre()}
		if l.Round {
			x.kind, x.w, x.h, x.at = read.CircleRule, l.D, l.D, l.Centre
		}
		x.rule, x.ruled = l.Ruled()
		out = append(out, x)
	}
	lines := len(out)
	for i := range s.Report.Lines {
		l := &s.Report.Lines[i]
		x := shape{id: ids.line(l), layer: l.Layer, role: l.Role, kind: read.LineRule}
		if l.Filling {
			x.kind = read.FillRule
		}
		out = append(out, x)
	}
	texts := len(out)
	for i := range s.Report.Texts {
		t := &s.Report.Texts[i]
		out = append(out, shape{id: ids.text(t), layer: t.Layer, role: t.Role, kind: read.TextRule, w: t.Text.Height, h: t.Text.Height})
	}
	for _, g := range s.Report.Groups {
		put := func(from int, of []int) {
			for _, i := range of {
				if out[from+i].role == "" {
					out[from+i].role = g.Role
				}
			}
		}
		put(0, g.Loops)
		put(lines, g.Lines)
		put(texts, g.Texts)
	}
	return out
}

// offering is an offer in the making.
type offering struct {
	asked   *asked
	project project.Project
	told    diag.List
	src     []byte
	entry   int
	role    panel.Role
	now     flow.Surveyed
	all     []shape
	chosen  []int // of all
}

// way is rules that might do, and the things that they are for.
type way struct {
	words string // with %d for the number of things
	rules []string
	takes func(s *shape) bool
	some  bool // of what it may take, what gets the role by it
}

// alike are things of one kind and size, among the chosen.
type alike struct {
	kind        read.RuleKind
	size        string // " 16 mm", " 20 x 10 mm"; empty: it has none
	least, most [2]float64
}

func (o *offering) ways() []way {
	var out []way
	groups := o.alike()
	of := func(g alike, s *shape) bool {
		fit := 0.05
		if g.kind == read.ShapeRule {
			fit = 0.1
		}
		return s.kind == g.kind && (g.size == "" || s.w >= g.least[0]-fit && s.w <= g.most[0]+fit && s.h >= g.least[1]-fit && s.h <= g.most[1]+fit)
	}
	isChosen := map[string]bool{}
	layer, one := o.all[o.chosen[0]].layer, true
	points := true
	for _, k := range o.chosen {
		isChosen[o.all[k].id] = true
		one = one && o.all[k].layer == layer
		points = points && (o.all[k].kind == read.CircleRule || o.all[k].kind == read.ShapeRule)
	}
	if n := len(o.chosen); points && n <= mostNear {
		for _, on := range []bool{false, true} {
			w := way{words: "only " + plural(n, "this ", "these %d ") + o.said(groups, n), takes: func(s *shape) bool { return isChosen[s.id] }}
			for _, k := range o.chosen {
				s := &o.all[k]
				rule := ruleWord(s.kind) + sizeOf(s.w, s.h, s.w, s.h, s.kind) + " near " + number(s.at.X) + "," + number(s.at.Y)
				if on {
					rule += " on layer " + s.layer
				}
				w.rules = append(w.rules, rule)
			}
			out = append(out, w)
		}
	}
	sized := func(on bool) way {
		w := way{words: "all %d " + o.said(groups, 2), takes: func(s *shape) bool {
			return (!on || strings.EqualFold(s.layer, layer)) && slices.ContainsFunc(groups, func(g alike) bool { return of(g, s) })
		}}
		for _, g := range groups {
			rule := ruleWord(g.kind) + g.size
			if on {
				rule += " on layer " + layer
			}
			w.rules = append(w.rules, rule)
		}
		if on {
			w.words += " on layer " + layer
		}
		return w
	}
	if points {
		for _, place := range []string{"near the edge", "in corners", "round others", "within another"} {
			w := sized(false)
			w.words, w.some = w.words+" "+place, true
			for i := range w.rules {
				w.rules[i] += " " + place
			}
			out = append(out, w)
		}
	}
	if one {
		out = append(out, sized(true))
	}
	out = append(out, sized(false))
	if !one {
		return out
	}
	if len(groups) == 1 && groups[0].size != "" {
		kind := groups[0].kind
		out = append(out, way{words: "all %d " + kindWord(kind, 2) + " on layer " + layer, rules: []string{ruleWord(kind) + " on layer " + layer},
			takes: func(s *shape) bool { return s.kind == kind && strings.EqualFold(s.layer, layer) }})
	}
	return append(out, way{words: "all %d things on layer " + layer, rules: []string{"layer " + layer}, takes: func(s *shape) bool { return strings.EqualFold(s.layer, layer) }})
}

// alike sorts the chosen by kind and size.
func (o *offering) alike() []alike {
	var out []alike
	for _, k := range o.chosen {
		s := &o.all[k]
		i := slices.IndexFunc(out, func(g alike) bool {
			return g.kind == s.kind && math.Abs(g.least[0]-s.w) <= 0.05 && math.Abs(g.least[1]-s.h) <= 0.05
		})
		if i < 0 {
			i = len(out)
			out = append(out, alike{kind: s.kind, least: [2]float64{s.w, s.h}, most: [2]float64{s.w, s.h}})
		}
		g := &out[i]
		g.least = [2]float64{min(g.least[0], s.w), min(g.least[1], s.h)}
		g.most = [2]float64{max(g.most[0], s.w), max(g.most[1], s.h)}
	}
	for i := range out {
		g := &out[i]
		g.size = sizeOf(g.least[0], g.least[1], g.most[0], g.most[1], g.kind)
	}
	return out
}

// said names the chosen: "circles of 16 mm", "things" where they are of several kinds.
func (o *offering) said(groups []alike, n int) string {
	if len(groups) != 1 {
		return "things of these sizes"
	}
	g := groups[0]
	if g.size == "" {
		return kindWord(g.kind, n)
	}
	return kindWord(g.kind, n) + " of" + g.size
}

// judged makes the changes of a way on a copy of the project, and returns what comes of them.
func (o *offering) judged(w way) (Offer, bool, error) {
	base := diag.PanelKey(o.project.Panels[o.entry].Name, "roles")
	contrary := o.against()
	var added, guessed []diag.Change
	for _, r := range w.rules {
		if _, err := read.ParseRule(o.role, r); err != nil {
			return Offer{}, false, nil // no such rule for the role
		}
		added = append(added, diag.Change{At: base + "." + string(o.role), Do: diag.Add, Value: r})
	}
	if len(o.project.Panels[o.entry].Roles) == 0 {
		for _, q := range o.now.Report.Proposal {
			guessed = append(guessed, diag.Change{At: base + "." + string(q.Rule.Role), Do: diag.Add, Value: q.Rule.String()})
		}
	}
	var best Offer
	least := -1
	for _, changes := range [][]diag.Change{added, slices.Concat(contrary, added), slices.Concat(added, guessed)} {
		if least >= 0 && len(changes) == len(added) {
			continue
		}
		one, beside, ok, err := o.made(w, changes)
		if err != nil {
			return Offer{}, false, err
		}
		if ok && (least < 0 || beside < least) {
			best, least = one, beside
		}
		if least == 0 {
			break
		}
	}
	return best, least >= 0, nil
}

// made tells what changes come to: ok where all that was chosen has the role; beside is how many others have another one than before.
func (o *offering) made(w way, changes []diag.Change) (one Offer, beside int, ok bool, err error) {
	src, err := project.Edited(o.src, project.FileName, changes)
	if err != nil {
		return one, 0, false, nil // what cannot be written is not offered
	}
	p, l := project.Read(src, project.FileName)
	s, err := o.asked.engine.flow.Survey(o.asked.ctx, p, o.entry, o.asked.settings(l))
	if err != nil {
		return one, 0, false, err
	}
	edge := slices.ContainsFunc(o.chosen, func(k int) bool { return o.all[k].role == panel.RoleOutline })
	if !edge && len(s.Report.Panels) < len(o.now.Report.Panels) {
		return one, 0, false, nil // it would take a panel's edge with it, which nobody chose
	}
	then := map[string]panel.Role{}
	for _, x := range shapesOf(s) {
		then[x.id] = x.role
	}
	for _, k := range o.chosen {
		if !o.given(then[o.all[k].id]) {
			return one, 0, false, nil
		}
	}
	one.Things = []string{}
	for i := range o.all {
		x := &o.all[i]
		switch {
		case w.takes(x) && (!w.some || o.given(then[x.id]) && (!o.given(x.role) || slices.Contains(o.chosen, i))):
			if o.given(then[x.id]) {
				one.Things = append(one.Things, x.id)
			}
		case then[x.id] != x.role:
			beside++
		}
	}
	one.Count = len(one.Things)
	one.Words = w.words
	one.Words = strings.Replace(one.Words, "%d", strconv.Itoa(one.Count), 1)
	if one.Count == 1 {
		one.Words = singular(one.Words)
	}
	for i := range changes {
		changes[i].Words = one.Words + ": " + string(o.role)
	}
	one.Changes = result.ChangesOf(changes)
	return one, beside, true, nil
}

// given reports whether a role is what is asked for: a text or a line that is to mean nothing has none.
func (o *offering) given(r panel.Role) bool {
	return r == o.role || r == "" && o.role == panel.RoleIgnore
}

// singular says of one thing what is said of several.
func singular(words string) string {
	words = strings.Replace(words, "all 1 ", "the one ", 1)
	for _, k := range []read.RuleKind{read.CircleRule, read.ShapeRule, read.LineRule, read.FillRule, read.TextRule} {
		words = strings.Replace(words, kindWord(k, 2), kindWord(k, 1), 1)
	}
	return strings.Replace(words, "one things", "one thing", 1)
}

// against returns what takes away the rules that say otherwise of the chosen, the last of a list first.
func (o *offering) against() []diag.Change {
	rules := o.project.Panels[o.entry].Roles
	var out []diag.Change
	for k, r := range slices.Backward(rules) {
		if r.Role == o.role || !slices.ContainsFunc(o.chosen, func(i int) bool { return o.all[i].ruled && o.all[i].rule == r }) {
			continue
		}
		n := 0
		for _, x := range rules[:k] {
			if x.Role == r.Role {
				n++
			}
		}
		key := "roles." + string(r.Role)
		if one := key + "." + strconv.Itoa(n); o.project.Has("panels." + strconv.Itoa(o.entry) + "." + one) {
			key = one
		}
		out = append(out, diag.Change{At: diag.PanelKey(o.project.Panels[o.entry].Name, key), Do: diag.Remove})
	}
	return out
}

func ruleWord(k read.RuleKind) string {
	return map[read.RuleKind]string{read.CircleRule: "circles", read.ShapeRule: "shapes", read.LineRule: "lines", read.FillRule: "fills", read.TextRule: "texts"}[k]
}

func kindWord(k read.RuleKind, n int) string {
	word := map[read.RuleKind]string{read.CircleRule: "circle", read.ShapeRule: "closed line", read.LineRule: "open line", read.FillRule: "filled area", read.TextRule: "text"}[k]
	if n != 1 {
		word += "s"
	}
	return word
}

// sizeOf writes the size of a rule, with a blank before it; nothing of what has none.
func sizeOf(w1, h1, w2, h2 float64, k read.RuleKind) string {
	span := func(a, b float64) string {
		if long(a) == long(b) {
			return long(a)
		}
		return long(a) + " .. " + long(b)
	}
	switch k {
	case read.CircleRule, read.TextRule:
		return " " + span(w1, w2) + " mm"
	case read.ShapeRule:
		return " " + span(w1, w2) + " x " + span(h1, h2) + " mm"
	}
	return ""
}

func number(v float64) string { return strconv.FormatFloat(cmp.Or(rounded(v), 0), 'f', -1, 64) }

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return strings.Replace(many, "%d", strconv.Itoa(n), 1)
}
