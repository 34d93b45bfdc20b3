package project

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// mostSheet bounds thicknesses and gaps.
const mostSheet = 100 * geom.Millimetre

// sheets are those in front of the LEDs, as the file has them: a grade counts for the thickness, wherever that stands.
type sheets struct {
	light.Stack
	board        string // colour of its soldermask; empty: white
	grade        string
	transmission float64
}

func sheetKeys() mapping[sheets] {
	thick := func(least geom.Nm, of func(*light.Stack) *geom.Nm) binding[sheets] {
		return bind(lengths(least, mostSheet), func(s *sheets) *geom.Nm { return of(&s.Stack) })
	}
	passing := shares(0.92)
	passing.why = ", what clear sheet passes"
	return mapping[sheets]{keys: []key[sheets]{
		{name: "face", is: thick(0, func(s *light.Stack) *geom.Nm { return &s.Face }),
			help: "thickness of the clear sheet, painted and engraved", usual: "3 mm", eg: []string{"3 mm"}},
		{name: "diffuser", is: thick(geom.Millimetre/10, func(s *light.Stack) *geom.Nm { return &s.Diffuser }),
			help: "thickness of the opal sheet behind it", usual: "3 mm", eg: []string{"3 mm"}},
		{name: "grade", is: bind(choice{words: light.Grades()}, func(s *sheets) *string { return &s.grade }),
			help: "of the diffuser: `" + strings.Join(light.Grades(), "`, `") + "`", usual: "`opal-medium`", eg: []string{"opal-medium"}},
		{name: "transmission", is: bind(passing, func(s *sheets) *float64 { return &s.transmission }),
			help: "in place of `grade`: share of the light that the diffuser passes", usual: "the grade's", eg: []string{"45 %"}},
		{name: "gap", is: thick(0, func(s *light.Stack) *geom.Nm { return &s.Gap }),
			help: "of air between the diffuser and the LED sheet", usual: "8 mm", eg: []string{"8 mm"}},
		{name: "led_sheet", is: thick(0, func(s *light.Stack) *geom.Nm { return &s.Sheet }),
			help: "thickness of the drilled sheet that holds the LEDs", usual: "3 mm", eg: []string{"3 mm"}},
		{name: "led_sheet_kind", is: adding(choice{words: light.Sheets()}, func(s *sheets, k string) { s.Stack = s.WithSheet(k) }),
			help: "`" + strings.Join(light.Sheets(), "`, `") + "`", usual: "`clear`", eg: []string{"white"}},
		{name: "tip", is: bind(signedLengths(20*geom.Millimetre), func(s *sheets) *geom.Nm { return &s.Sunk }),
			help: "of the LEDs below the LED sheet's front; negative where they stand out", usual: "0 mm", eg: []string{"1 mm", "-1 mm"}},
		{name: "board", is: adding(choice{words: light.Boards()}, func(s *sheets, k string) { s.Stack, s.board = s.WithBoard(k), k }),
			help: "colour of its soldermask, which the packs ask for: `" + strings.Join(light.Boards(), "`, `") + "`", usual: "`white`", eg: []string{"white"}},
		{name: "viewed_from", is: bind(lengths(100*geom.Millimetre, mostPlace), func(s *sheets) *geom.Nm { return &s.Viewed }),
			help: "distance of the eye", usual: "500 mm", eg: []string{"500 mm"}},
	}, whole: func(r *reader, n ast.Node, at spot, s *sheets) {
		s.Stack = s.WithDiffuser(s.grade)
		if s.transmission > 0 {
			s.Grade, s.Transmission = "", s.transmission
			s.Absorption = min(s.Absorption, 1-s.transmission)
		}
		if s.Gap+s.Sunk < geom.Millimetre/2 {
			f := r.diags.Add(diag.Error, "project-impossible-value", "the LEDs' tips are %v from the diffuser: they would touch it", s.Gap+s.Sunk)
			f.Place = r.at(n)
			f.Fix("leave at least 0.5 mm; 5 mm or more light evenly")
		}
	}}
}

func lightKeys() mapping[light.Limits] {
	times := quantity[float64]{as: part.Numbers(), per: 1, least: 1, most: 100, above: true, say: func(v float64) string { return fmt.Sprint(v) }}
	return mapping[light.Limits]{keys: []key[light.Limits]{
		{name: "darkest_word", is: bind(shares(1), func(l *light.Limits) *float64 { return &l.Dark }),
			help: "a word is told that is darker than this share of the panel's mean", usual: "33 %", eg: []string{"33 %"}},
		{name: "uneven", is: bind(times, func(l *light.Limits) *float64 { return &l.Uneven }),
			help: "a letter is told whose brightest place is so many times its darkest", usual: "2", eg: []string{"2"}},
		{name: "hot_spot", is: bind(times, func(l *light.Limits) *float64 { return &l.Hot }),
			help: "a place is told that is so many times brighter than the mean", usual: "3", eg: []string{"3"}},
	}}
}

func degrees(v float64) string  { return fmt.Sprintf("%g degrees", v) }
func candelas(v float64) string { return fmt.Sprintf("%g cd", v) }
