package project

import (
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/material"
)

// mostSheet bounds thicknesses and gaps.
const mostSheet = 100 * geom.Millimetre

// bareEdges are as the laser leaves them.
const bareEdges = "bare"

// sheets are those in front of the LEDs, as the file has them: a grade counts for the thickness, wherever that stands.
type sheets struct {
	light.Stack
	board        string // colour of its soldermask; empty: white
	plate        geom.Nm
	edges        string  // how the diffuser's cut edge is left
	depth        geom.Nm // free behind the face's front
	grade        string
	transmission float64
	haze         float64
	made         ofSheets[string]         // how each is made
	measured     ofSheets[material.Range] // none: zero
	thick        material.Sheets          // once all is read
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
		{name: "haze", is: bind(shares(1), func(s *sheets) *float64 { return &s.haze }),
			help: "share of the light let through that the diffuser scatters, as its data sheet has it", usual: "the grade's", eg: []string{"99 %"}},
		{name: "gap", is: thick(0, func(s *light.Stack) *geom.Nm { return &s.Gap }),
			help: "of air between the diffuser and the LED sheet", usual: "8 mm", eg: []string{"8 mm"}},
		{name: "led_sheet", is: thick(0, func(s *light.Stack) *geom.Nm { return &s.Sheet }),
			help: "thickness of the drilled sheet that holds the LEDs", usual: "3 mm", eg: []string{"3 mm"}},
		{name: "led_sheet_kind", is: adding(choice{words: light.Sheets()}, func(s *sheets, k string) { s.Stack = s.WithSheet(k) }),
			help: "`" + strings.Join(light.Sheets(), "`, `") + "`", usual: "`clear`", eg: []string{"white"}},
		{name: "plate", is: bind(lengths(geom.Millimetre/2, 20*geom.Millimetre), func(s *sheets) *geom.Nm { return &s.plate }),
			help: "thickness of a sheet right behind the LED sheet that carries the `controls`; the LED sheet in front of it then has room for their nuts and a spanner", usual: "none", eg: []string{"1.6 mm"}},
		{name: "kind", is: bind(sheetMaking{}, func(s *sheets) *ofSheets[string] { return &s.made }),
			help: "how the sheets are made, which tells how far they are off what they are sold as: `cast`, by 0.4 mm and a tenth (ISO 7823-1); `extruded`, by a twentieth (ISO 7823-2); `metal`. Of each by itself: `{face: cast, led_sheet: extruded, plate: metal}`", usual: "`cast`", eg: []string{"extruded", "{face: cast, led_sheet: extruded}"}},
		{name: "measured", is: bind(measuredKeys(), func(s *sheets) *ofSheets[material.Range] { return &s.measured }),
			help: "thickness of `face`, `diffuser`, `led_sheet` and `plate` as you measured it, in one place or the least and the most of several: everything is then made for that", usual: "what `kind` allows", eg: []string{"{face: 2.8 mm, led_sheet: 2.9 .. 3.1 mm}"}},
		{name: "depth", is: bind(lengths(geom.Millimetre, deepest), func(s *sheets) *geom.Nm { return &s.depth }),
			help: "of the case, from the face's front to what is behind: what reaches farther back is told. See `space_behind` for what is free behind the board of one panel", usual: "not checked, and the depth that the panel wants is told", eg: []string{"45 mm"}},
		{name: "tip", is: bind(signedLengths(20*geom.Millimetre), func(s *sheets) *geom.Nm { return &s.Sunk }),
			help: "of the LEDs below the LED sheet's front; negative where they stand out", usual: "0 mm", eg: []string{"1 mm", "-1 mm"}},
		{name: "board", is: adding(choice{words: light.Boards()}, func(s *sheets, k string) { s.Stack, s.board = s.WithBoard(k), k }),
			help: "colour of its soldermask, which the packs ask for: `" + strings.Join(light.Boards(), "`, `") + "`", usual: "`white`", eg: []string{"white"}},
		{name: "paint_transmission", is: bind(shares(1), func(s *sheets) *float64 { return &s.Paint }),
			help: "share of the light that the face's paint lets through: the lettering is to be ten times as bright as the ground that glows by it. Hold a painted piece before a lamp", usual: "0.1 %, two even coats of black", eg: []string{"0.1 %"}},
		{name: "edges", is: bind(choice{words: []string{bareEdges, "painted"}}, func(s *sheets) *string { return &s.edges }),
			help: "of the diffuser, where the laser cut it: `bare`, which glows where light is near, or `painted` black, or covered by tape or a frame", usual: "`bare`", eg: []string{"painted"}},
		{name: "viewed_from", is: bind(lengths(100*geom.Millimetre, mostPlace), func(s *sheets) *geom.Nm { return &s.Viewed }),
			help: "distance of the eye", usual: "500 mm", eg: []string{"500 mm"}},
	}, whole: func(r *reader, n ast.Node, at spot, s *sheets) {
		s.settled(r, at)
		s.Stack = s.WithDiffuser(s.grade)
		if s.transmission > 0 {
			s.Grade, s.Transmission = "", s.transmission
			s.Absorption = min(s.Absorption, 1-s.transmission)
		}
		if s.haze > 0 {
			s.Haze = s.haze
		}
		if s.Gap+s.Sunk < geom.Millimetre/2 {
			f := r.diags.Add(diag.Error, "project-impossible-value", "the LEDs' tips are %v from the diffuser: they would touch it", s.Gap+s.Sunk)
			f.Place = r.at(n)
			f.Fix("leave at least 0.5 mm; 5 mm or more light evenly")
		}
	}}
}

// engravingKeys are of lines that the drawing gives no width, and of all engraving's finish, which says what light is seen.
func engravingKeys() mapping[draft] {
	return mapping[draft]{keys: []key[draft]{
		{name: "width", is: bind(lengths(50*geom.Micrometre, 10*geom.Millimetre), func(d *draft) *geom.Nm { return &d.Stroke }),
			help: "of lines and curves of the lettering, to which drawings give none", usual: lettering.Stroke.String(), eg: []string{"0.3 mm"}},
		{name: "finish", is: adding(finishes(), (*draft).finished),
			help: "`frosted` where engraving leaves a rough surface, which scatters all light that comes there; `clear` where it is a window, which shows the LEDs behind a light diffuser. All that is told of the light holds for this", usual: "`frosted`", eg: []string{"clear"}},
	}}
}

func finishes() choice { return choice{words: light.Finishes()} }

func (d *draft) finished(word string) {
	d.sheets.Finish = light.Finish(slices.Index(light.Finishes(), word))
}

// engraving is its keys, or its finish alone.
type engraving struct{ mapping[draft] }

func (e engraving) read(r *reader, n ast.Node, at spot, to *draft) bool {
	if _, keys := n.(ast.MapNode); keys {
		return e.mapping.read(r, n, at, to)
	}
	return adding(finishes(), (*draft).finished).into(r, n, at, to)
}

func (e engraving) schema() *Schema {
	return &Schema{AnyOf: []*Schema{e.mapping.schema(), finishes().schema()}}
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
