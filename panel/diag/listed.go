package diag

import "strings"

// Listed joins words as a sentence has them: "a", "a and b", "a, b and c".
func Listed(words []string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
}
