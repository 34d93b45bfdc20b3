package picture

import (
	"fmt"
	"slices"

	"lampblack/board/height"
	"lampblack/export/scene"
	"lampblack/panel/geom"
)

// at is a place of the side view on the page.
func (s *side) at(along, depth geom.Nm) geom.Pt { return s.f.Pt(geom.Pt{X: along, Y: -depth}) }

// ends names the ends of the line.
func (s *side) ends() {
	y := s.at(0, 0).Y - 2*geom.Millimetre
	long := s.v.Cut.Len()
	s.letters(s.at(0, 0).X, y, big, left, ink, "A")
	s.letters(s.at(long, 0).X, y, big, right, ink, "B")
}

// turns marks where the line steps, through all that is cut.
func (s *side) turns() {
	for _, x := range s.v.Cut.Steps() {
		a, b := s.at(x, -min(s.v.Cut.Before, 2*geom.Millimetre)), s.at(x, s.v.Cut.Depth)
		s.run(scene.Line(screwInk, finePen).Dashed(geom.MM(3), geom.MM(0.8), geom.MM(0.6), geom.MM(0.8)), a.X, a.Y, b.X, b.Y)
	}
}

// distance is a step through the stack.
type distance struct {
	says     string
	from, to geom.Nm
}

// steps returns the sheets and what is between them, from the front.
func (s *side) steps() []distance {
	var out []distance
	last := geom.Nm(0)
	for _, y := range s.v.Cut.Layers {
		if len(y.Cut) == 0 && y.Board {
			continue // the line meets another board, or none
		}
		if y.From > last {
			out = append(out, distance{"air", last, y.From})
		}
		if y.From >= last {
			out = append(out, distance{y.Name, y.From, y.To})
			last = y.To
		}
	}
	return out
}

// distances writes what lies behind what, with its thickness, to the left of the view.
func (s *side) distances() {
	s.open("distances")
	defer s.close()
	steps := s.steps()
	x := s.at(0, 0).X - 3*geom.Millimetre
	want := make([]geom.Nm, len(steps))
	for i, d := range steps {
		want[i] = s.at(0, (d.from+d.to)/2).Y
	}
	rows := apart(want, lineStep)
	for i, d := range steps {
		y0, y1 := s.at(0, d.from).Y, s.at(0, d.to).Y
		s.runs(scene.Line(ink, finePen), []geom.Nm{x, y0, x, y1}, []geom.Nm{x - geom.Millimetre, y0, x + geom.Millimetre, y0}, []geom.Nm{x - geom.Millimetre, y1, x + geom.Millimetre, y1})
		s.run(scene.Line(faint, finePen), x-geom.Millimetre/2, want[i], x-4*geom.Millimetre, rows[i])
		s.letters(x-5*geom.Millimetre, rows[i]+textHeight/2, textHeight, right, ink, d.says+" "+millimetres(d.to-d.from))
	}
}

// millimetres returns a length as a caption has it.
func millimetres(v geom.Nm) string { return scene.Decimal(v, 10*geom.Micrometre) }

// apart moves places apart where they lie nearer to each other than step, each group of them about its middle. They rise.
func apart(want []geom.Nm, step geom.Nm) []geom.Nm {
	type group struct {
		first, n int
		sum      geom.Nm // of the places that would put its first where its members want to be
	}
	var groups []group
	for i, w := range want {
		groups = append(groups, group{i, 1, w})
		for len(groups) > 1 {
			a, b := groups[len(groups)-2], groups[len(groups)-1]
			if b.sum/geom.Nm(b.n) >= a.sum/geom.Nm(a.n)+geom.Nm(a.n)*step {
				break
			}
			sum := a.sum + b.sum - geom.Nm(a.n)*geom.Nm(b.n)*step
			groups = append(groups[:len(groups)-2], group{a.first, a.n + b.n, sum})
		}
	}
	out := make([]geom.Nm, len(want))
	for _, g := range groups {
		for i := range g.n {
			out[g.first+i] = g.sum/geom.Nm(g.n) + geom.Nm(i)*step
		}
	}
	return out
}

// depths writes to the right how far the whole reaches, before and behind.
func (s *side) depths() {
	s.open("depths")
	defer s.close()
	cut := s.v.Cut
	x := s.at(cut.Len(), 0).X + 3*geom.Millimetre
	dim := func(from, to geom.Nm, says ...string) {
		if to <= from {
			return
		}
		y0, y1 := s.at(0, from).Y, s.at(0, to).Y
		s.runs(scene.Line(ink, finePen), []geom.Nm{x, y0, x, y1}, []geom.Nm{x - geom.Millimetre, y0, x + geom.Millimetre, y0}, []geom.Nm{x - geom.Millimetre, y1, x + geom.Millimetre, y1})
		y := (y0+y1)/2 + textHeight/2 - geom.Nm(len(says)-1)*lineStep/2
		for i, line := range says {
			s.letters(x+2*geom.Millimetre, y+geom.Nm(i)*lineStep, textHeight, left, ink, line)
		}
	}
	if cut.Before > 0 {
		dim(-cut.Before, 0, millimetres(cut.Before)+" before", s.first())
	}
	back := ""
	if q, ok := cut.Deepest(); ok && q.To == cut.Depth {
		back = owner(q)
	}
	dim(0, cut.Depth, millimetres(cut.Depth)+" mm deep:", back, s.behind())
	if s.v.Told > 0 {
		y := s.at(0, s.v.Told).Y
		s.run(scene.Line(ink, linePen).Dashed(geom.MM(3), geom.MM(1.5)), s.at(0, 0).X-3*geom.Millimetre, y, s.at(cut.Len(), 0).X+3*geom.Millimetre, y)
		s.letters(s.at(cut.Len(), 0).X+5*geom.Millimetre, y+textHeight/2, textHeight, left, ink, "case, "+millimetres(s.v.Told)+" deep")
	}
}

// behind says how far the deepest thing reaches behind the board.
func (s *side) behind() string {
	if s.v.Behind == 0 || s.v.Cut.Depth <= s.v.Behind {
		return ""
	}
	return millimetres(s.v.Cut.Depth-s.v.Behind) + " behind the board"
}

// first names what stands out farthest before the face.
func (s *side) first() string {
	best, name := geom.Nm(0), ""
	for _, l := range [...][]height.Slice{s.v.Cut.Pieces, s.v.Cut.Beyond} {
		for _, q := range l {
			if -q.From > best {
				best, name = -q.From, owner(q.Piece)
			}
		}
	}
	return name
}

// owner names what a piece belongs to.
func owner(q height.Piece) string {
	switch q.Whose {
	case height.Connector:
		return q.Of + ", " + q.Kind
	case height.Screw:
		return "screw " + q.Of
	}
	return q.Of
}

// note is a name below the view.
type note struct {
	along, depth geom.Nm // where its line begins
	says         string
	row          int
}

// notes returns the names of what the line cuts, from left to right, each in a row where its words and its line meet no others.
func (s *side) notes(cut []height.Slice) []note {
	type thing struct {
		says, board string
		mid         geom.Nm
	}
	var out []note
	index := map[thing]int{}
	for _, q := range cut {
		if q.What == height.Wire || q.What == height.Lead || q.What == height.Pin || q.What == height.Joint {
			continue
		}
		mid := (q.Along.From + q.Along.To) / 2
		t := thing{owner(q.Piece), q.Board, mid / (2 * geom.Millimetre)}
		if q.Whose != height.Screw && q.Whose != height.Control {
			t.mid = 0 // a name is one part's of a board
		}
		if i, ok := index[t]; ok {
			if q.To > out[i].depth {
				out[i].along, out[i].depth = mid, q.To
			}
			continue
		}
		index[t] = len(out)
		out = append(out, note{mid, q.To, t.says, 0})
	}
	slices.SortStableFunc(out, func(a, b note) int { return int((a.along - b.along).Sign()) })
	gap := geom.Millimetre
	type taken struct{ from, to geom.Nm }
	var rows [][]taken // of words, on the page's scale from the view's left
	for i := len(out) - 1; i >= 0; i-- {
		x := s.f.Scaled(out[i].along)
		words := taken{x - gap, x + s.Wide(out[i].says, textHeight) + 2*gap}
		row := 0
		for ; row < len(rows); row++ {
			if !slices.ContainsFunc(rows[row], func(t taken) bool { return t.from < words.to && words.from < t.to }) {
				break
			}
		}
		if row == len(rows) {
			rows = append(rows, nil)
		}
		rows[row] = append(rows[row], words)
		for k := range row { // its line
			rows[k] = append(rows[k], taken{x - gap/2, x + gap/2})
		}
		out[i].row = row
	}
	return out
}

func rowsOf(l []note) int {
	n := 0
	for _, one := range l {
		n = max(n, one.row+1)
	}
	return n
}

// noted writes the names below the view.
func (s *side) noted(l []note, y geom.Nm) {
	s.open("names")
	defer s.close()
	for _, n := range l {
		from := s.at(n.along, n.depth)
		base := y + geom.Nm(n.row)*lineStep + textHeight
		s.run(scene.Line(edgeInk, crossPen), from.X, from.Y, from.X, base)
		s.letters(from.X+700*geom.Micrometre, base, textHeight, left, ink, n.says)
	}
}

// plan draws the panel small, and on it the line.
func (s *side) plan(at geom.Pt) {
	s.open("plan").Label = "where the line lies"
	defer s.close()
	box := s.v.Panel.Outline.Box()
	if box.Empty() || box.W() == 0 || box.H() == 0 {
		return
	}
	room := geom.Pt{X: planWide - 8*geom.Millimetre, Y: planHigh - 4*geom.Millimetre}
	num, den := room.X, box.W()
	if int64(room.Y)*int64(box.W()) < int64(room.X)*int64(box.H()) {
		num, den = room.Y, box.H()
	}
	const fine = 1000
	k := min(fine, num*fine/den) // thousandths of true size
	place := func(p geom.Pt) geom.Pt {
		return geom.Pt{X: at.X + 4*geom.Millimetre + (p.X-box.Min.X)*k/fine, Y: at.Y + 2*geom.Millimetre + (box.Max.Y-p.Y)*k/fine}
	}
	small := func(cs ...geom.Contour) []geom.Contour {
		var out []geom.Contour
		for _, c := range cs {
			if len(c) == 0 {
				continue
			}
			d := make(geom.Contour, len(c))
			for i, v := range c {
				d[i] = geom.Vertex{Pt: place(v.Pt), Bulge: -v.Bulge}
			}
			out = append(out, d)
		}
		return out
	}
	s.add(&scene.Path{Shapes: small(s.v.Panel.Outline), Fill: scene.Solid(faceFill), Stroke: scene.Line(ink, finePen)})
	var holes, edges []geom.Contour
	for _, o := range s.v.Panel.Openings {
		holes = append(holes, o.Contour)
	}
	for _, h := range s.v.Panel.Mounts {
		holes = append(holes, geom.Circle(h.At, h.D))
	}
	for _, b := range s.v.Boards {
		edges = append(append(edges, b.Outline), b.Cutouts...)
	}
	s.line(small(edges...), scene.Line(faint, finePen).Dashed(geom.MM(1), geom.MM(0.6)))
	s.add(&scene.Path{Shapes: small(holes...), Fill: scene.Solid(white), Stroke: scene.Line(edgeInk, crossPen)})
	for _, b := range s.v.Boards {
		for _, q := range b.Parts {
			if len(q.Body) > 2 {
				s.line(small(geom.Straight(q.Body...)), scene.Line(faint, crossPen))
			}
		}
	}
	var way []geom.Pt // there and along the steps
	for _, l := range s.v.Cut.Path {
		way = append(way, place(l.A), place(l.B))
	}
	if len(way) == 0 {
		return
	}
	s.wayOf(way)
	level := s.v.Cut.Path[0].A.Y == s.v.Cut.Path[0].B.Y
	start, end := s.v.Cut.Ends()
	a, b := place(start), place(end)
	s.letters(a.X-500*geom.Micrometre-s.Wide("A", textHeight)*b2n(level), a.Y+textHeight/2+b2n(!level)*textHeight, textHeight, left, screwInk, "A")
	s.letters(b.X+500*geom.Micrometre, b.Y+textHeight/2-b2n(!level)*textHeight, textHeight, left, screwInk, "B")
}

// wayOf draws the line of a cut, heavy at its ends and where it turns, as cutting planes are drawn (ISO 128-3, from memory).
func (s *side) wayOf(way []geom.Pt) {
	var all []geom.Nm
	var heavy [][]geom.Nm
	for i, p := range way {
		all = append(all, p.X, p.Y)
		for _, k := range []int{i - 1, i + 1} {
			if k < 0 || k >= len(way) {
				continue
			}
			if d := p.Dist(way[k]); d > 0 {
				part := min(float64(2*geom.Millimetre)/d, 0.4)
				q := way[k].Sub(p)
				heavy = append(heavy, []geom.Nm{p.X, p.Y, p.X + geom.Nm(part*float64(q.X)), p.Y + geom.Nm(part*float64(q.Y))})
			}
		}
	}
	s.run(scene.Line(screwInk, finePen).Dashed(geom.MM(3), geom.MM(0.8), geom.MM(0.6), geom.MM(0.8)), all...)
	s.runs(scene.Line(screwInk, 2*linePen), heavy...)
}

func b2n(b bool) geom.Nm {
	if b {
		return 1
	}
	return 0
}

// words writes what the view shows.
func (s *side) words(x, y, room geom.Nm) {
	cut := s.v.Cut
	text := []string{
		"Hatched: sheets, where the line goes through them. Green: the board. Pale: what stands beside the line.",
		fmt.Sprintf("From the face's front to the last thing behind it are %s mm.", millimetres(cut.Depth)),
	}
	if s.v.Told > 0 {
		text[1] += fmt.Sprintf(" The case is %s mm deep.", millimetres(s.v.Told))
	}
	text = append(text, "Lengths are mm. Thicknesses are the project's (stack); sizes of parts are typical ones where heights and control_kinds do not tell them.",
		"For another line write section into the panel's entry: {y: 40}, {x: 120}.")
	if len(cut.Steps()) > 0 {
		text[0] += " Red: where the line steps to another level, as the plan shows."
	}
	for _, t := range text {
		for _, line := range s.Wrapped(t, textHeight, room) {
			s.letters(x, y+textHeight, textHeight, left, edgeInk, line)
			y += lineStep
		}
		y += geom.Millimetre
	}
}
