package project

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/bright"
	"lampblack/led/part"
)

// brightness is how bright the lettering is to be: a use, or levels.
type brightness struct{ leaf }

// mostNits bounds luminances: a sheet of paper in the sun has some 30,000 cd/m².
const mostNits = 10_000

func useNames() []string {
	var out []string
	for _, u := range bright.Uses() {
		out = append(out, u.Name)
	}
	return out
}

// usesInWords lists the uses with their levels.
func usesInWords() string {
	var out []string
	for _, u := range bright.Uses() {
		out = append(out, fmt.Sprintf("`%s`: %s to %s cd/m²", u.Name, bright.Shown(u.Night), bright.Shown(u.Full)))
	}
	return strings.Join(out, ", ")
}

func (brightness) uses() choice { return choice{words: useNames()} }

func (brightness) keys() mapping[bright.Levels] {
	nits := quantity[float64]{as: part.Luminances(), per: 1, most: mostNits, above: true, unit: "cd/m2", say: func(v float64) string { return fmt.Sprintf("%g cd/m2", v) }}
	return mapping[bright.Levels]{keys: []key[bright.Levels]{
		{name: "use", is: adding(choice{words: useNames()}, func(l *bright.Levels, name string) {
			u, _ := bright.UseOf(name)
			if l.Use = u.Name; l.Night == 0 {
				l.Night = u.Night
			}
			if l.Full == 0 {
				l.Full = u.Full
			}
		}), help: "the levels that are usual for it, where the other keys do not say otherwise", usual: "none", eg: useNames()},
		{name: "night", is: bind(nits, func(l *bright.Levels) *float64 { return &l.Night }),
			help: "luminance of the lettering that the dimmer goes down to", usual: "the use's, or there is no need to dim", eg: []string{"0.15", "0.15 cd/m2", "0.04 ft-L"}},
		{name: "full", is: bind(nits, func(l *bright.Levels) *float64 { return &l.Full }),
			help: "luminance of the lettering at the dimmer's full mark", usual: "the use's; needed without one", eg: []string{"5 cd/m2"}},
		{name: "bits", is: bind(counts(1, 24), func(l *bright.Levels) *int { return &l.Bits }),
			help: "of the dimmer, by which its steps are counted", usual: fmt.Sprint(bright.UsualBits), eg: []string{"12"}},
	}, whole: func(r *reader, n ast.Node, at spot, l *bright.Levels) {
		if l.Bits == 0 {
			l.Bits = bright.UsualBits
		}
		switch {
		case l.Full == 0 && !r.has(join(at.path, "full")) && !r.has(join(at.path, "use")):
			r.add(n, "project-missing-key", "%s needs full", r.say(at.path)).Fix("write full: 5 cd/m2, or a use: %s", strings.Join(useNames(), ", "))
		case l.Night > l.Full && l.Full > 0:
			r.add(n, "project-impossible-value", "%s: the night level of %s cd/m2 is above the full one of %s cd/m2", r.say(at.path), bright.Shown(l.Night), bright.Shown(l.Full)).
				Fix("night is the least, full the most that the dimmer gives")
		}
	}}
}

func (b brightness) read(r *reader, n ast.Node, at spot, to *bright.Levels) bool {
	if _, keys := n.(ast.MapNode); keys {
		return b.keys().read(r, n, at, to)
	}
	var name string
	if !b.uses().read(r, n, at, &name) {
		return false
	}
	u, _ := bright.UseOf(name)
	*to = bright.Levels{Use: u.Name, Night: u.Night, Full: u.Full, Bits: bright.UsualBits}
	return true
}

func (b brightness) schema() *Schema {
	return &Schema{AnyOf: []*Schema{b.keys().schema(), b.uses().schema()}}
}

func (b brightness) rows(path string) []Row { return b.keys().rows(path) }
