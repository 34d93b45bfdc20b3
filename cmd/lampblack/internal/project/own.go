package project

import (
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/export/parts"
	"lampblack/led/part"
)

// mostPrice bounds what one part may cost, in whatever the builder counts in.
const mostPrice = 1e6

// ownKeys are what a builder says of a part to buy.
func ownKeys() mapping[parts.Own] {
	price := quantity[float64]{as: part.Numbers(), per: 1, most: mostPrice, above: true, say: func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }}
	return mapping[parts.Own]{brief: true, keys: []key[parts.Own]{
		{name: "number", is: bind(line(), func(o *parts.Own) *string { return &o.Number }), help: "as you order it", eg: []string{"bin 12"}},
		{name: "price", is: bind(price, func(o *parts.Own) *float64 { return &o.Price }), help: "of one", eg: []string{"0.08"}},
		{name: "note", is: bind(line(), func(o *parts.Own) *string { return &o.Note }), help: "of your own", eg: []string{"from the second drawer"}},
	}}
}

// ownParts are parts to buy by their names, each with what the builder says of it.
type ownParts struct{ leaf }

func (ownParts) read(r *reader, n ast.Node, at spot, to *[]parts.Own) bool {
	m, ok := n.(ast.MapNode)
	if !ok {
		r.wrongKind(n, at, "parts, each with a number, a price or a note")
		return false
	}
	good := true
	for it := m.MapRange(); it.Next(); {
		name, ok := scalar(it.Key())
		if !ok || strings.TrimSpace(name) == "" {
			r.add(it.Key(), "project-unknown-key", "this cannot be a part's name").Fix("write parts: {red-3mm: {number: bin 12}}")
			good = false
			continue
		}
		if slices.ContainsFunc(*to, func(o parts.Own) bool { return strings.EqualFold(o.Part, name) }) {
			r.add(it.Key(), "project-unknown-key", "the part %s stands twice", name).Fix("leave one of them")
			good = false
			continue
		}
		sub := spot{path: join(at.path, name), eg: []string{"{number: bin 12, price: 0.08}"}}
		r.places[sub.path] = r.at(it.Key())
		one := parts.Own{Part: name}
		v := it.Value()
		if _, null := v.(*ast.NullNode); null || v == nil {
			r.add(it.Key(), "project-no-value", "%s has no value", r.say(sub.path)).Fix("write {number: bin 12}, or leave the key out")
			good = false
			continue
		}
		good = ownKeys().read(r, v, sub, &one) && good
		*to = append(*to, one)
	}
	return good
}

func (ownParts) schema() *Schema {
	return &Schema{Type: "object", Additional: ownKeys().schema()}
}
