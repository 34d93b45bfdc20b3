package dxf

import (
	"strconv"
	"strings"
)

// multiLine strips an MTEXT of its inline codes and returns its lines joined by "\n" and the factor by which its
// first character is taller than the entity's height (references.md section 9). Switches of font, colour, width,
// slant and tracking are dropped, stacks become "a/b".
func multiLine(s string) (text string, tall float64) {
	var b strings.Builder
	tall = 1
	height := 1.0
	var heights []float64 // of the groups round the place
	seen := false
	put := func(t string) {
		if !seen && strings.TrimSpace(t) != "" {
			seen, tall = true, height
		}
		b.WriteString(t)
	}
	s = percents(s)
	for i := 0; i < len(s); {
		c := s[i]
		switch {
		case c == '{':
			if len(heights) < 1000 {
				heights = append(heights, height)
			}
			i++
		case c == '}':
			if n := len(heights); n > 0 {
				height, heights = heights[n-1], heights[:n-1]
			}
			i++
		case c == '^' && i+1 < len(s):
			switch s[i+1] {
			case ' ':
				put("^")
			case 'J', 'M':
				put("\n")
			case 'I':
				put(" ")
			}
			i += 2
		case c == '\\' && i+1 < len(s):
			i = inline(s, i, put, &height)
		case c == '\r' || c == '\n':
			i++
		default:
			n := i + 1
			for n < len(s) && !strings.ContainsRune("{}^\\\r\n", rune(s[n])) {
				n++
			}
			put(s[i:n])
			i = n
		}
	}
	lines := strings.Split(b.String(), "\n")
	for i := range lines {
		lines[i] = strings.Trim(strings.ReplaceAll(lines[i], "\u00a0", " "), " \t")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n"), tall
}

// inline handles the code after the backslash at s[i] and returns where the text goes on.
func inline(s string, i int, put func(string), height *float64) int {
	arg := func() (string, int) { // up to the semicolon
		if n := strings.IndexByte(s[i+2:], ';'); n >= 0 {
			return s[i+2 : i+2+n], i + 2 + n + 1
		}
		return "", i + 2
	}
	switch c := s[i+1]; c {
	case 'P', 'X', 'N':
		put("\n")
	case '~':
		put("\u00a0")
	case '\\', '{', '}':
		put(string(c))
	case 'L', 'l', 'O', 'o', 'K', 'k':
	case 'H':
		a, n := arg()
		if f, ok := strings.CutSuffix(strings.ToLower(a), "x"); ok {
			if v, err := strconv.ParseFloat(f, 64); err == nil && v > 0.01 && v < 100 {
				*height *= v
			}
		}
		return n
	case 'W', 'Q', 'T', 'A', 'C', 'c', 'F', 'f', 'p':
		_, n := arg()
		return n
	case 'S':
		a, n := arg()
		a = strings.NewReplacer(`\^`, "^", `\#`, "#", `\/`, "/").Replace(a)
		for _, sep := range []string{"^", "#", "/"} {
			if x, y, ok := strings.Cut(a, sep); ok {
				x, y = strings.TrimSpace(x), strings.TrimSpace(y)
				if x != "" && y != "" {
					a = x + "/" + y
				} else {
					a = x + y
				}
				break
			}
		}
		put(a)
		return n
	default:
		put(`\`)
		return i + 1
	}
	return i + 2
}
