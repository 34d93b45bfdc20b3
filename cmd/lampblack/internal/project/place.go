package project

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/part"
)

// mostPlaced bounds the LEDs that a panel is given.
const mostPlaced = 1000

// Place says which LEDs a panel gets whose drawing has none. The zero value leaves that to the flow.
type Place struct {
	None  bool    // no LEDs, and so no board
	Even  float64 // the fewest whose darkest place of lettering gets this share of the mean; 0: not told
	Count int     // so many; 0: not told
}

// placing is a Place: "no", or {even: 0.7}, or {count: 24}.
type placing struct{ leaf }

// word is how no LEDs are told.
func (placing) word() choice { return choice{words: []string{"no", "false"}} }

func (placing) keys() mapping[Place] {
	return mapping[Place]{brief: true, keys: []key[Place]{
		{name: "even", is: bind(evenness(), func(p *Place) *float64 { return &p.Even }), help: "darkest place of the lettering over its mean", usual: "none", eg: []string{"0.7", "70 %"}},
		{name: "count", is: bind(counts(1, mostPlaced), func(p *Place) *int { return &p.Count }), help: "of LEDs", usual: "none", eg: []string{"24"}},
	}, whole: func(r *reader, n ast.Node, at spot, p *Place) {
		even, count := r.has(join(at.path, "even")), r.has(join(at.path, "count"))
		if !even && !count && !empty(n) {
			return // an unknown key is told
		}
		if even == count {
			what := "neither how even the light shall be nor how many LEDs there shall be"
			if even {
				what = "both how even the light shall be and how many LEDs there shall be"
			}
			r.add(n, "project-impossible-value", "%s tells %s", r.say(at.path), what).
				Fix("write one of them: %s", written(at.key(), []string{"{even: 0.7}", "{count: 24}"}))
		}
	}}
}

// empty reports whether a mapping has no keys at all.
func empty(n ast.Node) bool {
	m, ok := n.(*ast.MappingNode)
	return ok && len(m.Values) == 0
}

// evenness is a share, as 0.7 or 70 %.
func evenness() parsed[float64] {
	return parsed[float64]{name: "share-of-mean", numbers: [2]float64{0, 1}, advice: "write a share between 0 and 1, as even: 0.7, or even: 70 %",
		pattern: `0?\.[0-9]+|[0-9]+(?:\.[0-9]+)?\s*%`,
		parse: func(s string) (float64, error) {
			if strings.HasSuffix(s, "%") {
				return part.Percents().Read(s)
			}
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				return 0, errors.New(strconv.Quote(s) + " is no share")
			}
			return v, nil
		},
		refuse: func(v float64) string {
			if v > 0 && v < 1 {
				return ""
			}
			return "not between 0 and 1"
		},
	}
}

func (k placing) read(r *reader, n ast.Node, at spot, to *Place) bool {
	if _, keys := n.(ast.MapNode); keys {
		return k.keys().read(r, n, at, to)
	}
	w, ok := r.text(n, at)
	if ok && !slices.ContainsFunc(k.word().words, func(no string) bool { return strings.EqualFold(w, no) }) {
		r.add(n, "project-unknown-value", "%s: unknown %s", r.say(at.path), strconv.Quote(w)).Fix("write place: {even: 0.7}, place: {count: 24}, or place: no")
		return false
	}
	*to = Place{None: ok}
	return ok
}

func (k placing) schema() *Schema {
	return &Schema{AnyOf: []*Schema{k.word().schema(), k.keys().schema()}}
}
