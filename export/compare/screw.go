package compare

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"lampblack/export/result"
)

// screws tells of what goes into mounts that both sides have; where several change alike, once.
func (d *Difference) screws(was, is result.Panel, dx, dy float64, no func(format string, args ...any)) {
	at := map[string][]string{}
	if a, b := gapOf(was), gapOf(is); a != b && a > 0 && b > 0 {
		d.tell("gap", was.Name, "", "from diffuser to LED sheet %s mm, now %s mm", figure(a), figure(b))
	}
	m := match(placed(was.Screws, screwAt), placed(is.Screws, screwAt), dx, dy)
	if n := len(m.gone) + len(m.added); n > 0 && was.Stopped == is.Stopped && len(was.Holes.Mount) == len(is.Holes.Mount) { // else holes are told
		d.tell("screws", was.Name, "", "screws: %d, now %d", len(was.Screws), len(is.Screws))
	}
	for _, p := range m.pairs {
		a, b := was.Screws[p[0]], is.Screws[p[1]]
		var how []string
		if x, y := screw(a), screw(b); x != y {
			how = append(how, x+", now "+y)
		}
		how = append(how, changed("spacer between diffuser and LED sheet", a.Front, b.Front)...)
		how = append(how, changed("spacer before the board", a.Rear, b.Rear)...)
		how = append(how, changed("slot in the sheets", a.Slot, b.Slot)...)
		how = append(how, changed("behind its nut it stands out", a.Out, b.Out)...)
		if a.Board != b.Board {
			how = append(how, fmt.Sprintf("it holds %s, before %s", holds(b.Board), holds(a.Board)))
		}
		if lift := changed("LEDs are soldered above the board by", a.Above, b.Above); len(lift) > 0 {
			how = append(how, lift...)
			no("%s", lift[0])
		}
		if len(how) > 0 {
			k := strings.Join(how, "; ")
			at[k] = append(at[k], spot(b.X, b.Y))
		}
	}
	for _, k := range slices.Sorted(maps.Keys(at)) {
		where := "screw at " + at[k][0]
		if n := len(at[k]); n > 1 {
			where = fmt.Sprintf("%d screws", n)
		}
		d.tell("screws", was.Name, "", "%s: %s", where, k)
	}
}

func screwAt(s result.Screw) (x, y float64) { return s.X, s.Y }

// gapOf is how far diffuser and LED sheet are apart, as all spacers between them are long; 0: they are not alike.
func gapOf(p result.Panel) float64 {
	for _, s := range p.Screws {
		if s.Front != p.Screws[0].Front {
			return 0
		}
	}
	if len(p.Screws) == 0 {
		return 0
	}
	return p.Screws[0].Front
}

func holds(board string) string {
	if board == "" {
		return "the sheets alone"
	}
	return "board " + board
}

func screw(s result.Screw) string {
	switch {
	case s.Thread == "":
		return "no usual screw fits"
	case s.Length == 0:
		return s.Thread + ", longer than any"
	}
	return fmt.Sprintf("%s x %s mm", s.Thread, figure(s.Length))
}

// changed is a length that both sides have, or only one.
func changed(what string, a, b float64) []string {
	switch {
	case figure(a) == figure(b):
		return nil
	case a == 0:
		return []string{fmt.Sprintf("%s: none, now %s mm", what, figure(b))}
	case b == 0:
		return []string{fmt.Sprintf("%s: %s mm, now none", what, figure(a))}
	}
	return []string{fmt.Sprintf("%s: %s mm, now %s mm", what, figure(a), figure(b))}
}
