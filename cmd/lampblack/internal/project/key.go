package project

import (
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// kind is what the value of a key may be, as data: it reads one from the YAML tree, and describes itself in JSON Schema.
type kind[V any] interface {
	// read reads a value over what *to holds; false when it is none, which is told.
	read(r *reader, n ast.Node, at spot, to *V) bool
	// schema describes what read takes.
	schema() *Schema
	// bare is the unit of a number that stands without one; "" where numbers have none.
	bare() string
	// rows describes the keys within a value at a path.
	rows(path string) []Row
}

// leaf is a kind without keys within, whose numbers have no unit.
type leaf struct{}

func (leaf) bare() string      { return "" }
func (leaf) rows(string) []Row { return nil }

// key is one key of a mapping that is read into a T: what it is called, what it is and where it goes, and what people
// are told of it.
type key[T any] struct {
	name  string
	is    binding[T]
	help  string   // what it means, in Markdown; empty: it is explained by the keys within it
	usual string   // what holds if it is left out
	eg    []string // values that are good, for advice and help
	need  bool     // it may not be left out
	later bool     // its absence is told once all is read
	try   string   // a value for 'supply --what-if', which can then change it
	was   []string // names it had; with blanks for underscores, so that whoever searches the source for a key finds living ones alone
}

// binding is a kind with the field of T that its values go to.
type binding[T any] interface {
	into(r *reader, n ast.Node, at spot, to *T) bool
	schema() *Schema
	bare() string
	rows(path string) []Row
}

// bind says that a key's values are of kind k and go to a field of T.
func bind[T, V any](k kind[V], field func(*T) *V) binding[T] { return bound[T, V]{k, field} }

type bound[T, V any] struct {
	kind[V]
	field func(*T) *V
}

func (b bound[T, V]) into(r *reader, n ast.Node, at spot, to *T) bool {
	return b.read(r, n, at, b.field(to))
}

// adding says that a key's values are of kind k and come into a T by a function, which also may add to what is there.
func adding[T, V any](k kind[V], add func(*T, V)) binding[T] { return added[T, V]{k, add} }

type added[T, V any] struct {
	kind[V]
	add func(*T, V)
}

func (a added[T, V]) into(r *reader, n ast.Node, at spot, to *T) bool {
	var v V
	if !a.read(r, n, at, &v) {
		return false
	}
	a.add(to, v)
	return true
}

// spot is where a value stands: its path, for findings and for Place, and values that would be good there.
type spot struct {
	path  string
	eg    []string
	words string // advice in place of such values
}

// key returns the name of the key whose value stands here, of an entry of a list that of the list.
func (at spot) key() string {
	words := strings.Split(at.path, ".")
	for len(words) > 1 && words[len(words)-1] != "" && strings.Trim(words[len(words)-1], "0123456789") == "" {
		words = words[:len(words)-1]
	}
	return words[len(words)-1]
}

// advice tells how a good value is written.
func (at spot) advice() string {
	if at.words != "" {
		return at.words
	}
	return "write " + written(at.key(), at.eg)
}

func written(key string, eg []string) string {
	if len(eg) == 0 {
		return key
	}
	return key + ": " + strings.Join(eg, ", or ")
}
