package compare

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/export/result"
)

// nests tells of the stock that the sheets take.
func (d *Difference) nests(was, is []result.Nest) {
	say := func(format string, args ...any) { d.tell("nest", "", "", format, args...) }
	key := func(n result.Nest) string {
		return fmt.Sprintf("%s sheets on %s x %s mm", sheetNames(n.Sheet), figure(n.Width), figure(n.Height))
	}
	of := func(all []result.Nest, sheet string) []result.Nest { // kinds may lie on several sizes of stock: in their order
		return slices.DeleteFunc(slices.Clone(all), func(n result.Nest) bool { return n.Sheet != sheet })
	}
	seen := map[string]bool{}
	for _, all := range [2][]result.Nest{was, is} {
		for _, n := range all {
			if seen[n.Sheet] {
				continue
			}
			seen[n.Sheet] = true
			a, b := of(was, n.Sheet), of(is, n.Sheet)
			for i := range max(len(a), len(b)) {
				switch {
				case i >= len(a):
					say("%s of stock: new, %d of them", key(b[i]), b[i].Sheets)
				case i >= len(b):
					say("%s of stock: no longer, %d of them before", key(a[i]), a[i].Sheets)
				default:
					if how := nested(a[i], b[i]); len(how) > 0 {
						say("%s of stock: %s", key(b[i]), strings.Join(how, "; "))
					}
				}
			}
		}
	}
}

func nested(a, b result.Nest) (how []string) {
	if a.Width != b.Width || a.Height != b.Height {
		how = append(how, fmt.Sprintf("the stock was %s x %s mm", figure(a.Width), figure(a.Height)))
	}
	how = slices.Concat(how, now("taken", float64(a.Sheets), float64(b.Sheets), 0, ""), now("pieces", float64(len(a.Pieces)), float64(len(b.Pieces)), 0, ""),
		now("used of the last one's width", a.Used, b.Used, 1, "mm"), now("between pieces", a.Gap, b.Gap, 1, "mm"), now("to the edge", a.Edge, b.Edge, 1, "mm"))
	if !slices.Equal(a.TooLarge, b.TooLarge) {
		how = append(how, fmt.Sprintf("too large for it: %s, now %s", few(a.TooLarge), few(b.TooLarge)))
	}
	if len(how) == 0 && !same(a.Pieces, b.Pieces) {
		how = []string{"pieces lie elsewhere on as many"}
	}
	return how
}
