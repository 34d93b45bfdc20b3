package pack

import (
	"fmt"
	"math"
	"slices"

	"lampblack/export"
	"lampblack/export/compare"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// edge tells of the board's outline and its cut-outs.
func (c *comparison) edge() {
	a, b := readback.Enclosed(c.was.Artwork), readback.Enclosed(c.is.Artwork)
	if len(a) == 0 || len(b) == 0 {
		if len(a)+len(b) > 0 {
			c.unknown = append(c.unknown, fmt.Sprintf("the edge of board %s, as one pack has none that is closed", c.name))
		}
		return
	}
	more, less := b.Minus(a).Opened(hand/4), a.Minus(b).Opened(hand/4)
	if len(more)+len(less) == 0 {
		return
	}
	x, y := c.was.Artwork.Size, c.is.Artwork.Size
	text := "the board's edge runs otherwise"
	if (x.W()-y.W()).Abs() > geom.Micrometre || (x.H()-y.H()).Abs() > geom.Micrometre {
		text = fmt.Sprintf("the board was %s x %s mm, it is %s x %s mm", millimetres(x.W()), millimetres(x.H()), millimetres(y.W()), millimetres(y.H()))
	}
	c.say("board-size", "%s%s", text, c.pieces(less, more, "board"))
	c.no("the new one has another edge: hold an old one behind the panel before you use it")
}

// layers tells of copper, masks, prints and paste.
func (c *comparison) layers() {
	for _, f := range export.Functions() {
		if f > export.PasteBottom {
			continue
		}
		c.watch.Look()
		a, hadA := c.was.Artwork.Layer(f)
		b, hasB := c.is.Artwork.Layer(f)
		if !hadA && !hasB {
			continue
		}
		if hadA != hasB && f <= export.SoldermaskBottom {
			if hadA {
				c.say("layer-gone", "the pack has no %s any more", meaning(f))
			} else {
				c.say("layer-added", "the pack has %s now, it had none", meaning(f))
			}
			continue
		}
		less, more := readback.Apart(a, b, compare.Rounding)
		if code := codeOf(f); code == "mask" || code == "paste" {
			less, more = slices.DeleteFunc(less, c.follows), slices.DeleteFunc(more, c.follows)
		}
		if len(less)+len(more) == 0 {
			continue
		}
		text := c.pieces(less, more, "")
		if f.Copper() {
			if u, v := lines(a), lines(b); math.Abs(u-v) >= 0.05 {
				text += fmt.Sprintf("; tracks %s mm, now %s mm", figure(u, 1), figure(v, 1))
			}
		}
		c.say(codeOf(f), "%s changed%s", meaning(f), text)
	}
}

// follows reports whether a piece of mask or paste lies where a hole or a part was told that changed.
func (c *comparison) follows(p geom.Polygon) bool {
	at := p.Outer.Box().Centre()
	return slices.ContainsFunc(c.told, func(t round) bool { return t.at.Dist(at) <= float64(t.r) })
}

// codeOf is the kind of change of a layer.
func codeOf(f export.Function) string {
	switch f {
	case export.CopperTop, export.CopperBottom:
		return "copper"
	case export.SoldermaskTop, export.SoldermaskBottom:
		return "mask"
	case export.SilkscreenTop, export.SilkscreenBottom:
		return "print"
	}
	return "paste"
}

func meaning(f export.Function) string {
	what := map[string]string{"copper": "copper", "mask": "soldermask", "print": "silkscreen", "paste": "paste"}[codeOf(f)]
	return what + " on the " + f.Side().String()
}

// pieces says how much of an image went and came, and where.
func (c *comparison) pieces(less, more geom.Region, of string) string {
	area := func(g geom.Region) string {
		if a := g.Area(); a < 0.01 {
			return figure(a, 4)
		} else if a < 100 {
			return figure(a, 2)
		}
		return figure(g.Area(), 0)
	}
	if of != "" {
		of = " of " + of
	}
	text := ""
	switch {
	case len(less) == 0:
		text = fmt.Sprintf(": %s mm²%s more", area(more), of)
	case len(more) == 0:
		text = fmt.Sprintf(": %s mm²%s less", area(less), of)
	default:
		text = fmt.Sprintf(": %s mm²%s less, %s mm² more", area(less), of, area(more))
	}
	b := less.Box().Union(more.Box())
	if max(b.W(), b.H()) < 10*geom.Millimetre {
		return text + " at " + c.spot(b.Centre())
	}
	return text + " within " + c.spot(b.Min) + " and " + c.spot(b.Max)
}

// lines returns the length of all that is drawn on a layer of copper, in mm.
func lines(l export.Layer) float64 {
	sum := 0.0
	for _, o := range l.Objects {
		if o.Op == export.Draw && !o.Clear {
			sum += float64(geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge}.Len() / float64(geom.Millimetre))
		}
	}
	return sum
}

// bore is a hole.
type bore struct {
	at     geom.Pt
	d      geom.Nm
	plated bool
	via    bool
}

func (b bore) String() string {
	if b.plated {
		return fmt.Sprintf("plated hole of %s mm", millimetres(b.d))
	}
	return fmt.Sprintf("hole of %s mm", millimetres(b.d))
}

func boresOf(a export.Artwork) []bore {
	var out []bore
	for _, d := range a.Drills {
		for _, h := range d.Hits {
			t := d.Tools[h.Tool]
			out = append(out, bore{h.At, t.D, d.Plated, t.Function == "ViaDrill"})
		}
	}
	return out
}

// holes tells of holes by place. Those of parts that moved, came or went are told with the parts.
func (c *comparison) holes() {
	was, is := boresOf(c.was.Artwork), boresOf(c.is.Artwork)
	a, b := unmet(was, is), unmet(is, was)
	ofParts := func(side int) func(bore) bool {
		return func(h bore) bool { return c.own[side] != nil && c.own[side].Has(h.at) }
	}
	a, b = slices.DeleteFunc(a, ofParts(0)), slices.DeleteFunc(b, ofParts(1))
	// Vias follow tracks: they are counted.
	for _, h := range slices.Concat(a, b) {
		c.told = append(c.told, round{h.at, h.d/2 + geom.Millimetre})
	}
	via := func(h bore) bool { return h.via }
	count := func(all []bore) (n int) {
		for _, h := range all {
			if h.via {
				n++
			}
		}
		return n
	}
	if n, m := count(a), count(b); n+m > 0 {
		c.say("vias", "vias: %d, now %d; %d went and %d came", count(was), count(is), n, m)
	}
	a, b = slices.DeleteFunc(a, via), slices.DeleteFunc(b, via)
	var gone, added, changed []string
	tight := false
	for _, h := range a {
		k, far := -1, float64(reach)
		for j, o := range b {
			if by := o.at.Dist(h.at); by <= far {
				k, far = j, by
			}
		}
		if k < 0 {
			gone = append(gone, fmt.Sprintf("%v at %s", h, c.spot(h.at)))
			tight = true
			continue
		}
		o := b[k]
		b = slices.Delete(b, k, k+1)
		text := fmt.Sprintf("%v at %s", h, c.spot(h.at))
		if far > float64(readback.Same) {
			text += fmt.Sprintf(" moved by %s mm", figure(geom.Nm(far).MM(), 3))
		}
		if o.d != h.d || o.plated != h.plated {
			text += fmt.Sprintf(" is a %v", o)
		}
		changed = append(changed, text)
		tight = tight || far > float64(hand) || o.d > h.d || o.plated != h.plated
	}
	for _, h := range b {
		added = append(added, fmt.Sprintf("%v at %s", h, c.spot(h.at)))
		tight = tight || !h.plated
	}
	for _, t := range []struct {
		code, words string
		all         []string
	}{{"hole", "changed", changed}, {"hole-gone", "gone", gone}, {"hole-added", "new", added}} {
		if len(t.all) > 0 {
			c.say(t.code, "%s %s: %s", plural(len(t.all), "hole"), t.words, list(t.all))
		}
	}
	if tight {
		c.no("its holes are others")
	}
	if u, v := slotsOf(c.was.Artwork), slotsOf(c.is.Artwork); !slices.Equal(u, v) {
		c.say("hole", "slots are others: %d, now %d", len(u), len(v))
		c.no("its slots are others")
	}
}

// unmet returns the holes that have no equal on the other side.
func unmet(all, others []bore) []bore {
	at := readback.Grid{}
	for i, h := range others {
		at.Put(h.at, i)
	}
	var out []bore
	for _, h := range all {
		if !at.At(h.at, func(i int) bool {
			o := others[i]
			return (o.d-h.d).Abs() <= readback.Same && o.plated == h.plated
		}) {
			out = append(out, h)
		}
	}
	return out
}

func slotsOf(a export.Artwork) []string {
	var out []string
	for _, d := range a.Drills {
		for _, s := range d.Slots {
			path := ""
			for _, p := range s.Path {
				path += figure(p.X.MM(), 2) + " " + figure(p.Y.MM(), 2) + ","
			}
			out = append(out, fmt.Sprint(d.Plated, millimetres(d.Tools[s.Tool].D), path))
		}
	}
	slices.Sort(out)
	return out
}
