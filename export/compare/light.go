package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/export/result"
)

// light tells of the light of a panel: of all its lettering, then word by word, then that anything else about it differs.
func (d *Difference) light(was, is result.Panel) {
	a, b := was.Light, is.Light
	if same(a, b) {
		return
	}
	say := func(how []string) { d.tell("light", was.Name, "", "%s", strings.Join(how, "; ")) }
	if a == nil || b == nil {
		say([]string{map[bool]string{true: "light is computed now, it was not", false: "light cannot be computed any more"}[a == nil]})
		return
	}
	how := lit(a.Lit, b.Lit)
	if u, v := textsOf(a.Words), textsOf(b.Words); same(u, v) {
		var worst []string
		for i := range a.Words {
			if x := now(fmt.Sprintf("%q darkest place over mean", u[i]), 100*a.Words[i].MinToMean, 100*b.Words[i].MinToMean, 0, "%"); len(x) > 0 && len(a.Words) > 1 && differBy(a.Words[i].MinToMean, b.Words[i].MinToMean, 0.02) {
				worst = append(worst, x...)
			}
		}
		if len(worst) > 3 {
			worst = append(worst[:3], fmt.Sprintf("%d more words", len(worst)-3))
		}
		how = append(how, worst...)
	}
	if len(how) == 0 {
		how = []string{"the lettering is lit as it was; other figures of it differ, as contrast, sets, lots, or sheets of other thickness"}
	}
	say(how)
	slight := alikeLit(a.Lit, b.Lit)
	for i := range min(len(a.Words), len(b.Words)) {
		slight = slight && alikeLit(a.Words[i], b.Words[i])
	}
	d.slightly(slight && len(a.Words) == len(b.Words))
}

// alikeLit reports whether no eye tells two from each other.
func alikeLit(a, b result.Lit) bool {
	return math.Abs(a.MinToMean-b.MinToMean) < 0.01 && !differBy(a.Mean, b.Mean, 0.02)
}

func lit(a, b result.Lit) []string {
	return slices.Concat(
		now("darkest place over mean", 100*a.MinToMean, 100*b.MinToMean, 0, "%"),
		now("mean", a.Mean, b.Mean, 1, "cd/m²"),
	)
}

func textsOf(all []result.Lit) []string {
	var out []string
	for _, w := range all {
		out = append(out, w.Text)
	}
	return out
}
