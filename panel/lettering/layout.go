package lettering

import (
	"math"

	"golang.org/x/text/unicode/norm"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/writing"
)

// MaxRunes bounds the characters of one text that are drawn. No faceplate has so many, and a drawing must not be able
// to fill the memory.
const MaxRunes = 4096

// lineSpacing is the distance of two baselines in capital heights: 5/3, the single spacing of MTEXT (common practice).
const lineSpacing = 5.0 / 3

// look is how letters are drawn: the face, and what is done to it.
type look struct {
	face     *Face
	size     float64 // of a capital, nm
	sx       float64 // nanometres of a font unit along the line
	slant    float64 // tangent
	tracking float64
	run      *writing.Run
}

// sy returns the nanometres of a font unit across the line.
func (k *look) sy() float64 { return k.size / k.face.capital }

// fraction is what the letters of a stack are of those round it (common practice in CAD).
const fraction = 0.7

// atom is a letter, a blank, a tab or a stack of a line.
type atom struct {
	r       rune
	look    *look
	glyph   glyph
	known   bool
	advance float64 // font units, kerning towards the atom before and tracking included; of a stack nanometres
	before  float64 // of that, kerning
	stack   *stack
	spread  float64 // nm that justifying adds behind it
}

// stack is a fraction, laid out from its own left edge.
type stack struct {
	above, below []atom
	wide         float64 // nm
	up, down     float64 // half widths' offsets: where the two begin, nm
	bar          writing.Bar
}

// width returns an atom's width, nm.
func (a *atom) width() float64 {
	if a.stack != nil {
		return a.stack.wide
	}
	return a.advance * a.look.sx
}

// row is a line of a text.
type row struct {
	atoms     []atom
	paragraph *writing.Paragraph
	first     bool // of its paragraph
	last      bool
	column    int
	tall      float64 // its tallest letter, nm
	x, y      float64 // of its left end, and of its baseline below the text's top, nm
	wide      float64 // without blanks at its end
}

// setting is a text laid out: the origin is its anchor, nm, before it is stretched and turned.
type setting struct {
	rows    []row
	stretch float64 // along the lines
	shift   float64 // of the top, nm
}

// drawable reports whether the text has a size that can be drawn.
func drawable(t panel.Text) bool {
	ok := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	return t.Height > 0 && t.Height <= geom.MaxCoord && ok(t.Angle) && ok(t.Width) && ok(t.Slant) && math.Abs(t.Slant) < 1.5
}

// blockOf returns the text's structure; one that has none is a paragraph a line.
func blockOf(t panel.Text) writing.Block {
	if t.Block != nil {
		return *t.Block
	}
	var b writing.Block
	line := []rune{}
	end := func() {
		b.Paragraphs = append(b.Paragraphs, writing.Paragraph{Runs: []writing.Run{{Text: string(line), Font: t.Font}}})
		line = line[:0]
	}
	n := 0
	for _, r := range t.Text {
		if n++; n > MaxRunes {
			break
		}
		if r == '\n' {
			end()
			continue
		}
		line = append(line, r)
	}
	end()
	return b
}

// setter lays a text out.
type setter struct {
	faces *Faces
	text  panel.Text
	block writing.Block
	left  int // runes that may still be drawn
	rows  []row
}

// set lays the text out. Nothing comes of one without a size.
func (f *Faces) set(t panel.Text) (s setting) {
	if !drawable(t) {
		return s
	}
	w := setter{faces: f, text: t, block: blockOf(t), left: MaxRunes}
	column := 0
	for i := range w.block.Paragraphs {
		p := &w.block.Paragraphs[i]
		if p.NewColumn {
			column++
		}
		w.paragraph(p, column)
	}
	s.rows = w.rows
	w.columns(s.rows)
	bottom := w.levels(s.rows)
	widest := w.places(s.rows)
	s.stretch = widthFactor(t)
	if t.Span > 0 && t.Span <= geom.MaxCoord && widest > 0 {
		s.stretch = float64(t.Span) / widest
	}
	switch t.Anchor.V {
	case panel.Baseline:
		s.shift = w.firstTall()
	case panel.BottomLine:
		s.shift = bottom + w.descent()
	case panel.Middle:
		s.shift = bottom / 2
	}
	return s
}

func widthFactor(t panel.Text) float64 {
	if t.Width == 0 {
		return 1
	}
	return math.Abs(t.Width)
}

// or returns v, or 1 where nothing is said or what is said makes no sense.
func or1(v float64) float64 {
	if !(v > 0) || v > 1000 {
		return 1
	}
	return v
}

func (w *setter) look(run *writing.Run, part float64) *look {
	face, slant := w.faces.cut(run.Font)
	size := float64(w.text.Height) * or1(run.Height) * part
	k := &look{face: face, size: size, tracking: or1(run.Tracking), run: run}
	k.sx = k.sy() * face.narrow * or1(run.Width)
	if math.Abs(run.Slant) < 1.5 {
		slant += math.Tan(run.Slant)
	}
	k.slant = slant
	return k
}

// atoms returns the letters of a string, control characters taken off.
func (w *setter) atoms(to []atom, s string, k *look) []atom {
	for _, r := range norm.NFC.String(s) {
		if w.left == 0 {
			break
		}
		w.left--
		if r == '\n' || r == '\r' || r < ' ' && r != '\t' || r == 0x7f {
			continue
		}
		a := atom{r: r, look: k}
		seen := r
		if r == '\t' || r == '\u00a0' || r == '\u2007' || r == '\u202f' {
			seen = ' '
		}
		a.glyph, a.known = k.face.glyph(seen)
		a.advance = a.glyph.advance
		if n := len(to); n > 0 && to[n-1].look == k && to[n-1].stack == nil {
			last := to[n-1].r
			if last == '\t' || last == '\u00a0' {
				last = ' '
			}
			a.before = k.face.kern(last, seen)
		}
		if k.tracking != 1 {
			a.advance *= k.tracking
		}
		a.advance += a.before
		to = append(to, a)
	}
	return to
}

// stacked returns a stack as one atom.
func (w *setter) stacked(run *writing.Run) atom {
	small, k := w.look(run, fraction), w.look(run, 1)
	s := &stack{bar: run.Stack.Bar}
	s.above, s.below = w.atoms(nil, run.Stack.Above, small), w.atoms(nil, run.Stack.Below, small)
	a, b := widthOf(s.above), widthOf(s.below)
	if s.bar == writing.Diagonal {
		slash := 0.35 * k.size * or1(run.Width)
		s.down = a + slash
		s.wide = a + slash + b
	} else {
		s.wide = max(a, b)
		s.up, s.down = (s.wide-a)/2, (s.wide-b)/2
		if s.bar == writing.NoBar { // limits stand under each other
			s.up, s.down = 0, 0
		}
	}
	return atom{look: k, stack: s, known: true}
}

func widthOf(atoms []atom) (x float64) {
	for i := range atoms {
		x += atoms[i].width()
	}
	return x
}

// paragraph breaks a paragraph into rows.
func (w *setter) paragraph(p *writing.Paragraph, column int) {
	var all []atom
	for i := range p.Runs {
		if run := &p.Runs[i]; run.Stack != nil {
			all = append(all, w.stacked(run))
		} else {
			all = w.atoms(all, run.Text, w.look(run, 1))
		}
	}
	first := true
	for {
		n := w.fit(p, all, first)
		line := all[:n:n]
		rest := all[n:]
		for len(rest) > 0 && rest[0].r == ' ' && len(line) > 0 { // the blank that the line was broken at
			rest = rest[1:]
		}
		w.rows = append(w.rows, row{atoms: line, paragraph: p, first: first, last: len(rest) == 0, column: column})
		if all, first = rest, false; len(all) == 0 {
			return
		}
	}
}

// fit returns how many of the atoms stand in a line: up to the last blank that it reaches, or where a word is longer than it, all of the word.
func (w *setter) fit(p *writing.Paragraph, all []atom, first bool) int {
	room := w.room(p, first)
	if room <= 0 {
		return len(all)
	}
	x, last := 0.0, -1
	for i := range all {
		a := &all[i]
		if a.r == ' ' || a.r == '\t' {
			last = i
		}
		if a.r == '\t' {
			x = w.tab(p, x, first)
			continue
		}
		if x += a.width(); x > room*(1+1e-9) && a.r != ' ' {
			if last >= 0 {
				return last
			}
			// Up to the end of the word.
			for n := i + 1; n < len(all); n++ {
				if all[n].r == ' ' || all[n].r == '\t' {
					return n
				}
			}
			return len(all)
		}
	}
	return len(all)
}

// high is the height that lengths of the block are told in, nm.
func (w *setter) high() float64 { return float64(w.text.Height) }

// measure is the width of a column, nm; 0: lines are as long as they get.
func (w *setter) measure() float64 {
	if c := w.block.Columns; c.Count > 1 && c.Width > 0 {
		return c.Width * w.high()
	}
	return max(0, w.block.Width) * w.high()
}

func (w *setter) indent(p *writing.Paragraph, first bool) float64 {
	x := p.Left
	if first {
		x += p.First
	}
	return x * w.high()
}

func (w *setter) room(p *writing.Paragraph, first bool) float64 {
	m := w.measure()
	if m == 0 {
		return 0
	}
	return max(m-w.indent(p, first)-p.Right*w.high(), m*1e-3)
}

// usualTab is the distance of tabs that nobody sets, in heights (common practice in CAD).
const usualTab = 4

// tab returns where what follows a tab at x begins; both from where the row begins.
func (w *setter) tab(p *writing.Paragraph, x float64, first bool) float64 {
	from := x + w.indent(p, first)
	for _, t := range p.Tabs {
		if at := t.At * w.high(); at > from+1 {
			return at - w.indent(p, first)
		}
	}
	step := usualTab * w.high()
	return (math.Floor((from+1)/step)+1)*step - w.indent(p, first)
}

// columns deals rows to columns of a given height.
func (w *setter) columns(rows []row) {
	c := w.block.Columns
	if c.Count < 2 || len(c.Heights) == 0 {
		return
	}
	column, used, before := 0, 0.0, 0.0
	for i := range rows {
		tall := w.tall(&rows[i])
		if rows[i].column > column {
			column, used, before = rows[i].column, 0, 0
		}
		next := tall
		if used > 0 {
			next = used + w.pitch(before, tall)
		}
		high := 0.0
		if column < len(c.Heights) {
			high = c.Heights[column] * w.high()
		}
		if high > 0 && next > high*(1+1e-9) && used > 0 && column+1 < c.Count {
			column++
			for j := i; j < len(rows); j++ { // breaks that were asked for come on top
				rows[j].column = max(rows[j].column, column)
			}
			next = tall
		}
		rows[i].column = max(rows[i].column, column)
		used, before = next, tall
	}
}

// tall returns the height of a row's tallest letter.
func (w *setter) tall(r *row) float64 {
	high := 0.0
	for i := range r.atoms {
		high = max(high, r.atoms[i].look.size)
	}
	if high == 0 {
		high = w.high()
		if n := len(r.paragraph.Runs); n > 0 {
			high *= or1(r.paragraph.Runs[0].Height)
		}
	}
	return high
}

// pitch returns the distance of the baselines of two rows.
func (w *setter) pitch(above, tall float64) float64 {
	spacing := w.block.Spacing
	if !(spacing > 0) || spacing > 100 {
		spacing = 1
	}
	if w.block.Exact || above == tall {
		if w.block.Exact {
			tall = w.high()
		}
		return tall * lineSpacing * spacing
	}
	return tall + above*(lineSpacing*spacing-1)
}

// levels gives each row its baseline, below the top of its column, and returns the lowest.
func (w *setter) levels(rows []row) float64 {
	lowest := 0.0
	for i := range rows {
		r := &rows[i]
		r.tall = w.tall(r)
		if i == 0 || rows[i-1].column != r.column {
			r.y = r.tall
		} else {
			r.y = rows[i-1].y + w.pitch(rows[i-1].tall, r.tall)
		}
		lowest = max(lowest, r.y)
	}
	return lowest
}

func (w *setter) firstTall() float64 {
	if len(w.rows) == 0 {
		return 0
	}
	return w.rows[0].tall
}

// descent returns how far letters of the last row reach below it.
func (w *setter) descent() float64 {
	if len(w.rows) == 0 {
		return 0
	}
	r := &w.rows[len(w.rows)-1]
	if len(r.atoms) == 0 {
		return 0
	}
	k := r.atoms[len(r.atoms)-1].look
	return k.face.descent * k.sy()
}

// places gives each row its left end, and returns the length of the longest.
func (w *setter) places(rows []row) float64 {
	widest := 0.0
	for i := range rows {
		r := &rows[i]
		r.wide = w.run(r)
		if w.block.Width > 0 { // blanks at the end of a broken line hang out
			trim := len(r.atoms)
			for trim > 0 && r.atoms[trim-1].r == ' ' {
				trim--
				r.wide -= r.atoms[trim].width()
			}
		}
		widest = max(widest, r.wide)
	}
	m, c := w.measure(), w.block.Columns
	box := m
	if m == 0 {
		for i := range rows {
			box = max(box, rows[i].wide+w.indent(rows[i].paragraph, rows[i].first)+rows[i].paragraph.Right*w.high())
		}
	}
	total := box
	if c.Count > 1 {
		total = box*float64(c.Count) + c.Gutter*w.high()*float64(c.Count-1)
	}
	for i := range rows {
		r := &rows[i]
		p := r.paragraph
		left := w.indent(p, r.first)
		room := box - left - p.Right*w.high()
		align := p.Align
		if align == writing.ByAnchor {
			align = [...]writing.Align{writing.AtLeft, writing.AtCentre, writing.AtRight}[w.text.Anchor.H]
		}
		r.x = left
		switch align {
		case writing.AtCentre:
			r.x = left + (room-r.wide)/2
		case writing.AtRight:
			r.x = left + room - r.wide
		case writing.Justified, writing.Distributed:
			if m > 0 && (align == writing.Distributed || !r.last) {
				justify(r, room-r.wide, align == writing.Distributed)
			}
		}
		r.x += float64(r.column) * (box + c.Gutter*w.high())
		switch w.text.Anchor.H {
		case panel.Centre:
			r.x -= total / 2
		case panel.Right:
			r.x -= total
		}
	}
	return widest
}

// run returns the length of a row, and gives its tabs their width.
func (w *setter) run(r *row) float64 {
	x := 0.0
	for i := range r.atoms {
		a := &r.atoms[i]
		if a.r == '\t' {
			to := w.tab(r.paragraph, x, r.first)
			if t, ok := w.stop(r.paragraph, x, r.first); ok && t.Align != writing.AtLeft {
				rest := 0.0
				for j := i + 1; j < len(r.atoms) && r.atoms[j].r != '\t'; j++ {
					rest += r.atoms[j].width()
				}
				if t.Align == writing.AtCentre {
					rest /= 2
				}
				to = max(x, to-rest)
			}
			a.advance = (to - x) / a.look.sx
			x = to
			continue
		}
		x += a.width()
	}
	return x
}

// stop returns the tab that is next.
func (w *setter) stop(p *writing.Paragraph, x float64, first bool) (writing.Tab, bool) {
	from := x + w.indent(p, first)
	for _, t := range p.Tabs {
		if t.At*w.high() > from+1 {
			return t, true
		}
	}
	return writing.Tab{}, false
}

// justify spreads a row over more room, at its blanks, or where it is distributed and has none, between its letters.
func justify(r *row, more float64, letters bool) {
	if more <= 0 {
		return
	}
	end := len(r.atoms)
	for end > 0 && r.atoms[end-1].r == ' ' {
		end--
	}
	gap := func(a *atom) bool { return a.r == ' ' }
	n := 0
	for i := range r.atoms[:end] {
		if gap(&r.atoms[i]) {
			n++
		}
	}
	if n == 0 {
		if !letters || end < 2 {
			return
		}
		gap, n, end = func(*atom) bool { return true }, end-1, end-1
	}
	for i := range r.atoms[:end] {
		if gap(&r.atoms[i]) {
			r.atoms[i].spread = more / float64(n)
		}
	}
	r.wide += more
}
