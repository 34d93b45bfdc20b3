package project

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/light"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
)

// ofSheets is something of each of a panel's sheets.
type ofSheets[T any] struct{ Face, Diffuser, LED, Plate T }

// of returns the fields by the names of their keys, from the front.
func (o *ofSheets[T]) of() []struct {
	name string
	is   *T
} {
	return []struct {
		name string
		is   *T
	}{{"face", &o.Face}, {"diffuser", &o.Diffuser}, {"led_sheet", &o.LED}, {"plate", &o.Plate}}
}

// ofSheetKeys are a key for each of the sheets, all of one kind of value.
func ofSheetKeys[T any](is kind[T], help, usual string, eg string) mapping[ofSheets[T]] {
	m := mapping[ofSheets[T]]{brief: true}
	var any ofSheets[T]
	for i, f := range any.of() {
		m.keys = append(m.keys, key[ofSheets[T]]{name: f.name, is: bind(is, func(o *ofSheets[T]) *T { return o.of()[i].is }), help: help, usual: usual, eg: []string{eg}})
	}
	return m
}

// measuredKeys are thicknesses as somebody measured them.
func measuredKeys() mapping[ofSheets[material.Range]] {
	return ofSheetKeys(thicknesses(), "thickness as measured", "as it is sold", "2.8 mm")
}

// thicknesses are one, as measured with callipers, or the least and the most of several places.
func thicknesses() parsed[material.Range] {
	one := lengths(0, mostSheet)
	number := one.number()
	return parsed[material.Range]{
		name:    "thickness",
		parse:   parseThickness,
		advice:  "write what you measured, 2.8 mm, or the least and the most of several places, 2.7 .. 2.9 mm",
		pattern: number + `(?: *(?:\.\.|…) *` + number + `)?`,
		numbers: [2]float64{0.1, mostSheet.MM()},
		unit:    "mm",
		refuse: func(r material.Range) string {
			switch {
			case r.Least > r.Most:
				return "a range whose first value is above its last"
			case r.Most < geom.Millimetre/10:
				return "less than 0.1 mm"
			}
			return one.refuse(r.Most)
		},
	}
}

// parseThickness reads "2.8 mm", or "2.7 .. 2.9 mm", where a unit behind the second counts for both.
func parseThickness(s string) (material.Range, error) {
	first, last, two := strings.Cut(strings.ReplaceAll(s, "…", ".."), "..")
	q := lengths(0, mostSheet)
	if !two {
		d, err := q.parse(s)
		return material.Measured(d), err
	}
	if strings.TrimSpace(first) == "" || strings.TrimSpace(last) == "" {
		return material.Range{}, errors.New("a length is missing beside the dots")
	}
	if strings.Trim(first, "0123456789., /") == "" {
		first += strings.TrimLeft(strings.TrimSpace(last), "0123456789.,/")
	}
	least, err := q.parse(first)
	if err != nil {
		return material.Range{}, err
	}
	most, err := q.parse(last)
	return material.Range{Least: least, Nominal: (least + most) / 2, Most: most}, err
}

// sheetMaking is how all sheets are made, or each.
type sheetMaking struct{}

func (sheetMaking) word() choice { return choice{words: material.Kinds()} }

func (m sheetMaking) keys() mapping[ofSheets[string]] {
	return ofSheetKeys(m.word(), "how it is made: `"+strings.Join(material.Kinds(), "`, `")+"`", "`cast`", "cast")
}

func (m sheetMaking) read(r *reader, n ast.Node, at spot, to *ofSheets[string]) bool {
	if _, keys := n.(ast.MapNode); keys {
		return m.keys().read(r, n, at, to)
	}
	var word string
	if !m.word().read(r, n, at, &word) {
		return false
	}
	*to = ofSheets[string]{word, word, word, word}
	return true
}

func (m sheetMaking) schema() *Schema {
	return &Schema{AnyOf: []*Schema{m.word().schema(), m.keys().schema()}}
}

func (sheetMaking) bare() string           { return "" }
func (m sheetMaking) rows(at string) []Row { return m.keys().rows(at) }

// settled gives each sheet its range, and the stack the thicknesses that were measured.
func (s *sheets) settled(r *reader, at spot) {
	var all ofSheets[material.Sheet]
	made, measured := s.made.of(), s.measured.of()
	for i, d := range []*geom.Nm{&s.Face, &s.Diffuser, &s.Sheet, &s.plate} {
		k := material.Kind(max(0, slices.Index(material.Kinds(), *made[i].is)))
		one := material.Bought(k, *d)
		name := measured[i].name
		if m := *measured[i].is; m.Most > 0 {
			key := join(at.path, "measured."+name)
			if *d == 0 {
				f := r.diags.Add(diag.Error, "project-no-sheet", "%s is measured, and the stack has none", key)
				f.Place = r.places[key]
				f.Fix("write stack: {%s: 3 mm} with the thickness that it is sold as, or take this out", name).
					By("there is none: take it out", diag.Remove, key, nil)
				continue
			}
			if m.Nominal < one.Least || m.Nominal > one.Most {
				f := r.diags.Add(diag.Warning, "project-measured-off", "%s: %v is not what is sold as %v: %s sheets of that are %v thick", r.say(key), m.Nominal, *d, k, one.Range)
				f.Place = r.places[key]
				f.Fix("see that it is this sheet that you measured; if it is, write what it is sold as: stack: {%s: %.3g mm}", name, m.Nominal.MM()).
					By(fmt.Sprintf("it is sold as %.3g mm", m.Nominal.MM()), diag.Set, join(at.path, name), fmt.Sprintf("%.3g mm", m.Nominal.MM()))
			}
			one.Range, one.Measured = m, true
			*d = m.Nominal
		}
		*all.of()[i].is = one
	}
	s.thick = material.Sheets{Face: all.Face, Diffuser: all.Diffuser, LED: all.LED, Plate: all.Plate}
}

// usualThickness returns the ranges of the usual stack's sheets.
func usualThickness(s light.Stack) material.Sheets {
	return material.Sheets{Face: material.Bought(material.Cast, s.Face), Diffuser: material.Bought(material.Cast, s.Diffuser), LED: material.Bought(material.Cast, s.Sheet)}
}
