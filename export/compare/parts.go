package compare

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Parts tells of what is bought, by the parts.csv of both consoles: quantities of what has the same kind, value, rating and package. Where
// other than one console is made, what is times as many is told once. ok is false where one of them is no such list.
func Parts(was, is []byte, times float64) (changes []Change, ok bool) {
	a, okA := bought(was)
	b, okB := bought(is)
	if !okA || !okB {
		return nil, false
	}
	names := maps.Clone(a)
	maps.Copy(names, b)
	as := 0
	for _, k := range slices.Sorted(maps.Keys(names)) {
		n, m := a[k], b[k]
		switch {
		case n == m:
			continue
		case times != 1 && multiple(n, m, times):
			as++
		case n == "":
			changes = append(changes, Change{Code: "parts", Text: fmt.Sprintf("to buy: %s: none, now %s", k, m)})
		case m == "":
			changes = append(changes, Change{Code: "parts", Text: fmt.Sprintf("to buy: %s: %s, now none", k, n)})
		default:
			changes = append(changes, Change{Code: "parts", Text: fmt.Sprintf("to buy: %s: %s, now %s", k, n, m)})
		}
	}
	if as > 0 {
		changes = append(changes, Change{Code: "parts", Text: fmt.Sprintf("to buy: %s times as much of %d things", figure(times), as)})
	}
	return changes, true
}

// multiple reports whether a quantity is so many times another, as they are rounded.
func multiple(n, m string, times float64) bool {
	x, err := strconv.ParseFloat(n, 64)
	y, fault := strconv.ParseFloat(m, 64)
	by := 0.0
	if strings.Contains(n+m, ".") { // a length
		by = 0.05 * (1 + times)
	}
	return err == nil && fault == nil && math.Abs(x*times-y) <= by+1e-9
}

// bought returns quantities by what is bought.
func bought(src []byte) (map[string]string, bool) {
	r := csv.NewReader(bytes.NewReader(src))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, false
	}
	at := func(names ...string) int {
		return slices.IndexFunc(rows[0], func(h string) bool { return slices.Contains(names, strings.TrimPrefix(h, "\ufeff")) })
	}
	quantity, what := at("quantity"), []int{at("part", "kind"), at("value"), at("rating"), at("package")}
	if quantity < 0 || what[0] < 0 {
		return nil, false
	}
	all := map[string][]string{}
	for _, row := range rows[1:] {
		var words []string
		for _, k := range what {
			if k >= 0 && k < len(row) && row[k] != "" {
				words = append(words, row[k])
			}
		}
		if quantity < len(row) && row[quantity] != "0" && len(words) > 0 { // none: a place that stays empty
			k := strings.Join(words, ", ")
			all[k] = append(all[k], row[quantity])
		}
	}
	out := map[string]string{}
	for k, n := range all {
		slices.Sort(n)
		out[k] = strings.Join(n, " + ")
	}
	return out, true
}
