package project

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// mostRoom bounds the room that is kept free round an opening: no part is that much wider than its hole.
const mostRoom = 100 * geom.Millimetre

// behind is the room that is kept free behind openings: "openings + 4 mm", "none", or a list of rules, each with the room of
// the openings that it takes.
type behind struct{ leaf }

func (behind) bare() string { return "" }

func (behind) lengths() quantity[geom.Nm] { return lengths(0, mostRoom) }

// one is how all openings are told at once.
func (b behind) one() parsed[read.RoomRule] {
	return parsed[read.RoomRule]{name: "room", advice: "write room: openings + 4 mm, room: none, or a list as [{rule: circles 12 mm, room: 3 mm}]",
		pattern: anyCase("none") + "|" + anyCase("openings") + `?\s*\+\s*(?:` + b.lengths().number() + ")",
		parse: func(s string) (read.RoomRule, error) {
			all := read.RoomRule{All: true}
			if strings.EqualFold(s, "none") {
				return all, nil
			}
			head, length, plus := strings.Cut(s, "+")
			if head = strings.ToLower(strings.TrimSpace(head)); !plus || head != "openings" && head != "opening" {
				return all, fmt.Errorf("%q is no room behind openings", s)
			}
			v, err := b.lengths().parse(length)
			all.Beyond = v
			return all, err
		},
		refuse: func(r read.RoomRule) string { return b.lengths().refuse(r.Beyond) },
	}
}

func (b behind) each() list[read.RoomRule] {
	return list[read.RoomRule]{word: "room", of: mapping[read.RoomRule]{brief: true, keys: []key[read.RoomRule]{
		{name: "rule", is: bind(rules(panel.RoleOpening), func(r *read.RoomRule) *read.Rule { return &r.Rule }), need: true,
			help: "which openings, as in roles", eg: []string{"circles 12 mm", "shapes 20 x 13 mm", "rest"}},
		{name: "room", is: bind(b.lengths(), func(r *read.RoomRule) *geom.Nm { return &r.Beyond }), need: true,
			help: "how far beyond their edge", eg: []string{"3 mm"}},
	}}}
}

func (b behind) read(r *reader, n ast.Node, at spot, to *[]read.RoomRule) bool {
	if _, many := n.(*ast.SequenceNode); many {
		return b.each().read(r, n, at, to)
	}
	var all read.RoomRule
	ok := b.one().read(r, n, at, &all)
	*to = []read.RoomRule{all}
	return ok
}

func (b behind) schema() *Schema {
	return &Schema{AnyOf: []*Schema{b.one().schema(), b.each().schema()}}
}
