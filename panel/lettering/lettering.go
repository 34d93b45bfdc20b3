// Package lettering turns the texts and symbols of a panel into areas: what the laser engraves through the paint.
//
// A panel.Text goes in, and the outlines of its glyphs come out as a geom.Region in the panel frame, in whole
// nanometres, mirrored only if the text itself is. Faces says which face a text is in: one of the program's, which are embedded
// and of open licences, or a font file that the project names. No font of the machine is ever read. A face is scaled so that a
// capital H is exactly Text.Height high. Curves are flattened within geom.FlattenTolerance. Letters stand as far apart as the
// font's widths and kerning say. A letter that the face lacks leaves a gap, and Missing names it. A text of several lines,
// split by '\n', stands as one block; Text.Block says more of one.
//
// The plain face, Go Regular, has no serifs on most letters, open counters, and stems of about 1/7 of the capital height, which
// suits light letters on a dark ground; the test has the source of that proportion.
package lettering

import (
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// Outline returns the area of the text's letters, in the plain face.
func Outline(t panel.Text) geom.Region { return (*Faces)(nil).Outline(t) }

// Advance returns the width of the text's longest line, side bearings included, before it is turned, in the plain face.
func Advance(t panel.Text) geom.Nm { return (*Faces)(nil).Advance(t) }

// Missing returns the characters of the text that the plain face cannot draw, each once, in the order they appear.
func Missing(t panel.Text) []rune {
	var out []rune
	for _, l := range (*Faces)(nil).Missing(t) {
		if !slices.Contains(out, l.Rune) {
			out = append(out, l.Rune)
		}
	}
	return out
}

// Character is one letter of a text that leaves ink, or a line under or in it.
type Character struct {
	Rune   rune // of a line 0
	Word   int  // counts the text's words; it rises from letter to letter or stays
	Region geom.Region
}

// Outline returns the area of the text's letters.
func (f *Faces) Outline(t panel.Text) geom.Region {
	var out geom.Region
	for _, c := range f.Characters(t) {
		out = append(out, c.Region...)
	}
	return out
}

// Advance returns the width of the text's longest line, side bearings included, before it is turned.
func (f *Faces) Advance(t panel.Text) geom.Nm {
	s := f.set(t)
	widest := 0.0
	for i := range s.rows {
		widest = max(widest, s.rows[i].wide)
	}
	return geom.Nm(math.Round(widest * s.stretch))
}

// Lack is a letter that a face cannot draw.
type Lack struct {
	Rune rune
	Word string // that it is in
	Face *Face
}

// Missing returns the letters of the text that its faces lack, each once a face, in the order they appear.
func (f *Faces) Missing(t panel.Text) []Lack {
	var out []Lack
	add := func(atoms []atom) {
		for i := range atoms {
			a := &atoms[i]
			if a.known || slices.ContainsFunc(out, func(l Lack) bool { return l.Rune == a.r && l.Face == a.look.face }) {
				continue
			}
			from, to := i, i
			for from > 0 && atoms[from-1].r != ' ' && atoms[from-1].stack == nil {
				from--
			}
			for to < len(atoms) && atoms[to].r != ' ' && atoms[to].stack == nil {
				to++
			}
			var word []rune
			for _, b := range atoms[from:to] {
				word = append(word, b.r)
			}
			out = append(out, Lack{a.r, string(word), a.look.face})
		}
	}
	s := f.set(t)
	for i := range s.rows {
		add(s.rows[i].atoms)
		for _, a := range s.rows[i].atoms {
			if a.stack != nil {
				add(a.stack.above)
				add(a.stack.below)
			}
		}
	}
	return out
}

// Stem returns the width of the thinnest stem among the text's letters, and whether it has such: where all its letters are lines of
// engraving, it has none.
func (f *Faces) Stem(t panel.Text) (geom.Nm, bool) {
	s := f.set(t)
	least := math.Inf(1)
	for i := range s.rows {
		for j := range s.rows[i].atoms {
			k := s.rows[i].atoms[j].look
			if !k.face.Lines() {
				least = min(least, k.face.stem*k.sx*s.stretch)
			}
		}
	}
	if math.IsInf(least, 1) {
		return 0, false
	}
	return geom.Nm(math.Round(least)), true
}

// placing puts a point of a glyph, in font units from the glyph's origin, on the panel.
type placing struct {
	origin   geom.Pt // of the text
	x, y     float64 // of the glyph's origin, in nanometres from the text's origin, before turning
	sx, sy   float64 // nanometres per font unit; sx is negative in a mirrored text
	lean     float64 // nanometres along the line per font unit across
	slant    float64 // tangent, of the text as a whole
	sin, cos float64
}

// at returns the place of a point, rounded once. Products are converted one by one so that no platform fuses them.
func (p placing) at(ux, uy float64) geom.Pt {
	x, y := p.x+float64(ux*p.sx), p.y+float64(uy*p.sy)
	if p.lean != 0 {
		x += float64(uy * p.lean)
	}
	if p.slant != 0 {
		x += float64(y * p.slant)
	}
	return p.origin.Add(geom.Vec{
		X: geom.Nm(math.Round(float64(x*p.cos) - float64(y*p.sin))),
		Y: geom.Nm(math.Round(float64(x*p.sin) + float64(y*p.cos))),
	})
}

// pen draws the rows of a text.
type pen struct {
	faces *Faces
	text  panel.Text
	base  placing // of the text
	k     float64 // stretch, negative in a mirrored text
	word  int
	out   []Character
}

// Characters returns the letters of a text one by one, as Outline has them together. Those beyond geom.MaxCoord are left out.
func (f *Faces) Characters(t panel.Text) []Character {
	s := f.set(t)
	if len(s.rows) == 0 {
		return nil
	}
	p := pen{faces: f, text: t, k: s.stretch}
	p.base.origin = t.At
	p.base.sin, p.base.cos = geom.Sincos(t.Angle)
	if t.Slant != 0 {
		p.base.slant = math.Tan(t.Slant)
	}
	if t.Mirror {
		p.k, p.base.slant = -p.k, -p.base.slant
	}
	for i := range s.rows {
		p.word++
		p.row(&s.rows[i], s.shift-s.rows[i].y)
	}
	return p.out
}

// row draws a row whose baseline is at y.
func (p *pen) row(r *row, y float64) {
	x := r.x // of the stretch of letters that look alike
	u := 0.0 // within it, in font units, so that whole units stay whole
	from := 0
	for i := range r.atoms {
		a := &r.atoms[i]
		if i > 0 && (a.look != r.atoms[i-1].look || a.stack != nil || r.atoms[i-1].stack != nil || r.atoms[i-1].spread != 0) {
			x, u = x+u*r.atoms[i-1].look.sx+r.atoms[i-1].spread, 0
		}
		if i > 0 && a.look != r.atoms[i-1].look {
			from = i
		}
		if i == from {
			p.rules(r, i, x, y)
		}
		rise := r.rise(a.look)
		if a.stack != nil {
			p.word++
			p.stack(a, x, y+rise)
			p.word++
			x += a.stack.wide
			continue
		}
		if a.r == ' ' || a.r == '\t' {
			p.word++
		}
		p.letter(a, x, u+a.before, y+rise)
		u += a.advance
	}
}

// rise returns how far letters stand above the baseline of a row of taller ones.
func (r *row) rise(k *look) float64 {
	switch k.run.Rise {
	case writing.Centred:
		return (r.tall - k.size) / 2
	case writing.AtTop:
		return r.tall - k.size
	}
	return 0
}

// letter draws a letter that stands at x and, of its units, u farther.
func (p *pen) letter(a *atom, x, u, y float64) {
	if !a.known || len(a.glyph.outline)+len(a.glyph.lines) == 0 {
		return
	}
	k := a.look
	at := p.base
	at.x, at.y = float64((x+float64(u*k.sx))*p.k), y
	at.sx, at.sy = k.sx*p.k, k.sy()
	at.lean = at.sy * k.slant * p.k
	if reach := math.Abs(at.x) + math.Abs(at.y) + 4*a.glyph.advance*max(math.Abs(at.sx), at.sy) + math.Abs(float64(p.text.At.X)) +
		math.Abs(float64(p.text.At.Y)); !(reach < float64(geom.MaxCoord)) {
		return
	}
	if g := a.glyph.region(at, p.faces.stroke()); len(g) > 0 {
		p.out = append(p.out, Character{a.r, p.word, g})
	}
}

// stack draws a fraction.
func (p *pen) stack(a *atom, x, y float64) {
	s, k := a.stack, a.look
	h := k.size
	small := h * fraction
	// A level fraction stands about the middle of the capitals, with a fifth of their height between its halves, limits too.
	// Of a diagonal one the first half stands at the top and the second on the baseline.
	up, down := h/2+h/5, h/2-h/5-small
	if s.bar == writing.Diagonal {
		up, down = h-small+h*0.15, -h*0.15
	}
	half := func(atoms []atom, x, y float64) {
		u := 0.0
		for i := range atoms {
			p.letter(&atoms[i], x, u+atoms[i].before, y)
			u += atoms[i].advance
		}
	}
	half(s.above, x+s.up, y+up)
	p.word++
	half(s.below, x+s.down, y+down)
	switch s.bar {
	case writing.Level:
		p.bar(k, x, y+h/2, x+s.wide, y+h/2)
	case writing.Diagonal:
		left := x + widthOf(s.above)
		p.bar(k, left, y+down, left+0.35*h, y+h*1.15)
	}
}

// rules draws the lines under, over and through the letters from i on that look alike.
func (p *pen) rules(r *row, i int, x, y float64) {
	k := r.atoms[i].look
	if !k.run.Under && !k.run.Over && !k.run.Through {
		return
	}
	wide := 0.0
	for j := i; j < len(r.atoms) && r.atoms[j].look == k; j++ {
		wide += r.atoms[j].width() + r.atoms[j].spread
	}
	y += r.rise(k)
	// A fifth of the height off the letters (common practice in CAD).
	for _, l := range []struct {
		on bool
		at float64
	}{{k.run.Under, -0.2}, {k.run.Over, 1.2}, {k.run.Through, 0.45}} {
		if l.on {
			p.bar(k, x, y+l.at*k.size, x+wide, y+l.at*k.size)
		}
	}
}

// bar draws a line in the weight of the letters that it goes with.
func (p *pen) bar(k *look, x0, y0, x1, y1 float64) {
	wide := p.faces.stroke()
	if !k.face.Lines() {
		wide = geom.Nm(math.Round(0.6 * k.face.stem * k.sy()))
	}
	at := p.base
	at.sx, at.sy = p.k, 1
	a, b := at.at(x0, y0), at.at(x1, y1)
	if math.Abs(float64(a.X))+math.Abs(float64(a.Y))+math.Abs(float64(b.X))+math.Abs(float64(b.Y)) > float64(geom.MaxCoord) || a == b || wide <= 0 {
		return
	}
	p.out = append(p.out, Character{0, p.word, geom.UnionOf(geom.Stadium(geom.Segment{A: a, B: b}, wide/2).Ring(geom.FlattenTolerance))})
}
