package dxf

import (
	"encoding/binary"
	"math"
	"strconv"
	"strings"
)

// sentinel starts every binary DXF file: 22 bytes (references.md section 9).
const sentinel = "AutoCAD Binary DXF\r\n\x1a\x00"

// binaryTags reads the binary form: codes of one byte with 255 as an escape (to R12) or of two bytes, little-endian;
// strings end with a zero; numbers have the width that their code implies.
type binaryTags struct {
	src  string
	pos  int
	wide bool // two-byte codes
	err  string
}

// newBinary tells the generations apart by the first entry, 0/SECTION: with two-byte codes a second zero follows.
func newBinary(src string) *binaryTags {
	b := &binaryTags{src: src, pos: len(sentinel)}
	b.wide = len(src) > b.pos+1 && src[b.pos] == 0 && src[b.pos+1] == 0
	return b
}

func (b *binaryTags) fault() (string, int) { return b.err, 0 }

// take returns the next n bytes, nil when the file is too short.
func (b *binaryTags) take(n int) []byte {
	if n < 0 || b.pos+n > len(b.src) {
		b.err = "the file ends in the middle of an entry"
		return nil
	}
	s := b.src[b.pos : b.pos+n]
	b.pos += n
	return []byte(s)
}

func (b *binaryTags) next(g *group) bool {
	for {
		if b.err != "" || b.pos >= len(b.src) || strings.Trim(b.src[b.pos:min(len(b.src), b.pos+2)], "\x1a") == "" {
			return false
		}
		code := 0
		if b.wide {
			if v := b.take(2); v != nil {
				code = int(binary.LittleEndian.Uint16(v))
			}
		} else if v := b.take(1); v != nil {
			code = int(v[0])
			if code == 255 {
				if v = b.take(2); v != nil {
					code = int(binary.LittleEndian.Uint16(v))
				}
			}
		}
		g.code, g.line, g.text, g.num = code, 0, "", 0
		b.value(g)
		if b.err != "" {
			return false
		}
		if code != 999 {
			return true
		}
	}
}

// form is how a binary file holds a value.
type form uint8

const (
	formText  form = iota // ends with a zero
	formReal              // 8 bytes
	formByte              // 1
	formShort             // 2
	formInt               // 4
	formLong              // 8
	formBytes             // a length of one byte, then as many
)

// formOf returns the form by the ranges of group codes (DXF Reference, "Group Code Value Types").
func formOf(c int) form {
	switch {
	case c >= 10 && c <= 59 || c >= 110 && c <= 149 || c >= 210 && c <= 239 || c >= 460 && c <= 469 || c >= 1010 && c <= 1059:
		return formReal
	case c >= 60 && c <= 79 || c >= 170 && c <= 179 || c >= 270 && c <= 289 || c >= 370 && c <= 389 || c >= 400 && c <= 409 || c >= 1060 && c <= 1070:
		return formShort
	case c >= 90 && c <= 99 || c >= 420 && c <= 429 || c >= 440 && c <= 459 || c == 1071:
		return formInt
	case c >= 160 && c <= 169:
		return formLong
	case c >= 290 && c <= 299:
		return formByte
	case c >= 310 && c <= 319 || c == 1004:
		return formBytes
	}
	return formText
}

// value reads the value.
func (b *binaryTags) value(g *group) {
	g.bin = true
	switch formOf(g.code) {
	case formReal:
		if v := b.take(8); v != nil {
			g.num = math.Float64frombits(binary.LittleEndian.Uint64(v))
		}
	case formShort:
		if v := b.take(2); v != nil {
			g.num = float64(int16(binary.LittleEndian.Uint16(v)))
		}
	case formInt:
		if v := b.take(4); v != nil {
			g.num = float64(int32(binary.LittleEndian.Uint32(v)))
		}
	case formLong:
		if v := b.take(8); v != nil {
			g.num = float64(int64(binary.LittleEndian.Uint64(v)))
		}
	case formByte:
		if v := b.take(1); v != nil {
			g.num = float64(v[0])
		}
	case formBytes:
		if v := b.take(1); v != nil {
			b.take(int(v[0]))
		}
	default:
		g.bin = false
		n := strings.IndexByte(b.src[b.pos:], 0)
		if n < 0 {
			b.err = "the file ends in the middle of a text"
			return
		}
		g.text = b.src[b.pos : b.pos+n]
		b.pos += n + 1
	}
}

// appendGroup appends a group in binary form; the value is as text files have it.
func appendGroup(to []byte, wide bool, code int, value string) []byte {
	switch {
	case wide:
		to = binary.LittleEndian.AppendUint16(to, uint16(code))
	case code < 255:
		to = append(to, byte(code))
	default:
		to = binary.LittleEndian.AppendUint16(append(to, 255), uint16(code))
	}
	whole := func() uint64 { n, _ := strconv.ParseInt(strings.TrimSpace(value), 10, 64); return uint64(n) }
	switch formOf(code) {
	case formReal:
		v, _ := parseReal(value)
		return binary.LittleEndian.AppendUint64(to, math.Float64bits(v))
	case formShort:
		return binary.LittleEndian.AppendUint16(to, uint16(whole()))
	case formInt:
		return binary.LittleEndian.AppendUint32(to, uint32(whole()))
	case formLong:
		return binary.LittleEndian.AppendUint64(to, whole())
	case formByte:
		return append(to, byte(whole()))
	case formBytes:
		return append(to, 0) // none is ever written
	}
	return append(append(to, value...), 0)
}
