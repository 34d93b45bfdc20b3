package project

import (
	"github.com/goccy/go-yaml/ast"

	"lampblack/led/stray"
	"lampblack/panel/geom"
)

// leastAway is how near an eye may be to the face, mostAway how far.
const (
	leastAway = 100 * geom.Millimetre
	mostEyes  = 5000 * geom.Millimetre
)

// ends are two lengths: the least and the most.
type ends struct {
	leaf
	of quantity[geom.Nm]
}

func (e ends) lengths() list[geom.Nm] { return list[geom.Nm]{of: e.of} }

func (ends) bare() string { return "mm" }

func (e ends) schema() *Schema { return e.lengths().schema() }

func (e ends) read(r *reader, n ast.Node, at spot, to *[2]geom.Nm) bool {
	var v []geom.Nm
	if !e.lengths().read(r, n, at, &v) {
		return false
	}
	if len(v) != 2 || v[0] > v[1] {
		r.add(n, "project-wrong-value", "%s wants two lengths, the smaller one first", r.say(at.path)).Fix("%s", at.advice())
		return false
	}
	*to = [2]geom.Nm{v[0], v[1]}
	return true
}

func eyeKeys() mapping[stray.Eyes] {
	return mapping[stray.Eyes]{keys: []key[stray.Eyes]{
		{name: "across", is: bind(ends{of: signedLengths(mostEyes)}, func(e *stray.Eyes) *[2]geom.Nm { return &e.Across }),
			help: "how far to the right of the panel's middle, least and most; negative to the left", usual: "[-200, 200], as of someone who sits before it: our choice", eg: []string{"[-200, 200]"}},
		{name: "up", is: bind(ends{of: signedLengths(mostEyes)}, func(e *stray.Eyes) *[2]geom.Nm { return &e.Up }),
			help: "how far above the middle", usual: "[-100, 300]", eg: []string{"[-100, 300]"}},
		{name: "away", is: bind(ends{of: lengths(leastAway, mostEyes)}, func(e *stray.Eyes) *[2]geom.Nm { return &e.Away }),
			help: "how far in front of the face", usual: "[300, 600]", eg: []string{"[300, 600]"}},
	}}
}
