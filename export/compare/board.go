package compare

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
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
			d.tell("board-gone", was.Name, one, "the board is gone")
			fit.Why = append(fit.Why, "there is no such board any more")
		} else {
			fit.Why = append(fit.Why, d.board(was, is, one, a, after[k])...)
		}
		fit.Why = once(append(fit.Why, burdened(a, old, new)...))
		fit.Fits = len(fit.Why) == 0
		d.Boards = append(d.Boards, fit)
	}
	for _, b := range after {
		if find(before, b.Name) < 0 {
			d.tell("board-added", is.Name, b.Name, "the board is new")
		}
	}
}

// once leaves out what is said again.
func once(all []string) []string {
	var out []string
	for _, s := range all {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// board tells of one board that both sides have, and returns why an old one cannot be used.
func (d *Difference) board(was, is result.Panel, name string, a, b result.PanelBoard) (why []string) {
	panel := was.Name
	at := framesOf(was, is)
	say := func(code, format string, args ...any) { d.tell(code, panel, name, format, args...) }
	if x, y := lamps(a.Strings), lamps(b.Strings); x != y {
		say("led-kind", "LEDs of the board: %s, now %s", x, y)
	}
	if how := strung(a.Strings, b.Strings); len(how) > 0 {
		for _, s := range how {
			say("string", "%s", s)
		}
		why = append(why, "its strings or resistors are others")
	} else if !same(refs(a.Strings), refs(b.Strings)) {
		say("references", "LEDs or resistors have other numbers")
	}
	if !same(pinsOf(a.Groups), pinsOf(b.Groups)) {
		say("pins", "its connectors have other pins: %s, now %s", pins(a.Groups), pins(b.Groups))
		why = append(why, "its connectors have other pins")
	}
	for _, g := range a.Groups {
		if k := slices.IndexFunc(b.Groups, func(o result.Group) bool { return o.Name == g.Name }); k >= 0 {
			for _, t := range now(fmt.Sprintf("group %q is on", g.Name), 100*g.Duty, 100*b.Groups[k].Duty, 1, "% of the time") {
				say("dimming", "%s", t)
			}
		}
	}
	u, v := a.Board, b.Board
	switch {
	case u == nil && v == nil:
	case u == nil:
		say("board-added", "the board is made now, it was not before")
		why = append(why, "it was never made")
	case v == nil:
		say("board-stopped", "the board could not be made")
		why = append(why, "the new one could not be made, so nothing can be said")
	default:
		if differ(u.Width, v.Width) || differ(u.Height, v.Height) || differ(u.Area, v.Area) || !alike(u.Outline, v.Outline, at) {
			how := slices.Concat(now("width", u.Width, v.Width, 3, "mm"), now("height", u.Height, v.Height, 3, "mm"), now("area", u.Area, v.Area, 1, "mm²"))
			say("board-size", "the board is another: %s", cmp.Or(strings.Join(how, "; "), "its edge runs otherwise"))
			why = append(why, beyond(*u, *v, at)...)
		}
		why = append(why, clash(*u, *v, is, at)...)
		why = append(why, d.connectors(panel, name, *u, *v, at)...)
		if !same(copperOf(*u), copperOf(*v)) {
			how := slices.Concat(now("tracks", u.TrackMM, v.TrackMM, 1, "mm"), now("vias", float64(u.Vias), float64(v.Vias), 0, ""),
				now("narrowest gap", u.MinClearance, v.MinClearance, 3, "mm"), now("narrowest track", u.MinTrack, v.MinTrack, 3, "mm"))
			say("copper", "copper runs otherwise: %s", cmp.Or(strings.Join(how, "; "), "as long, with as many vias and the same gaps"))
		}
	}
	return why
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
				if len(strung(a.Strings, o.Strings)) == 0 {
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

// kindOf is what strings have in common that are set against each other.
type kindOf struct {
	leds        int
	kind, group string
}

func (k kindOf) String() string {
	w := term(k.leds, "LED")
	if k.kind != "" {
		w += " (" + k.kind + ")"
	}
	if k.group != "" {
		w += " in group " + k.group
	}
	return w
}

// stringsOf counts strings by their LEDs, and of those resistors by value and rating.
func stringsOf(all []result.String) map[kindOf]map[string]int {
	out := map[kindOf]map[string]int{}
	for _, s := range all {
		k := kindOf{len(s.LEDs), s.Kind, s.Group}
		if out[k] == nil {
			out[k] = map[string]int{}
		}
		out[k][fmt.Sprintf("%s ohm, %s W", figure(s.Ohms), figure(s.RatedW))]++
	}
	return out
}

// strung tells how the strings of a board differ; nothing where they are alike.
func strung(was, is []result.String) (how []string) {
	a, b := stringsOf(was), stringsOf(is)
	all := maps.Clone(a)
	maps.Copy(all, b)
	kinds := slices.SortedFunc(maps.Keys(all), func(p, q kindOf) int {
		return cmp.Or(p.leds-q.leds, cmp.Compare(p.kind, q.kind), cmp.Compare(p.group, q.group))
	})
	resistors := func(m map[string]int) string {
		var out []string
		for _, r := range slices.Sorted(maps.Keys(m)) {
			if len(m) > 1 {
				r = fmt.Sprintf("%d of %s", m[r], r)
			}
			out = append(out, r)
		}
		return strings.Join(out, "; ")
	}
	total := func(m map[string]int) (n int) {
		for _, k := range m {
			n += k
		}
		return n
	}
	for _, k := range kinds {
		x, y := a[k], b[k]
		n, m := total(x), total(y)
		switch {
		case maps.Equal(x, y):
		case n == 0:
			how = append(how, fmt.Sprintf("%s of %v: new, with resistors of %s", term(m, "string"), k, resistors(y)))
		case m == 0:
			how = append(how, fmt.Sprintf("%s of %v: gone, with resistors of %s", term(n, "string"), k, resistors(x)))
		case n == m:
			text := fmt.Sprintf("%s of %v: resistors of %s, before %s", term(n, "string"), k, resistors(y), resistors(x))
			for _, t := range now("in each", milliamps(was, k), milliamps(is, k), 1, "mA") {
				text += "; " + t
			}
			how = append(how, text)
		case resistors(x) == resistors(y) && len(x) == 1:
			how = append(how, fmt.Sprintf("strings of %v, with resistors of %s: %d, now %d", k, resistors(x), n, m))
		default:
			how = append(how, fmt.Sprintf("strings of %v: %d with resistors of %s, now %d of %s", k, n, resistors(x), m, resistors(y)))
		}
	}
	return how
}

// lamps names the kinds of LED of a board.
func lamps(all []result.String) string {
	var out []string
	for _, s := range all {
		if s.Kind != "" {
			out = append(out, s.Kind)
		}
	}
	slices.Sort(out)
	return cmp.Or(strings.Join(slices.Compact(out), " and "), "of no kind that is told")
}

// milliamps is the current in each of some strings in the mean.
func milliamps(all []result.String, k kindOf) float64 {
	sum, n := 0.0, 0
	for _, s := range all {
		if len(s.LEDs) == k.leds && s.Kind == k.kind && s.Group == k.group {
			sum, n = sum+1000*s.TypicalA, n+1
		}
	}
	return sum / float64(max(n, 1))
}

func term(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func refs(all []result.String) []string {
	var out []string
	for _, s := range all {
		out = append(out, strings.Join(s.LEDs, " ")+" "+s.Resistor)
	}
	return out
}

func pinsOf(all []result.Group) []string {
	var out []string
	for _, g := range all {
		out = append(out, fmt.Sprint(g.Pin, g.Sign, g.Net, g.Name))
	}
	return out
}

func pins(all []result.Group) string {
	if len(all) == 0 {
		return "one for all LEDs"
	}
	var out []string
	for _, g := range all {
		out = append(out, fmt.Sprintf("%d %s", g.Pin, cmp.Or(g.Name, "the rest")))
	}
	return strings.Join(out, ", ")
}
