package project

import (
	"github.com/goccy/go-yaml/ast"

	"lampblack/panel"
	"lampblack/panel/read"
)

// lampKinds is the kinds of a panel's LEDs as the file tells them.
type lampKinds struct {
	usual string // of LEDs that no rule takes, and of LEDs that are placed; empty: not told
	rules []read.KindRule
}

// kinds is which LEDs are of which kind: one kind for all, or a list of rules, each with the kind of the LEDs that it takes.
type kinds struct{ leaf }

const kindsHelp = "kind of LED; or a list of rules as in `roles`, each with the kind of the LEDs that it takes, where a panel has several: " +
	"`[{rule: circles 3 mm on layer RED, kind: red-3mm}, {rule: rest, kind: white-3mm}]`. A string has LEDs of one kind; LEDs that are placed have that of `rest`"

func kindsGood() []string {
	return []string{"red-3mm", "[{rule: circles 3 mm on layer RED, kind: red-3mm}, {rule: rest, kind: white-3mm}]"}
}

func (kinds) each() list[read.KindRule] {
	return list[read.KindRule]{word: "led", of: mapping[read.KindRule]{brief: true, keys: []key[read.KindRule]{
		{name: "rule", is: bind(rules(panel.RoleLED), func(k *read.KindRule) *read.Rule { return &k.Rule }), need: true,
			help: "which LEDs, as in roles", eg: []string{"layer RED", "circles 3 mm on layer RED", "rest"}},
		{name: "kind", is: bind(text{}, func(k *read.KindRule) *string { return &k.Kind }), need: true,
			help: "their kind", eg: []string{"red-3mm"}},
	}}}
}

func (k kinds) read(r *reader, n ast.Node, at spot, to *lampKinds) bool {
	*to = lampKinds{}
	if _, many := n.(*ast.SequenceNode); !many {
		return text{}.read(r, n, at, &to.usual)
	}
	ok := k.each().read(r, n, at, &to.rules)
	for _, x := range to.rules {
		if x.Rule.Kind == read.RestRule && to.usual == "" {
			to.usual = x.Kind
		}
	}
	return ok
}

func (k kinds) schema() *Schema {
	return &Schema{AnyOf: []*Schema{text{}.schema(), k.each().schema()}}
}
