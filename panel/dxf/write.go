package dxf

import (
	"fmt"
	"math"

	libblock "github.com/yofu/dxf/block"
	"github.com/yofu/dxf/class"
	"github.com/yofu/dxf/drawing"
	"github.com/yofu/dxf/entity"
	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/handle"
	"github.com/yofu/dxf/header"
	"github.com/yofu/dxf/insunit"
	"github.com/yofu/dxf/object"
)

// Options say how a drawing is written. The zero value is R2000 in millimetres.
type Options struct {
	Release Release
	Unit    Units // of the file; as UnitNamed gives it
}

// Write returns the drawing as an ASCII DXF file: paths that are circles as CIRCLE, straight ones of two points as LINE, arcs
// that were ARC as that, others as LWPOLYLINE with bulges (POLYLINE in R12), texts as TEXT, or MTEXT when they have several
// lines (in R12 one TEXT each), placed blocks as INSERT. Layers keep their colour, width and state. Read gives the same
// drawing back to a thousandth of a nanometre, but for types and handles, and in R12 line weights; dashes are line types; fillings
// are HATCH, in R12, which has none, closed lines. The same drawing gives the same bytes. An error tells what no DXF can hold.
//
// Sections, tables, numbering and objects are the library's. Entities are types of our own that the library numbers, since its
// polylines have no bulge, its texts lack the anchor (11, 21) unless both alignments are set, and it has no MTEXT and no INSERT;
// so are layers, which the library can neither switch off nor draw thinner than 0.05 mm. R12 is the same file without the
// sections, tables and groups that came later.
//
// The library's drawing.New shares default layers and styles between drawings and numbers them anew each time; so Write puts
// the sections together itself, from values of its own, and any number of drawings can be written at once.
func Write(d Drawing, o Options) ([]byte, error) {
	if o.Release == "" {
		o.Release = R2000
	}
	if o.Unit == (Units{}) {
		o.Unit = millimetres()
	}
	switch {
	case o.Release != R12 && o.Release != R2000 && o.Release != R2004 && o.Release != R2007:
		return nil, fmt.Errorf("writing DXF: no such release as %q", string(o.Release))
	case !(o.Unit.MMPerUnit > 0):
		return nil, fmt.Errorf("writing DXF: the unit has no length")
	}
	out := &tags{eol: "\r\n"}
	if o.Release == R12 {
		// Its groups end at 79, but for comments, extended data and the extrusion (DXF Reference of release 12). Handles are
		// left away too, as they may be.
		out.skip = func(code int) bool { return code == 5 || code >= 100 && code < 210 || code >= 280 && code < 999 }
	}
	w := &writer{encoder: encoderOf(out, o.Unit.MMPerUnit, o.Release), layers: namesFor(o.Release), blocks: namesFor(o.Release)}
	sections, err := w.sections(d, o)
	if err != nil {
		return nil, fmt.Errorf("writing DXF: %w", err)
	}
	next := 1
	for _, s := range sections[1:] {
		s.SetHandle(&next)
	}
	sections[0].SetHandle(&next) // $HANDSEED, above all others
	for _, s := range sections {
		s.Format(out)
	}
	out.WriteString(0, "EOF")
	return out.out.Bytes(), nil
}

// writer puts the sections of a file together.
type writer struct {
	encoder
	layers, blocks names
	dashed         dashed
}

func (w *writer) sections(d Drawing, o Options) ([]drawing.Section, error) {
	root := object.NewDictionary()
	styles, plot := object.NewAcDbDictionaryWDFLT(root)
	groups := object.NewDictionary()
	// Neither can fail: the dictionary is empty.
	_ = root.AddItem("ACAD_PLOTSTYLENAME", styles)
	_ = root.AddItem("ACAD_GROUP", groups)
	tables, model, blocks, err := w.tables(d, plot)
	if err != nil {
		return nil, err
	}
	things, err := w.things(d.Entities, model)
	if err != nil {
		return nil, err
	}
	head := &heading{Header: header.New(), unit: o.Unit}
	head.Version, head.InsUnit = string(o.Release), insunit.Unit(max(0, o.Unit.Code))
	if b := d.Extents(); !b.Empty() {
		head.ExtMin = []float64{w.unit(b.Min.X), w.unit(b.Min.Y), 0}
		head.ExtMax = []float64{w.unit(b.Max.X), w.unit(b.Max.Y), 0}
	}
	if o.Release == R12 {
		return []drawing.Section{head, tables, blocks, things}, nil
	}
	return []drawing.Section{head, class.New(), tables, blocks, things, object.Objects{root, styles, plot, groups}}, nil
}

// before is a Formatter that does something before a certain group is written: the library's types write their records
// whole, and this is how a group more gets into them.
type before struct {
	format.Formatter
	code  int
	value string
	do    func()
}

// WriteString writes a text.
func (b before) WriteString(code int, value string) {
	if code == b.code && value == b.value {
		b.do()
	}
	b.Formatter.WriteString(code, value)
}

// heading is the library's header with the variables that it lacks (DXF Reference, "HEADER section").
type heading struct {
	*header.Header
	unit Units
}

// Format writes the section. R12 has no unit of its own, but programs that write it today add the variable all the same;
// without handles it has no next one.
func (h *heading) Format(f format.Formatter) {
	more := before{f, 0, "ENDSEC", func() {
		metric := 1
		if h.unit.English() {
			metric = 0
		}
		f.WriteString(9, "$DWGCODEPAGE")
		f.WriteString(3, "ANSI_1252")
		f.WriteString(9, "$MEASUREMENT")
		f.WriteInt(70, metric)
	}}
	if h.Version != string(R12) {
		h.Header.Format(more)
		return
	}
	h.Header.Format(unnumbered{more})
}

// unnumbered leaves $HANDSEED away.
type unnumbered struct{ format.Formatter }

// WriteString writes a text.
func (u unnumbered) WriteString(code int, value string) {
	if code != 9 || value != "$HANDSEED" {
		u.Formatter.WriteString(code, value)
	}
}

// blockSection holds the library's blocks and what lies in them.
type blockSection []blockOf

type blockOf struct {
	*libblock.Block
	record handle.Handler
	things entity.Entities
}

// SetHandle numbers the blocks and what lies in them.
func (s blockSection) SetHandle(next *int) {
	for _, b := range s {
		b.Block.SetHandle(next)
		b.things.SetHandle(next)
	}
}

// Format writes the section, with the owner of each block and each end of one (330), which the library leaves out.
func (s blockSection) Format(f format.Formatter) {
	f.WriteString(0, "SECTION")
	f.WriteString(2, "BLOCKS")
	for _, b := range s {
		b.Block.Format(before{before{f, 100, "AcDbEntity", func() { f.WriteHex(330, b.record.Handle()) }},
			0, "ENDBLK", func() {
				for _, e := range b.things {
					e.Format(f)
				}
			}})
	}
	f.WriteString(0, "ENDSEC")
}

// drawn is an entity that we format ourselves; the library numbers it.
type drawn struct {
	*entity.Text
	owner handle.Handler
	as    func(handle, owner string)
}

// Format writes the entity, for the library. The Formatter is the writer's own.
func (t *drawn) Format(format.Formatter) { t.as(hex(t.Handle()), hex(t.owner.Handle())) }

// things returns the library's entities for ours, those of no size left out.
func (w *writer) things(all []Entity, owner handle.Handler) (entity.Entities, error) {
	var out entity.Entities
	for i := range all {
		e := &all[i]
		layer, _ := w.layers.of(e.Layer)
		draw, err := w.thing(e)
		switch {
		case err != nil:
			return nil, err
		case draw != nil:
			out = append(out, &drawn{entity.NewText(), owner, func(handle, owner string) { draw(w.title(e, handle, owner, layer)) }})
		}
	}
	return out, nil
}

// title returns what the entity begins with.
func (w *writer) title(e *Entity, handle, owner, layer string) title {
	t := title{handle: handle, owner: owner, layer: layer, colour: e.Colour, weight: int(e.Weight)}
	if e.Pen != nil && e.Pen.Dashes != nil {
		t.style, t.runs = w.dashed.of(e.Pen.Dashes), e.Pen.Runs
	}
	return t
}

// thing returns what writes the entity, nil for what has no size.
func (w *writer) thing(e *Entity) (func(title), error) {
	if !e.finite() {
		return nil, fmt.Errorf("a number of a %s on layer %s is none", e.Type, e.Layer)
	}
	if e.Insert != nil {
		name, fresh := w.blocks.of(e.Insert.Block)
		if fresh {
			return nil, fmt.Errorf("block %s is placed but not there", e.Insert.Block)
		}
		return func(t title) { w.insert(t, *e.Insert, name) }, nil
	}
	if e.Text != nil {
		return func(t title) { w.text(t, *e.Text) }, nil
	}
	v := e.Path.Vertices
	if len(v) < 2 {
		return nil, nil
	}
	if e.Fill {
		return func(t title) { w.filling(t, e.boundaries()) }, nil
	}
	if c, d, ok := e.Path.Circle(); ok && e.Width == 0 {
		return func(t title) { w.circle(t, c, d/2) }, nil
	}
	first := Edge{v[0].XY, v[1].XY, v[0].Bulge}
	switch pair := len(v) == 2 && e.Width == 0; {
	case pair && !e.Path.Closed && first.Bulge == 0:
		return func(t title) { w.line(t, first.From, first.To) }, nil
	case pair && !e.Path.Closed && e.Type == "ARC":
		return func(t title) { w.arc(t, first) }, nil
	}
	return func(t title) { w.polyline(t, e.Path, float64(e.Width)) }, nil
}

// boundaries are the path and what is left out of it.
func (e *Entity) boundaries() []Path {
	if e.Holes == nil {
		return []Path{e.Path}
	}
	return append([]Path{e.Path}, *e.Holes...)
}

// finite reports whether all numbers are some.
func (e *Entity) finite() bool {
	sum := 0.0
	sum += math.Abs(float64(e.Width))
	for _, p := range e.boundaries() {
		for _, v := range p.Vertices {
			sum += math.Abs(v.X) + math.Abs(v.Y) + math.Abs(v.Bulge)
		}
	}
	if t := e.Text; t != nil {
		sum += math.Abs(t.At.X) + math.Abs(t.At.Y) + math.Abs(t.Height) + math.Abs(t.Angle) + math.Abs(t.Width) + math.Abs(t.Span)
	}
	if i := e.Insert; i != nil {
		sum += math.Abs(i.At.X) + math.Abs(i.At.Y) + math.Abs(i.Turn)
	}
	return finite(sum)
}
