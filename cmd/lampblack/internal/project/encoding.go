package project

import (
	"encoding/binary"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"lampblack/panel/diag"
)

// mark is the byte order mark as a letter.
const mark = "\uFEFF"

// decoded returns the text of a file without its byte order mark, and what makes bytes of such text again: UTF-16 where the
// mark says so, else the bytes as they are.
func decoded(src []byte) (text string, encode func(string) []byte) {
	var order interface {
		binary.ByteOrder
		binary.AppendByteOrder
	}
	switch {
	case len(src) > 1 && src[0] == 0xFF && src[1] == 0xFE:
		order = binary.LittleEndian
	case len(src) > 1 && src[0] == 0xFE && src[1] == 0xFF:
		order = binary.BigEndian
	default:
		text, marked := strings.CutPrefix(string(src), mark)
		return text, func(text string) []byte {
			if marked {
				text = mark + text
			}
			return []byte(text)
		}
	}
	units := make([]uint16, 0, len(src)/2)
	for i := 2; i+1 < len(src); i += 2 {
		units = append(units, order.Uint16(src[i:]))
	}
	if len(src)%2 != 0 {
		units = append(units, utf8.RuneError) // half a letter: the file was cut off
	}
	return string(utf16.Decode(units)), func(text string) []byte {
		var out []byte
		for _, u := range utf16.Encode([]rune(mark + text)) {
			out = order.AppendUint16(out, u)
		}
		return out
	}
}

// plainLines returns a text whose lines all end with a line feed, whichever system wrote them.
func plainLines(text string) string {
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
}

// oneByte tells bytes that are no UTF-8, and returns the text with each of them read as Windows-1252, which holds Latin-1's
// letters: what else is wrong in the file is told too.
func (r *reader) oneByte(text string) string {
	if utf8.ValidString(text) {
		return text
	}
	var b strings.Builder
	var first rune
	line, column, more := 1, 1, -1
	at := [2]int{}
	for i := 0; i < len(text); {
		c, size := utf8.DecodeRuneInString(text[i:])
		if c == utf8.RuneError && size == 1 {
			if c = charmap.Windows1252.DecodeByte(text[i]); first == 0 {
				first, at = c, [2]int{line, column}
			}
			more++
		}
		if column++; c == '\n' {
			line, column = line+1, 1
		}
		b.WriteRune(c)
		i += size
	}
	fixed := b.String()
	r.lines = strings.Split(fixed, "\n")
	also := ""
	if more > 0 {
		also = ", and so are others"
	}
	f := r.diags.Add(diag.Error, "project-encoding", "the letter %q is written as Latin-1 (Windows-1252) here%s; a %s is UTF-8", first, also, r.what)
	f.Place = r.lineAt(at[0], at[1])
	f.Fix("save the file as UTF-8: an editor asks for the encoding under 'Save as'")
	return fixed
}
