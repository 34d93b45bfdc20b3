package dxf

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// fileGroup is a group and where it stands in the file.
type fileGroup struct {
	code     int
	value    string // as text files have it; of a binary file's numbers none
	from, to int    // bytes, a text's line ends included
	at       int    // the value's first byte
}

// fileForm is a drawing's file cut into groups, for editing: text as it is, text in UTF-16 as UTF-8, or the binary form.
type fileForm struct {
	src    string
	eol    string
	groups []fileGroup // comments left out
	wide16 string      // the mark of the byte order of a file in UTF-16
	binary bool
	wide   bool // binary with codes of two bytes
}

func scanned(src []byte) (fileForm, error) {
	t := fileForm{src: string(src), eol: "\n"}
	if len(src) > MaxBytes {
		return t, errors.New("the file is too large")
	}
	if text, ok := utf16Text(src); ok {
		t.src, t.wide16 = text, string(src[:2])
		if string(t.bytes()) != string(src) {
			return t, errors.New("its text in UTF-16 is damaged: save it as ASCII DXF")
		}
	}
	pos := len(t.src) - len(strings.TrimPrefix(t.src, "\xef\xbb\xbf"))
	if strings.HasPrefix(t.src[pos:], sentinel) {
		return t, t.scanBinary(pos)
	}
	return t, t.scanText(pos)
}

// bytes returns the file's bytes with its text as it now is.
func (t *fileForm) bytes() []byte {
	if t.wide16 == "" {
		return []byte(t.src)
	}
	units := utf16.Encode([]rune(t.src))
	out := append(make([]byte, 0, 2+2*len(units)), t.wide16...)
	for _, u := range units {
		if t.wide16[0] == 0xff {
			out = append(out, byte(u), byte(u>>8))
		} else {
			out = append(out, byte(u>>8), byte(u))
		}
	}
	return out
}

func (t *fileForm) scanBinary(pos int) error {
	b := newBinary(t.src[pos:])
	t.binary, t.wide = true, b.wide
	var g group
	for from := pos + b.pos; b.next(&g); from = pos + b.pos {
		// Comments before the group are no part of it.
		size := len(appendGroup(nil, b.wide, g.code, g.text))
		if f := formOf(g.code); f == formBytes {
			size = pos + b.pos - from
		}
		t.groups = append(t.groups, fileGroup{code: g.code, value: g.text, from: pos + b.pos - size, to: pos + b.pos, at: from})
	}
	if why, _ := b.fault(); why != "" {
		return errors.New(why)
	}
	return nil
}

func (t *fileForm) scanText(pos int) error {
	lines := ascii{src: t.src[pos:]}
	switch {
	case strings.Contains(t.src, "\r\n"):
		t.eol = "\r\n"
	case !strings.Contains(t.src, "\n"):
		t.eol, lines.src = "\r", strings.ReplaceAll(lines.src, "\r", "\n") // as Read does
	}
	for {
		from := pos + lines.pos
		s, _ := lines.readLine()
		code, ok := parseCode(s)
		if !ok {
			return nil // what follows the end of the file is nobody's
		}
		at := pos + lines.pos
		v, ok := lines.readLine()
		if !ok {
			return errors.New("the file ends in the middle of an entry")
		}
		if code != 999 {
			t.groups = append(t.groups, fileGroup{code, v, from, pos + lines.pos, at})
		}
	}
}

// span is the groups of an entity, from the first to before the last.
type span struct{ from, to int }

// entities returns the groups of every entity of the section of entities and of the blocks, by the number of its first group
// (item.group), those of the section in their order, and the group that ends the section, -1 without one. What belongs to an
// entity (vertices, attributes, their end) counts to it.
func (t *fileForm) entities() (all map[int]span, own []span, end int) {
	all, end = map[int]span{}, -1
	section := ""
	name := func(i int) string { return strings.ToUpper(strings.TrimSpace(t.groups[i].value)) }
	for i := 0; i < len(t.groups); i++ {
		if t.groups[i].code != 0 {
			continue
		}
		switch n := name(i); {
		case n == "SECTION":
			section = ""
			if i+1 < len(t.groups) && t.groups[i+1].code == 2 {
				section = name(i + 1)
			}
		case n == "ENDSEC" || n == "EOF":
			if section == "ENTITIES" && end < 0 {
				end = i
			}
			section = ""
		case section == "ENTITIES" || section == "BLOCKS":
			j := t.after(i)
			for sub := n == "POLYLINE" || n == "INSERT"; sub && j < len(t.groups); {
				switch name(j) {
				case "VERTEX", "ATTRIB":
					j = t.after(j)
				case "SEQEND":
					j = t.after(j)
					sub = false
				default:
					sub = false
				}
			}
			all[i+1] = span{i, j}
			if section == "ENTITIES" && end < 0 {
				own = append(own, span{i, j})
			}
			i = j - 1
		}
	}
	return all, own, end
}

// after returns the next group with code 0.
func (t *fileForm) after(i int) int {
	for i++; i < len(t.groups) && t.groups[i].code != 0; i++ {
	}
	return i
}

// handles returns a handle above all in use, and the group that holds the drawing's own record of that, -1 without one.
func (t *fileForm) handles() (next uint64, seed int) {
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

// reseeded returns the group with another handle in it.
func (t *fileForm) reseeded(g fileGroup, next uint64) string {
	now := fmt.Sprintf("%X", next)
	if t.binary {
		return string(appendGroup(nil, t.wide, g.code, now))
	}
	return t.src[g.from:g.at] + strings.Replace(t.src[g.at:g.to], strings.TrimSpace(g.value), now, 1)
}

// edit puts other text in place of a piece of the file.
type edit struct {
	from, to int
	with     string
}

// edited does the edits, which do not overlap; those at one place in their order.
func (t *fileForm) edited(edits []edit) {
	slices.SortStableFunc(edits, func(a, b edit) int { return a.from - b.from })
	var out strings.Builder
	at := 0
	for _, e := range edits {
		out.WriteString(t.src[at:e.from])
		out.WriteString(e.with)
		at = e.to
	}
	out.WriteString(t.src[at:])
	t.src = out.String()
}
