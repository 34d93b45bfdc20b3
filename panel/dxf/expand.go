package dxf

import (
	"math"
	"strings"
)

// place is where the entities of a block end up.
type place struct {
	m      affine
	layer  string // of the INSERT, for entities on layer 0
	block  string
	colour uint32 // of the INSERT, for entities that take it
	style  string // likewise, its line type
	depth  int
	within []*block   // the way down, to find blocks in themselves
	copy   *blockCopy // that it lies in, where entities are traced
}

// expand adds the items, seen through the place, to the drawing.
func (p *parser) expand(items itemList, at place) {
	for _, piece := range items {
		for i := range piece {
			if p.stopped {
				return
			}
			p.show(&piece[i], at)
		}
	}
}

// show adds one item.
func (p *parser) show(it *item, at place) {
	p.watch.Step()
	if p.visited++; p.visited > MaxEntities {
		p.stop("with all blocks expanded the drawing has more than %d entities", MaxEntities)
		return
	}
	layer := it.layer
	if layer == "0" && at.depth > 0 {
		layer = at.layer
	}
	l := p.layer(layer)
	switch {
	case it.paper && at.depth == 0:
		p.skip(it, layer, at, hiddenThing, "in paper space, not in the model")
		return
	case it.hidden:
		p.skip(it, layer, at, hiddenThing, "marked invisible")
		return
	case l.Frozen:
		p.skip(it, layer, at, hiddenThing, "on a layer that is frozen")
		return
	case l.Off && it.ins == nil: // a block on a layer that is off still shows what lies on other layers
		p.skip(it, layer, at, hiddenThing, "on a layer that is switched off")
		return
	case strings.EqualFold(layer, "defpoints"):
		p.skip(it, layer, at, hiddenThing, "on the layer for points of dimensions, which is never plotted")
		return
	case it.fault != "":
		p.skip(it, layer, at, kindOf[it.weight], it.fault)
		return
	case it.plane == tilted:
		p.skip(it, layer, at, tiltedThing, "not parallel to the drawing plane")
		return
	}
	m := at.m
	if it.plane == mirrored {
		m = scale(-1, 1).then(m)
	}
	if it.ins != nil {
		p.insertBlock(it, m, at, layer)
		return
	}
	e := Entity{Type: it.typ, Layer: layer, Handle: it.handle, Block: at.block, Line: it.line, Colour: own(it.colour, at), Style: styleNamed(it.style)}
	e.Fill = it.parts != nil || it.typ == "SOLID" || it.typ == "TRACE"
	e.Width = float32(it.wide * math.Sqrt(math.Abs(m.det())))
	if e.Weight = uint8(max(0, min(it.pen, widestPen))); it.pen == penOfLayer {
		e.Weight = uint8(math.Round(100 * l.Width))
	}
	switch {
	case it.parts != nil:
		for _, b := range it.parts {
			p.watch.Look()
			e.Path = mappedPath(b, m, CurveTolerance)
			if !p.keep(it, e, layer, at) {
				return
			}
		}
		return
	case it.text != nil:
		e.Text = mappedText(it.text, m)
		if e.Text == nil {
			p.skip(it, layer, at, emptyThing, "of no size")
			return
		}
	case it.arc != nil:
		p.watch.Look()
		e.Path = it.arc.mapped(m).path(CurveTolerance)
	case it.spl != nil:
		p.watch.Look()
		s := *it.spl
		s.control = make([]XY, len(it.spl.control))
		for i, c := range it.spl.control {
			s.control[i] = m.point(c)
		}
		e.Path = s.path(CurveTolerance)
	case m == identity:
		e.Path = it.path
	default:
		e.Path = mappedPath(it.path, m, CurveTolerance)
	}
	if !e.Fill && it.text == nil {
		e.Pen = p.penOf(it, styleOf(it, at, l), m)
	}
	if !p.keep(it, e, layer, at) {
		return
	}
	for _, b := range it.taper {
		e.Path, e.Fill, e.Width, e.Weight, e.Pen = mappedPath(b, m, CurveTolerance), true, 0, 0, nil
		if !p.keep(it, e, layer, at) {
			return
		}
	}
}

// widestPen is the heaviest line weight that DXF has, hundredths of mm.
const widestPen = 211

// own returns the colour that an item has in a place.
func own(colour uint32, at place) uint32 {
	if colour == byBlock {
		return at.colour
	}
	return colour
}

// keep adds the entity if its numbers are sound; false ends the item.
func (p *parser) keep(it *item, e Entity, layer string, at place) bool {
	if p.vertexTotal += len(e.Path.Vertices); p.vertexTotal > MaxVertices {
		p.stop("the drawing has more than %d points", MaxVertices)
		return false
	}
	if !sound(&e) {
		p.skip(it, layer, at, brokenThing, "a number in it is none, or far too large")
		return false
	}
	p.out.Entities = append(p.out.Entities, e)
	if p.traces != nil {
		*p.traces = append(*p.traces, trace{it.group, at.copy, it.plane})
	}
	return true
}

// skip leaves an item out and keeps where it would have been seen.
func (p *parser) skip(it *item, layer string, at place, kind thing, reason string) {
	var seen *XY
	if w := it.where(); w != nil {
		m := at.m
		if it.plane == mirrored {
			m = scale(-1, 1).then(m)
		}
		if q := m.point(*w); math.Abs(q.X) <= MaxCoordinate && math.Abs(q.Y) <= MaxCoordinate {
			seen = &q
		}
	}
	p.skips.add(it, layer, seen, kind, reason)
}

// sound reports whether all coordinates are numbers of a bearable size.
func sound(e *Entity) bool {
	ok := func(p XY) bool { return math.Abs(p.X) <= MaxCoordinate && math.Abs(p.Y) <= MaxCoordinate } // NaN fails
	for _, v := range e.Path.Vertices {
		if !ok(v.XY) || !(math.Abs(v.Bulge) <= 1e6) {
			return false
		}
	}
	return e.Text == nil || ok(e.Text.At) && finite(e.Text.Angle, e.Text.Height, e.Text.Width, e.Text.Span, e.Text.Slant)
}

// insertBlock shows the copies of a block.
func (p *parser) insertBlock(it *item, m affine, at place, layer string) {
	in := it.ins
	b := p.blocks[in.block]
	switch {
	case b == nil:
		p.skip(it, layer, at, missingThing, "of the block "+quoted(in.block)+", which the file doesn't hold")
	case b.xref:
		p.skip(it, layer, at, missingThing, "of "+quoted(in.block)+", a drawing in another file")
	case at.depth >= MaxNesting:
		p.skip(it, layer, at, brokenThing, "blocks nested too deep")
	case contains(at.within, b):
		p.skip(it, layer, at, brokenThing, "of the block "+quoted(in.block)+", which contains itself")
	default:
		// Base to zero, scale, step in the array (in turned but unscaled directions), turn, move: DXF Reference, INSERT.
		way := append(at.within[:len(at.within):len(at.within)], b)
		inner := translate(XY{X: -b.base.X, Y: -b.base.Y}).then(scale(in.sx, in.sy))
		outer := rotate(in.rot).then(translate(in.at)).then(m)
		for r := range in.rows {
			for c := range in.cols {
				if p.stopped {
					return
				}
				if p.visited++; p.visited > MaxEntities {
					p.stop("with all blocks expanded the drawing has more than %d entities", MaxEntities)
					return
				}
				step := translate(XY{X: float64(c) * in.colStep, Y: float64(r) * in.rowStep})
				full := inner.then(step).then(outer)
				if !full.finite() {
					p.skip(it, layer, at, brokenThing, "a number in it is none, or far too large")
					return
				}
				inside := place{full, layer, in.block, own(it.colour, at), styleOf(it, at, p.layer(layer)), at.depth + 1, way, nil}
				if p.traces != nil {
					inside.copy = &blockCopy{it, full, b.base, layer, at.copy}
				}
				p.expand(b.items, inside)
			}
		}
	}
	for i := range in.attribs { // in the coordinates of the INSERT's surroundings
		p.show(&in.attribs[i], place{at.m, layer, in.block, own(it.colour, at), styleOf(it, at, p.layer(layer)), max(at.depth, 1), at.within, at.copy})
	}
}

func contains(list []*block, b *block) bool {
	for _, x := range list {
		if x == b {
			return true
		}
	}
	return false
}

func quoted(s string) string { return `"` + clip(s, 60) + `"` }

// mappedText returns the text under m: the height follows what is across the text, the width factor what is along it,
// the slant how the one leans on the other. nil when nothing is left of it.
func mappedText(t *Text, m affine) *Text {
	s, c := sincos(t.Angle)
	along, up := m.vector(XY{X: c, Y: s}), m.vector(XY{X: -s, Y: c})
	if t.Mirror { // it reads the other way
		along = along.Times(-1)
	}
	if t.Slant != 0 {
		k := math.Tan(t.Slant)
		up = XY{X: up.X + float64(k*along.X), Y: up.Y + float64(k*along.Y)}
	}
	out := *t
	out.At = m.point(t.At)
	la := along.Len()
	if la == 0 || !finite(la) {
		return nil
	}
	h := math.Abs(along.Cross(up)) / la
	if !(h*t.Height > 0) {
		return nil
	}
	out.Height = t.Height * h
	out.Width = t.Width * la / h
	if lean := along.Dot(up) / la / h; math.Abs(lean) > 1e-9 && finite(lean) {
		out.Slant = math.Atan(lean)
	} else {
		out.Slant = 0
	}
	out.Span = t.Span * la
	if out.Mirror = along.Cross(up) < 0; out.Mirror {
		along = along.Times(-1)
	}
	out.Angle = math.Atan2(along.Y, along.X)
	if out.Angle < -1e-12 {
		out.Angle += 2 * math.Pi
	}
	return &out
}

// layer returns the layer's entry; unknown ones are entered, shown.
func (p *parser) layer(name string) Layer {
	key := name
	i, ok := p.layers[key]
	if !ok {
		key = strings.ToLower(name)
		if i, ok = p.layers[key]; !ok {
			i = len(p.out.Layers)
			p.out.Layers = append(p.out.Layers, Layer{Name: name})
			p.layers[key] = i
		}
		p.layers[name] = i // so that the next look-up needs no lower case
	}
	return p.out.Layers[i]
}
