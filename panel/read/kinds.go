package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/role"
)

// LEDKinds says of which kind each LED is, where a panel has several.
type LEDKinds struct {
	Rules []KindRule // of several that take an LED the nearest fit counts, as for roles
	Usual string     // the kind of LEDs that none takes
}

// KindRule says which LEDs are of a kind.
type KindRule struct {
	Rule   Rule // of panel.RoleLED
	Kind   string
	Shared bool // it holds for other panels too, of which one may have such LEDs
}

// kindsTold returns the kind that the project's rules give each LED, empty where none takes it; and tells rules that take none,
// LEDs that two rules fit alike, and LEDs that none takes.
func kindsTold(leds []loop, told LEDKinds, panel string) ([]string, findings) {
	var said findings
	kinds := make([]string, len(leds))
	if len(told.Rules) == 0 || len(leds) == 0 {
		return kinds, said
	}
	list, rest := make([]Rule, len(told.Rules)), false
	for i, r := range told.Rules {
		list[i] = r.Rule
		if r.Rule.Kind == ByLayer { // an LED's hole is a circle, whatever else lies on the layer
			list[i].Kind = CircleRule
		}
		rest = rest || r.Rule.Kind == RestRule
	}
	uses := make([]int, len(list))
	var free []*loop
	type pair struct{ best, other int }
	clashes, first := map[pair]int{}, []pair{}
	at := map[pair]*loop{}
	for i := range leds {
		l := leds[i]
		l.letter = false // a hole in a row of letters' height is a hole
		best, clash := taking(&l, list, layers{}, func(a, b int) bool { return !strings.EqualFold(told.Rules[a].Kind, told.Rules[b].Kind) })
		if best < 0 {
			free = append(free, &leds[i])
			continue
		}
		uses[best]++
		kinds[i] = told.Rules[best].Kind
		if clash >= 0 {
			uses[clash]++ // it is no rule for nothing
			p := pair{best, clash}
			if clashes[p]++; clashes[p] == 1 {
				first, at[p] = append(first, p), &leds[i]
			}
		}
	}
	for _, p := range first {
		m, a, b := at[p].middle(), told.Rules[p.best], told.Rules[p.other]
		said.add(diag.Warning, "panel-led-two-kinds", at[p].from, "%s %s by one rule (%s) and %s by another (%s); the first is followed",
			counted(clashes[p], "LED is", "LEDs are"), a.Kind, a.Rule, b.Kind, b.Rule).At(m.X, m.Y).Of(panel).About(kindKeys(p.other)...).
			Fix("make the rules differ: by a size, \"near X,Y\", \"in colour NAME\" or \"on layer NAME\"")
	}
	taken := 0
	for i, r := range told.Rules {
		taken += uses[i]
		if uses[i] == 0 && !r.Shared && r.Rule.Kind != RestRule {
			said.add(diag.Warning, "panel-led-rule-empty", nil, "no LED is %s, for which the project tells the kind %s", r.Rule, r.Kind).Of(panel).
				About(kindKeys(i)...).Fix("%s shows what there is; take the rule away or correct it", shows()).
				By("take the rule away", diag.Remove, kindKeys(i)[0], nil)
		}
	}
	if n := len(free); n > 0 && !rest && (taken > 0 || !told.Rules[0].Shared) {
		m := free[0].middle()
		f := said.add(diag.Note, "panel-led-no-rule", free[0].from, "%s of no rule and taken for %s", counted(n, "LED is", "LEDs are"), told.Usual).
			At(m.X, m.Y).Of(panel).About(kindKeys(0)[1:]...).Fix("add {rule: rest, kind: %s} to the list if that is meant", told.Usual)
		if !told.Rules[0].Shared {
			f.By("all others are "+told.Usual, diag.Add, "led", diag.Pairs{{Key: "rule", Value: "rest"}, {Key: "kind", Value: told.Usual}})
		}
	}
	return kinds, said
}

// shows is where one sees what a drawing holds.
func shows() diag.Deed {
	return diag.Deed{Typed: "'lampblack survey'", Clicked: "the view Drawing"}
}

// kindKeys returns the keys under which the project has a rule of kinds, the most particular first.
func kindKeys(rule int) []string { return []string{"led." + strconv.Itoa(rule), "led", "defaults.led"} }

// lit settles what is in question of the groups by the rules that tell the kind of an LED: circles that one names by size, place or
// layer are LEDs, and taken out of their group. It returns those as groups of their own, with their ground.
func (s *scene) lit(told LEDKinds, said *findings) []role.Group {
	var out []role.Group
	for i := range s.groups {
		g := &s.groups[i]
		if !g.Round || !g.Asks() || g.Role != panel.RoleLED && g.Second != panel.RoleLED {
			continue
		}
		var left []int
		by := make([][]int, len(told.Rules))
		for _, k := range g.Things {
			n := told.naming(s.loops[s.back[k]])
			if n < 0 {
				left = append(left, k)
				continue
			}
			by[n] = append(by[n], k)
		}
		for n, things := range by {
			if len(things) == 0 {
				continue
			}
			rule, them := &told.Rules[n], "them"
			if len(things) == 1 {
				them = "it"
			}
			why := fmt.Sprintf("the project names a kind of LED for %s: %s for %s", them, rule.Kind, rule.Rule)
			own := *g
			own.Things, own.Role, own.Second, own.Margin, own.But = things, panel.RoleLED, "", role.Sure, nil
			for _, k := range things {
				at := s.back[k]
				s.roles[at] = panel.RoleLED
				s.loops[at].ground = &ground{why: []string{why}}
			}
			said.guess(s.loops[s.back[things[0]]].from, "%s %s taken as %s, since %s", s.named(&own), are(len(things)),
				takenAs(panel.RoleLED, (g.Min+g.Max)/2, len(things)), why).Fix("if that is wrong, say what they are in the project file (roles:)")
			out = append(out, own)
		}
		g.Things = left
	}
	s.groups = slices.DeleteFunc(s.groups, func(g role.Group) bool { return len(g.Things) == 0 })
	return out
}

// naming returns the rule that names the circle by size, place, layer, block or colour; -1: none does.
func (k LEDKinds) naming(l loop) int {
	list := make([]Rule, len(k.Rules))
	for i, r := range k.Rules {
		if list[i] = r.Rule; r.Rule.Kind == ByLayer {
			list[i].Kind = CircleRule
		}
	}
	l.letter = false
	best, _ := taking(&l, list, layers{}, nil)
	if best < 0 || list[best].Kind == RestRule || list[best].Max == 0 && list[best].closeness() == 0 {
		return -1
	}
	return best
}
