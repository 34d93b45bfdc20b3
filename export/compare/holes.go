package compare

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"lampblack/export/result"
)

// singly is how many holes are told one by one; more are told together.
const singly = 4

// holes tells of holes that moved, are gone or new, or have another size or kind, and why an old board does not fit them.
func (d *Difference) holes(panel, code, what string, was, is []result.Hole, dx, dy float64, no func(format string, args ...any)) {
	say := func(kind, format string, args ...any) { d.tell(code+kind, panel, "", format, args...) }
	at := func(all []result.Hole, of []int) (out []string) {
		for _, i := range of {
			out = append(out, spot(all[i].X, all[i].Y))
		}
		return out
	}
	m := match(was, is, dx, dy)
	var moved [][2]int
	others := map[string][]int{} // old holes by what became of them
	for _, p := range m.pairs {
		a, b := was[p[0]], is[p[1]]
		if far(a.X, a.Y, b.X-dx, b.Y-dy) > placeTol {
			moved = append(moved, p)
		}
		if x, y := holeWords(a), holeWords(b); differ(a.D, b.D) || a.Kind != b.Kind {
			others[x+", now "+y] = append(others[x+", now "+y], p[0])
		}
	}
	d.moved(panel, code, what, was, is, moved, dx, dy, no)
	for _, k := range slices.Sorted(maps.Keys(others)) {
		places := at(was, others[k])
		if n := len(places); n > singly {
			say("-hole", "%s: %s: at %s", term(n, what), k, few(places))
			no("%s have another size or kind", term(n, what))
			continue
		}
		for _, p := range places {
			say("-hole", "%s at %s: %s", what, p, k)
			no("%s at %s has another size or kind", what, p)
		}
	}
	if places := at(was, m.gone); len(places) > singly {
		say("-gone", "%s are gone: at %s", term(len(places), what), few(places))
		no("%s are gone", term(len(places), what))
	} else {
		for _, p := range places {
			say("-gone", "%s at %s is gone", what, p)
			no("%s at %s is gone", what, p)
		}
	}
	if places := at(is, m.added); len(places) > singly {
		say("-added", "%s are new: at %s", term(len(places), what), few(places))
		no("there are %s that are new", term(len(places), what))
	} else {
		for _, p := range places {
			say("-added", "a new %s at %s", what, p)
			no("there is a new %s at %s", what, p)
		}
	}
}

// moved tells of holes that are elsewhere: many that went the same way together, many others by the farthest.
func (d *Difference) moved(panel, code, what string, was, is []result.Hole, pairs [][2]int, dx, dy float64, no func(format string, args ...any)) {
	most, ways := 0.0, map[string]bool{}
	for _, p := range pairs {
		a, b := was[p[0]], is[p[1]]
		most = max(most, far(a.X, a.Y, b.X-dx, b.Y-dy))
		ways[spot(b.X-dx-a.X, b.Y-dy-a.Y)] = true
	}
	if len(pairs) <= singly {
		for _, p := range pairs {
			a, b := was[p[0]], is[p[1]]
			by := far(a.X, a.Y, b.X-dx, b.Y-dy)
			d.tell(code+"-moved", panel, "", "%s at %s moved by %s mm, to %s", what, spot(a.X, a.Y), figure(by), spot(b.X, b.Y))
			if by > holeTol {
				no("%s at %s moved by %s mm", what, spot(a.X, a.Y), figure(by))
			}
		}
		return
	}
	a, b := was[pairs[0][0]], is[pairs[0][1]]
	by := "up to " + figure(most) + " mm"
	if len(ways) == 1 {
		by = figure(most) + " mm, all the same way"
	}
	d.tell(code+"-moved", panel, "", "%s moved by %s: that at %s is at %s now", term(len(pairs), what), by, spot(a.X, a.Y), spot(b.X, b.Y))
	if most > holeTol {
		no("%s moved by up to %s mm", term(len(pairs), what), figure(most))
	}
}

func holeWords(h result.Hole) string {
	return strings.TrimSpace(fmt.Sprintf("%s %s mm", h.Kind, figure(h.D)))
}
