package dxf

import (
	"slices"
	"strconv"
	"strings"
)

// lineType is an entry of the table of line types.
type lineType struct {
	name   string
	dashes []float64 // drawing units, as Pen.Dashes; nil: drawn through
	shaped bool      // shapes or letters stand in it
}

// mostDashes bounds the lengths of a line type: CAD programs take twelve.
const mostDashes = 100

// lineType reads an LTYPE: 2 name, 49 the lengths by turns, of a dash, less than 0 of a gap, 0 of a dot, 74 whether a shape or a text
// stands there (DXF Reference, LTYPE). 72, how it is fitted to a line, is always 65. 40, the sum, is not needed and not believed.
func (p *parser) lineType() {
	var t lineType
	var all []float64
	for _, g := range p.collect() {
		switch g.code {
		case 2:
			t.name = p.layerName(g.text)
		case 49:
			if v, ok := g.real(); ok && len(all) < mostDashes {
				all = append(all, v)
			}
		case 74:
			t.shaped = t.shaped || g.int() != 0
		}
	}
	t.dashes = byTurns(all)
	if key := strings.ToUpper(t.name); t.name != "" {
		if _, twice := p.lineTypes[key]; !twice {
			p.lineTypes[key] = t
		}
	}
}

// byTurns returns the lengths of a line type so that each gap is one and the first length is none; nil where nothing is left
// between gaps, or no gap between dashes.
func byTurns(all []float64) []float64 {
	first := slices.IndexFunc(all, func(v float64) bool { return v >= 0 })
	if first < 0 || !slices.ContainsFunc(all, func(v float64) bool { return v < 0 }) {
		return nil
	}
	var out []float64
	for _, v := range append(all[first:len(all):len(all)], all[:first]...) {
		if n := len(out); n > 0 && (out[n-1] < 0 && v < 0 || out[n-1] > 0 && v > 0) {
			out[n-1] += v
		} else {
			out = append(out, v)
		}
	}
	return out
}

// styleOf returns the name of the line type that an item has in a place, on its layer there.
func styleOf(it *item, at place, l Layer) string {
	switch {
	case it.style == "" || strings.EqualFold(it.style, byLayerStyle):
		return l.Style
	case strings.EqualFold(it.style, byBlockStyle):
		return at.style
	}
	return it.style
}

// penKey is what the dashes of a pen depend on.
type penKey struct {
	style string
	scale float64
	runs  bool
}

// penOf returns how the item's line is drawn in the line type of that name, nil for through. The lengths of line types are drawing
// units, times $LTSCALE and the entity's own factor (48); a block's scale does not change them, as it changes no line weight. Curves
// have no corners; a polyline's dashes begin anew at each unless bit 128 of 70 is set (DXF Reference, LWPOLYLINE and POLYLINE).
func (p *parser) penOf(it *item, style string, m affine) *Pen {
	scale := p.lengths * p.out.Units.MMPerUnit
	if it.dashed > 0 {
		scale *= float64(it.dashed)
	}
	key := penKey{strings.ToUpper(style), scale, it.runs || it.arc != nil || it.spl != nil}
	pen, known := p.pens[key]
	if !known {
		if t := p.lineTypes[key.style]; t.dashes != nil {
			pen = &Pen{Runs: key.runs}
			for _, d := range t.dashes {
				pen.Dashes = append(pen.Dashes, d*scale)
			}
			if t.shaped && !slices.Contains(p.shaped, t.name) {
				p.shaped = append(p.shaped, t.name)
			}
		}
		if len(p.pens) < 1000 {
			p.pens[key] = pen
		}
	}
	if it.taper == nil {
		return pen
	}
	parted := &Pen{Parted: true}
	if pen != nil {
		parted.Dashes, parted.Runs = pen.Dashes, pen.Runs
	}
	for _, b := range it.bare {
		parted.Lines = append(parted.Lines, mappedPath(b, m, CurveTolerance))
	}
	return parted
}

// dashed are the line types of a drawing that is written, for the dashes of its pens: each once, in the order that they come.
type dashed struct {
	types []lineType
}

// of returns the name of the line type for the dashes.
func (d *dashed) of(dashes []float64) string {
	for _, t := range d.types {
		if slices.Equal(t.dashes, dashes) {
			return t.name
		}
	}
	t := lineType{name: "DASHES-" + strconv.Itoa(len(d.types)+1), dashes: dashes}
	d.types = append(d.types, t)
	return t.name
}
