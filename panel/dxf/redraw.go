package dxf

// Redrawing is editing: the user's file stays as it is, byte for byte, and circles go out of it and into it. So the library has no
// part in it but the form of the new circle's groups (encode.go): its reader stops at the first kind of entity it does not know
// (INSERT, MTEXT, HATCH: "unknown entity type") and forgets what it does not ask for (bulges of a LWPOLYLINE, line types,
// comments), so that a drawing read and written by it would lack what the user drew.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Circle is a circle to be drawn, in the drawing's own frame, mm.
type Circle struct {
	Layer string
	At    XY
	D     float64 // diameter
}

// Redrawn returns the text of a drawing without the entities that start on the lines drop, and with circles added at the
// end of its entities; all else is copied byte for byte, comments and line ends included. mmPerUnit is the length of the
// drawing's unit.
//
// New circles take the form of the first circle that is dropped, its layer, colour and line type included, and the handles
// of the dropped entities, then such as the drawing has not given yet ($HANDSEED is raised). Binary files, text in UTF-16,
// and entities of blocks are refused. Coordinates are written as Write writes them.
func Redrawn(src []byte, drop []int, add []Circle, mmPerUnit float64) ([]byte, error) {
	t, err := scanText(src)
	if err != nil {
		return nil, err
	}
	if !(mmPerUnit > 0) {
		return nil, errors.New("the drawing's unit is not known")
	}
	entities, end := t.entities()
	if end < 0 {
		return nil, errors.New("the drawing has no section of entities")
	}
	gone := map[int]bool{} // index of the first group
	var template []textGroup
	var handles []string
	for _, line := range drop {
		i := slices.IndexFunc(entities, func(e [2]int) bool { return t.groups[e[0]].line == line })
		if i < 0 {
			return nil, fmt.Errorf("what is drawn on line %d is part of a block", line)
		}
		e := entities[i]
		if gone[e[0]] {
			continue
		}
		gone[e[0]] = true
		groups := t.groups[e[0]:e[1]]
		for _, g := range groups {
			if g.code == 5 {
				handles = append(handles, strings.TrimSpace(g.value))
				break
			}
		}
		if template == nil && strings.EqualFold(strings.TrimSpace(groups[0].value), "CIRCLE") && fromAbove(groups) {
			template = groups
		}
	}
	fresh := &tags{eol: t.eol}
	w := redraw{text: t, encoder: encoderOf(fresh, mmPerUnit, R2000), fresh: fresh, handles: handles}
	w.next, w.seed = t.handles()
	for _, c := range add {
		w.add(c, template, entities)
	}
	var out strings.Builder
	at := 0
	for _, e := range entities {
		if gone[e[0]] {
			out.WriteString(t.src[at:t.groups[e[0]].from])
			at = t.groups[e[1]-1].to
		}
	}
	out.WriteString(t.src[at:t.groups[end].from])
	out.Write(fresh.out.Bytes())
	out.WriteString(t.src[t.groups[end].from:])
	done := out.String()
	if w.used && w.seed >= 0 {
		// The header stands before the entities, so that nothing has moved there.
		g := t.groups[w.seed]
		done = done[:g.at] + strings.Replace(t.src[g.at:g.to], strings.TrimSpace(g.value), fmt.Sprintf("%X", w.next), 1) + done[g.to:]
	}
	return []byte(done), nil
}

// textGroup is a group and where its lines are.
type textGroup struct {
	code     int
	value    string
	line     int
	from, to int // bytes of both lines, line ends included
	at       int // the value's first byte
}

// drawingText is a text file cut into groups.
type drawingText struct {
	src    string
	eol    string
	groups []textGroup
}

func scanText(src []byte) (drawingText, error) {
	t := drawingText{src: string(src), eol: "\n"}
	if len(src) > MaxBytes {
		return t, errors.New("the file is too large")
	}
	if _, wide := utf16Text(src); wide {
		return t, errors.New("its text is in UTF-16: save it as ASCII DXF")
	}
	if strings.HasPrefix(t.src, strings.TrimRight(sentinel, "\r\n\x1a\x00")) {
		return t, errors.New("it is a binary DXF: save it as ASCII DXF")
	}
	sep := byte('\n')
	switch {
	case strings.Contains(t.src, "\r\n"):
		t.eol = "\r\n"
	case !strings.Contains(t.src, "\n"):
		sep, t.eol = '\r', "\r"
	}
	pos := min(len(t.src), len(t.src)-len(strings.TrimPrefix(t.src, "\xef\xbb\xbf")))
	line := 0
	next := func() (from int, s string, ok bool) {
		if pos >= len(t.src) {
			return 0, "", false
		}
		line++
		from = pos
		if n := strings.IndexByte(t.src[pos:], sep); n >= 0 {
			pos += n + 1
		} else {
			pos = len(t.src)
		}
		return from, strings.TrimRight(t.src[from:pos], "\r\n"), true
	}
	for {
		from, s, ok := next()
		if !ok {
			return t, nil
		}
		code, good := parseCode(s)
		if !good {
			return t, nil // what follows the end of the file is nobody's
		}
		first := line
		at, v, ok := next()
		if !ok {
			return t, errors.New("the file ends in the middle of an entry")
		}
		if code == 999 {
			continue
		}
		t.groups = append(t.groups, textGroup{code, v, first, from, pos, at})
	}
}

// entities returns the first group and the one after the last of every entity of the ENTITIES section, and the group that
// ends the section, -1 without one. What belongs to an entity (vertices, attributes, their end) counts to it.
func (t drawingText) entities() (all [][2]int, end int) {
	in := false
	for i := 0; i < len(t.groups); i++ {
		g := t.groups[i]
		if g.code != 0 {
			continue
		}
		switch name := strings.ToUpper(strings.TrimSpace(g.value)); {
		case !in:
			in = name == "SECTION" && i+1 < len(t.groups) && t.groups[i+1].code == 2 && strings.EqualFold(strings.TrimSpace(t.groups[i+1].value), "ENTITIES")
		case name == "ENDSEC":
			return all, i
		default:
			j := t.after(i)
			for sub := name == "POLYLINE" || name == "INSERT"; sub && j < len(t.groups); {
				switch strings.ToUpper(strings.TrimSpace(t.groups[j].value)) {
				case "VERTEX", "ATTRIB":
					j = t.after(j)
				case "SEQEND":
					j = t.after(j)
					sub = false
				default:
					sub = false
				}
			}
			all = append(all, [2]int{i, j})
			i = j - 1
		}
	}
	return nil, -1
}

// after returns the next group with code 0.
func (t drawingText) after(i int) int {
	for i++; i < len(t.groups) && t.groups[i].code != 0; i++ {
	}
	return i
}

// handles returns a handle above all in use, and the group that holds the drawing's own record of that, -1 without one.
func (t drawingText) handles() (next uint64, seed int) {
	seed = -1
	for i, g := range t.groups {
		if g.code != 5 && g.code != 105 {
			continue
		}
		v, err := strconv.ParseUint(strings.TrimSpace(g.value), 16, 64)
		if err != nil {
			continue
		}
		if i > 0 && t.groups[i-1].code == 9 && strings.TrimSpace(t.groups[i-1].value) == "$HANDSEED" {
			seed = i
			next = max(next, v)
			continue
		}
		if v < math.MaxUint64 {
			next = max(next, v+1)
		}
	}
	return max(next, 1), seed
}

// fromAbove reports whether a circle is drawn seen from above, without a thickness that would say otherwise.
func fromAbove(groups []textGroup) bool {
	for _, g := range groups {
		if v, ok := parseReal(g.value); g.code == 230 && (!ok || v <= 0) {
			return false
		}
	}
	return true
}

// redraw writes circles.
type redraw struct {
	encoder
	text    drawingText
	fresh   *tags // where they go
	handles []string
	next    uint64
	seed    int
	used    bool // a new handle was given
}

func (w *redraw) handle() string {
	if len(w.handles) > 0 {
		h := w.handles[0]
		w.handles = w.handles[1:]
		return h
	}
	h := fmt.Sprintf("%X", w.next)
	w.next++
	w.used = true
	return h
}

// add writes a circle: as the template is written, or without one as the drawing's other entities are.
func (w *redraw) add(c Circle, template []textGroup, entities [][2]int) {
	if template == nil {
		w.circle(w.likeOthers(c.Layer, entities), c.At, c.D/2)
		return
	}
	values := map[int]string{10: realText(w.unit(c.At.X)), 20: realText(w.unit(c.At.Y)), 40: realText(w.unit(c.D / 2))}
	for _, g := range template {
		v, ok := values[g.code]
		switch {
		case g.code == 5:
			v, ok = w.handle(), true
		case g.code == 102 || g.code == 360:
			continue // what hung on the old one alone
		}
		if ok {
			w.fresh.out.WriteString(w.text.src[g.from:g.at] + v + w.text.eol)
		} else {
			w.fresh.out.WriteString(w.text.src[g.from:g.to])
		}
	}
}

// likeOthers returns what a new entity begins with, with handle, owner and classes only where the drawing's others have them.
func (w *redraw) likeOthers(layer string, entities [][2]int) title {
	owner, classes, handled := "", false, len(w.handles) > 0
	for _, e := range entities {
		for _, g := range w.text.groups[e[0]:e[1]] {
			switch {
			case g.code == 330 && owner == "":
				owner = strings.TrimSpace(g.value)
			case g.code == 100:
				classes = true
			case g.code == 5:
				handled = true
			}
		}
	}
	t := title{layer: layer}
	if handled {
		t.handle = w.handle()
	}
	if classes {
		t.owner = owner
	}
	w.fresh.skip = func(code int) bool { return code == 100 && !classes }
	return t
}
