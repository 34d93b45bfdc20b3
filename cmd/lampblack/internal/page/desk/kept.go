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

// trait is what a thing of a role can have beside it, told by rules in a list of the panel's entry: the kind of an LED, the room behind
// an opening.
type trait struct {
	key, of string // of the entry, and of a rule of the list
	role    panel.Role
	value   string
	has     func(flow.Surveyed) map[geom.XY]string // what things have now, by where they are
	thing   string                                 // that can have it
	wrong   string
}

// kindOf is that LEDs are of a kind; usual is that of those of which nothing is told.
func kindOf(kind, usual string) trait {
	return trait{"led", "kind", panel.RoleLED, kind, func(s flow.Surveyed) map[geom.XY]string {
		out := map[geom.XY]string{}
		for _, p := range s.Report.Panels {
			for _, h := range p.LEDs {
				out[spotOf(p, h.At)] = cmp.Or(h.Kind, usual)
			}
		}
		return out
	}, "LED", "only holes for LEDs have a kind: say first that they are some"}
}

// roomOf is that room is kept free behind openings.
func roomOf(length string) trait {
	return trait{"room", "room", panel.RoleOpening, length, func(s flow.Surveyed) map[geom.XY]string {
		out := map[geom.XY]string{}
		for _, p := range s.Report.Panels {
			for _, r := range p.Room {
				if !r.Guessed() {
					out[spotOf(p, p.Openings[r.Opening].Box().Centre())] = r.Beyond.String()
				}
			}
		}
		return out
	}, "opening", "only behind openings is room kept free by itself: what stands elsewhere is a body"}
}

func spotOf(p panel.Panel, at geom.Pt) geom.XY {
	return geom.XY{X: rounded(p.Origin.X + at.X.MM()), Y: rounded(p.Origin.Y + at.Y.MM())}
}

// said is what a way comes to for those that can have the trait.
func (t trait) said(w way, n int) string {
	words := strings.Replace(w.words, "%d things", "%d "+t.thing+plural(n, "", "s"), 1)
	if words = strings.Replace(words, "%d", strconv.Itoa(n), 1); n == 1 {
		words = singular(words)
	}
	return words
}

// traits offers to give the chosen a trait: by each of the ways in which they can be named, as far as it comes to that and to nothing
// else.
func (o *offering) traits(t trait) ([]Offer, error) {
	for _, k := range o.chosen {
		if o.all[k].role != t.role {
			return nil, errors.New(t.wrong)
		}
	}
	was := t.has(o.now)
	if t.role == panel.RoleOpening && !o.roomy() {
		return nil, errors.New("a body is drawn behind one of these openings, and tells what room it wants")
	}
	var out []Offer
	for _, w := range o.ways() {
		changes, ok := o.listed(t, w)
		if !ok {
			continue
		}
		src, err := project.Edited(o.src, project.FileName, changes)
		if err != nil {
			continue
		}
		p, l := project.Read(src, project.FileName)
		s, err := o.asked.engine.flow.Survey(o.asked.ctx, p, o.entry, o.asked.settings(l), read.Answer{})
		if err != nil {
			return nil, err
		}
		has := t.has(s)
		one := Offer{Things: []string{}}
		for i := range o.all {
			x := &o.all[i]
			at := geom.XY{X: rounded(x.at.X), Y: rounded(x.at.Y)}
			switch {
			case x.role != t.role:
			case w.takes(x) && strings.EqualFold(has[at], t.value):
				one.Things = append(one.Things, x.id)
			case has[at] != was[at] || w.takes(x):
				ok = false // it would change what was not meant
			}
		}
		one.Count = len(one.Things)
		ok = ok && (!w.wider || one.Count > len(o.chosen))
		for _, k := range o.chosen {
			ok = ok && slices.Contains(one.Things, o.all[k].id)
		}
		if !ok {
			continue
		}
		one.Words = t.said(w, one.Count)
		for i := range changes {
			changes[i].Words = one.Words + ": " + t.value
		}
		one.Changes = result.ChangesOf(changes)
		out = slices.DeleteFunc(out, func(x Offer) bool { return slices.Equal(x.Things, one.Things) })
		out = append(out, one)
	}
	return out, nil
}

// roomy reports whether the chosen openings have room behind them that is told or guessed.
func (o *offering) roomy() bool {
	room := map[geom.XY]bool{}
	for _, p := range o.now.Report.Panels {
		for _, r := range p.Room {
			room[spotOf(p, p.Openings[r.Opening].Box().Centre())] = true
		}
	}
	return !slices.ContainsFunc(o.chosen, func(k int) bool {
		at := o.all[k].at
		return !room[geom.XY{X: rounded(at.X), Y: rounded(at.Y)}]
	})
}

// listed returns what adds rules for a way to those of the trait. What was told of all before holds for the rest.
func (o *offering) listed(t trait, w way) ([]diag.Change, bool) {
	e := o.project.Panels[o.entry]
	at := diag.PanelKey(e.Name, t.key)
	written := fmt.Sprintf("panels.%d.%s", o.entry, t.key)
	one := func(rule, value string) any { return diag.Pairs{{Key: "rule", Value: rule}, {Key: t.of, Value: value}} }
	var more []any
	for _, r := range w.rules {
		if _, err := read.ParseRule(t.role, r); err != nil {
			return nil, false
		}
		more = append(more, one(r, t.value))
	}
	if o.project.Has(written + ".0") { // a list: of rules that fit as well, the last said holds
		var out []diag.Change
		for _, m := range more {
			out = append(out, diag.Change{At: at, Do: diag.Add, Value: m})
		}
		return out, true
	}
	if t.key == "led" {
		all := e.LED
		if all == "" {
			for _, r := range e.LEDs {
				more = append(more, one(r.Rule.String(), r.Kind))
			}
			all = o.project.Defaults.LED
		}
		if len(e.LEDs) == 0 && all != "" {
			more = append(more, one("rest", all))
		}
	} else {
		for _, r := range e.Room {
			if r.All {
				more = append(more, one("rest", r.Beyond.String()))
			} else {
				more = append(more, one(r.Rule.String(), r.Beyond.String()))
			}
		}
	}
	return []diag.Change{{At: at, Do: diag.Set, Value: more}}, true
}
