package read

import (
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
)

// withoutFrame takes off the frame of a drawing's sheet: a plain rectangle of a paper's size or shape, or on a layer that is
// named so, round smaller closed lines that hold things, with more written beside these; with its second line and all that
// lies between. Where it is of a paper's shape alone, a title block must stand in a corner.
func withoutFrame(loops []loop, d *dxf.Drawing, left *looks) (rest []loop, framed bool, said findings) {
	for len(loops) > 1 && len(loops) <= mostNested {
		l := &loops[0]
		if !l.rectangle() {
			return loops, framed, said
		}
		inner, lines := l, 1 // the innermost line of the frame, and how many there are
		for lines < min(len(loops), 4) && inner.frames(&loops[lines]) {
			inner = &loops[lines]
			lines++
		}
		sized := paperSized(l.box.W(), l.box.H()) || paperSized(inner.box.W(), inner.box.H())
		if !sized && role.SenseOf(l.from.Layer) != role.NoteSense && !paperShaped(l.box, inner.box) {
			return loops, framed, said
		}
		titled := titleBlock(d, inner, loops[lines:], left)
		if !sized && !titled {
			return loops, framed, said
		}
		part := -1
		for i := lines; i < len(loops) && part < 0 && loops[i].area >= 0.002*l.area; i++ {
			c := &loops[i]
			if min(c.box.W(), c.box.H()) >= minPanel && !c.round && c.standingIn(inner) == within && !titleCell(c, inner) && holdsThings(c, loops[i+1:], left) {
				part = i
			}
		}
		// What holds no hole for a screw or a lamp may as well be a window of the panel that looks like a frame.
		if part < 0 || !titled && (!writtenBeside(d, inner, &loops[part]) || loops[part].area < 0.02*l.area || !holdsRound(&loops[part], loops[part+1:], left)) {
			return loops, framed, said
		}
		said.add(diag.Warning, "panel-frame", l.from, "the largest closed line, %.4g x %.4g mm, is of a paper's size or shape and holds a smaller one with holes in it: it is taken for the drawing's frame and not used", l.box.W(), l.box.H()).
			Fix("delete the frame, or move it to a layer of its own; if it is the panel, write in the project file: roles: {outline: largest}")
		framed = true
		cells := inner
		loops = slices.DeleteFunc(slices.Clone(loops[lines:]), func(c loop) bool { return titleCell(&c, cells) && !holdsRound(&c, loops, left) })
	}
	return loops, framed, said
}

// rectangle reports whether a loop is a plain rectangle along the axes.
func (l *loop) rectangle() bool {
	return !l.round && straight(l.path) && math.Abs(l.area-l.box.W()*l.box.H()) <= 1e-6*l.area
}

// frames reports whether the other loop is the next line of a frame: a rectangle within, on every side no farther than the
// margins of a sheet are wide against it.
func (l *loop) frames(o *loop) bool {
	most := 0.09 * max(l.box.W(), l.box.H()) // 25 mm of 297 at the filing edge (ISO 5457 has 20)
	in := [4]float64{o.box.Min.X - l.box.Min.X, o.box.Min.Y - l.box.Min.Y, l.box.Max.X - o.box.Max.X, l.box.Max.Y - o.box.Max.Y}
	return o.rectangle() && slices.Min(in[:]) >= 0 && slices.Max(in[:]) <= most && o.area > 0.7*l.area
}

// titleCell reports whether a closed line is part of a title block: a rectangle that stands on the frame's line.
func titleCell(l, frame *loop) bool {
	if !l.rectangle() {
		return false
	}
	const play = 0.5
	b, f := l.box, frame.box
	on := 0
	for _, d := range [4]float64{b.Min.X - f.Min.X, b.Min.Y - f.Min.Y, f.Max.X - b.Max.X, f.Max.Y - b.Max.Y} {
		if math.Abs(d) <= play {
			on++
		}
	}
	return on >= 1 && l.area < 0.3*frame.area
}

// titleBlock reports whether a table with writing in it stands in a corner of a frame: at least two texts, ruled off by
// at least three straight lines or closed rectangles, and no round thing among them.
func titleBlock(d *dxf.Drawing, frame *loop, loops []loop, left *looks) bool {
	var parts []loop // what is written on these is no title
	for i := range loops {
		if l := &loops[i]; l.area >= minPanel*minPanel && !titleCell(l, frame) && holdsRound(l, loops[i+1:], left) {
			parts = append(parts, *l)
		}
	}
	f := frame.box
	w, h := 0.5*f.W(), 0.35*f.H()
	for _, corner := range [4]dxf.Box{
		{Min: dxf.XY{X: f.Max.X - w, Y: f.Min.Y}, Max: dxf.XY{X: f.Max.X, Y: f.Min.Y + h}},
		{Min: f.Min, Max: dxf.XY{X: f.Min.X + w, Y: f.Min.Y + h}},
		{Min: dxf.XY{X: f.Max.X - w, Y: f.Max.Y - h}, Max: f.Max},
		{Min: dxf.XY{X: f.Min.X, Y: f.Max.Y - h}, Max: dxf.XY{X: f.Min.X + w, Y: f.Max.Y}},
	} {
		// The block is what the texts nearest the corner and the rules round them span.
		texts, rules := dxf.EmptyBox(), 0
		n := 0
		for i := range d.Entities {
			e := &d.Entities[i]
			if e.Text != nil && corner.Contains(e.Text.At) && !slices.ContainsFunc(parts, func(l loop) bool { return l.holds(e.Text.At) }) {
				texts = texts.With(e.Text.At)
				n++
			}
		}
		if n < 2 {
			continue
		}
		const reach = 30 // mm: a cell's width
		area := dxf.Box{Min: texts.Min.Sub(dxf.XY{X: reach, Y: reach}), Max: texts.Max.Add(dxf.XY{X: reach, Y: reach})}
		for i := range d.Entities {
			e := &d.Entities[i]
			if e.Text != nil || len(e.Path.Vertices) < 2 || !straight(e.Path) {
				continue
			}
			b := e.Path.Box()
			flat := len(e.Path.Vertices) == 2 && min(b.W(), b.H()) < 0.01
			cell := e.Path.Closed && len(e.Path.Vertices) == 4
			// A title block is 180 mm wide at most (ISO 7200).
			if (flat || cell) && overlap(b, area) && max(b.W(), b.H()) <= 190 && (flat || b.H() <= 60) {
				rules++
			}
		}
		round := slices.ContainsFunc(loops, func(l loop) bool { return l.round && texts.Contains(l.c) })
		if rules >= 3 && !round {
			return true
		}
	}
	return false
}

// holdsThings reports whether a closed line lies in another that can be cut.
func holdsThings(l *loop, loops []loop, left *looks) bool {
	return holdsSome(l, loops, left, func(o *loop) bool { return max(o.box.W(), o.box.H()) >= tooSmall })
}

// holdsRound reports whether a round hole lies in the closed line.
func holdsRound(l *loop, loops []loop, left *looks) bool {
	return holdsSome(l, loops, left, func(o *loop) bool { return o.round && o.d >= tooSmall })
}

// holdsSome reports whether one of the loops that count lies in the closed line.
func holdsSome(l *loop, loops []loop, left *looks, counts func(o *loop) bool) bool {
	for k := range loops {
		o := &loops[k]
		if o.area >= l.area || !counts(o) || !l.box.Contains(o.centre()) {
			continue
		}
		if left.used() {
			return false
		}
		if o.in(l) {
			return true
		}
	}
	return false
}

// writtenBeside reports whether something is written or drawn in the frame but outside the part: a title block.
func writtenBeside(d *dxf.Drawing, frame, part *loop) bool {
	for i := range d.Entities {
		e := &d.Entities[i]
		if at, ok := where(e); ok && frame.holds(at) && !part.holds(at) && !part.near(at, 1) && !frame.near(at, 1) {
			return true
		}
	}
	return false
}

// paperSized reports whether a frame of this size fits a sheet of A4 to A0 (ISO 216) or of 8.5 x 11 to 34 x 44 inches
// (ANSI/ASME Y14.1), with margins of up to 25 mm.
func paperSized(w, h float64) bool {
	a, b := min(w, h), max(w, h)
	for _, p := range [][2]float64{{210, 297}, {297, 420}, {420, 594}, {594, 841}, {841, 1189}, {215.9, 279.4}, {279.4, 431.8}, {431.8, 558.8}, {558.8, 863.6}, {863.6, 1117.6}} {
		if da, db := p[0]-a, p[1]-b; da >= -0.5 && da <= 50 && db >= -0.5 && db <= 50 {
			return true
		}
	}
	return false
}

// paperShaped reports whether one of the boxes has the sides of a paper in whatever scale: 1 to the root of 2 (ISO 216), or as
// 8.5 to 11 and 11 to 17 (ANSI/ASME Y14.1); a margin shifts that by a little.
func paperShaped(boxes ...dxf.Box) bool {
	for _, b := range boxes {
		k := max(b.W(), b.H()) / min(b.W(), b.H())
		for _, want := range [...]float64{math.Sqrt2, 11 / 8.5, 17 / 11.0} {
			if math.Abs(k-want) < 0.03*want {
				return true
			}
		}
	}
	return false
}
