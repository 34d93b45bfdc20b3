package project

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/part"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
)

// roles reads what says by shape or by layer which thing has which role: one rule, or a list of them.
func (r *reader) roles(n ast.Node, path string) []read.Rule {
	var out []read.Rule
	var fields []field
	for _, role := range read.RuleRoles() {
		one := func(n ast.Node, path string) {
			s, ok := r.text(n, path)
			if !ok {
				return
			}
			rule, err := read.ParseRule(role, s)
			if err != nil {
				r.add(n, "project-wrong-value", "%s: %v", r.say(path), err).
					Fix("write layer NAME, circles 3.0 mm, circles 3.0 mm .. 3.2 mm, shapes 20 x 10 mm, largest, texts, lines, fills or rest, with \"on layer NAME\" behind it if wanted; 'lampblack survey' proposes such a block")
				return
			}
			out = append(out, rule)
		}
		fields = append(fields, field{string(role), func(n ast.Node, path string) {
			if _, list := n.(*ast.SequenceNode); list {
				r.sequence(n, path, one)
				return
			}
			one(n, path)
		}})
	}
	r.mapping(n, path, fields...)
	return out
}

// point reads a place in a drawing: [120, 40] or "120, 40", in mm.
func (r *reader) point(n ast.Node, path string) *dxf.XY {
	var words []string
	if _, list := n.(*ast.SequenceNode); list {
		words = r.words(n, path)
	} else if s, ok := r.text(n, path); ok {
		words = strings.Split(s, ",")
	}
	if len(words) == 2 {
		x, ok := coordinate(words[0])
		y, ok2 := coordinate(words[1])
		if ok && ok2 {
			return &dxf.XY{X: x, Y: y}
		}
	}
	r.add(n, "project-wrong-value", "%s must be a place in the drawing", r.say(path)).
		Fix("write two lengths, as %s: [120, 40]: a point within the panel, in mm, in the drawing's own coordinates", path[strings.LastIndexByte(path, '.')+1:])
	return nil
}

// coordinate reads a length that may be negative, and returns mm.
func coordinate(s string) (float64, bool) {
	s, negative := strings.CutPrefix(strings.TrimSpace(s), "-")
	v, err := part.ParseLength(s)
	if negative {
		v = -v
	}
	return v.MM(), err == nil
}

// UnitWord returns the word that units takes for a unit of a drawing.
func UnitWord(name string) string {
	if name == "in" {
		return "inch"
	}
	return name
}

// Plain writes a text so that YAML takes it as it is: a rule is plain words, but a layer's name may hold anything.
func Plain(s string) string {
	for _, c := range s {
		if !nameRune(c) && c != ' ' && c != '.' {
			return strconv.Quote(s)
		}
	}
	return s
}
