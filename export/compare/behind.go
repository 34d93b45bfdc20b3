package compare

import (
	"cmp"
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
	if was.BodiesFrom != is.BodiesFrom && was.BodiesFrom != "" && is.BodiesFrom != "" { // of no bodies nothing is told
		d.tell("bodies-from", was.Name, "", "bodies of no control begin behind the back of the %s, before of the %s", is.BodiesFrom, was.BodiesFrom)
	}
	d.standing(was, is)
	d.windows(was, is, dx, dy)
	if a, b := seenOf(was), seenOf(is); !same(a, b) {
		d.tell("seen", was.Name, "", "LEDs that are seen directly: %s, now %s", few(a), few(b))
	}
}

func orNone(s string) string { return cmp.Or(s, "none") }

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
		how := slices.Concat(now("from LEDs' tips to the diffuser", a.Tips.Nominal, b.Tips.Nominal, 1, "mm"), now("from tips to diffuser at the least", a.Tips.Least, b.Tips.Least, 1, "mm"))
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
