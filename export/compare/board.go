package compare

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"lampblack/export/result"
)

// boards tells of the boards of a panel, and whether old ones fit: why is what the panel itself has against it.
func (d *Difference) boards(was, is result.Panel, old, now result.Console, why []string) {
	find := func(all []result.PanelBoard, name string) int {
		return slices.IndexFunc(all, func(b result.PanelBoard) bool { return b.Name == name })
	}
	before, after := was.Every(), is.Every()
	for _, a := range before {
		fit := Board{Panel: was.Name, Board: a.Name, Why: slices.Clone(why)}
		one := ""
		if len(before) > 1 {
			one = a.Name
		}
		if k := find(after, a.Name); k < 0 {
			d.add(Change{"board-gone", was.Name, one, "the board is gone"})
			fit.Why = append(fit.Why, "there is no such board any more")
		} else {
			fit.Why = append(fit.Why, d.board(was.Name, one, a, after[k])...)
		}
		if a, b := old.Supply, now.Supply; a != nil && b != nil && a.Volts != b.Volts {
			fit.Why = append(fit.Why, fmt.Sprintf("its resistors are for a supply of %s V, not %s V", figure(a.Volts.Nominal), figure(b.Volts.Nominal)))
		}
		fit.Fits = len(fit.Why) == 0
		d.Boards = append(d.Boards, fit)
	}
	for _, b := range after {
		if find(before, b.Name) < 0 {
			d.add(Change{"board-added", is.Name, b.Name, "the board is new"})
		}
	}
}

// board tells of one board that both sides have, and returns why an old one cannot be used.
func (d *Difference) board(panel, name string, a, b result.PanelBoard) (why []string) {
	say := func(code, format string, args ...any) { d.add(Change{code, panel, name, fmt.Sprintf(format, args...)}) }
	x, y := stringsOf(a.Strings), stringsOf(b.Strings)
	for _, k := range slices.Sorted(maps.Keys(union(x, y))) {
		if n, m := x[k], y[k]; n != m {
			say("string", "%s: %d, now %d", k, n, m)
		}
	}
	if !maps.Equal(x, y) {
		why = append(why, "its strings or resistors are others")
	} else if !same(refs(a.Strings), refs(b.Strings)) {
		say("references", "LEDs or resistors have other numbers")
	}
	if !same(groupsOf(a.Groups), groupsOf(b.Groups)) {
		say("feed", "its connectors have other pins")
		why = append(why, "its connectors have other pins")
	}
	u, v := a.Board, b.Board
	switch {
	case u == nil && v == nil:
	case u == nil:
		say("board-added", "the board is made now, it was not before")
		why = append(why, "it was never made")
	case v == nil:
		say("board-gone", "the board could not be made")
		why = append(why, "the new one could not be made, so nothing can be said")
	default:
		if differ(u.Width, v.Width) || differ(u.Height, v.Height) || differ(u.Area, v.Area) {
			say("board-size", "board was %s x %s mm, %s mm²; it is %s x %s mm, %s mm²", figure(u.Width), figure(u.Height), figure(u.Area), figure(v.Width), figure(v.Height), figure(v.Area))
			why = append(why, "the new one has another outline: hold an old one behind the panel before you use it")
		}
		if !same(copperOf(*u), copperOf(*v)) {
			say("copper", "copper runs otherwise: tracks %s mm, now %s mm; vias %d, now %d; narrowest gap %s mm, now %s mm",
				figure(u.TrackMM), figure(v.TrackMM), u.Vias, v.Vias, figure(u.MinClearance), figure(v.MinClearance))
		}
	}
	return why
}

// copperOf is what a board's copper is told by, without its size.
func copperOf(b result.Board) result.Board {
	b.Width, b.Height, b.Area, b.Cover, b.Travel = 0, 0, 0, 0, nil
	return b
}

func stringsOf(all []result.String) map[string]int {
	out := map[string]int{}
	for _, s := range all {
		w := fmt.Sprintf("strings of %d LEDs with %s ohm, %s W", len(s.LEDs), figure(s.Ohms), figure(s.RatedW))
		if s.Kind != "" {
			w = fmt.Sprintf("strings of %d LEDs (%s) with %s ohm, %s W", len(s.LEDs), s.Kind, figure(s.Ohms), figure(s.RatedW))
		}
		if s.Group != "" {
			w += " in group " + s.Group
		}
		out[w]++
	}
	return out
}

func refs(all []result.String) []string {
	var out []string
	for _, s := range all {
		out = append(out, strings.Join(s.LEDs, " ")+" "+s.Resistor)
	}
	return out
}

func groupsOf(all []result.Group) []string {
	var out []string
	for _, g := range all {
		out = append(out, fmt.Sprint(g.Pin, g.Sign, g.Net, g.Name))
	}
	return out
}

func union(a, b map[string]int) map[string]int {
	out := maps.Clone(a)
	maps.Copy(out, b)
	return out
}
