package legend

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"lampblack/board"
	"lampblack/panel/diag"
	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
)

// Item is one thing that is printed beside what the board says itself: a text, or something drawn.
type Item struct {
	Text    string          // what it says; empty: it is drawn
	Parts   []geom.Region   // letters, or what is drawn, where it was drawn: in the panel frame, seen from the front
	Height  geom.Nm         // of capitals; 0: it is drawn
	Behind  bool            // it was drawn as it reads from behind
	Sizes   [][]geom.Region // of a text without a place: its letters in the sizes that may be tried
	Subject []string        // keys of the project that ask for it, for findings
}

// Given says what of the title the items of a side say already.
type Given struct{ Name, Revision, Date bool }

// Box returns what an item fills.
func (t Item) Box() geom.Box {
	b := geom.EmptyBox()
	for _, g := range t.Parts {
		b = b.Union(g.Box())
	}
	return b
}

// named says what an item is.
func (t Item) named() string {
	if t.Text == "" {
		return "what is drawn"
	}
	return fmt.Sprintf("%q", shortened(strings.ReplaceAll(t.Text, "\n", " ")))
}

func shortened(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return s
}

// Distances of print.
const (
	together  = 2 * geom.Millimetre // drawn things nearer to each other than this belong together; a text reaches as far as it is high
	lostShare = 0.005               // of a letter's area: less is not missed
	thinShare = 0.08                // of it in parts too thin to print: corners alone, which print round, are less
	leastLoss = 5e-3                // mm2
	fromEdge  = geom.Millimetre     // from a text that is given a place to the board's edge, where there is room
	ownAir    = 2                   // lines of the silkscreen from what the board says itself
)

// behind returns the items of the bottom as they are printed: what belongs together is mirrored left to right about its middle, so
// that it stays where it was drawn and reads rightly from behind. A text that was drawn mirrored, and what belongs to such
// texts alone, reads so already.
func behind(items []Item) []Item {
	out := slices.Clone(items)
	var find rtree.RTreeG[int]
	boxes := make([]geom.Box, len(out))
	for i := range out {
		boxes[i] = out[i].Box()
		if !boxes[i].Empty() {
			find.Insert(low(boxes[i]), high(boxes[i]), i)
		}
	}
	sets := disjoint.New(len(out))
	for i := range out {
		if boxes[i].Empty() {
			continue
		}
		b := boxes[i].Grown(max(together, out[i].Height))
		find.Search(low(b), high(b), func(_, _ [2]float64, k int) bool { sets.Join(i, k); return true })
	}
	type group struct {
		box             geom.Box
		texts, mirrored int
	}
	groups := map[int]*group{}
	for i := range out {
		g := groups[sets.Least(i)]
		if g == nil {
			g = &group{box: geom.EmptyBox()}
			groups[sets.Least(i)] = g
		}
		g.box = g.box.Union(boxes[i])
		if out[i].Text != "" {
			g.texts++
			if out[i].Behind {
				g.mirrored++
			}
		}
	}
	for i := range out {
		g := groups[sets.Least(i)]
		out[i].Sizes = slices.Clone(out[i].Sizes)
		for k, letters := range out[i].Sizes {
			out[i].Sizes[k] = mirrored(letters, 0)
		}
		if boxes[i].Empty() || out[i].Behind || g.texts > 0 && g.mirrored == g.texts {
			continue
		}
		out[i].Parts = mirrored(out[i].Parts, g.box.Min.X+g.box.Max.X)
	}
	return out
}

// mirrored returns regions with every X as sum less X.
func mirrored(gs []geom.Region, sum geom.Nm) []geom.Region {
	flip := func(r geom.Ring) geom.Ring {
		out := make(geom.Ring, len(r))
		for i, p := range r {
			out[len(r)-1-i] = geom.Pt{X: sum - p.X, Y: p.Y}
		}
		return out
	}
	out := make([]geom.Region, len(gs))
	for i, g := range gs {
		for _, p := range g {
			q := geom.Polygon{Outer: flip(p.Outer)}
			for _, h := range p.Holes {
				q.Holes = append(q.Holes, flip(h))
			}
			out[i] = append(out[i], q)
		}
	}
	return out
}

func low(b geom.Box) [2]float64  { return [2]float64{float64(b.Min.X), float64(b.Min.Y)} }
func high(b geom.Box) [2]float64 { return [2]float64{float64(b.Max.X), float64(b.Max.Y)} }

// bar is what print keeps off, grown by as much as it does, and what that is in words.
type bar struct {
	ring geom.Ring
	is   cause
}

// cause is what a bar is, in words: "the pads of", "D3".
type cause struct{ what, of string }

// causes joins causes to words, those of one kind together.
func causes(all []cause) string {
	var kinds []string
	of := map[string][]string{}
	for _, c := range all {
		if !slices.Contains(kinds, c.what) {
			kinds = append(kinds, c.what)
		}
		if c.of != "" {
			of[c.what] = append(of[c.what], c.of)
		}
	}
	for i, k := range kinds {
		switch n := len(of[k]); {
		case n > 4:
			kinds[i] = fmt.Sprintf("%s %d parts", k, n) // names would bury the sentence; the place is marked
		case n > 0:
			kinds[i] = k + " " + diag.Listed(of[k])
		}
	}
	if n := len(kinds) - 2; n > 1 {
		kinds = append(kinds[:2], "other things")
	}
	return strings.Join(kinds, ", and ")
}

// bars are all of a side.
type bars struct {
	all  []bar
	find rtree.RTreeG[int]
}

func (k *bars) add(r geom.Ring, what, of string) {
	if len(r) < 3 {
		return
	}
	b := r.Box()
	k.find.Insert(low(b), high(b), len(k.all))
	k.all = append(k.all, bar{r, cause{what, of}})
}

// near returns those whose box meets another, in order.
func (k *bars) near(b geom.Box) []int {
	var out []int
	k.find.Search(low(b), high(b), func(_, _ [2]float64, i int) bool { out = append(out, i); return true })
	slices.Sort(out)
	return out
}

// fixed are the bars that stand before anything is written: pads, holes, vias and the places of parts.
func (f *face) fixed(b board.Board) *bars {
	k := &bars{}
	clear := f.rules.LegendClear + slack
	ring := func(c geom.Contour) geom.Ring { return c.Ring(geom.FlattenTolerance) }
	for _, p := range b.Parts {
		for _, q := range p.Pads {
			if q.OnSide(f.side) {
				k.add(ring(q.Contour(q.Mask+clear)), "the pads of", p.Ref)
			}
		}
		if p.On == f.side {
			k.add(p.Courtyard, "the place of", p.Ref)
		}
	}
	for _, s := range b.Spots {
		if s.On == f.side {
			k.add(ring(geom.Circle(s.At, s.D+2*(s.Mask+clear))), "a bare pad", "")
		}
	}
	for _, h := range b.Holes {
		is := "a hole"
		if h.What == board.MountHole {
			is = "a screw's hole"
		}
		k.add(ring(geom.Circle(h.At, h.D+2*clear)), is, "")
	}
	for _, v := range b.Vias {
		k.add(ring(geom.Circle(v.At, v.D+2*(b.Rules.MaskMargin+clear))), "a via", "")
	}
	return k
}

// said adds what the board says itself, with its air.
func (f *face) said(k *bars) {
	air := ownAir * f.rules.LegendWidth
	for _, w := range f.words {
		what, of := "", w.Of
		switch w.What {
		case board.Outline:
			continue // its lines are
		case board.Reference:
			what = "the name"
		case board.Value:
			what = "the value of"
		case board.Sign, board.Place:
			what = "the marks of"
		default:
			what, of = "the board's line", fmt.Sprintf("%q", w.Text)
		}
		k.add(geom.Rect(w.Box.Grown(air)).Ring(geom.FlattenTolerance), what, of)
	}
	for _, s := range f.ink[:f.marked] { // marks alone: all else stands in a word's box
		for _, g := range s.Path.Segments() {
			k.add(geom.Stadium(g, s.Width/2+air).Ring(geom.FlattenTolerance), "a part's marks", "")
		}
	}
}

// print prints the items: cut clear of all bars and of the board's edge, without what is too thin to print; and tells what that
// costs. The areas that are printed do not overlap.
func (f *face) print(items []Item, k *bars) ([]board.Ink, diag.List) {
	var l diag.List
	inside := f.area.Shrunk(f.rules.LegendClear + slack)
	half := Thinnest(f.rules)/2 - geom.FlattenTolerance // lines are flattened
	knife := geom.Knife{Look: f.watch.Look}
	var rings []geom.Ring
	for _, t := range items {
		var by []cause
		cut, gone, thin := 0, 0, 0
		var first geom.Pt
		before, left := 0.0, 0.0
		for _, g := range t.Parts {
			f.watch.Look()
			whole := g.Area()
			solid := g.Opened(half)
			if lost := whole - solid.Area(); lost > thinShare*whole && lost > 4*leastLoss {
				thin++
			}
			near := k.near(g.Box())
			var off []geom.Ring
			for _, i := range near {
				off = append(off, k.all[i].ring)
			}
			free := solid.And(inside)
			if len(off) > 0 {
				free = knife.Without(free, off...)
			}
			before += solid.Area()
			if lost := solid.Area() - free.Area(); lost > lostShare*whole && lost > leastLoss {
				free = free.Opened(half)
				if cut++; cut == 1 {
					first = g.Box().Centre()
				}
				if len(free) == 0 {
					gone++
				}
				if solid.Minus(inside).Area() > leastLoss/10 {
					by = append(by, cause{"the board's edge", ""})
				}
				for _, i := range near {
					if is := k.all[i].is; !slices.Contains(by, is) && solid.And(geom.NewRegion(k.all[i].ring)).Area() > leastLoss/10 {
						by = append(by, is)
					}
				}
			} else if lost > 0 {
				free = free.Opened(half)
			}
			left += free.Area()
			rings = append(rings, free.Rings()...)
		}
		f.tell(&l, t, told{by, cut, gone, thin, first, before, left})
	}
	var out []board.Ink
	for _, p := range geom.WoundBy(rings...) {
		if p.Area() > math.Pi*half.MM()*half.MM()/2 {
			out = append(out, board.Ink{On: f.side, Fill: p})
		}
	}
	return out, l
}

// Thinnest is the width of the thinnest line that is printed of an item: a little more than the rules ask, since curves are
// flattened and corners cut.
func Thinnest(r board.Rules) geom.Nm { return r.LegendWidth + 5*geom.FlattenTolerance }

// told is what an item lost.
type told struct {
	by              []cause
	cut, gone, thin int
	first           geom.Pt
	before, left    float64
}

func (f *face) tell(l *diag.List, t Item, o told) {
	n := len(t.Parts)
	if o.thin > 0 {
		at := t.Box().Centre()
		what := t.named() + " has parts"
		if t.Text != "" {
			what = fmt.Sprintf("%d of %d letters of %s have parts", o.thin, n, t.named())
		}
		l.Add(diag.Warning, "print-too-fine", "%s thinner than %v, which the silkscreen cannot show: they are left out", what, f.rules.LegendWidth).
			About(append(t.Subject, "rules.legend_width")...).At(at.X.MM(), at.Y.MM()).
			Together("%d printed things have parts too thin for the silkscreen").Fix("draw it larger, in a plainer face or with wider lines")
	}
	if o.cut == 0 {
		return
	}
	why := causes(o.by)
	side := "LED side"
	if f.side == geom.Bottom {
		side = "back"
	}
	var d *diag.Finding
	switch {
	case o.gone == n && t.Text != "":
		d = l.Add(diag.Warning, "print-lost", "%s is not printed on the board's %s: all of it lies on %s", t.named(), side, why)
	case o.gone == n:
		d = l.Add(diag.Warning, "print-lost", "%s here for the board's %s is not printed: all of it lies on %s", t.named(), side, why)
	case t.Text != "":
		d = l.Add(diag.Warning, "print-cut", "%d of %d letters of %s are cut on the board's %s by %s", o.cut, n, t.named(), side, why).
			Together("%d printed texts are cut clear of pads, holes or marks")
	default:
		d = l.Add(diag.Note, "print-drawing-cut", "%s here for the board's %s loses %.0f %% to %s", t.named(), side, math.Ceil(100*(1-o.left/max(o.before, 1e-9))), why).
			Together("%d drawn things of the print are cut clear of pads, holes or marks")
	}
	d.About(t.Subject...).At(o.first.X.MM(), o.first.Y.MM()).Fix("move it to where nothing is in its way, or leave it so: what is cut off stays off")
}

// seat finds places for texts that have none: the largest of their sizes that finds room, as titles do. What finds none is told.
func (f *face) seat(items []Item, k *bars) ([]Item, diag.List) {
	var l diag.List
	out := slices.Clone(items)
	f.barred = func(b geom.Box) bool { return len(k.near(b)) > 0 }
	defer func() { f.barred = nil }()
next:
	for i := range out {
		t := &out[i]
		if len(t.Sizes) == 0 {
			continue
		}
		for _, letters := range t.Sizes {
			f.watch.Look()
			t.Parts = letters
			b := t.Box()
			if b.Empty() {
				continue next
			}
			c, ok := f.spot(b.W()+2*fromEdge, b.H()+2*fromEdge, wellApart)
			if !ok {
				c, ok = f.spot(b.W(), b.H(), wellApart)
			}
			if !ok {
				t.Parts = nil
				continue
			}
			move := c.Sub(b.Centre())
			t.Parts = nil
			for _, g := range letters {
				t.Parts = append(t.Parts, g.Moved(move))
			}
			taken := slabOf(t.Box())
			taken.ink, taken.print = true, true
			add(&f.soft, taken)
			continue next
		}
		side := "LED side"
		if f.side == geom.Bottom {
			side = "back"
		}
		l.Add(diag.Warning, "print-no-room", "%s finds no room on the board's %s and is not printed", t.named(), side).
			About(t.Subject...).Fix("make it shorter or lower (height:), or give it a place (at: [x, y])")
	}
	return out, l
}

// reserve lets later text keep off the texts among the items, or off what is drawn, where it can.
func (f *face) reserve(items []Item, texts bool) {
	for _, t := range items {
		if (t.Text != "") != texts || len(t.Parts) == 0 {
			continue
		}
		f.reserved = true
		for _, g := range t.Parts {
			b := g.Box()
			if b.W() < 6*geom.Millimetre && b.H() < 6*geom.Millimetre {
				o := slabOf(b)
				o.ink, o.print = true, true
				add(&f.soft, o)
				continue
			}
			for _, r := range g.Rings() { // a large thing need not fill its box
				for _, s := range r.Segments() {
					o := wallOf(s, 0)
					o.ink, o.print = true, true
					add(&f.soft, o)
				}
			}
			f.large = append(f.large, g)
		}
	}
}
