package read

import (
	"maps"
	"math"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// sheetsAre and rolesAre are what a choice says in the project file.
func sheetsAre(s Sheets) diag.Pair { return diag.Pair{Key: "sheets", Value: string(s)} }

func rolesAre(rules ...Rule) diag.Pair {
	var all diag.Pairs
	for _, r := range rules {
		at := slices.IndexFunc(all, func(p diag.Pair) bool { return p.Key == string(r.Role) })
		if at < 0 {
			all = append(all, diag.Pair{Key: string(r.Role), Value: r.String()})
			continue
		}
		list, many := all[at].Value.([]any)
		if !many {
			list = []any{all[at].Value}
		}
		all[at].Value = append(list, r.String())
	}
	return diag.Pair{Key: "roles", Value: all}
}

// rulesIn returns the rules of what rolesAre says; ok is false where a name of the drawing cannot be written so.
func rulesIn(roles diag.Pairs) (out []Rule, ok bool) {
	for _, p := range roles {
		list, many := p.Value.([]any)
		if !many {
			list = []any{p.Value}
		}
		for _, v := range list {
			r, err := ParseRule(panel.Role(p.Key), v.(string))
			if err != nil {
				return nil, false
			}
			out = append(out, r)
		}
	}
	return out, true
}

// lesson is what was made of a drawing, to be said by rules.
type lesson struct {
	scene   *scene
	layers  layers
	guessed bool       // there is something to propose
	edges   proposal   // the outlines that were guessed
	rules   []Rule     // those that say what the closed lines are: the project's, or found
	written []Proposed // those of texts and open lines
}

// lessonOf finds the rules that say what was made of the drawing.
func lessonOf(w *work.Watch, s *scene, sheets []sheet, ls layers, written []Proposed, engraved int) lesson {
	t := lesson{scene: s, layers: ls, edges: edges(w, sheets, s.loops), written: written}
	if engraved > 0 {
		t.written = append(t.written, Proposed{Rule{Role: panel.RoleLettering, Kind: StrokeRule}, engraved, ""})
	}
	if t.guessed = len(s.groups) > 0 || engraved > 0 || len(t.edges) > 0; t.guessed {
		t.rules = s.taught(w, s.units(w, s.now), nil, 0, layers{})
	}
	return t
}

// now is the role of a loop.
func (s *scene) now(i int) (panel.Role, bool) { return s.roles[i], true }

// open reports whether a loop is asked about.
func (s *scene) open(i int) bool { return s.loops[i].ground != nil && s.loops[i].ground.asked != nil }

// proposal is what a survey proposes.
func (t *lesson) proposal(w *work.Watch) proposal {
	if !t.guessed {
		return nil
	}
	s := t.scene
	return t.edges.with(s.proposed(s.units(w, s.now), t.rules, layers{})...).with(t.written...).tidied()
}

// ofLoops reports whether a rule is for closed lines by themselves.
func (k RuleKind) ofLoops() bool {
	return k == CircleRule || k == ShapeRule || k == LetterRule || k == RestRule
}

// Answer is what is said of a drawing beside what was said or guessed before.
type Answer struct {
	Rules   []Rule
	Instead []Rule // those of the project that it takes the place of; of what else they took, others are found
}

// answered returns the rules that say what an answer says, and of all else what was said before: by the project's rules, or where none
// sorts by shape, by what was guessed. Of what else is in question they say nothing, so that it is asked still. q is the question
// that the answer is for; nil: it is for whatever its rules take.
func (t *lesson) answered(w *work.Watch, given Answer, q *diag.Question) proposal {
	answer := given.Rules
	s, ruled := t.scene, len(t.layers.rules) > 0
	ls := layers{role: maps.Clone(t.layers.role)}
	before, written := t.rules, t.written
	if ruled {
		before, written = nil, nil
		for _, r := range t.layers.rules {
			switch {
			case slices.Contains(given.Instead, r):
			case r.Kind.ofLoops():
				before = append(before, r)
			default:
				written = append(written, Proposed{r, 0, ""})
			}
		}
	}
	var rules []Rule // for closed lines, the answer's first
	var rest proposal
	said := map[string]bool{} // layers of the answer
	for _, r := range answer {
		switch {
		case r.Kind.ofLoops() && (q == nil || len(rules) == 0): // what a question's rule spares beside is found here
			rules = append(rules, r)
		case !r.Kind.ofLoops():
			rest = rest.with(Proposed{r, 0, ""})
		}
		if r.Kind == ByLayer {
			said[lowered(r.Layer)], ls.role[lowered(r.Layer)] = true, r.Role
		}
	}
	told := len(rules)
	rules = append(rules, before...)
	var settled map[int]panel.Role
	want := func(i int) (panel.Role, bool) {
		l := &s.loops[i]
		if said[lowered(l.from.Layer)] {
			return "", false
		}
		var g ground
		if l.ground != nil {
			g = *l.ground
		}
		_, own := ls.role[lowered(l.from.Layer)]
		k, _ := taking(l, rules[:told], ls, nil)
		if nearer, _ := taking(l, rules, ls, nil); ruled && nearer >= told {
			k = -1
		}
		switch {
		case k >= 0 && (q == nil || g.asked == q):
			return rules[k].Role, true
		case g.asked != nil && g.asked != q:
			return settled[i], true
		case ruled && g.rule == nil && !own:
			return "", true // that is told
		}
		return s.roles[i], true
	}
	settled = s.settled(w, want)
	units := s.units(w, want)
	for i := range units {
		u := &units[i]
		k, _ := taking(u.loop, rules[:told], ls, nil)
		u.told = !ruled && k >= 0 && rules[k].Role == u.want
		for {
			k, clash := u.taking(rules, told, ls)
			if k = max(k, clash); k < told || clash < 0 && rules[k].Role == u.want && !u.told {
				break
			}
			rules = slices.Delete(slices.Clone(rules), k, k+1) // it says what is not so any more, or hides the answer
		}
	}
	rules = s.taught(w, units, rules, told, ls)
	for i := range units {
		units[i].told = false // what cannot be said otherwise may hide the answer where it says the same
	}
	rules = s.taught(w, units, rules, told, ls)
	rules = append(slices.Clip(rules), s.oneByOne(units, rules, told, ls)...)
	counts := make([]int, len(rules))
	for i := range units {
		for _, n := range units[i].all {
			w.Step()
			if k, _ := taking(&s.loops[n], rules, ls, nil); k >= 0 {
				counts[k]++
			}
		}
	}
	var p proposal
	for k, r := range rules {
		hidden := func(l loop) bool { // behind others, or the answer's layer
			_, took := r.takes(&l)
			return took && (k < told || said[lowered(l.from.Layer)])
		}
		if counts[k] == 0 && (!ruled && k >= told || slices.ContainsFunc(s.loops, hidden)) {
			continue
		}
		p = p.with(Proposed{r, counts[k], ""})
	}
	if !slices.ContainsFunc(answer, func(r Rule) bool { return r.Role == panel.RoleOutline }) {
		p = p.with(t.edges...)
	}
	for _, x := range written {
		if !slices.ContainsFunc(answer, func(r Rule) bool { r.Role = x.Rule.Role; return r == x.Rule }) {
			p = p.with(x)
		}
	}
	return p.with(rest...).tidied()
}

// mostNear bounds the things of a kind that are named one by one.
const mostNear = 12

// oneByOne returns rules that name things by their places, where no other rules tell them from what is to be another thing.
func (s *scene) oneByOne(units []unit, rules []Rule, told int, ls layers) []Rule {
	var out []Rule
	for i := range units {
		u := &units[i]
		k, clash := u.taking(rules, told, ls)
		if u.want == "" || len(u.all) > mostNear || clash < 0 && k >= 0 && rules[k].Role == u.want || k < 0 && ls.role[lowered(u.loop.from.Layer)] == u.want {
			continue
		}
		for _, n := range u.all {
			l := &s.loops[n]
			m := l.middle()
			r := Rule{Role: u.want, Kind: CircleRule, Min: hundredths(l.d), Max: hundredths(l.d), Near: dxf.XY{X: math.Round(m.X*100) / 100, Y: math.Round(m.Y*100) / 100}, AtNear: true}
			if !l.round {
				r.Min, r.Max = 0, 0
				r.ofShapes(l.box.W(), l.box.W(), l.box.H(), l.box.H())
			}
			if _, own := ls.role[lowered(l.from.Layer)]; own {
				r.Layer = l.from.Layer
			}
			out = append(out, r)
		}
	}
	return out
}

// settled returns the loops that are in question now and would not be any more once others have the roles that are wanted of them, with
// the role that they have: since nobody will be asked, it stays.
func (s *scene) settled(w *work.Watch, want func(i int) (panel.Role, bool)) map[int]panel.Role {
	d := s.all
	d.Things = slices.Clone(d.Things)
	left := false
	for i, k := range s.thing {
		if k < 0 {
			continue
		}
		r, ok := want(i)
		if !ok {
			r = panel.RoleIgnore
		}
		d.Things[k].Given = r
		left = left || r == ""
	}
	out := map[int]panel.Role{}
	if !left {
		return out
	}
	for _, g := range role.Judge(w, d, s.seen) {
		for _, k := range g.Things {
			if !g.Asks() {
				out[s.back[k]] = s.roles[s.back[k]]
			}
		}
	}
	return out
}

// mostAnswers bounds the answers that are completed.
const mostAnswers = 60

// complete has each choice, and each change by which advice is done, say the other roles too: as soon as a project has rules, what
// none of them takes is told, and texts and open lines mean nothing without.
func (t *lesson) complete(w *work.Watch, said findings) {
	known := map[string]diag.Pair{}
	whole := func(f *diag.Finding, roles diag.Pairs) diag.Pair {
		short := diag.Pair{Key: "roles", Value: roles}
		key := diag.Choice{Says: short}.YAML()
		if out, ok := known[key]; ok {
			return out
		}
		answer, ok := rulesIn(roles)
		if !ok || len(known) == mostAnswers {
			return short
		}
		q := f.Question
		if !slices.ContainsFunc(t.scene.loops, func(l loop) bool { return q != nil && l.ground != nil && l.ground.asked == q }) {
			q = nil
		}
		var rules []Rule
		for _, p := range t.answered(w, Answer{Rules: answer}, q) {
			rules = append(rules, p.Rule)
		}
		known[key] = rolesAre(rules...)
		if _, ok := rulesIn(known[key].Value.(diag.Pairs)); !ok {
			known[key] = short
		}
		return known[key]
	}
	for i := range said.list {
		f := &said.list[i]
		more := false
		if f.Question != nil {
			for k := range f.Question.Choices {
				c := &f.Question.Choices[k]
				if roles, ok := c.Says.Value.(diag.Pairs); ok {
					c.Says = whole(f, roles)
					more = more || len(c.Says.Value.(diag.Pairs)) > len(roles)
				}
			}
		}
		for k := range f.Changes {
			c := &f.Changes[k]
			if role, ok := strings.CutPrefix(c.At, "roles."); ok && c.Do == diag.Add {
				all := whole(f, diag.Pairs{{Key: role, Value: c.Value}})
				c.At, c.Value, more = all.Key, all.Value, true
			}
		}
		if more && f.Clicks == "" {
			f.Clicks = f.Advice
			f.Advice += "; beside it belong the other roles, which 'lampblack survey' writes"
		}
	}
}
