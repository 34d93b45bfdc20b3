package desk

import (
	"cmp"
	"errors"
	"fmt"
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
// says otherwise of what was chosen goes; with the first rule come those of all that was guessed.
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
	if o.now, err = a.engine.flow.Survey(a.ctx, p, in.Entry, a.settings(l), read.Answer{}); err != nil {
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
	read.Drawn
	id    string
	role  panel.Role
	kind  read.RuleKind // CircleRule, ShapeRule, LineRule, FillRule or TextRule
	w, h  float64       // the greater first; of a circle its diameter twice, of a text its height
	at    geom.XY       // in the middle
	rule  read.Rule     // of the project, that gives it its role
	ruled bool
}

func shapesOf(s flow.Surveyed) []shape {
	var out []shape
	ids := names{}
	for i := range s.Report.Loops {
		l := &s.Report.Loops[i]
		x := shape{Drawn: l.Drawn, id: ids.loop(l), role: l.Role, kind: read.ShapeRule, w: max(l.Box.W(), l.Box.H()), h: min(l.Box.W(), l.Box.H()), at: l.Box.Centre()}
		if l.Round {
			x.kind, x.w, x.h, x.at = read.CircleRule, l.D, l.D, l.Centre
		}
		x.rule, x.ruled = l.Ruled()
		out = append(out, x)
	}
	lines := len(out)
	for i := range s.Report.Lines {
		l := &s.Report.Lines[i]
		x := shape{Drawn: l.Drawn, id: ids.line(l), role: l.Role, kind: read.LineRule}
		if l.Filling {
			x.kind = read.FillRule
		}
		out = append(out, x)
	}
	texts := len(out)
	for i := range s.Report.Texts {
		t := &s.Report.Texts[i]
		out = append(out, shape{Drawn: t.Drawn, id: ids.text(t), role: t.Role, kind: read.TextRule, w: t.Text.Height, h: t.Text.Height})
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

// judged makes the changes of a way on a copy of the project, and returns what comes of them. Best are those by which all else stays as it
// is understood; there may be none that are proposed, as of another outline.
func (o *offering) judged(w way) (Offer, bool, error) {
	var answer, contrary []read.Rule
	for _, r := range w.rules {
		rule, err := read.ParseRule(o.role, r)
		if err != nil {
			return Offer{}, false, nil // no such rule for the role
		}
		answer = append(answer, rule)
	}
	e := o.project.Panels[o.entry]
	for _, r := range e.Roles {
		if r.Role != o.role && slices.ContainsFunc(o.chosen, func(i int) bool { return o.all[i].ruled && o.all[i].rule == r }) {
			contrary = append(contrary, r)
		}
	}
	var ways [][]diag.Change
	for _, instead := range [][]read.Rule{nil, contrary} {
		s, err := o.asked.engine.flow.Survey(o.asked.ctx, o.project, o.entry, o.asked.settings(o.told), read.Answer{Rules: answer, Instead: instead})
		if err != nil {
			return Offer{}, false, err
		}
		var all, gone []read.Rule
		for _, q := range s.Report.Proposal {
			all = append(all, q.Rule)
		}
		for _, r := range e.Roles {
			if slices.Contains(instead, r) || r.Kind != read.ByLayer && !slices.Contains(all, r) {
				gone = append(gone, r)
			}
		}
		ways = append(ways, slices.Concat(o.without(gone), o.with(all)))
		if len(contrary) == 0 {
			break
		}
	}
	ways = append(ways, o.with(answer), slices.Concat(o.without(contrary), o.with(answer)))
	var best Offer
	least := -1
	for _, changes := range ways {
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
	s, err := o.asked.engine.flow.Survey(o.asked.ctx, p, o.entry, o.asked.settings(l), read.Answer{})
	if err != nil {
		return one, 0, false, err
	}
	edge := slices.ContainsFunc(o.chosen, func(k int) bool { return o.all[k].role == panel.RoleOutline })
	if !edge && len(s.Report.Panels) < len(o.now.Report.Panels) {
		return one, 0, false, nil // it would take a panel's edge with it, which nobody chose
	}
	for _, code := range []string{"panel-rule-empty", "panel-rule-clash"} {
		if count(s.Findings, code) > count(o.now.Findings, code) {
			return one, 0, false, nil // a rule would say nothing
		}
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
	if one.Count = len(one.Things); w.wider && one.Count <= len(o.chosen) {
		return one, 0, false, nil
	}
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

// count counts what is told by a code.
func count(l diag.List, code string) int {
	n := 0
	for i := range l {
		if l[i].Code == code {
			n += l[i].Count()
		}
	}
	return n
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

// with returns what adds rules that the project has not.
func (o *offering) with(rules []read.Rule) []diag.Change {
	e := o.project.Panels[o.entry]
	var out []diag.Change
	for _, r := range rules {
		if !slices.Contains(e.Roles, r) {
			out = append(out, diag.Change{At: diag.PanelKey(e.Name, "roles."+string(r.Role)), Do: diag.Add, Value: r.String()})
		}
	}
	return out
}

// without returns what takes rules of the project away, the last of a list first.
func (o *offering) without(gone []read.Rule) []diag.Change {
	e := o.project.Panels[o.entry]
	var out []diag.Change
	for k, r := range slices.Backward(e.Roles) {
		if !slices.Contains(gone, r) {
			continue
		}
		n := 0
		for _, x := range e.Roles[:k] {
			if x.Role == r.Role {
				n++
			}
		}
		key := "roles." + string(r.Role)
		if one := key + "." + strconv.Itoa(n); o.project.Has("panels." + strconv.Itoa(o.entry) + "." + one) {
			key = one
		}
		out = append(out, diag.Change{At: diag.PanelKey(e.Name, key), Do: diag.Remove})
	}
	return out
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return strings.Replace(many, "%d", strconv.Itoa(n), 1)
}
