package main

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// writer writes group codes and values, and hands out handles.
type writer struct {
	bytes.Buffer
	old    bool // R12: no handles, no subclass markers
	scale  float64
	at     pt
	handle int
	home   map[string]string // handle of each block's record
}

// Handles that are the same in every drawing.
const (
	modelSpace = "1F"
	paperSpace = "1E"
	rootDict   = "C"
	groupDict  = "D"
)

func (w *writer) tag(code int, value string) { fmt.Fprintf(w, "%3d\r\n%s\r\n", code, value) }
func (w *writer) int(code, v int)            { w.tag(code, strconv.Itoa(v)) }

// num writes a number as CAD does: up to eight decimals, always with a point.
func (w *writer) num(code int, v float64) {
	s := strconv.FormatFloat(math.Round(v*1e8)/1e8, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	if s == "-0.0" {
		s = "0.0"
	}
	w.tag(code, s)
}

func (w *writer) len(code int, mm float64) { w.num(code, mm*w.scale) }

func (w *writer) pt(code int, p pt) {
	w.len(code, p.x+w.at.x)
	w.len(code+10, p.y+w.at.y)
	w.num(code+20, 0)
}

func (w *writer) next() string {
	w.handle++
	return strings.ToUpper(strconv.FormatInt(int64(w.handle), 16))
}

// head starts an entity, block or table record.
func (w *writer) head(name, owner string, classes ...string) {
	w.tag(0, name)
	if w.old {
		return
	}
	w.tag(5, w.next())
	if owner != "" {
		w.tag(330, owner)
	}
	for _, c := range classes {
		w.tag(100, c)
	}
}

// sub writes a subclass marker, which R12 does not have.
func (w *writer) sub(class string) {
	if !w.old {
		w.tag(100, class)
	}
}

// dxf returns the file.
func (p *plan) dxf() []byte {
	w := &writer{old: p.version == "AC1009", scale: 1, at: p.at, handle: 0x1f,
		home: map[string]string{"*Model_Space": modelSpace, "*Paper_Space": paperSpace}}
	if p.inches {
		w.scale = 1 / 25.4
	}
	p.header(w)
	p.tables(w)
	p.blockSection(w)
	w.tag(0, "SECTION")
	w.tag(2, "ENTITIES")
	for _, e := range p.ents {
		w.entity(e, modelSpace)
	}
	w.tag(0, "ENDSEC")
	if !w.old {
		w.tag(0, "SECTION")
		w.tag(2, "OBJECTS")
		w.dictionary(rootDict, "0")
		w.tag(3, "ACAD_GROUP") // the one entry that every such file has
		w.tag(350, groupDict)
		w.dictionary(groupDict, rootDict)
		w.tag(0, "ENDSEC")
	}
	w.tag(0, "EOF")
	return bytes.Replace(w.Bytes(), []byte("HANDSEED-HERE"), []byte(w.next()), 1)
}

func (w *writer) dictionary(handle, owner string) {
	w.tag(0, "DICTIONARY")
	w.tag(5, handle)
	w.tag(330, owner)
	w.tag(100, "AcDbDictionary")
	w.int(281, 1)
}

func (p *plan) header(w *writer) {
	w.tag(0, "SECTION")
	w.tag(2, "HEADER")
	variable := func(name string) { w.tag(9, name) }
	variable("$ACADVER")
	w.tag(1, p.version)
	if !w.old {
		variable("$HANDSEED")
		w.tag(5, "HANDSEED-HERE")
	}
	variable("$DWGCODEPAGE")
	w.tag(3, "ANSI_1252")
	unit, metric := 4, 1
	if p.inches {
		unit, metric = 1, 0
	}
	// R12 has no unit of its own, but CAD programs that write it today add the variable all the same.
	variable("$INSUNITS")
	w.int(70, unit)
	variable("$MEASUREMENT")
	w.int(70, metric)
	lo, hi := pt{math.Inf(1), math.Inf(1)}, pt{math.Inf(-1), math.Inf(-1)}
	for _, q := range flat(p.outline) {
		lo = pt{min(lo.x, q.x), min(lo.y, q.y)}
		hi = pt{max(hi.x, q.x), max(hi.y, q.y)}
	}
	variable("$EXTMIN")
	w.pt(10, lo)
	variable("$EXTMAX")
	w.pt(10, hi)
	w.tag(0, "ENDSEC")
}

// layers and the colours they have in the drawing.
var layers = [...]struct {
	name   string
	colour int
}{{"0", 7}, {onOutline, 7}, {onLED, 1}, {onOpening, 4}, {onMount, 3}, {onBody, 8}, {onLettering, 2}}

func (p *plan) tables(w *writer) {
	w.tag(0, "SECTION")
	w.tag(2, "TABLES")
	table := func(name string, n int, records func(owner string)) {
		w.tag(0, "TABLE")
		w.tag(2, name)
		owner := ""
		if !w.old {
			owner = w.next()
			w.tag(5, owner)
			w.tag(330, "0")
			w.tag(100, "AcDbSymbolTable")
		}
		w.int(70, n)
		records(owner)
		w.tag(0, "ENDTAB")
	}
	record := func(kind, owner, class, name string) {
		w.head(kind, owner, "AcDbSymbolTableRecord", class)
		w.tag(2, name)
		w.int(70, 0)
	}
	if !w.old {
		table("VPORT", 0, func(string) {})
	}
	lines := []string{"CONTINUOUS"}
	if !w.old {
		lines = []string{"ByBlock", "ByLayer", "CONTINUOUS"}
	}
	table("LTYPE", len(lines), func(owner string) {
		for _, name := range lines {
			record("LTYPE", owner, "AcDbLinetypeTableRecord", name)
			w.tag(3, "")
			w.int(72, 65)
			w.int(73, 0)
			w.num(40, 0)
		}
	})
	table("LAYER", len(layers), func(owner string) {
		for _, l := range layers {
			record("LAYER", owner, "AcDbLayerTableRecord", l.name)
			w.int(62, l.colour)
			w.tag(6, "CONTINUOUS")
		}
	})
	table("STYLE", 1, func(owner string) {
		record("STYLE", owner, "AcDbTextStyleTableRecord", "STANDARD")
		w.num(40, 0)
		w.num(41, 1)
		w.num(50, 0)
		w.int(71, 0)
		w.len(42, 3.5)
		w.tag(3, "txt")
		w.tag(4, "")
	})
	if !w.old {
		table("VIEW", 0, func(string) {})
		table("UCS", 0, func(string) {})
		table("APPID", 1, func(owner string) { record("APPID", owner, "AcDbRegAppTableRecord", "ACAD") })
		table("DIMSTYLE", 0, func(string) { w.tag(100, "AcDbDimStyleTable") })
		all := p.blocks()
		table("BLOCK_RECORD", len(all), func(owner string) {
			for _, b := range all {
				if w.home[b.name] == "" {
					w.home[b.name] = w.next()
				}
				w.tag(0, "BLOCK_RECORD")
				w.tag(5, w.home[b.name])
				w.tag(330, owner)
				w.tag(100, "AcDbSymbolTableRecord")
				w.tag(100, "AcDbBlockTableRecord")
				w.tag(2, b.name)
			}
		})
	}
	w.tag(0, "ENDSEC")
}

// blocks returns the blocks that the drawing inserts, after the two that hold the drawing itself in the newer formats.
func (p *plan) blocks() []block {
	var out []block
	if p.version != "AC1009" {
		out = append(out, block{name: "*Model_Space"}, block{name: "*Paper_Space"})
	}
	for _, b := range blocks() {
		for _, e := range p.ents {
			if e.kind == insert && e.text == b.name {
				out = append(out, b)
				break
			}
		}
	}
	return out
}

func (p *plan) blockSection(w *writer) {
	w.tag(0, "SECTION")
	w.tag(2, "BLOCKS")
	at := w.at
	w.at = pt{} // what is in a block lies round the block's origin
	for _, b := range p.blocks() {
		w.head("BLOCK", w.home[b.name], "AcDbEntity")
		w.tag(8, "0")
		w.sub("AcDbBlockBegin")
		w.tag(2, b.name)
		w.int(70, 0)
		w.pt(10, pt{})
		w.tag(3, b.name)
		w.tag(1, "")
		for _, e := range b.ents {
			w.entity(e, w.home[b.name])
		}
		w.head("ENDBLK", w.home[b.name], "AcDbEntity")
		w.tag(8, "0")
		w.sub("AcDbBlockEnd")
	}
	w.at = at
	w.tag(0, "ENDSEC")
}

func (w *writer) entity(e entity, owner string) {
	start := func(name, class string) {
		w.head(name, owner, "AcDbEntity")
		w.tag(8, e.layer)
		if class != "" {
			w.sub(class)
		}
	}
	switch e.kind {
	case line:
		start("LINE", "AcDbLine")
		w.pt(10, e.pts[0].pt)
		w.pt(11, e.pts[1].pt)
	case circle:
		start("CIRCLE", "AcDbCircle")
		w.pt(10, e.c)
		w.len(40, e.r)
	case arc:
		start("ARC", "AcDbCircle")
		w.pt(10, e.c)
		w.len(40, e.r)
		w.sub("AcDbArc")
		w.num(50, e.a0)
		w.num(51, e.a1)
	case poly:
		w.polyline(e, owner, start)
	case insert:
		start("INSERT", "AcDbBlockReference")
		w.tag(2, e.text)
		w.pt(10, e.c)
		if e.turn != 0 {
			w.num(50, e.turn)
		}
	case text:
		w.text(e, start)
	case mtext:
		start("MTEXT", "AcDbMText")
		w.pt(10, e.c)
		w.len(40, e.height)
		w.len(41, 0)
		w.int(71, 3*(3-e.v)+e.h+1)
		w.int(72, 1)
		w.tag(1, strings.ReplaceAll(e.text, "\n", `\P`))
		w.tag(7, "STANDARD")
	}
}

// polyline writes a LWPOLYLINE, or the POLYLINE with its VERTEX records that R12 knows.
func (w *writer) polyline(e entity, owner string, start func(name, class string)) {
	flags := 0
	if e.closed {
		flags = 1
	}
	if !w.old {
		start("LWPOLYLINE", "AcDbPolyline")
		w.int(90, len(e.pts))
		w.int(70, flags)
		for _, v := range e.pts {
			w.len(10, v.x+w.at.x)
			w.len(20, v.y+w.at.y)
			if v.bulge != 0 {
				w.num(42, v.bulge)
			}
		}
		return
	}
	start("POLYLINE", "")
	w.int(66, 1)
	w.num(10, 0)
	w.num(20, 0)
	w.num(30, 0)
	w.int(70, flags)
	for _, v := range e.pts {
		w.head("VERTEX", owner)
		w.tag(8, e.layer)
		w.pt(10, v.pt)
		if v.bulge != 0 {
			w.num(42, v.bulge)
		}
	}
	w.head("SEQEND", owner)
	w.tag(8, e.layer)
}

func (w *writer) text(e entity, start func(name, class string)) {
	start("TEXT", "AcDbText")
	// The first point is where the text begins; readers take the second one for any anchor but left on the baseline.
	first := e.c
	if e.h != 0 || e.v != 0 {
		dx := -width(e.text, e.height) * float64(e.h) / 2
		dy := -e.height * [...]float64{0, 0, 0.5, 1}[e.v]
		first = polar(polar(e.c, dx, e.turn), dy, e.turn+90)
	}
	w.pt(10, first)
	w.len(40, e.height)
	w.tag(1, e.text)
	if e.turn != 0 {
		w.num(50, e.turn)
	}
	w.tag(7, "STANDARD")
	w.int(72, e.h)
	if e.h != 0 || e.v != 0 {
		w.pt(11, e.c)
	}
	w.sub("AcDbText")
	w.int(73, e.v)
}
