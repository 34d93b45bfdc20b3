package diag

import (
	"reflect"
	"slices"
)

// Change is a change of the project file that does what advice says.
type Change struct {
	Words string // what it does: "take them as holes for LEDs"
	// At is the path of a key: panels and orders by name, other entries of lists by number, as in "panels.dome.roles.opening",
	// "chain.0". A name that has a dot in it may stand in double quotes.
	At string
	Do Doing
	// Value is a string, a []any of values, or Pairs. Of Remove it is the entry of the list that is to go; nil: the key itself. Of
	// Rename it is a string.
	Value any
}

// Doing is what a Change does to a key.
type Doing uint8

const (
	Set    Doing = iota // gives the key the value, whether it is there or not
	Add                 // puts the value behind those that the key has
	Remove              // takes it away
	Rename              // calls the key by another name
)

// Pairs is a value of keys, each with its own.
type Pairs []Pair

type Pair struct {
	Key   string
	Value any
}

// By hangs a change on the finding by which alone its advice is done; of several any will do.
func (f *Finding) By(words string, do Doing, at string, value any) *Finding {
	f.Changes = append(f.Changes, Change{words, at, do, value})
	return f
}

// common returns the changes that two lists have both.
func common(a, b []Change) []Change {
	return slices.DeleteFunc(slices.Clone(a), func(c Change) bool {
		return !slices.ContainsFunc(b, func(d Change) bool { return reflect.DeepEqual(c, d) })
	})
}
