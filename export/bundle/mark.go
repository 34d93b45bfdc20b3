package bundle

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"slices"
	"strings"
)

// place is where the mark stands in a format, and how: as a comment of that format, of a length that never changes.
type place struct {
	behind int                 // bytes of the file behind the mark; -1: it stands before all
	wrap   func(string) []byte // the comment
}

const markText = "written by lampblack; SHA-256 of all else: "

// placeIn returns the place for the mark in a file, by how that begins.
func placeIn(data []byte) place {
	around := func(before, after string) func(string) []byte {
		return func(s string) []byte { return []byte(before + s + after) }
	}
	switch head := string(data[:min(len(data), 8)]); {
	case strings.HasPrefix(head, "<"): // Extensible Markup Language 1.0, production 1: comments may stand at the end
		return place{0, around("<!-- ", " -->\n")}
	case strings.HasPrefix(head, "%PDF-"): // ISO 32000-1, 7.2.3; readers look for the end mark in the last 1024 bytes
		return place{0, around("% ", "\n")}
	case head == "\x89PNG\r\n\x1a\n": // before the last chunk, IEND, of 12 bytes
		return place{12, textChunk}
	}
	return place{-1, around("999\n", "\n")} // DXF: a comment group
}

// textChunk returns a chunk of text of a PNG (Portable Network Graphics Specification, 2nd edition, 5.3 and 11.3.4.3).
func textChunk(s string) []byte {
	body := []byte("tEXtSoftware\x00" + s)
	out := binary.BigEndian.AppendUint32(nil, uint32(len(body)-4))
	out = append(out, body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(body))
}

// at returns where the mark stands in a file of so many bytes.
func (p place) at(size int) int {
	if p.behind < 0 {
		return 0
	}
	return size - p.behind
}

// marked returns the file with its mark.
func marked(data []byte) []byte {
	p := placeIn(data)
	return slices.Insert(slices.Clone(data), p.at(len(data)), p.wrap(markText+digest(data))...)
}

// isMarked reports whether the file is as marked has made it.
func isMarked(data []byte) bool {
	p := placeIn(data)
	size := len(p.wrap(markText + digest(nil)))
	at := p.at(len(data) - size)
	if at < 0 || len(data) < size {
		return false
	}
	rest := slices.Delete(slices.Clone(data), at, at+size)
	return bytes.Equal(data, marked(rest))
}
