package diag

import "strings"

// mostLetters bounds the words that are compared, as the time grows with the square of their length; no name of ours is
// half as long.
const mostLetters = 64

// Nearest returns the word of a list that a misspelt one most likely means, for "did you mean ...?"; ok is false when
// none is near: at most one slip for each three letters written, and one in a shorter word. Case does not count; of words
// equally near the first wins.
func Nearest(word string, of []string) (nearest string, ok bool) {
	written := []rune(strings.ToLower(word))
	if len(written) > mostLetters {
		return "", false
	}
	best := 1 + max(1, len(written)/3)
	for _, w := range of {
		if d := slips(written, []rune(strings.ToLower(w))); d < best {
			best, nearest, ok = d, w, true
		}
	}
	return nearest, ok
}

// slips counts the insertions, deletions, changes and swaps of neighbours that lead from a to b.
//
// Source: F. J. Damerau, "A technique for computer detection and correction of spelling errors", CACM 7(3), 1964,
// doi:10.1145/363958.363994, who found that four in five misspelt words have a single one of these. Computed by the
// recurrence known as optimal string alignment, in which no letter is edited twice.
func slips(a, b []rune) int {
	if len(b) > mostLetters {
		return len(a) + len(b)
	}
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		d[i][0] = i
	}
	for j := range b {
		d[0][j+1] = j + 1
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}
