package read

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"lampblack/panel/diag"
)

// slug makes a file name of a text: lower-case letters, digits and hyphens, at most 40.
func slug(s string) string {
	var b strings.Builder
	gap := false
	for _, c := range strings.ToLower(s) {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(c)
		} else {
			gap = true
		}
		if b.Len() >= 40 {
			break
		}
	}
	return b.String()
}

// count writes a number with its noun: "1 circle", "3 circles".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// counted writes a number with a noun whose plural is its own.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// are is the verb to go with n things.
func are(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// some joins at most n names.
func some(names []string, n int) string {
	if len(names) > n {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:n], ", "), len(names)-n)
	}
	return strings.Join(names, ", ")
}

// mm writes a length for people: four digits, large ones in full.
func mm(v float64) string {
	if math.Abs(v) >= 1000 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 4, 64)
}

func article(s string) string {
	switch s[0] {
	case 'a', 'e', 'i', 'o', 'u', 'L': // LED is spoken "ell-ee-dee"
		return "an " + s
	}
	return "a " + s
}

func were(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// plural returns a unit as people say what a drawing is in: "inches", but "mm".
func plural(unit string) string {
	switch unit {
	case "inch":
		return "inches"
	case "mil":
		return "mils"
	}
	return unit
}

func short(s string) string {
	if utf8.RuneCountInString(s) <= 40 {
		return s
	}
	return string([]rune(s)[:40]) + "…"
}

// meant is the question that advice about a misspelt name begins with; empty where no name is near.
func meant(name string, of []string) string {
	if near, ok := diag.Nearest(name, of); ok {
		return "did you mean " + near + "? "
	}
	return ""
}
