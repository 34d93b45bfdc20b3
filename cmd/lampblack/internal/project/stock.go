package project

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/export/nest"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Stock is what the sheets of all panels are cut from.
type Stock struct {
	Face, Diffuser, LED, Plate, Frame Stockpiled

	Gap  geom.Nm // between two pieces
	Edge geom.Nm // between a piece and the stock's edge
}

// Stockpiled is the stock of one of a panel's sheets.
type Stockpiled struct {
	Size             // zero: it is not nested
	Turns nest.Turns // of pieces on it
}

// Size is of a rectangle.
type Size struct{ W, H geom.Nm }

// Of returns the stock as pieces are laid on it.
func (s Stock) Of(p Stockpiled) nest.Stock {
	return nest.Stock{W: p.W, H: p.H, Gap: s.Gap, Edge: s.Edge}
}

// Bounds of stock. Less than the least gap burns away between two cuts (laser shops' common practice); the largest sheets that are
// sold are cut in two to come into a laser.
const (
	leastGap   = geom.Millimetre / 2
	mostGap    = 50 * geom.Millimetre
	leastStock = 20 * geom.Millimetre
	mostStock  = 2000 * geom.Millimetre
)

// usualStock is no stock. 2 mm between parts leave a web that holds while thin sheets are cut (laser shops advise half of the sheet's
// thickness, or all of it).
func usualStock() Stock { return Stock{Gap: geom.MM(2), Edge: -1} }

// turnings are the words for turns.
func turnings() []string { return []string{"any", "half", "none"} }

func turnsOf(word string) nest.Turns {
	switch word {
	case "half":
		return nest.HalfTurns
	case "none":
		return nest.AsDrawn
	}
	return nest.AnyQuarter
}

func stockKeys() mapping[Stock] {
	sheet := func(name, what string, of func(*Stock) *Stockpiled) key[Stock] {
		return key[Stock]{name: name, is: bind(stockpiled{stockpiledKeys()}, of),
			help: "width and height of a sheet that " + what + " are cut from; what is left of the last one is measured along its width", usual: "not nested", eg: []string{"600 x 400 mm", "{size: 600 x 400 mm, turns: half}"}}
	}
	return mapping[Stock]{keys: []key[Stock]{
		sheet("face", "faces", func(s *Stock) *Stockpiled { return &s.Face }),
		sheet("diffuser", "diffusers", func(s *Stock) *Stockpiled { return &s.Diffuser }),
		sheet("led_sheet", "LED sheets", func(s *Stock) *Stockpiled { return &s.LED }),
		sheet("plate", "the plates of `stack.plate`", func(s *Stock) *Stockpiled { return &s.Plate }),
		sheet("frame", "the walls of `frame`", func(s *Stock) *Stockpiled { return &s.Frame }),
		{name: "gap", is: bind(lengths(leastGap, mostGap), func(s *Stock) *geom.Nm { return &s.Gap }),
			help: "between two pieces", usual: "2 mm", eg: []string{"2 mm"}},
		{name: "edge", is: bind(lengths(0, mostGap), func(s *Stock) *geom.Nm { return &s.Edge }),
			help: "between a piece and the sheet's edge", usual: "as `gap`", eg: []string{"5 mm"}},
	}, whole: func(r *reader, n ast.Node, at spot, s *Stock) {
		if s.Edge < 0 {
			s.Edge = s.Gap
		}
	}}
}

func stockpiledKeys() mapping[Stockpiled] {
	return mapping[Stockpiled]{brief: true, keys: []key[Stockpiled]{
		{name: "size", is: bind(sizes(), func(s *Stockpiled) *Size { return &s.Size }), need: true, help: "width and height", usual: "needed", eg: []string{"600 x 400 mm"}},
		{name: "turns", is: adding(choice{words: turnings()}, func(s *Stockpiled, w string) { s.Turns = turnsOf(w) }),
			help: "of pieces on it: `any` quarter turns; `half` turns, which keep a grain; `none`", usual: "`any`", eg: []string{"half"}},
	}}
}

// stockpiled is its keys, or its size alone.
type stockpiled struct{ mapping[Stockpiled] }

func (k stockpiled) read(r *reader, n ast.Node, at spot, to *Stockpiled) bool {
	to.Turns = nest.AnyQuarter
	if _, keys := n.(ast.MapNode); keys {
		return k.mapping.read(r, n, at, to)
	}
	return sizes().read(r, n, at, &to.Size)
}

func (k stockpiled) schema() *Schema {
	return &Schema{AnyOf: []*Schema{k.mapping.schema(), sizes().schema()}}
}

// sizes are two lengths of a rectangle; a unit behind the second one counts for both.
func sizes() parsed[Size] {
	const by = `\s*[xX×*]\s*\+?`
	within := func(scale float64) string { return upTo(mostStock.MM() / scale) }
	side := withUnits(part.Lengths(), within)
	ways := []string{side + by + side, side + by + within(1)}
	for _, u := range part.Lengths().Units() {
		ways = append(ways, within(u.Scale)+by+within(u.Scale)+`\s*`+unitPattern(u.Name))
	}
	return parsed[Size]{
		name:    "size",
		pattern: `\+?(?:` + strings.Join(ways, "|") + `)`,
		advice:  "write width and height, as 600 x 400 mm",
		unit:    "mm",
		parse: func(s string) (Size, error) {
			two := regexp.MustCompile(`\s*[xX×*]\s*`).Split(s, -1)
			if len(two) != 2 {
				return Size{}, fmt.Errorf("%q is not a width and a height", s)
			}
			if strings.TrimRight(two[0], "0123456789., ") == "" {
				two[0] += " " + strings.TrimLeft(two[1], "0123456789., +/")
			}
			w, err := lengths(0, mostStock).parse(two[0])
			h, second := lengths(0, mostStock).parse(two[1])
			return Size{w, h}, errors.Join(err, second)
		},
		refuse: func(s Size) string {
			switch {
			case min(s.W, s.H) < leastStock:
				return "less than " + leastStock.String() + " wide or high"
			case max(s.W, s.H) > mostStock:
				return "more than " + mostStock.String() + " wide or high"
			}
			return ""
		},
	}
}
