package project

import (
	"errors"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"lampblack/panel/diag"
)

// Try is a key whose value can be tried on a console without writing it down.
type Try struct {
	Key     string
	Example string // a value
	Panel   bool   // each panel has one of its own
}

// Tries returns all that can be tried, what panels have first.
func Tries() []Try {
	var out []Try
	out = append(out, tries(panelKeys(), true)...)
	out = append(out, tries(supplyKeys(), false)...)
	return append(out, tries(fileKeys(), false)...)
}

func tries[T any](m mapping[T], panel bool) []Try {
	var out []Try
	for _, k := range m.keys {
		if k.try != "" {
			out = append(out, Try{k.name, k.try, panel})
		}
	}
	return out
}

// Try sets a key of the whole console to a value, written as in the project file. A voltage takes a battery's place. The
// error is in a builder's words.
func (p *Project) Try(key, value string) error {
	if ok, err := try(supplyKeys(), key, value, &p.Supply); ok || err != nil {
		if key == "volts" && err == nil {
			p.Supply.Battery = Battery{}
		}
		return err
	}
	d := draft{Project: *p}
	ok, err := try(fileKeys(), key, value, &d)
	if ok {
		*p = d.Project
		return nil
	}
	if err == nil {
		err = errors.New(key + " cannot be tried")
	}
	return err
}

// Try sets a key of the panel to a value, written as in the project file.
func (q *Panel) Try(key, value string) error {
	ok, err := try(panelKeys(), key, value, q)
	if !ok && err == nil {
		err = errors.New(key + " cannot be tried on a panel")
	}
	return err
}

// try reads a value by the key's own kind; false without an error: there is no such key to try.
func try[T any](m mapping[T], name, value string, to *T) (bool, error) {
	for _, k := range m.keys {
		if k.name != name || k.try == "" {
			continue
		}
		r := newReader("", "", map[string]diag.Place{})
		n := &ast.StringNode{Token: token.New(value, value, &token.Position{}), Value: value}
		if k.is.into(r, n, spot{path: name, eg: k.eg}, to) {
			return true, nil
		}
		f := r.diags[0]
		return false, errors.New(strings.TrimPrefix(f.Text, name+": ") + "; " + f.Advice)
	}
	return false, nil
}
