package read

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// Rule says by layer, by shape or by both what has a role: "layer CUTOUTS", "circles 3.0 mm", "circles 3.0 mm on layer
// HOLES". ParseRule reads it, String writes it.
type Rule struct {
	Role  panel.Role
	Kind  RuleKind
	Layer string  // empty: on any layer that has no role of its own
	Min   geom.Nm // of circles: least and greatest diameter; both 0: any
	Max   geom.Nm
	W, H  geom.Nm // of shapes: width and height, either way round; 0: any
}

// RuleKind is the sort of things a rule is about.
type RuleKind uint8

const (
	ByLayer     RuleKind = iota // whatever lies on the layer
	CircleRule                  // round closed lines, however drawn
	ShapeRule                   // closed lines that are not round
	LargestRule                 // the largest closed lines beside each other
	LineRule                    // open lines
	FillRule                    // filled areas
	TextRule
	RestRule // closed lines that no other rule takes
)

var ruleWords = [...]string{ByLayer: "layer", CircleRule: "circles", ShapeRule: "shapes", LargestRule: "largest", LineRule: "lines", FillRule: "fills", TextRule: "texts", RestRule: "rest"}

// Fits of rules: a fitted diameter and one that was typed may differ by the rounding of either; shapes by a pen's width.
const (
	circleFit = 50 * geom.Micrometre
	shapeFit  = 100 * geom.Micrometre
)

// RuleRoles returns the roles that a rule may give, in a fixed order: a panel's, and RoleIgnore.
func RuleRoles() []panel.Role { return append(panel.Roles(), panel.RoleIgnore) }

// ParseRule reads what a builder writes for a role:
//
//	layer NAME | circles [D | D .. D] | shapes [W x H] | largest | lines | fills | texts | rest
//
// each but the first with "on layer NAME" behind it if wanted. Lengths are mm unless "in" follows. The error is in a
// builder's words.
func ParseRule(role panel.Role, s string) (Rule, error) {
	r := Rule{Role: role}
	s = strings.TrimSpace(s)
	word, rest, _ := strings.Cut(s, " ")
	kind := slices.Index(ruleWords[:], strings.ToLower(word))
	if kind < 0 { // one of a thing is written in the singular
		kind = slices.Index(ruleWords[:], strings.ToLower(word)+"s")
	}
	if kind < 0 {
		return r, fmt.Errorf("%q is no rule for a role", s)
	}
	r.Kind = RuleKind(kind)
	rest = strings.TrimSpace(rest)
	if r.Kind == ByLayer {
		r.Layer = unquoted(rest)
		if r.Layer == "" {
			return r, fmt.Errorf("%q names no layer", s)
		}
		return r, nil
	}
	if i := onLayer(" " + rest); i >= 0 {
		r.Layer = unquoted(rest[i+len("on layer "):])
		if r.Layer == "" {
			return r, fmt.Errorf("%q names no layer", s)
		}
		rest = strings.TrimSpace(rest[:i])
	}
	var err error
	switch {
	case rest == "":
	case r.Kind == CircleRule:
		lo, hi, window := strings.Cut(rest, "..")
		r.Max, err = parseLength(hi, 1)
		k := 1.0
		if window && inches(hi) && !strings.ContainsAny(strings.ToLower(lo), "mi\"") {
			k = 25.4
		}
		if !window {
			r.Max = 0
			err = nil
		}
		if err == nil {
			r.Min, err = parseLength(lo, k)
		}
		if !window {
			r.Max = r.Min
		}
		if err == nil && r.Max < r.Min {
			err = fmt.Errorf("%q begins with the larger diameter", s)
		}
	case r.Kind == ShapeRule:
		w, h, two := strings.Cut(strings.ReplaceAll(strings.ToLower(rest), "×", "x"), "x")
		if !two {
			return r, fmt.Errorf("%q must have a width and a height, as shapes 20 x 10 mm", s)
		}
		k := 1.0
		if inches(h) {
			k = 25.4
		}
		if r.H, err = parseLength(h, 1); err == nil {
			r.W, err = parseLength(w, k)
		}
	default:
		err = fmt.Errorf("%q says more than %s takes", s, ruleWords[r.Kind])
	}
	if err != nil {
		return r, err
	}
	text := r.Kind == LineRule || r.Kind == FillRule || r.Kind == TextRule
	switch {
	case r.Kind == LargestRule && role != panel.RoleOutline:
		return r, fmt.Errorf("only the outline can be the largest closed line")
	case text && role != panel.RoleLettering && role != panel.RoleIgnore:
		return r, fmt.Errorf("%s are for lettering", ruleWords[r.Kind])
	}
	return r, nil
}

// unquoted takes blanks and pairs of quotes off both ends.
func unquoted(s string) string {
	for {
		s = strings.TrimSpace(s)
		if n := len(s); n < 2 || s[0] != s[n-1] || s[0] != '"' && s[0] != '\'' {
			return s
		}
		s = s[1 : len(s)-1]
	}
}

// onLayer returns where " on layer " stands in the text, in letters of any case; -1 if nowhere. Bytes are compared, as
// lower case can be longer or shorter.
func onLayer(s string) int {
	const words = " on layer "
	for i := 0; i+len(words) <= len(s); i++ {
		if strings.EqualFold(s[i:i+len(words)], words) {
			return i
		}
	}
	return -1
}

// inches reports whether a length is written in inches.
func inches(s string) bool {
	s = strings.TrimSpace(strings.ToLower(s))
	return strings.HasSuffix(s, "in") || strings.HasSuffix(s, "inch") || strings.HasSuffix(s, `"`)
}

// parseLength reads a length above 0, in mm or in inches; a bare number counts k mm.
func parseLength(s string, k float64) (geom.Nm, error) {
	n := strings.TrimSpace(strings.ToLower(s))
	for _, u := range []struct {
		name string
		mm   float64
	}{{"mm", 1}, {"inch", 25.4}, {"in", 25.4}, {`"`, 25.4}} {
		if v, ok := strings.CutSuffix(n, u.name); ok {
			n, k = strings.TrimSpace(v), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(n, 64)
	if err != nil || !(v > 0) || v*k > 1000 {
		return 0, fmt.Errorf("%q is no length as 3.2 mm", strings.TrimSpace(s))
	}
	return geom.MM(v * k), nil
}

// String returns the rule as ParseRule takes it.
func (r Rule) String() string {
	if r.Kind == ByLayer {
		return "layer " + r.Layer
	}
	s := ruleWords[r.Kind]
	mm := func(v geom.Nm) string { return strconv.FormatFloat(v.MM(), 'f', -1, 64) }
	switch {
	case r.Kind == CircleRule && r.Min > 0 && r.Min == r.Max:
		s += " " + mm(r.Min) + " mm"
	case r.Kind == CircleRule && r.Max > 0:
		s += " " + mm(r.Min) + " mm .. " + mm(r.Max) + " mm"
	case r.Kind == ShapeRule && r.W > 0:
		s += " " + mm(r.W) + " x " + mm(r.H) + " mm"
	}
	if r.Layer != "" {
		s += " on layer " + r.Layer
	}
	return s
}

// rank orders rules: what names a size goes before the largest, that before what names none, and the rest comes last.
func (r Rule) rank() int {
	switch {
	case r.Kind == RestRule:
		return 3
	case r.Kind == LargestRule:
		return 1
	case r.Min > 0 || r.W > 0:
		return 0
	}
	return 2
}

// takes reports whether the rule is for the closed line, and by how many mm it misses the size that is named.
func (r Rule) takes(l *loop) (miss float64, ok bool) {
	if r.Layer != "" && !strings.EqualFold(r.Layer, l.from.Layer) {
		return 0, false
	}
	switch r.Kind {
	case CircleRule:
		if !l.round {
			return 0, false
		}
		if r.Max == 0 {
			return 0, true
		}
		miss = max(r.Min.MM()-l.d, l.d-r.Max.MM(), 0)
		return miss, miss <= circleFit.MM()
	case ShapeRule:
		if l.round {
			return 0, false
		}
		if r.W == 0 {
			return 0, true
		}
		w, h := l.box.W(), l.box.H()
		a := max(math.Abs(w-r.W.MM()), math.Abs(h-r.H.MM()))
		b := max(math.Abs(w-r.H.MM()), math.Abs(h-r.W.MM()))
		return min(a, b), min(a, b) <= shapeFit.MM()
	case RestRule:
		return 0, true
	}
	return 0, false
}

// forThing reports whether the rule takes a thing of the kind that lies on the layer.
func (r Rule) forThing(kind RuleKind, e *dxf.Entity) bool {
	return r.Kind == kind && (r.Layer == "" || strings.EqualFold(r.Layer, e.Layer))
}

// keysOf returns the keys under which the project has a rule, the most particular first: of a list, and alone.
func (o Options) keysOf(rule Rule) []string {
	n := 0
	for _, x := range o.Rules {
		if x == rule {
			break
		}
		if x.Role == rule.Role {
			n++
		}
	}
	role := "roles." + string(rule.Role)
	return []string{role + "." + strconv.Itoa(n), role}
}
