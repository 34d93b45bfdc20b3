package dxf

// Redrawing is editing: the user's file stays as it is, byte for byte, and circles go out of it and into it. So the library has no
// part in it but the form of the new circle's groups (encode.go): its reader stops at the first kind of entity it does not know
// (INSERT, MTEXT, HATCH: "unknown entity type") and forgets what it does not ask for (bulges of a LWPOLYLINE, line types,
// comments), so that a drawing read and written by it would lack what the user drew.

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/panel/work"
)

// Circle is a circle to be drawn, in the drawing's own frame, mm.
type Circle struct {
	Layer string
	At    XY
	D     float64 // diameter
}

// Redraw is what is changed in a drawing.
type Redraw struct {
	Gone []int    // circles that go: indices into the entities that Read gives; pieces of one are one circle
	Add  []Circle // that come
	Unit float64  // mm of the drawing's unit

	// Blocks says that a gone circle goes with the whole block that is drawn for it alone, and comes anew as a copy of that.
	Blocks bool
	// Plain says that new circles have nothing but their layer; without it they take the form of the first circle that goes,
	// its layer, colour and line type included.
	Plain bool
}

// Redrawn returns a drawing's file with circles gone from it and others added at the end of its entities; all else is copied byte
// for byte, comments and line ends included, whatever form the file has: text, text in UTF-16, binary.
//
// What lies in a block that is placed more than once, or in an array of it, goes from all copies; where it is to stay, it is drawn
// again in its place, by itself. New circles have the handles of what has gone, then such as the drawing has not given yet
// ($HANDSEED is raised). Coordinates are written as Write writes them. What Redrawn returns when ctx is done means nothing.
func Redrawn(ctx context.Context, src []byte, r Redraw) (out []byte, err error) {
	work.Until(ctx, func(w *work.Watch) { out, err = redrawn(w, src, r) })
	return out, err
}

func redrawn(watch *work.Watch, src []byte, r Redraw) ([]byte, error) {
	t, err := scanned(src)
	if err != nil {
		return nil, err
	}
	if !(r.Unit > 0) {
		return nil, errors.New("the drawing's unit is not known")
	}
	all, own, end := t.entities()
	if end < 0 {
		return nil, errors.New("the drawing has no section of entities")
	}
	if len(r.Gone)+len(r.Add) == 0 {
		return src, nil
	}
	var from traces
	d, _ := traced(watch, src, "", &from)
	if k := r.Unit / d.Units.MMPerUnit; k != 1 {
		d = d.Scaled(k) // the user knows better
	}
	fresh := &tags{eol: t.eol, binary: t.binary, wide: t.wide}
	w := redraw{fileForm: &t, encoder: encoderOf(fresh, r.Unit, R2000), Redraw: r, fresh: fresh, read: d, from: from, all: all, others: t.habits(own)}
	fresh.skip = func(code int) bool { return code == 100 && !w.others.classes }
	if err := w.cut(); err != nil {
		return nil, err
	}
	w.next, w.seed = t.handles()
	var edits []edit
	for _, g := range w.cuts {
		s := all[g]
		edits = append(edits, edit{t.groups[s.from].from, t.groups[s.to-1].to, ""})
		for _, g := range t.groups[s.from:s.to] {
			if g.code == 5 {
				w.handles = append(w.handles, strings.TrimSpace(g.value))
				break
			}
		}
	}
	w.staying()
	for _, c := range r.Add {
		w.add(c)
	}
	edits = append(edits, edit{t.groups[end].from, t.groups[end].from, fresh.out.String()})
	if w.used && w.seed >= 0 {
		g := t.groups[w.seed]
		edits = append(edits, edit{g.from, g.to, t.reseeded(g, w.next)})
	}
	t.edited(edits)
	return t.bytes(), nil
}

// redraw is a drawing being changed.
type redraw struct {
	*fileForm
	encoder
	Redraw
	fresh  *tags // what comes
	read   Drawing
	from   traces
	all    map[int]span
	others habits

	cuts     []int        // numbers of the first groups of what goes, in the file's order
	gone     map[int]bool // entities, by index
	moving   map[*blockCopy]bool
	block    *blockCopy // drawn for one circle alone; nil: none
	middle   XY         // of its circle
	wide     float64    // and the diameter
	template span       // a circle that goes; empty: none

	handles []string
	next    uint64
	seed    int
	used    bool // a new handle was given
}

// cut finds what of the file goes.
func (w *redraw) cut() error {
	w.gone, w.moving = map[int]bool{}, map[*blockCopy]bool{}
	for _, i := range w.Gone {
		if i < 0 || i >= len(w.from) {
			return fmt.Errorf("the drawing has no entity %d", i)
		}
		w.gone[i] = true
	}
	cut, extents := map[int]bool{}, map[*blockCopy]extent(nil)
	if w.Blocks {
		extents = w.extents()
	}
	for _, i := range w.Gone {
		f, e := w.from[i], &w.read.Entities[i]
		if w.Blocks && f.in != nil && w.lone(f.in, extents[f.in]) {
			w.moving[f.in] = true
			if w.block == nil {
				if b := e.Path.Box(); math.Abs(b.W()-b.H()) < 1e-6*b.W() {
					w.block, w.middle, w.wide = f.in, b.Centre(), b.W()
				}
			}
			cut[f.in.ins.group] = true
			continue
		}
		cut[f.group] = true
		if s := w.all[f.group]; f.in == nil && w.template == (span{}) && e.Type == "CIRCLE" && f.plane == upright {
			w.template = s
		}
	}
	for g := range cut {
		if _, ok := w.all[g]; !ok {
			return fmt.Errorf("what starts with group %d cannot be cut out", g)
		}
		w.cuts = append(w.cuts, g)
	}
	slices.Sort(w.cuts)
	return nil
}

// extent is what a copy of a block shows: all of it, and of that what is gone.
type extent struct{ all, gone Box }

// extents returns what each copy of a block shows.
func (w *redraw) extents() map[*blockCopy]extent {
	out := map[*blockCopy]extent{}
	for i, f := range w.from {
		e := &w.read.Entities[i]
		b := e.Path.Box()
		if e.Text != nil {
			b = EmptyBox().With(e.Text.At)
		}
		for c := f.in; c != nil; c = c.in {
			x, ok := out[c]
			if !ok {
				x = extent{EmptyBox(), EmptyBox()}
			}
			x.all = x.all.Union(b)
			if w.gone[i] {
				x.gone = x.gone.Union(b)
			}
			out[c] = x
		}
	}
	return out
}

// lone reports whether a copy of a block is drawn for one of the gone circles alone: it has none but this, and nothing that
// reaches far beyond it.
func (w *redraw) lone(c *blockCopy, x extent) bool {
	if _, _, _, ok := c.alone(w.perUnit()); !ok {
		return false
	}
	const beyond = 3 // times the circle's diameter, from its middle
	m, d := x.gone.Centre(), x.gone.W()
	return math.Abs(x.gone.W()-x.gone.H()) < 0.01*d &&
		x.all.Min.X >= m.X-beyond*d && x.all.Min.Y >= m.Y-beyond*d && x.all.Max.X <= m.X+beyond*d && x.all.Max.Y <= m.Y+beyond*d
}

// staying draws again what is gone with a cut but was to stay.
func (w *redraw) staying() {
	cut := func(g int) bool { _, ok := slices.BinarySearch(w.cuts, g); return ok }
	drawn := map[*blockCopy]bool{}
	for i, f := range w.from {
		if w.gone[i] {
			continue
		}
		if c := f.in.within(func(o *blockCopy) bool { return cut(o.ins.group) }); c != nil {
			if f.in.within(func(o *blockCopy) bool { return w.moving[o] }) == nil && !drawn[c] {
				drawn[c] = true
				w.place(c, XY{})
			}
			continue
		}
		if e := &w.read.Entities[i]; cut(f.group) && e.Text == nil && len(e.Path.Vertices) > 1 {
			w.path(e)
		}
	}
}

// path draws an entity by itself.
func (w *redraw) path(e *Entity) {
	t := w.likeOthers(e.Layer)
	t.colour = e.Colour
	if c, d, ok := e.Path.Circle(); ok {
		w.circle(t, c, d/2)
		return
	}
	w.polyline(t, e.Path, 0)
}

// place puts a copy of a block where it was, moved by so much.
func (w *redraw) place(c *blockCopy, by XY) {
	sx, sy, turn, ok := c.alone(w.perUnit())
	if !ok {
		return // reading back shows that it is missing
	}
	at := c.m.point(c.base).Times(w.scaled()).Add(by)
	values := map[int]string{10: realText(w.unit(at.X)), 20: realText(w.unit(at.Y))}
	if c.in != nil {
		values[8] = c.layer
	}
	w.copied(w.all[c.ins.group], func(code int) bool {
		return code == 30 || code >= 41 && code <= 45 || code == 50 || code == 66 || code == 70 || code == 71 || code == 210 || code == 220 || code == 230
	}, values)
	w.f.WriteFloat(30, 0)
	if sx != 1 || sy != 1 {
		w.f.WriteFloat(41, rounded(sx, bulgePlaces))
		w.f.WriteFloat(42, rounded(sy, bulgePlaces))
		w.f.WriteFloat(43, rounded(sx, bulgePlaces))
	}
	if turn != 0 {
		w.angle(50, turn)
	}
}

// perUnit is what a unit of the file was read as; scaled is by how much more the user takes it.
func (w *redraw) perUnit() float64 { return w.read.Units.MMPerUnit }
func (w *redraw) scaled() float64  { return w.Unit / w.perUnit() }

// copied writes the groups of an entity of the file again, those that skip names left out and some with another value, with a
// handle of its own.
func (w *redraw) copied(s span, skip func(code int) bool, values map[int]string) {
	for _, g := range w.groups[s.from:w.after(s.from)] {
		v, ok := values[g.code]
		switch {
		case g.code == 5:
			v, ok = w.handle(), true
		case g.code == 102 || g.code == 360 || skip(g.code):
			continue // what hung on the old one alone
		}
		switch {
		case !ok:
			w.fresh.out.WriteString(w.src[g.from:g.to])
		case w.binary:
			w.fresh.put(g.code, v)
		default:
			w.fresh.out.WriteString(w.src[g.from:g.at] + v + w.eol)
		}
	}
}

func (w *redraw) handle() string {
	if len(w.handles) > 0 {
		h := w.handles[0]
		w.handles = w.handles[1:]
		return h
	}
	h := fmt.Sprintf("%X", w.next)
	w.next++
	w.used = true
	return h
}

// add writes a circle: as the block or the circle that goes is written, or without one as the drawing's other entities are.
func (w *redraw) add(c Circle) {
	switch {
	case w.block != nil && math.Abs(w.wide-c.D) < 2e-3:
		w.place(w.block, c.At.Sub(w.middle))
	case w.template != (span{}) && !w.Plain:
		w.copied(w.template, func(int) bool { return false },
			map[int]string{10: realText(w.unit(c.At.X)), 20: realText(w.unit(c.At.Y)), 40: realText(w.unit(c.D / 2))})
	default:
		w.circle(w.likeOthers(c.Layer), c.At, c.D/2)
	}
}

// habits are what the drawing's own entities begin with.
type habits struct {
	owner            string
	classes, handled bool
}

func (t *fileForm) habits(own []span) (h habits) {
	for _, e := range own {
		for _, g := range t.groups[e.from:e.to] {
			switch {
			case g.code == 330 && h.owner == "":
				h.owner = strings.TrimSpace(g.value)
			case g.code == 100:
				h.classes = true
			case g.code == 5:
				h.handled = true
			}
		}
	}
	return h
}

// likeOthers returns what a new entity begins with, with handle, owner and classes only where the drawing's others have them.
func (w *redraw) likeOthers(layer string) title {
	t := title{layer: layer}
	if w.others.handled || len(w.handles) > 0 {
		t.handle = w.handle()
	}
	if w.others.classes {
		t.owner = w.others.owner
	}
	return t
}
