package desk

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel/read"
)

// way is rules that might do, and the things that they are for.
type way struct {
	words string // with %d for the number of things
	rules []string
	takes func(s *shape) bool
	some  bool // of what it may take, what gets the role by it
	wider bool // it counts only where it comes to more than what was chosen
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
	layer, one := o.all[o.chosen[0]].Layer, true
	points := true
	for _, k := range o.chosen {
		isChosen[o.all[k].id] = true
		one = one && o.all[k].Layer == layer
		points = points && (o.all[k].kind == read.CircleRule || o.all[k].kind == read.ShapeRule)
	}
	if n := len(o.chosen); points && n <= mostNear {
		for _, on := range []bool{false, true} {
			w := way{words: "only " + plural(n, "this ", "these %d ") + o.said(groups, n), takes: func(s *shape) bool { return isChosen[s.id] }}
			for _, k := range o.chosen {
				s := &o.all[k]
				rule := ruleWord(s.kind) + sizeOf(s.w, s.h, s.w, s.h, s.kind) + " near " + number(s.at.X) + "," + number(s.at.Y)
				if on {
					rule += " on layer " + s.Layer
				}
				w.rules = append(w.rules, rule)
			}
			out = append(out, w)
		}
	}
	sized := func(on bool, m mark) way {
		w := way{words: "all %d " + o.said(groups, 2), takes: func(s *shape) bool {
			return (!on || strings.EqualFold(s.Layer, layer)) && m.takes(s) && slices.ContainsFunc(groups, func(g alike) bool { return of(g, s) })
		}}
		for _, g := range groups {
			w.rules = append(w.rules, ruleWord(g.kind)+g.size)
		}
		return w.narrowed(m, on, layer)
	}
	kinds := func(on bool, m mark) way { // of the only kind, of any size
		kind := groups[0].kind
		w := way{words: "all %d " + kindWord(kind, 2), rules: []string{ruleWord(kind)}, takes: func(s *shape) bool {
			return s.kind == kind && m.takes(s) && (!on || strings.EqualFold(s.Layer, layer))
		}}
		return w.narrowed(m, on, layer)
	}
	if points {
		for _, place := range []string{"near the edge", "in corners", "round others", "within another"} {
			w := sized(false, mark{})
			w.words, w.some, w.wider = w.words+" "+place, true, true
			for i := range w.rules {
				w.rules[i] += " " + place
			}
			out = append(out, w)
		}
	}
	anySize := len(groups) == 1 && groups[0].size != ""
	for _, m := range o.marks() {
		for _, on := range []bool{true, false} {
			if on && !one {
				continue
			}
			out = o.ifNarrower(out, sized(on, m), sized(on, mark{}))
			if anySize {
				out = o.ifNarrower(out, kinds(on, m), kinds(on, mark{}))
			}
		}
		if all := o.closed(m); points && len(all.rules) > 1 {
			out = o.ifNarrower(out, all, o.closed(mark{}))
		}
	}
	if one {
		out = append(out, sized(true, mark{}))
	}
	out = append(out, sized(false, mark{}))
	if !one {
		return out
	}
	if anySize {
		out = append(out, kinds(true, mark{}))
	}
	return append(out, way{words: "all %d things on layer " + layer, rules: []string{"layer " + layer}, takes: func(s *shape) bool { return strings.EqualFold(s.Layer, layer) }})
}

// closed are all closed lines, round and other ones.
func (o *offering) closed(m mark) way {
	w := way{words: "all %d closed lines", takes: func(s *shape) bool {
		return (s.kind == read.CircleRule || s.kind == read.ShapeRule) && m.takes(s)
	}}
	for _, kind := range []read.RuleKind{read.CircleRule, read.ShapeRule} {
		if slices.ContainsFunc(o.all, func(s shape) bool { return s.kind == kind && m.takes(&s) }) {
			w.rules = append(w.rules, ruleWord(kind))
		}
	}
	return w.narrowed(m, false, "")
}

// mark is a colour or a block that all the chosen have; the zero one is none, which all have.
type mark struct {
	colour uint32
	block  string
}

func (m mark) takes(s *shape) bool {
	return (m.colour == 0 || s.Colour == m.colour) && (m.block == "" || strings.EqualFold(s.Block, m.block))
}

// narrowed names a mark, and a layer, in the words and rules of a way.
func (w way) narrowed(m mark, on bool, layer string) way {
	add := func(words, rule string) {
		w.words += words
		for i := range w.rules {
			w.rules[i] += rule
		}
	}
	if m.colour != 0 {
		add(" in colour "+read.ColourName(m.colour), " in colour "+read.ColourName(m.colour))
	}
	if m.block != "" {
		add(" in the block "+m.block, ` in block "`+m.block+`"`)
	}
	if on {
		add(" on layer "+layer, " on layer "+layer)
	}
	return w
}

// marks are those of the chosen. A block that CAD named for itself, as *U7, has another name when the drawing is saved again.
func (o *offering) marks() []mark {
	first := &o.all[o.chosen[0]]
	all := func(m mark) bool {
		return !slices.ContainsFunc(o.chosen, func(k int) bool { return !m.takes(&o.all[k]) })
	}
	var out []mark
	if m := (mark{colour: first.Colour}); m.colour != 0 && all(m) {
		out = append(out, m)
	}
	if m := (mark{block: first.Block}); m.block != "" && !strings.HasPrefix(m.block, "*") && !strings.ContainsAny(m.block, `"'`) && all(m) {
		out = append(out, m)
	}
	return out
}

// ifNarrower adds a way that is wider than what was chosen, and narrower than the same without a mark: else the mark would say nothing.
func (o *offering) ifNarrower(out []way, w, plain way) []way {
	count := func(w way) (n int) {
		for i := range o.all {
			if w.takes(&o.all[i]) {
				n++
			}
		}
		return n
	}
	if n := count(w); n > len(o.chosen) && n < count(plain) {
		w.wider = true
		out = append(out, w)
	}
	return out
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
