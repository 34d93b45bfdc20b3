// Package room says what space is kept free behind a panel's openings where no body is drawn.
//
// In goes a panel with what the project tells of its openings, out come its rooms, one at most for each opening: told ones,
// else guessed ones by the sizes of common parts (common.txt, which says where each figure comes from). An opening with a body
// in it has none, since a drawn body tells better; nor has a slot for a screw. Whether a board can keep out of a room is
// package shape's matter.
package room

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/panel"
	"lampblack/panel/geom"
)

// commonFile is the table of common parts.
//
//go:embed common.txt
var commonFile string

// Part is a line of the table: parts that sit in holes from one size up to another, and how far they reach beyond the hole.
type Part struct {
	Round    bool    // a round hole, by its diameter; else any other, by its longer side
	From, To geom.Nm // To itself belongs to the next
	Beyond   geom.Nm
	Name     string
	Source   string
}

// Common returns the table, in its order. The file is a part of the program: a fault in it is ours.
func Common() []Part {
	var out []Part
	for line := range strings.Lines(commonFile) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		columns := strings.SplitN(line, ";", 3)
		f := strings.Fields(columns[0])
		if len(columns) != 3 || len(f) != 4 || f[0] != "round" && f[0] != "cut" {
			panic(fmt.Sprintf("room: common.txt: %q", line))
		}
		var mm [3]geom.Nm
		for i := range mm {
			v, err := strconv.ParseFloat(f[1+i], 64)
			if err != nil {
				panic(fmt.Sprintf("room: common.txt: %q: %v", line, err))
			}
			mm[i] = geom.MM(v)
		}
		out = append(out, Part{f[0] == "round", mm[0], mm[1], mm[2], strings.TrimSpace(columns[1]), strings.TrimSpace(columns[2])})
	}
	return out
}

// fits returns the first part of the table that sits in such an opening.
func fits(table []Part, o geom.Contour) (Part, bool) {
	b := o.Box()
	size := max(b.W(), b.H())
	_, _, round := o.Circular()
	if !round && min(b.W(), b.H()) >= size*9/10 {
		// A hole with a flat, a notch or a key against turning is a round one still: a square has 1.27, a hexagon 0.83 of the
		// circle's area.
		share := o.Area() / (math.Pi / 4 * size.MM() * size.MM())
		round = share > 0.86 && share < 1.05
	}
	for _, p := range table {
		if p.Round == round && size >= p.From && size < p.To {
			return p, true
		}
	}
	return Part{}, false
}

// Told is what the project says of an opening: that so much beyond its edge is kept free. The zero value: nothing.
type Told struct {
	Set    bool
	Beyond geom.Nm
}

// Of returns the rooms of a panel, in the order of its openings; told has an entry for each opening, or none at all.
func Of(p panel.Panel, told []Told) []panel.Room {
	table := Common()
	var out []panel.Room
	bodies := make([]geom.Box, len(p.Bodies))
	for i, c := range p.Bodies {
		bodies[i] = c.Box()
	}
	for i, o := range p.Openings {
		r := panel.Room{Opening: i}
		if i < len(told) && told[i].Set {
			r.Beyond = told[i].Beyond
		} else if common, ok := fits(table, o.Contour); ok {
			r.Beyond, r.For = common.Beyond, common.Name
		}
		if o.Mount || r.Beyond <= 0 || covered(o.Contour, p.Bodies, bodies) {
			continue
		}
		if r.Contour = Round(o.Contour, r.Beyond); len(r.Contour) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// Smaller returns a room of the panel with no more than so much beyond its opening; not ok when nothing is left of it.
func Smaller(p panel.Panel, r panel.Room, beyond geom.Nm) (less panel.Room, ok bool) {
	if beyond >= r.Beyond {
		return r, true
	}
	if beyond <= 0 {
		return r, false
	}
	r.Beyond, r.Contour = beyond, Round(p.Openings[r.Opening].Contour, beyond)
	return r, len(r.Contour) > 0
}

// Round returns the opening with so much round it; nothing for what encloses nothing.
func Round(o geom.Contour, beyond geom.Nm) geom.Contour {
	if at, d, ok := o.Circular(); ok {
		return geom.Circle(at, d+2*beyond)
	}
	g := geom.NewRegion(o.Ring(geom.FlattenTolerance)).Grown(beyond)
	if len(g) == 0 {
		return nil
	}
	best := g[0].Outer
	for _, p := range g {
		if p.Outer.Area() > best.Area() {
			best = p.Outer
		}
	}
	return best.Contour(arcTolerance).CounterClockwise()
}

// arcTolerance is how far a point may lie from an arc that is recovered from it: flattening and one rounding.
const arcTolerance = 3 * geom.Micrometre

// covered reports whether a body shares area with the opening.
func covered(o geom.Contour, bodies []geom.Contour, boxes []geom.Box) bool {
	box := o.Box()
	var hole geom.Region
	for i, c := range bodies {
		if !boxes[i].Touches(box) {
			continue
		}
		if hole == nil {
			hole = geom.NewRegion(o.Ring(geom.FlattenTolerance))
		}
		if len(geom.NewRegion(c.Ring(geom.FlattenTolerance)).And(hole)) > 0 {
			return true
		}
	}
	return false
}
