package export

import "strings"

// ASCII returns a text as files of printable ASCII have it: each other character is a '?'.
func ASCII(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, s)
}
