package dxf

import (
	"math"
	"strconv"
	"strings"
)

// group is one entry of a DXF file: a code that says what it is, and the value.
type group struct {
	code int
	line int     // of the code, from 1; 0 in binary files
	text string  // of ASCII files, and of strings in binary ones
	num  float64 // of numbers in binary files
	bin  bool    // num holds the value
}

// real returns the value as a number.
func (g *group) real() (float64, bool) {
	if g.bin {
		return g.num, finite(g.num) && math.Abs(g.num) <= MaxCoordinate
	}
	v, ok := parseReal(g.text)
	return v, ok && math.Abs(v) <= MaxCoordinate
}

// int returns the value as a whole number; nonsense is 0.
func (g *group) int() int {
	if g.bin {
		if math.Abs(g.num) < 1<<31 {
			return int(g.num)
		}
		return 0
	}
	s := strings.TrimSpace(g.text)
	if v, err := strconv.Atoi(s); err == nil && v > -1<<31 && v < 1<<31 {
		return v
	}
	if v, ok := parseReal(s); ok && math.Abs(v) < 1<<31 { // some programs write 70 as "1.0"
		return int(v)
	}
	return 0
}

// source yields groups in file order.
type source interface {
	// next fills g and reports whether there was another group. Comments (999) are passed over.
	next(g *group) bool
	// fault says why next stopped before the end, empty when it didn't, and the line.
	fault() (string, int)
}

// ascii reads the text form: a line with the code, a line with the value. Line ends are LF, CR LF or CR (the last by
// normalising the file first), values keep inner blanks, codes may have blanks round them.
type ascii struct {
	src  string
	pos  int
	line int // last line read
	err  string
}

func (a *ascii) fault() (string, int) { return a.err, a.line }

// readLine returns the next line without its end.
func (a *ascii) readLine() (string, bool) {
	if a.pos >= len(a.src) {
		return "", false
	}
	a.line++
	rest := a.src[a.pos:]
	n := strings.IndexByte(rest, '\n')
	if n < 0 {
		a.pos = len(a.src)
		return strings.TrimSuffix(rest, "\r"), true
	}
	a.pos += n + 1
	if n > 0 && rest[n-1] == '\r' {
		n--
	}
	return rest[:n], true
}

func (a *ascii) next(g *group) bool {
	for {
		s, ok := a.readLine()
		if !ok || a.err != "" {
			return false
		}
		code, ok := parseCode(s)
		if !ok {
			s = strings.Trim(s, " \t\r\x00\x1a") // 1A ends files of old systems
			if s == "" && strings.Trim(a.src[a.pos:], " \t\r\n\x00\x1a") == "" {
				a.pos = len(a.src)
				return false
			}
			a.err = "the line " + strconv.Quote(clip(s, 24)) + " should be a group code, a whole number"
			return false
		}
		g.line = a.line
		v, ok := a.readLine()
		if !ok {
			a.err = "the file ends in the middle of an entry"
			return false
		}
		if code == 999 {
			continue
		}
		g.code, g.text, g.bin = code, v, false
		return true
	}
}

// parseCode reads a group code. Codes are small; anything past 5 digits is none.
func parseCode(s string) (int, bool) {
	i := 0
	for i < len(s) && (s[i] == ' ' || s[i] == '\t') {
		i++
	}
	neg := false
	if i < len(s) && s[i] == '-' {
		neg = true
		i++
	}
	v, from := 0, i
	for i < len(s) && s[i] >= '0' && s[i] <= '9' && i-from < 5 {
		v = v*10 + int(s[i]-'0')
		i++
	}
	if i == from {
		return 0, false
	}
	for i < len(s) {
		if s[i] != ' ' && s[i] != '\t' && s[i] != '\r' {
			return 0, false
		}
		i++
	}
	if neg {
		v = -v
	}
	return v, true
}

var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parseReal reads a decimal number with blanks round it; infinities and NaN are none.
//
// Up to 15 digits with up to 22 places are exact in one float64 division (both operands are), which is correct
// rounding: W. D. Clinger, "How to read floating point numbers accurately", PLDI 1990, doi:10.1145/93542.93557.
// Everything else goes to strconv.
func parseReal(s string) (float64, bool) {
	i, n := 0, len(s)
	for i < n && (s[i] == ' ' || s[i] == '\t') {
		i++
	}
	start := i
	neg := false
	if i < n && (s[i] == '-' || s[i] == '+') {
		neg = s[i] == '-'
		i++
	}
	var m uint64
	digits, places, dot := 0, 0, false
	for ; i < n; i++ {
		c := s[i]
		if c >= '0' && c <= '9' {
			if m != 0 || c != '0' {
				digits++
			}
			if digits > 15 {
				return parseSlow(s[start:])
			}
			m = m*10 + uint64(c-'0')
			if dot {
				places++
			}
		} else if c == '.' && !dot {
			dot = true
		} else {
			break
		}
	}
	if i < n && strings.Trim(s[i:], " \t\r") != "" || places >= len(pow10) || i == start || m == 0 {
		return parseSlow(s[start:])
	}
	v := float64(m) / pow10[places]
	if neg {
		v = -v
	}
	return v, true
}

func parseSlow(s string) (float64, bool) {
	s = strings.Trim(s, " \t\r")
	for _, c := range []byte(s) { // no "inf", "nan", hexadecimal or underscores
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && finite(v)
}

// clip returns at most n bytes of s, with an ellipsis when something was cut.
func clip(s string, n int) string {
	if len(s) <= n {
		return s
	}
	return strings.ToValidUTF8(s[:n], "") + "…"
}
