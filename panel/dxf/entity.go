package dxf

import (
	"math"
	"strings"

	"lampblack/panel/writing"
)

func trim(s string) string { return strings.Trim(s, " \t\r") }

// entity reads one entity from its groups.
func (p *parser) entity(typ string, gs []group) item {
	// Embedded objects (AC1032) repeat codes that mean something else; extended data likewise.
	var embedded []group
	for i := range gs {
		if gs[i].code == 101 || gs[i].code >= 1000 {
			if gs[i].code == 101 {
				embedded = gs[i+1:]
			}
			gs = gs[:i]
			break
		}
	}
	f := &p.f
	it := p.common(typ, gs, f)
	switch typ {
	case "LINE":
		it.plane = upright // world coordinates
		if !f.has[0] || !f.has[1] {
			it.spoil(broken, "a line without two ends")
		}
		if math.Abs(f.z[0]-f.z[1]) > 1e-3*(1+f.at(0).Dist(f.at(1))) {
			it.plane = tilted
		}
		v := p.vertices(2)
		v[0], v[1] = Vertex{f.at(0), 0}, Vertex{f.at(1), 0}
		it.path.Vertices = v
	case "CIRCLE", "ARC":
		p.arc(&it, f)
	case "ELLIPSE":
		p.ellipse(&it, f)
	case "LWPOLYLINE":
		p.lwpolyline(&it, gs)
	case "SPLINE":
		p.spline(&it, gs)
	case "HATCH", "MPOLYGON":
		p.hatch(&it, gs)
	case "SOLID", "TRACE":
		// Corners come in the order 1, 2, 4, 3; a triangle repeats the third (DXF Reference, SOLID).
		q := []Vertex{{f.at(0), 0}, {f.at(1), 0}, {f.at(3), 0}, {f.at(2), 0}}
		if !f.has[3] || f.at(3) == f.at(2) {
			q = append(q[:2], q[3])
		}
		it.path = Path{q, true}
	case "INSERT":
		p.insert(&it, f)
	case "TEXT", "ATTRIB":
		p.line(&it, f, gs)
	case "ATTDEF":
		if f.flags[0]&2 == 0 {
			it.spoil(unused, unusedReason(typ))
			if f.has[0] {
				it.path.Vertices = []Vertex{{f.at(0), 0}}
			}
			break
		}
		p.line(&it, f, gs) // a constant one is shown as it stands
	case "MTEXT":
		p.mtext(&it, f, gs, embedded)
	default:
		it.spoil(unused, unusedReason(typ))
		if f.has[0] { // where it is, for the finding
			it.path.Vertices = []Vertex{{f.at(0), 0}}
		}
	}
	return it
}

// arc reads CIRCLE (10, 20, 40) and ARC (and 50, 51, counter-clockwise in its own coordinates).
func (p *parser) arc(it *item, f *fields) {
	r := f.r[0]
	switch {
	case !f.has[0] || !f.hasR[0]:
		it.spoil(broken, "a circle without centre or radius")
	case r < 0:
		it.spoil(broken, "a circle with a negative radius")
	case r == 0:
		it.spoil(empty, "of no size")
	}
	e := &ellipse{c: f.at(0), u: XY{X: r, Y: 0}, v: XY{X: 0, Y: r}, t1: 2 * math.Pi}
	if it.typ == "ARC" {
		from, to := math.Mod(f.angle[0], 360), math.Mod(f.angle[1], 360)
		if to-from <= 1e-9 { // equal ends are a full turn
			to += 360
		}
		if to-from > 360 {
			to -= 360
		}
		e.t0, e.t1 = from*deg, to*deg
	}
	it.arc = e
}

// ellipse reads ELLIPSE: 10 centre, 11 end of the major axis relative to it, 40 ratio of the axes, 41 and 42
// parameters of the ends; all in world coordinates, the minor axis is N × major (DXF Reference, ELLIPSE).
func (p *parser) ellipse(it *item, f *fields) {
	ratio := f.or(0, 1)
	u := f.at(1)
	switch {
	case !f.has[0] || !f.has[1]:
		it.spoil(broken, "an ellipse without centre or axis")
	case u.Len() == 0 || ratio == 0:
		it.spoil(empty, "of no size")
	case ratio < 0 || ratio > 1e6:
		it.spoil(broken, "an ellipse with an impossible ratio of axes")
	}
	v := XY{X: -u.Y, Y: u.X}.Times(ratio)
	if it.plane == mirrored {
		v = v.Times(-1)
	}
	t0, t1 := f.or(1, 0), f.or(2, 2*math.Pi)
	if math.Abs(t0) > 1e4 || math.Abs(t1) > 1e4 {
		it.spoil(broken, "an ellipse with impossible ends")
	}
	for t1 <= t0+1e-12 {
		t1 += 2 * math.Pi * max(1, math.Floor((t0-t1)/(2*math.Pi)))
	}
	if t1 > t0+2*math.Pi {
		t1 = t0 + 2*math.Pi
	}
	it.arc = &ellipse{f.at(0), u, v, t0, t1}
	if it.plane == mirrored {
		it.plane = upright // world coordinates already
	}
}

// insert reads INSERT (DXF Reference, INSERT). Z scales mean nothing here, not even 0.
func (p *parser) insert(it *item, f *fields) {
	in := &insert{
		block: strings.ToUpper(p.dec.text(trim(f.name))), at: f.at(0),
		sx: f.or(1, 1), sy: f.or(2, 1), rot: f.angle[0] * deg,
		cols: 1, rows: 1, colStep: f.r[4], rowStep: f.r[5],
	}
	if f.hasFlag[0] {
		in.cols = max(1, f.flags[0])
	}
	if f.hasFlag[1] {
		in.rows = max(1, f.flags[1])
	}
	if in.cols > MaxArray || in.rows > MaxArray || in.cols*in.rows > MaxArray {
		it.spoil(broken, "an array of more copies than a drawing can sensibly hold")
	}
	if in.sx == 0 || in.sy == 0 {
		it.spoil(empty, "of no size")
	}
	it.ins = in
}

// line reads TEXT and ATTRIB. With 72 or 73 set, 11/21 is the anchor, else 10/20 (DXF Reference, TEXT).
func (p *parser) line(it *item, f *fields, gs []group) {
	t := &Text{At: f.at(0), Height: f.r[0], Angle: f.angle[0] * deg, Width: f.or(1, 1)}
	if v := f.angle[1]; math.Abs(v) <= mostSlant {
		t.Slant = v * deg
	}
	v := f.flags[3]
	generation := f.flags[1]
	if it.typ != "TEXT" {
		v = f.flags[4] // 73 is the field length there
		if f.flags[0]&1 != 0 {
			it.hidden = true
		}
	}
	switch h := f.flags[2]; h {
	case 1:
		t.H = Centre
	case 2:
		t.H = Right
	case 4:
		t.H, t.V = Centre, Middle
	case 3, 5:
		// Between two points on the baseline: the angle is theirs, and the text fills the way between them. The height
		// is as stored: that which the CAD program's own font came to.
		if d := f.at(1).Sub(f.at(0)); f.has[1] && d.Len() > 0 {
			t.Angle, t.Span = math.Atan2(d.Y, d.X), d.Len()
		}
	}
	if h := f.flags[2]; h != 3 && h != 4 && h != 5 {
		switch v {
		case 1:
			t.V = BottomLine
		case 2:
			t.V = Middle
		case 3:
			t.V = TopLine
		}
	}
	if h := f.flags[2]; (h != 0 || v != 0) && h != 3 && h != 5 && f.has[1] {
		t.At = f.at(1)
	}
	if generation&2 != 0 { // backwards
		t.Mirror = true
	}
	if generation&4 != 0 { // upside down: mirrored and turned half round
		t.Mirror, t.Angle = !t.Mirror, t.Angle+math.Pi
	}
	var runs []writing.Run
	name := ""
	for i := range gs {
		switch gs[i].code {
		case 1:
			t.Text, runs = switches(p.dec.text(clipBytes(gs[i].text)))
		case 7:
			name = p.styleName(gs[i].text)
		}
	}
	s := p.styleOf(name)
	t.Font = s.font
	if !f.hasR[0] {
		t.Height = s.height
	}
	p.upright(s)
	if runs != nil {
		for i := range runs {
			runs[i].Font = t.Font
		}
		t.Block = &writing.Block{Paragraphs: []writing.Paragraph{{Runs: runs}}}
	}
	p.finishText(it, t)
}

// mtext reads MTEXT: 3 (repeated) and 1 hold the text, 71 the attachment point, 11/21 or 50 the direction, whichever
// comes last. The file has 50 in degrees, whatever the reference says of radians: as every program writes it.
//
// 41 is the width at which lines are broken, 44 and 73 their spacing; 75, 76, 48 and 49 are columns, which R2018 tells in an embedded
// object: 71 kind, 72 count, 44 width, 45 gutter, 46 heights, 41 height of all.
func (p *parser) mtext(it *item, f *fields, gs, embedded []group) {
	t := &Text{At: f.at(0), Height: f.r[0], Width: 1}
	var s strings.Builder
	var heights []float64 // of columns; of one that is no column, its own
	name := ""
	for i := range gs {
		switch g := &gs[i]; g.code {
		case 1, 3:
			if s.Len() < MaxText {
				s.WriteString(clipBytes(g.text))
			}
		case 7:
			name = p.styleName(g.text)
		case 46:
			if v, ok := g.real(); ok && len(heights) < mostColumns {
				heights = append(heights, max(0, v))
			}
		case 50:
			t.Angle = f.angle[0] * deg
		case 11:
			if d := f.at(1); d.Len() > 0 {
				t.Angle = math.Atan2(d.Y, d.X)
				if it.plane == mirrored { // the direction is in world coordinates, 50 in the entity's own
					t.Angle = math.Pi - t.Angle
				}
			}
		}
	}
	if it.plane == mirrored { // so is the insertion point
		t.At.X = -t.At.X
	}
	if a := f.flags[1]; a >= 1 && a <= 9 {
		t.H = HAlign((a - 1) % 3)
		t.V = [...]VAlign{TopLine, Middle, BottomLine}[(a-1)/3]
	} else {
		t.V = TopLine
	}
	st := p.styleOf(name)
	p.upright(st)
	if !f.hasR[0] {
		t.Height = st.height
	}
	look := writing.Run{Font: st.font, Slant: st.slant}
	if st.width != 1 {
		look.Width = st.width
	}
	m := newMarks(t.Height, look)
	m.read(p.dec.text(s.String()))
	b := m.block()
	t.Text = m.text()
	if t.Height *= m.tall; t.Height > 0 {
		b.Width = max(0, f.r[1]) / t.Height
		if f.hasR[4] && f.r[4] > 0 && f.r[4] != 1 {
			b.Spacing = f.r[4]
		}
		if b.Exact = f.flags[3] == 2 && m.tall != 0; b.Exact {
			b.Spacing = f.or(4, 1) / m.tall
		}
		c := &b.Columns
		if f.flags[5] != 0 && f.flags[6] > 1 {
			*c = writing.Columns{Count: f.flags[6], Width: f.r[8] / t.Height, Gutter: f.r[9] / t.Height}
			for _, h := range heights {
				c.Heights = append(c.Heights, h/t.Height)
			}
		}
		p.columns(c, embedded, t.Height)
		if c.Count < 2 || c.Count > mostColumns || !(c.Width > 0) || !(c.Gutter >= 0) {
			*c = writing.Columns{}
		}
	}
	var plain bool
	if t.Font, plain = plainly(b); !plain {
		t.Block = &b
	}
	if m.colours == 1 && m.colour != 0 { // all of it is in one colour
		it.colour = m.colour
	}
	p.finishText(it, t)
}

// mostColumns bounds the columns of a text.
const mostColumns = 50

// columns reads an embedded object of columns.
func (p *parser) columns(c *writing.Columns, gs []group, height float64) {
	kind, all, total := 0, 0.0, 0.0
	var got writing.Columns
	for i := range gs {
		g := &gs[i]
		v, ok := g.real()
		switch g.code {
		case 71:
			kind = g.int()
		case 72:
			got.Count = g.int()
		}
		if !ok {
			continue
		}
		switch g.code {
		case 41:
			all = v
		case 42:
			total = v
		case 44:
			got.Width = v / height
		case 45:
			got.Gutter = v / height
		case 46:
			if len(got.Heights) < mostColumns {
				got.Heights = append(got.Heights, max(0, v)/height)
			}
		}
	}
	if kind == 0 {
		return
	}
	if got.Count == 0 {
		if got.Count = len(got.Heights); got.Count == 0 && got.Width > 0 {
			got.Count = int(min(mostColumns, math.Round((total/height+got.Gutter)/(got.Width+got.Gutter))))
		}
	}
	if len(got.Heights) == 0 && all > 0 && got.Count <= mostColumns {
		for range got.Count {
			got.Heights = append(got.Heights, all/height)
		}
	}
	*c = got
}

// upright counts texts whose style is vertical.
func (p *parser) upright(s style) {
	if s.vertical {
		p.vertical++
	}
}

func (p *parser) finishText(it *item, t *Text) {
	switch {
	case strings.TrimSpace(t.Text) == "":
		it.spoil(empty, "a text without characters")
	case !(t.Height > 0):
		it.spoil(doubt, "a text without a height")
	}
	if !(t.Width > 0) || t.Width > 100 {
		t.Width = 1
	}
	it.text = t
}

func clipBytes(s string) string { return strings.TrimSuffix(s[:min(len(s), MaxText)], "\r") }
