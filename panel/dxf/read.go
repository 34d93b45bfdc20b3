package dxf

import (
	"context"
	"strings"
	"unicode/utf16"

	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// Read reads a drawing. name is the file's name as the user gave it, for findings.
//
// A drawing with an error finding may lack things; what could be read is returned all the same, so that a survey can
// show it. Once ctx is done what it returns means nothing.
func Read(ctx context.Context, src []byte, name string) (d Drawing, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { d, l = drawingOf(w, src, name) })
	return d, l
}

func drawingOf(w *work.Watch, src []byte, name string) (Drawing, diag.List) {
	return traced(w, src, name, nil)
}

// traced reads a drawing and tells to, if it is not nil, where in the file each of its entities comes from.
func traced(w *work.Watch, src []byte, name string, to *traces) (Drawing, diag.List) {
	p := &parser{watch: w, name: name, traces: to, layers: map[string]int{}, names: map[string]string{}, blocks: map[string]*block{}, styles: map[string]style{}, lineTypes: map[string]lineType{}, pens: map[penKey]*Pen{}, lengths: 1}
	p.out.Name = name
	p.out.Units = Units{Code: -1, Name: "mm", MMPerUnit: 1, Assumed: true}
	if len(src) > MaxBytes {
		p.diags.Add(diag.Error, "dxf-too-large", "the file has %d MB; more than %d MB are not read", len(src)>>20, MaxBytes>>20).
			In(name, 0).Fix("a panel's drawing has a few hundred kilobytes: delete everything but the panel, or purge the drawing, and export it again")
		return p.out, p.diags
	}
	text := string(src)
	if t, ok := utf16Text(src); ok {
		text = t
	}
	if !p.open(text) {
		return p.out, p.diags
	}
	p.sections()
	p.finish()
	return p.out, p.diags
}

// parser holds the file while it is read.
type parser struct {
	watch *work.Watch
	name  string
	src   source
	g     group // the current one
	more  bool  // g holds a group
	buf   []group
	f     fields
	store []Vertex
	dec   decoder

	version, page         string
	insunits, measurement int
	hasUnits, hasMeasure  bool
	sections0             int // sections seen
	items                 itemList
	blocks                map[string]*block   // by upper-case name
	layers                map[string]int      // by lower-case name, index into out.Layers
	names                 map[string]string   // raw layer name to decoded one
	held, fitted          int                 // items held; splines from fit points only
	styles                map[string]style    // by lower-case name
	lineTypes             map[string]lineType // by upper-case name
	pens                  map[penKey]*Pen
	lengths               float64  // factor of all line types' lengths
	shaped                []string // names of line types with shapes or texts in them that things are drawn with
	vertical              int      // texts whose style is vertical
	aimless, weightless   int      // items with an extrusion of no direction; splines whose weights make no sense
	entityLine            int
	groups, entityGroup   int     // groups read; the number of the one that the entity starts with
	traces                *traces // nil: none are wanted
	stopped               bool    // a limit was hit
	unended               string
	out                   Drawing
	skips                 skips
	visited, vertexTotal  int
	diags                 diag.List
}

// open finds out what the file is and starts on it; false when it is no drawing.
func (p *parser) open(text string) bool {
	text = strings.TrimPrefix(text, "\xef\xbb\xbf")
	if strings.Trim(text, " \t\r\n\x00\x1a") == "" {
		p.diags.Add(diag.Error, "dxf-empty", "the file is empty").In(p.name, 0).
			Fix("export the drawing again, and look whether the disk is full or the copy was broken off")
		return false
	}
	if strings.HasPrefix(text, sentinel) {
		p.src, p.out.Binary = newBinary(text), true
		p.advance()
		return true
	}
	if what, advice := foreign(text); what != "" {
		p.diags.Add(diag.Error, "dxf-other-file", "this is no DXF drawing but %s", what).In(p.name, 1).Fix("%s", advice)
		return false
	}
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n") // line ends of old systems
	}
	p.src = &ascii{src: text}
	p.advance()
	// Whatever comes first, an entry with code 0 must come soon, or this is something else that starts with a number.
	if why, line := p.src.fault(); !p.more && why != "" || p.more && p.g.code != 0 && p.g.code != 9 {
		f := p.diags.Add(diag.Error, "dxf-not-dxf", "this is no DXF drawing").In(p.name, max(line, 1))
		if why != "" {
			f.Text += ": " + why
		}
		f.Fix("export the drawing from the CAD program as DXF (ASCII, R12 to 2018)")
		return false
	}
	return true
}

// utf16Text decodes files that a text editor saved as UTF-16, which start with a byte order mark.
func utf16Text(src []byte) (string, bool) {
	if len(src) < 4 || src[0]|src[1] != 0xff || src[0]&src[1] != 0xfe {
		return "", false
	}
	lo, hi := 0, 1
	if src[0] == 0xfe {
		lo, hi = 1, 0
	}
	u := make([]uint16, 0, len(src)/2)
	for i := 2; i+1 < len(src); i += 2 {
		u = append(u, uint16(src[i+lo])|uint16(src[i+hi])<<8)
	}
	return string(utf16.Decode(u)), true
}

func (p *parser) advance() {
	p.watch.Step()
	p.more = p.src.next(&p.g)
	p.groups++
}

func (p *parser) at(code int, text string) bool {
	return p.more && p.g.code == code && trim(p.g.text) == text
}

// maxGroups bounds the groups of one entity: a polyline of half a million vertices.
const maxGroups = 2_000_000

// collect reads the groups of the entity that the current group starts, and leaves the next 0 group current. The
// slice is good until the next call.
func (p *parser) collect() []group {
	p.entityLine, p.entityGroup = p.g.line, p.groups
	p.buf = p.buf[:0]
	for p.advance(); p.more && p.g.code != 0; p.advance() {
		if len(p.buf) >= maxGroups {
			p.stop("one entity has more than %d entries", maxGroups)
			break
		}
		p.buf = append(p.buf, p.g)
	}
	return p.buf
}

// stop ends reading at a limit.
func (p *parser) stop(format string, args ...any) {
	if !p.stopped {
		p.stopped = true
		p.diags.Add(diag.Error, "dxf-too-much", format, args...).In(p.name, p.g.line).
			Fix("delete what is not part of the panel, explode or thin out what has very many points, and export again")
	}
	p.more = false
}

// sections reads the whole file.
func (p *parser) sections() {
	p.dec.enc, p.dec.wide, _ = codePage("")
	for p.more && !p.stopped {
		if !p.at(0, "SECTION") {
			if p.at(0, "EOF") {
				p.out.Version = p.version
				return
			}
			p.advance()
			continue
		}
		p.advance()
		if !p.more || p.g.code != 2 {
			continue
		}
		name := trim(p.g.text)
		p.sections0++
		p.advance()
		switch name {
		case "HEADER":
			p.header()
		case "TABLES":
			p.tables()
		case "BLOCKS":
			p.blockSection()
		case "ENTITIES":
			p.entities(&p.items, "ENDSEC")
		default:
			for p.more && !p.at(0, "ENDSEC") && !p.at(0, "EOF") {
				p.advance()
			}
		}
		if !p.more && p.unended == "" {
			p.unended = name
		}
	}
	p.out.Version = p.version
	p.ending()
}

// ending tells how the file stopped when it did so without its end mark.
func (p *parser) ending() {
	why, line := p.src.fault()
	switch {
	case p.stopped:
	case why != "":
		p.diags.Add(diag.Error, "dxf-cut-off", "the file can't be read to its end: %s", why).In(p.name, line).
			Fix("the file is cut off or damaged: export or copy it again")
	case p.sections0 == 0:
		p.diags.Add(diag.Error, "dxf-not-dxf", "this is no DXF drawing: it has no section").In(p.name, 1).
			Fix("export the drawing from the CAD program as DXF (ASCII, R12 to 2018)")
	case p.unended != "":
		p.diags.Add(diag.Warning, "dxf-no-end", "the file ends within its section %s, without an end mark: it may be cut off", p.unended).
			In(p.name, 0).Fix("compare the findings with the drawing, and export it again if something is missing")
	default:
		p.diags.Add(diag.Note, "dxf-no-end", "the file has no end mark; all its sections are complete").In(p.name, 0)
	}
}

// header reads the few variables that matter.
func (p *parser) header() {
	for p.more && p.g.code != 0 {
		if p.g.code != 9 {
			p.advance()
			continue
		}
		name := trim(p.g.text)
		p.advance()
		if !p.more || p.g.code == 9 || p.g.code == 0 {
			continue
		}
		switch name {
		case "$ACADVER":
			p.version = strings.ToUpper(trim(p.g.text))
			p.dec.utf8 = len(p.version) == 6 && p.version >= "AC1021"
		case "$DWGCODEPAGE":
			p.page = trim(p.g.text)
		case "$INSUNITS":
			p.insunits, p.hasUnits = p.g.int(), true
		case "$MEASUREMENT":
			p.measurement, p.hasMeasure = p.g.int(), true
		case "$LTSCALE":
			if v, ok := p.g.real(); ok && v > 0 && v < 1e6 {
				p.lengths = v
			}
		}
	}
	if !p.dec.utf8 {
		p.dec.enc, p.dec.wide, _ = codePage(p.page)
	}
}

// tables reads the layers, the line types and the styles of texts.
func (p *parser) tables() {
	for p.more && !p.at(0, "ENDSEC") && !p.at(0, "EOF") {
		if p.at(0, "STYLE") {
			p.style()
			continue
		}
		if p.at(0, "LTYPE") {
			p.lineType()
			continue
		}
		if !p.at(0, "LAYER") {
			p.advance()
			continue
		}
		l := Layer{}
		for _, g := range p.collect() {
			switch g.code {
			case 2:
				l.Name = p.layerName(g.text)
			case 62: // a negative colour is a layer switched off
				n := g.int()
				l.Off = n < 0
				if n = max(n, -n); n < 256 {
					l.Colour = uint8(n)
				}
			case 6:
				l.Style = styleNamed(trim(g.text))
			case 370:
				l.Width = float64(max(0, min(g.int(), widestPen))) / 100
			case 70:
				l.Frozen = g.int()&1 != 0
			}
		}
		if _, known := p.layers[strings.ToLower(l.Name)]; !known && l.Name != "" {
			p.layers[strings.ToLower(l.Name)] = len(p.out.Layers)
			p.out.Layers = append(p.out.Layers, l)
		}
	}
}

// layerName decodes a layer's name, once for each spelling.
func (p *parser) layerName(raw string) string {
	if n, ok := p.names[raw]; ok {
		return n
	}
	n := trim(p.dec.text(clip(raw, 512)))
	if n == "" {
		n = "0"
	}
	p.names[raw] = n
	return n
}

func (p *parser) blockSection() {
	for p.more && !p.at(0, "ENDSEC") && !p.at(0, "EOF") {
		if !p.at(0, "BLOCK") {
			p.advance()
			continue
		}
		b := &block{}
		name := ""
		for _, g := range p.collect() {
			switch g.code {
			case 2:
				name = strings.ToUpper(p.dec.text(trim(g.text)))
			case 10:
				b.base.X, _ = g.real()
			case 20:
				b.base.Y, _ = g.real()
			case 70:
				b.xref = g.int()&4 != 0
			}
		}
		p.entities(&b.items, "ENDBLK")
		if p.at(0, "ENDBLK") {
			p.collect()
		}
		if _, twice := p.blocks[name]; !twice {
			p.blocks[name] = b
		}
	}
}

// entities appends the entities up to the end mark.
func (p *parser) entities(list *itemList, end string) {
	for p.more && !p.stopped {
		if p.g.code != 0 {
			p.advance()
			continue
		}
		typ := strings.ToUpper(trim(p.g.text))
		switch typ {
		case end, "ENDSEC", "EOF":
			return
		}
		if p.held++; p.held > MaxEntities {
			p.stop("the drawing has more than %d entities", MaxEntities)
			return
		}
		gs := p.collect()
		line, first := p.entityLine, p.entityGroup
		if !p.more {
			if why, _ := p.src.fault(); why != "" {
				return // the file breaks off in it
			}
		}
		switch typ {
		case "VERTEX", "SEQEND", "ENDBLK": // strays
			continue
		case "POLYLINE":
			it := p.polyline(gs)
			it.line, it.group = line, first
			list.add(it)
			continue
		}
		it := p.entity(p.typeName(typ), gs)
		if it.ins != nil && p.at(0, "ATTRIB") {
			for p.at(0, "ATTRIB") && !p.stopped {
				if p.held++; p.held > MaxEntities {
					p.stop("the drawing has more than %d entities", MaxEntities)
					break
				}
				a := p.collect()
				it.ins.attribs = append(it.ins.attribs, p.entity("ATTRIB", a))
			}
			if p.at(0, "SEQEND") {
				p.collect()
			}
		}
		list.add(it)
	}
}

// typeName shortens nonsense; the names of real types are short.
func (p *parser) typeName(s string) string { return clip(s, 40) }
