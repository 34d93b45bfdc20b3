package parts

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// split parts a reference into its letters and its number; n is -1 when it does not end in a number.
func split(ref string) (letters string, n int) {
	letters = strings.TrimRight(ref, "0123456789")
	digits := ref[len(letters):]
	if n, err := strconv.Atoi(digits); err == nil && strconv.Itoa(n) == digits {
		return letters, n
	}
	return ref, -1
}

// byReference puts D2 before D10, and 2D1 before 10D1.
func byReference(a, b string) int {
	ba, ra := boardOf(a)
	bb, rb := boardOf(b)
	la, na := split(ra)
	lb, nb := split(rb)
	return cmp.Or(cmp.Compare(ba, bb), cmp.Compare(la, lb), cmp.Compare(na, nb), cmp.Compare(a, b))
}

// boardOf parts the number of a board of an array from a reference; 0 where none stands before it.
func boardOf(ref string) (n int, rest string) {
	rest = strings.TrimLeft(ref, "0123456789")
	n, _ = strconv.Atoi(ref[:len(ref)-len(rest)])
	return n, rest
}

// Ranges writes references shortly: "D1-D4, D7".
func Ranges(refs []string) string {
	refs = slices.Clone(refs)
	slices.SortFunc(refs, byReference)
	var out []string
	for i := 0; i < len(refs); {
		letters, n := split(refs[i])
		j := i + 1
		for n >= 0 && j < len(refs) && refs[j] == letters+strconv.Itoa(n+j-i) {
			j++
		}
		if j-i > 2 {
			out = append(out, fmt.Sprintf("%s-%s", refs[i], refs[j-1]))
		} else {
			out = append(out, refs[i:j]...)
		}
		i = j
	}
	return strings.Join(out, ", ")
}
