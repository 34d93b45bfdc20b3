package project

import (
	"strconv"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/geom"
)

// Mounting says how a board is put together and built in.
type Mounting struct {
	KeepTurn bool    // all LEDs one way, for easier assembly
	Behind   geom.Nm // free depth behind the board; 0: not told
	Sheet    geom.Nm // from the board's top to the LED sheet; 0: not told
}

// deepest bounds what a console can be.
const deepest = 2000 * geom.Millimetre

// mounting returns the keys of a Mounting, which defaults and panels have alike.
func (r *reader) mounting(m *Mounting) []field {
	return []field{
		{"keep_turn", func(n ast.Node, path string) {
			w, ok := r.oneOf(n, path, []string{"true", "false", "yes", "no"})
			set(&m.KeepTurn)(w == "true" || w == "yes", ok)
		}},
		{"space_behind", func(n ast.Node, path string) { set(&m.Behind)(r.length(n, path, geom.Micrometre, deepest)) }},
		{"sheet_distance", func(n ast.Node, path string) { set(&m.Sheet)(r.length(n, path, geom.Micrometre, deepest)) }},
	}
}

// inherit gives panel i what it does not say itself.
func (r *reader) inherit(p *Project, i int) {
	q := &p.Panels[i].Mounting
	said := func(key string) bool {
		_, ok := r.places["panels."+strconv.Itoa(i)+"."+key]
		return ok
	}
	if !said("keep_turn") {
		q.KeepTurn = p.Defaults.KeepTurn
	}
	if !said("space_behind") {
		q.Behind = p.Defaults.Behind
	}
	if !said("sheet_distance") {
		q.Sheet = p.Defaults.Sheet
	}
}
