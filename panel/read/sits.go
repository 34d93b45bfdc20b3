package read

import (
	"strconv"
	"strings"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/seat"
)

// Sits says what sits in openings.
type Sits struct {
	Rules []SitRule // of several that take an opening the nearest fit counts, as for roles
	Wish  seat.Wish
}

// SitRule says what sits in some openings.
type SitRule struct {
	Rule   Rule // of panel.RoleOpening
	Kind   control.Kind
	Clamps panel.Clamp
	Turned bool // by a quarter
	Shared bool // it holds for other panels too, of which one may have such an opening
}

// sitsTold returns what the project's rules tell of what sits in openings, one for each, and tells rules that take none and
// openings that two rules fit alike.
func sitsTold(openings []loop, rules []SitRule, panel string) ([]seat.Told, findings) {
	var said findings
	if len(rules) == 0 {
		return nil, said
	}
	list := make([]Rule, len(rules))
	for i, r := range rules {
		list[i] = r.Rule
	}
	uses := make([]int, len(rules))
	told := make([]seat.Told, len(openings))
	clashed := map[[2]int]bool{}
	for i := range openings {
		best, clash := taking(&openings[i], list, layers{}, func(a, b int) bool { return !strings.EqualFold(rules[a].Kind.Name, rules[b].Kind.Name) })
		if best < 0 {
			continue
		}
		uses[best]++
		told[i] = seat.Told{Set: true, Kind: rules[best].Kind, Clamps: rules[best].Clamps, Turned: rules[best].Turned}
		if clash < 0 {
			continue
		}
		uses[clash]++ // it is no rule for nothing
		if pair := [2]int{best, clash}; !clashed[pair] {
			clashed[pair] = true
			m := openings[i].middle()
			said.add(diag.Warning, "panel-control-two-kinds", openings[i].from, "in %s sits %s by one rule (%s) and %s by another (%s); the first is followed",
				openings[i].said(), rules[best].Kind.Name, rules[best].Rule, rules[clash].Kind.Name, rules[clash].Rule).At(m.X, m.Y).Of(panel).About(sitKeys(clash)...).
				Fix("make the rules differ: by a size, \"near X,Y\" or \"on layer NAME\"")
		}
	}
	for i, r := range rules {
		if uses[i] == 0 && !r.Shared && r.Rule.Kind != RestRule {
			said.add(diag.Warning, "panel-control-empty", nil, "no opening is %s, for which the project tells %s", r.Rule, r.Kind.Name).Of(panel).
				About(sitKeys(i)...).Fix("%s shows what there is; take the rule away or correct it", shows()).
				By("take the rule away", diag.Remove, sitKeys(i)[0], nil)
		}
	}
	return told, said
}

// sitKeys returns the keys under which the project has a rule of controls, the most particular first.
func sitKeys(rule int) []string {
	return []string{"controls." + strconv.Itoa(rule), "controls", "defaults.controls"}
}
