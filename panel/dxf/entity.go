package dxf

import (
	"math"
	"strings"
)

func trim(s string) string { return strings.Trim(s, " \t\r") }

// entity reads one entity from its groups.
func (p *parser) entity(typ string, gs []group) item {
	// Embedded objects (AC1032) repeat codes that mean something else; extended data likewise.
	for i := range gs {
		if gs[i].code == 101 || gs[i].code >= 1000 {
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
	case "MTEXT":
		p.mtext(&it, f, gs)
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
	v := f.flags[3]
	generation := f.flags[1]
	if it.typ == "ATTRIB" {
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
	for i := range gs {
		switch gs[i].code {
		case 1:
			t.Text = singleLine(p.dec.text(clipBytes(gs[i].text)))
		case 7:
			t.Font.Style = p.styleName(gs[i].text)
		}
	}
	p.finishText(it, t)
}

// mtext reads MTEXT: 3 (repeated) and 1 hold the text, 71 the attachment point, 11/21 or 50 the direction, whichever
// comes last. The file has 50 in degrees, whatever the reference says of radians: as every program writes it.
func (p *parser) mtext(it *item, f *fields, gs []group) {
	t := &Text{At: f.at(0), Height: f.r[0], Width: 1}
	var s strings.Builder
	for i := range gs {
		switch g := &gs[i]; g.code {
		case 1, 3:
			if s.Len() < MaxText {
				s.WriteString(clipBytes(g.text))
			}
		case 7:
			t.Font.Style = p.styleName(g.text)
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
	text, tall := multiLine(p.dec.text(s.String()))
	t.Text, t.Height = text, t.Height*tall
	p.finishText(it, t)
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

// styleName returns the name of a text's style, decoded; empty for the one that texts have which name none.
func (p *parser) styleName(raw string) string {
	if name := p.layerName(raw); !strings.EqualFold(name, StandardStyle) {
		return name
	}
	return ""
}

// StandardStyle is the style of texts that name none (DXF Reference, TEXT group 7).
const StandardStyle = "STANDARD"
