package compare

import (
	"cmp"
	"fmt"
	"strings"

	"lampblack/export/result"
)

// controls tells of what sits in openings, matched by place.
func (d *Difference) controls(was, is result.Panel, dx, dy float64, no func(format string, args ...any)) {
	say := func(code, format string, args ...any) { d.tell(code, was.Name, "", format, args...) }
	name := func(c result.Control) string { return fmt.Sprintf("%s (%s)", c.Words, c.Kind) }
	m := match(placed(was.Controls, controlAt), placed(is.Controls, controlAt), dx, dy)
	for _, p := range m.pairs {
		a, b := was.Controls[p[0]], is.Controls[p[1]]
		if a.X != b.X-dx || a.Y != b.Y-dy {
			if by := far(a.X, a.Y, b.X-dx, b.Y-dy); by > placeTol {
				say("control-moved", "%s at %s sits at %s now", name(a), spot(a.X, a.Y), spot(b.X, b.Y))
			}
		}
		if a.Kind != b.Kind {
			say("control", "in the opening at %s: %s, before %s", spot(b.X, b.Y), name(b), name(a))
			if !b.Body { // else its body is tried against the board's edge
				no("the body drawn behind the opening at %s may not be that of what sits there now, %s: hold an old board against it", spot(b.X, b.Y), name(b))
			}
		}
		how := now("it reaches behind the face's front", a.Behind, b.Behind, 1, "mm")
		if a.Clamps != b.Clamps {
			how = append(how, fmt.Sprintf("it clamps %s, before %s", cmp.Or(b.Clamps, "nothing"), cmp.Or(a.Clamps, "nothing")))
		}
		if a.Left != nil && b.Left != nil {
			how = append(how, now("left of its thread", *a.Left, *b.Left, 1, "mm")...)
		}
		if a.Tab != b.Tab {
			how = append(how, fmt.Sprintf("its tab: %s, now %s", tab(a.Tab), tab(b.Tab)))
		}
		if a.Words != b.Words && a.Kind == b.Kind {
			how = append(how, fmt.Sprintf("it is a %s, before a %s", b.Words, a.Words))
		}
		if len(how) > 0 {
			say("control-seat", "%s at %s: %s", b.Kind, spot(b.X, b.Y), strings.Join(how, "; "))
		}
	}
	for _, i := range m.gone {
		say("control-gone", "in the opening at %s: nothing that is told, before %s", spot(was.Controls[i].X, was.Controls[i].Y), name(was.Controls[i]))
	}
	for _, i := range m.added {
		c := is.Controls[i]
		say("control-added", "in the opening at %s: %s, before nothing that is told", spot(c.X, c.Y), name(c))
		if !c.Body {
			no("%s sits at %s now: hold an old board against it", name(c), spot(c.X, c.Y))
		}
	}
}

func controlAt(c result.Control) (x, y float64) { return c.X, c.Y }

func tab(s string) string {
	switch s {
	case "":
		return "none"
	case "off":
		return "broken off"
	}
	return "in a hole of its own"
}
