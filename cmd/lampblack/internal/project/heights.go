package project

import (
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/board/height"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

// tallest bounds what a part on a board is high.
const tallest = 100 * geom.Millimetre

// bodies are the names of all that stands on boards.
func bodies() []string {
	out := slices.Concat(ledPackages(), resistorPackages(), connectors())
	for i, name := range out {
		if name[0] >= '0' && name[0] <= '9' { // of a chip resistor
			out[i] = "r-" + name
		}
	}
	return out
}

// heightKeys are the heights of parts of one body.
func heightKeys() mapping[height.Kind] {
	long := func(of func(*height.Kind) *geom.Nm) binding[height.Kind] {
		return bind(lengths(geom.Millimetre/10, tallest), of)
	}
	return mapping[height.Kind]{keys: []key[height.Kind]{
		{name: "body", is: bind(choice{words: bodies()}, func(k *height.Kind) *string { return &k.Name }), need: true,
			help: "which parts: `" + strings.Join(bodies(), "`, `") + "`", usual: "needed", eg: []string{"terminal-3.5"}},
		{name: "height", is: long(func(k *height.Kind) *geom.Nm { return &k.Height }),
			help: "above the board, with what is plugged on", usual: "typical", eg: []string{"10.5 mm"}},
		{name: "pins", is: long(func(k *height.Kind) *geom.Nm { return &k.Pins }),
			help: "length of its pins below its body, if nobody cuts them", usual: "typical", eg: []string{"3.5 mm"}},
		{name: "wires", is: long(func(k *height.Kind) *geom.Nm { return &k.Wires }),
			help: "room for wires that leave away from the board, beyond the height", usual: "6.3 mm behind a plug", eg: []string{"8 mm"}},
	}}
}

// Section is where a panel is cut through for its side view. The zero value leaves it to the flow.
type Section struct {
	A, B *dxf.XY // on the drawing, mm
	X, Y *geom.Nm
}

func sectionKeys() mapping[Section] {
	level := func(of func(*Section) **geom.Nm) binding[Section] {
		return adding(signedLengths(deepest), func(s *Section, v geom.Nm) { *of(s) = &v })
	}
	return mapping[Section]{brief: true, keys: []key[Section]{
		{name: "x", is: level(func(s *Section) **geom.Nm { return &s.X }), help: "an upright line through the panel, at this x of the drawing", usual: "none", eg: []string{"120"}},
		{name: "y", is: level(func(s *Section) **geom.Nm { return &s.Y }), help: "a level one, at this y", usual: "none", eg: []string{"40"}},
		{name: "from", is: bind(within{}, func(s *Section) **dxf.XY { return &s.A }), help: "any line, from here", usual: "none", eg: []string{"[10, 40]"}},
		{name: "to", is: bind(within{}, func(s *Section) **dxf.XY { return &s.B }), help: "to there", usual: "none", eg: []string{"[200, 60]"}},
	}, whole: func(r *reader, n ast.Node, at spot, s *Section) {
		ways := 0
		for _, told := range []bool{s.X != nil, s.Y != nil, s.A != nil || s.B != nil} {
			if told {
				ways++
			}
		}
		half := (s.A == nil) != (s.B == nil) || s.A != nil && s.B != nil && *s.A == *s.B
		if ways == 1 && !half {
			return
		}
		*s = Section{}
		if r.diags.HasErrors() {
			return // told
		}
		r.add(n, "project-wrong-value", "%s wants one line", r.say(at.path)).
			Fix("write {y: 40} for a level line, {x: 120} for an upright one, or any line as {from: [10, 40], to: [200, 60]}")
	}}
}
