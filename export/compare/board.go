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

// boards tells of the boards of a panel, and whether old ones fit: why is what the panel itself has against it.
func (d *Difference) boards(was, is result.Panel, old, new result.Console, why []string) {
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
			fit.Why = append(fit.Why, d.board(was, is, one, a, after[k])...)
		}
		fit.Why = append(fit.Why, burdened(a, old, new)...)
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
func (d *Difference) board(was, is result.Panel, name string, a, b result.PanelBoard) (why []string) {
	panel := was.Name
	at := framesOf(was, is)
	say := func(code, format string, args ...any) { d.add(Change{code, panel, name, fmt.Sprintf(format, args...)}) }
	x, y := stringsOf(a.Strings), stringsOf(b.Strings)
	for _, k := range slices.Sorted(maps.Keys(union(x, y))) {
		if n, m := x[k], y[k]; n != m {
			say("string", "%s: %s, now %s", k, count(n), count(m))
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
		if differ(u.Width, v.Width) || differ(u.Height, v.Height) || differ(u.Area, v.Area) || !alike(u.Outline, v.Outline, at) {
			how := slices.Concat(now("width", u.Width, v.Width, 3, "mm"), now("height", u.Height, v.Height, 3, "mm"), now("area", u.Area, v.Area, 1, "mm²"))
			say("board-size", "the board is another: %s", cmp.Or(strings.Join(how, "; "), "its edge runs otherwise"))
			why = append(why, beyond(*u, *v, at)...)
		}
		why = append(why, clash(*u, is, at)...)
		why = append(why, d.connectors(panel, name, *u, *v, at)...)
		if !same(copperOf(*u), copperOf(*v)) {
			how := slices.Concat(now("tracks", u.TrackMM, v.TrackMM, 1, "mm"), now("vias", float64(u.Vias), float64(v.Vias), 0, ""),
				now("narrowest gap", u.MinClearance, v.MinClearance, 3, "mm"), now("narrowest track", u.MinTrack, v.MinTrack, 3, "mm"))
			say("copper", "copper runs otherwise: %s", cmp.Or(strings.Join(how, "; "), "as long, with as many vias and the same gaps"))
		}
	}
	return why
}

func count(n int) string {
	if n == 0 {
		return "none"
	}
	return strconv.Itoa(n)
}

// beyond says why an old board of another edge cannot stand for a new one: within the new edge it can.
func beyond(u, v result.Board, at frames) []string {
	old, new := areaOf(at.old, append([]result.Path{u.Outline}, u.Cutouts...)...), areaOf(at.new, append([]result.Path{v.Outline}, v.Cutouts...)...)
	if len(old) > 0 && len(new) > 0 {
		out := old.Minus(new).Opened(touch)
		if len(out) == 0 {
			return nil
		}
		b := out.Box()
		return []string{fmt.Sprintf("it reaches beyond the new one's edge by %s mm², within %s and %s: hold it behind the panel before you use it",
			figure(math.Round(out.Area()*10)/10), spot(b.Min.X.MM()+at.old[0], b.Min.Y.MM()+at.old[1]), spot(b.Max.X.MM()+at.old[0], b.Max.Y.MM()+at.old[1]))}
	}
	return []string{"the new one has another outline: hold an old one behind the panel before you use it"}
}

// burdened says what an old board's resistors would let through on the supply of the new console, where they are not those that the new
// board has. The voltage of LEDs is taken as it was, so that the figure is a little high on more volts.
func burdened(a result.PanelBoard, old, new result.Console) []string {
	was, is := old.Supply, new.Supply
	if was == nil || is == nil || was.Volts.Nominal == is.Volts.Nominal || len(a.Strings) == 0 {
		return nil
	}
	found := false
	for _, p := range new.Panels {
		for _, o := range p.Every() {
			if o.Name == a.Name {
				found = true
				if maps.Equal(stringsOf(a.Strings), stringsOf(o.Strings)) {
					return nil // computed for the new supply, they came out the same
				}
			}
		}
	}
	if !found {
		return nil // it is gone, which is told
	}
	worst, most := a.Strings[0], 0.0
	for _, s := range a.Strings {
		if s.Ohms > 0 && s.TypicalA > 0 {
			if i := s.TypicalA + (is.Volts.Nominal-was.Volts.Nominal)/s.Ohms; i > most {
				worst, most = s, i
			}
		}
	}
	head := fmt.Sprintf("its resistors are for a supply of %s V, not %s V", figure(was.Volts.Nominal), figure(is.Volts.Nominal))
	if most <= 0 {
		return []string{head}
	}
	text := fmt.Sprintf("%s: those of %s ohm would let about %.1f mA through, not %.1f mA", head, figure(worst.Ohms), 1000*most, 1000*worst.TypicalA)
	if w := most * most * worst.Ohms; w > worst.RatedW && worst.RatedW > 0 {
		text += fmt.Sprintf(", and take %.2f W where they stand %s W", w, figure(worst.RatedW))
	}
	return []string{text}
}

// copperOf is what a board's copper is told by, without its size.
func copperOf(b result.Board) result.Board {
	b.Width, b.Height, b.Area, b.Cover, b.Travel = 0, 0, 0, 0, nil
	b.Outline, b.Cutouts, b.Connectors = "", nil, nil
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
