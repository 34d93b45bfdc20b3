package dxf

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// codePage returns the encoding that $DWGCODEPAGE names and whether it uses two bytes for some characters.
func codePage(name string) (enc encoding.Encoding, wide, ok bool) {
	n := strings.ToLower(strings.TrimSpace(name))
	n = strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(n, "ansi"), "dos"), "_")
	switch n {
	case "874":
		return charmap.Windows874, false, true
	case "932":
		return japanese.ShiftJIS, true, true
	case "936":
		return simplifiedchinese.GBK, true, true
	case "949", "1361", "johab":
		return korean.EUCKR, true, true
	case "950", "big5":
		return traditionalchinese.Big5, true, true
	case "1250":
		return charmap.Windows1250, false, true
	case "1251":
		return charmap.Windows1251, false, true
	case "1252", "":
		return charmap.Windows1252, false, true
	case "1253":
		return charmap.Windows1253, false, true
	case "1254":
		return charmap.Windows1254, false, true
	case "1255":
		return charmap.Windows1255, false, true
	case "1256":
		return charmap.Windows1256, false, true
	case "1257":
		return charmap.Windows1257, false, true
	case "1258":
		return charmap.Windows1258, false, true
	case "437":
		return charmap.CodePage437, false, true
	case "850":
		return charmap.CodePage850, false, true
	case "852":
		return charmap.CodePage852, false, true
	case "855":
		return charmap.CodePage855, false, true
	case "866":
		return charmap.CodePage866, false, true
	case "iso8859-1", "8859-1":
		return charmap.ISO8859_1, false, true
	case "iso8859-2", "8859-2":
		return charmap.ISO8859_2, false, true
	case "mac-roman", "macintosh":
		return charmap.Macintosh, false, true
	}
	return charmap.Windows1252, false, false
}

// decoder turns the bytes of names and texts into UTF-8.
type decoder struct {
	utf8    bool // AC1021 and later
	enc     encoding.Encoding
	wide    bool
	guessed bool // a text was UTF-8 in a file that says otherwise
	broken  bool // a text could not be decoded whole
}

// text returns s in UTF-8 with \U+nnnn decoded.
func (d *decoder) text(s string) string {
	if !plain(s) {
		s = d.bytes(s)
	}
	if strings.Contains(s, `\U+`) || strings.Contains(s, `\u+`) {
		s = unicodeEscapes(s)
	}
	return s
}

func plain(s string) bool {
	for i := range len(s) {
		if s[i] >= 0x80 {
			return false
		}
	}
	return true
}

func (d *decoder) bytes(s string) string {
	// Many programs write UTF-8 whatever they declare. Text of a one-byte code page that happens to be valid UTF-8
	// would be a row of accented capitals and signs such as "Ã¼", which nobody engraves; two-byte pages do clash.
	if utf8.ValidString(s) && (d.utf8 || !d.wide) {
		d.guessed = d.guessed || !d.utf8
		return s
	}
	enc := d.enc
	if enc == nil {
		enc = charmap.Windows1252
	}
	out, err := enc.NewDecoder().String(s)
	if err != nil || strings.ContainsRune(out, utf8.RuneError) {
		d.broken = true
		out = strings.ToValidUTF8(out, "\uFFFD")
	}
	return out
}

// unicodeEscapes replaces \U+nnnn by the character; \M+ escapes of two-byte code pages stay as they are.
func unicodeEscapes(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		if s[i] == '\\' && i+7 <= len(s) && (s[i+1] == 'U' || s[i+1] == 'u') && s[i+2] == '+' {
			if v, err := strconv.ParseUint(s[i+3:i+7], 16, 32); err == nil && v >= 0x20 {
				b.WriteRune(rune(v))
				i += 7
				continue
			}
		}
		b.WriteByte(s[i])
		i++
	}
	return b.String()
}

// singleLine decodes what TEXT and ATTRIB hold beyond characters: %% codes and caret notation.
func singleLine(s string) string {
	if strings.Contains(s, "%%") {
		s = percents(s)
	}
	if strings.Contains(s, "^") {
		s = carets(s)
	}
	return strings.TrimRight(s, " \t\r\n")
}

// percents replaces %%c Ø, %%d °, %%p ±, %%% and %%nnn, and drops the switches %%u %%o %%k (references.md section 9).
func percents(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		if !strings.HasPrefix(s[i:], "%%") || i+2 >= len(s) {
			b.WriteByte(s[i])
			i++
			continue
		}
		c := s[i+2]
		i += 3
		switch c {
		case 'c', 'C':
			b.WriteRune('Ø')
		case 'd', 'D':
			b.WriteRune('°')
		case 'p', 'P':
			b.WriteRune('±')
		case 'u', 'U', 'o', 'O', 'k', 'K':
		case '%':
			b.WriteByte('%')
		default:
			n := i - 1
			for n < len(s) && n < i+2 && s[n] >= '0' && s[n] <= '9' {
				n++
			}
			if v, err := strconv.Atoi(s[i-1 : n]); err == nil && n == i+2 && v >= 32 && v < 256 {
				b.WriteRune(charmap.Windows1252.DecodeByte(byte(v)))
				i = n
				continue
			}
			b.WriteString("%%")
			i--
		}
	}
	return b.String()
}

// carets decodes ^ notation: "^ " is a caret, ^I a tab (a blank here), ^J and ^M line ends (blanks here), other
// control characters vanish.
func carets(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '^' || i+1 >= len(s) {
			b.WriteByte(s[i])
			continue
		}
		i++
		switch {
		case s[i] == ' ':
			b.WriteByte('^')
		case s[i] == 'I' || s[i] == 'J' || s[i] == 'M':
			b.WriteByte(' ')
		case s[i] >= '@' && s[i] <= '_':
		default:
			b.WriteByte('^')
			b.WriteByte(s[i])
		}
	}
	return b.String()
}
