package report

import (
	"bytes"
	"encoding/base64"
	"slices"

	"lampblack/panel/work"
)

// escape writes text for a data URL within double quotes. Our SVGs are mostly digits and blanks: kept as they are, they take a
// fifth less than in base64. Blanks are no URL characters by RFC 3986, but the URL standard that browsers follow keeps
// them; all else that has a meaning in a URL or in HTML is percent-encoded.
func escape(w *work.Watch, b *bytes.Buffer, src []byte) {
	const hex = "0123456789ABCDEF"
	for piece := range slices.Chunk(src, atATime) {
		w.Look()
		from := 0
		for i, c := range piece {
			if plain(c) {
				continue
			}
			b.Write(piece[from:i])
			b.Write([]byte{'%', hex[c>>4], hex[c&15]})
			from = i + 1
		}
		b.Write(piece[from:])
	}
}

// atATime is how many bytes are written between two looks at the watch, which takes some milliseconds. Pieces of a multiple of
// three join without padding in base64.
const atATime = 3 << 18

func plain(c byte) bool {
	switch {
	case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9':
		return true
	}
	switch c {
	case ' ', '.', '-', ',', '=', '/', '_', '(', ')', ';':
		return true
	}
	return false
}

func base64To(w *work.Watch, b *bytes.Buffer, src []byte) {
	for piece := range slices.Chunk(src, atATime) {
		w.Look()
		b.Write(base64.StdEncoding.AppendEncode(b.AvailableBuffer(), piece))
	}
}
