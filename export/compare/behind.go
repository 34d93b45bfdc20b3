package compare

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/result"
)

// behind tells of what sits in the openings, of screws and spacers, and of what follows from stack and parts for depth and for what is seen.
func (d *Difference) behind(was, is result.Panel, dx, dy float64, no func(format string, args ...any)) {
	d.controls(was, is, dx, dy, no)
	d.screws(was, is, dx, dy, no)
	if was.BodiesFrom != is.BodiesFrom {
		d.tell("bodies-from", was.Name, "", "bodies of no control begin behind the back of the %s, before of the %s", orNone(is.BodiesFrom), orNone(was.BodiesFrom))
	}
	d.standing(was, is)
	d.windows(was, is, dx, dy)
	if a, b := seenOf(was), seenOf(is); !same(a, b) {
		d.tell("seen", was.Name, "", "LEDs that are seen directly: %s, now %s", few(a), few(b))
	}
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// controls tells of what sits in openings, matched by place.
func (d *Difference) controls(was, is result.Panel, dx, dy float64, no func(format string, args ...any)) {
	say := func(code, format string, args ...any) { d.tell(code, was.Name, "", format, args...) }
	spots := func(all []result.Control) (out []result.Hole) {
		for _, c := range all {
			out = append(out, result.Hole{X: c.X, Y: c.Y})
		}
		return out
	}
	name := func(c result.Control) string { return fmt.Sprintf("%s (%s)", c.Words, c.Kind) }
	m := match(spots(was.Controls), spots(is.Controls), dx, dy)
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
			how = append(how, fmt.Sprintf("it clamps %s, before %s", clamps(b.Clamps), clamps(a.Clamps)))
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

func clamps(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

func tab(s string) string {
	switch s {
	case "":
		return "none"
	case "off":
		return "broken off"
	}
	return "in a hole of its own"
}

// screws tells of what goes into mounts that both sides have; where several change alike, once.
func (d *Difference) screws(was, is result.Panel, dx, dy float64, no func(format string, args ...any)) {
	spots := func(all []result.Screw) (out []result.Hole) {
		for _, s := range all {
			out = append(out, result.Hole{X: s.X, Y: s.Y})
		}
		return out
	}
	at := map[string][]string{}
	if a, b := gapOf(was), gapOf(is); a != b && a > 0 && b > 0 {
		d.tell("gap", was.Name, "", "from diffuser to LED sheet %s mm, now %s mm", figure(a), figure(b))
	}
	m := match(spots(was.Screws), spots(is.Screws), dx, dy)
	if n := len(m.gone) + len(m.added); n > 0 && len(was.Holes.Mount) == len(is.Holes.Mount) { // else holes are told
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

// standing tells how LEDs come to the diffuser, and how deep everything is.
func (d *Difference) standing(was, is result.Panel) {
	fits := func(p result.Panel) map[string]result.Fit {
		out := map[string]result.Fit{}
		for _, f := range p.Fit {
			out[f.Board] = f
		}
		return out
	}
	alone := func(board string) string {
		if len(was.Fit) > 1 || len(is.Fit) > 1 {
			return board
		}
		return ""
	}
	x, y := fits(was), fits(is)
	for _, board := range slices.Sorted(maps.Keys(x)) {
		a := x[board]
		b, ok := y[board]
		if !ok {
			continue
		}
		slight := math.Abs(a.Tips.Nominal-b.Tips.Nominal) < 0.05 && math.Abs(a.Tips.Least-b.Tips.Least) < 0.05 && same(a.Washers, b.Washers) && a.Higher == b.Higher &&
			(a.Support == nil || b.Support == nil || math.Abs(a.Support.Clear-b.Support.Clear) < 0.05)
		how := slices.Concat(now("from LEDs' tips to the diffuser", a.Tips.Nominal, b.Tips.Nominal, 1, "mm"), now("at the least", a.Tips.Least, b.Tips.Least, 1, "mm"))
		if u, v := washers(a), washers(b); u != v {
			how = append(how, u+", now "+v)
		}
		if a.Higher != b.Higher {
			how = append(how, map[bool]string{true: "behind a thicker LED sheet its LEDs are soldered higher now", false: "its LEDs are no longer soldered higher behind a thicker LED sheet"}[b.Higher])
		}
		if s, t := a.Support, b.Support; s != nil && t != nil {
			how = append(how, now("farthest from a screw", s.Distance, t.Distance, 1, "mm")...)
			how = append(how, now("left between tips and diffuser there", s.Clear, t.Clear, 1, "mm")...)
		}
		if len(how) > 0 {
			d.tell("fit", was.Name, alone(board), "%s", strings.Join(how, "; "))
			d.slightly(slight)
		}
	}
	a, b := was.Depth, is.Depth
	if a == nil || b == nil {
		return
	}
	how := now("deep behind the face's front", a.Behind, b.Behind, 1, "mm")
	if a.Deepest != b.Deepest {
		how = append(how, fmt.Sprintf("deepest is %s, before %s", deepest(b.Deepest), deepest(a.Deepest)))
	}
	how = append(how, now("standing out before the face", a.Before, b.Before, 1, "mm")...)
	how = append(how, now("the case", a.Case, b.Case, 1, "mm")...)
	for _, s := range a.Boards {
		k := slices.IndexFunc(b.Boards, func(t result.Standing) bool { return t.Board == s.Board })
		if k < 0 {
			continue
		}
		t := b.Boards[k]
		of := "board"
		if len(a.Boards) > 1 {
			of += " " + s.Board
		}
		how = append(how, now(of+"'s front behind the face's", s.Front, t.Front, 1, "mm")...)
		how = append(how, now(of+"'s thickness", s.Back-s.Front, t.Back-t.Front, 2, "mm")...)
		how = append(how, now("room before the "+of, s.Room, t.Room, 1, "mm")...)
		how = append(how, now("what stands out of its back", highest(s), highest(t), 1, "mm")...)
	}
	if len(how) > 0 {
		d.tell("depth", was.Name, "", "%s", strings.Join(how, "; "))
	}
}

func deepest(s string) string {
	if s == "" {
		return "a sheet or a board"
	}
	return s
}

func highest(s result.Standing) (most float64) {
	for _, o := range s.Sides {
		if o.Side == "back" {
			most = max(most, o.Height)
		}
	}
	return most
}

func washers(f result.Fit) string {
	if len(f.Washers) == 0 {
		return "no washers"
	}
	most := 0
	for _, w := range f.Washers {
		most = max(most, w.Count)
	}
	return fmt.Sprintf("up to %d washers of %s mm for %s on each screw", most, figure(f.Washer), f.Thread)
}

// windows tells of what is lit and no lettering.
func (d *Difference) windows(was, is result.Panel, dx, dy float64) {
	key := func(w result.LitWindow, dx, dy float64) string {
		return fmt.Sprintf("%s at %s, %s mm² of it seen", w.What, spot(w.X-dx, w.Y-dy), figure(w.Area))
	}
	count := map[string]int{}
	for _, w := range was.Windows {
		count[key(w, 0, 0)]++
	}
	for _, w := range is.Windows {
		k := key(w, dx, dy)
		if count[k]--; count[k] < 0 {
			d.tell("window-added", is.Name, "", "lit through the face now: %s", k)
		}
	}
	for _, w := range was.Windows {
		if k := key(w, 0, 0); count[k] > 0 {
			count[k]--
			d.tell("window-gone", was.Name, "", "no longer lit through the face: %s", k)
		}
	}
}

// seenOf names the LEDs that an eye sees, and through what.
func seenOf(p result.Panel) []string {
	var out []string
	for _, s := range p.Seen {
		out = append(out, fmt.Sprintf("%s through %s", s.LED, s.Through))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// few lists what is short, and counts the rest.
func few(all []string) string {
	const most = 3
	switch {
	case len(all) == 0:
		return "none"
	case len(all) > most:
		return strings.Join(all[:most-1], ", ") + " and " + strconv.Itoa(len(all)-most+1) + " more"
	}
	return strings.Join(all, ", ")
}
