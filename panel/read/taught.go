package read

import (
	"cmp"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// unit is loops that no rule can tell apart but by their places one by one.
type unit struct {
	loop  *loop // one of them
	lo    float64
	hi    float64 // diameters
	box   [2]dxf.XY
	n     int
	want  panel.Role // empty: no rule is to take it
	told  bool       // a rule that was told is to take it, and no other
	all   []int
	class int // 0 letters, 1 round, 2 shapes
}

type unitKey struct {
	class       int
	short, long int
	layer       string
	block       string
	colour      uint32
	places      role.Places
	within      [2]int
	want        panel.Role
}

// mostRules is how many lines a proposal has at most, and mostUnits how many kinds of things it tells apart.
const mostRules, mostUnits = 25, 600

// taught adds to rules, of which those that were told stay, others that give each unit the role that it is to have: a list of decisions,
// each of which sets right most of what is not yet, and spoils nothing that is.
//
// Source: the covering of R. L. Rivest, "Learning decision lists", Machine Learning 2, 1987, doi:10.1007/BF00058680; here
// the order of rules is not theirs but how closely each says what it means.
func (s *scene) taught(w *work.Watch, units []unit, rules []Rule, told int, ls layers) []Rule {
	rules = slices.Clip(rules)
	says := func(u *unit, rules []Rule) panel.Role {
		k, clash := u.taking(rules, told, ls)
		switch {
		case clash >= 0 || u.told && k >= told:
			return clashing
		case k >= 0:
			return rules[k].Role
		}
		return ls.role[lowered(u.loop.from.Layer)]
	}
	now := make([]panel.Role, len(units))
	banned := map[Rule]bool{}
	update := func() {
		for i := range units {
			now[i] = says(&units[i], rules)
		}
	}
	update()
	for tries := 0; len(rules) < mostRules && tries < 6*mostRules; tries++ {
		w.Look()
		worst := -1
		for i := range units {
			if now[i] != units[i].want && (worst < 0 || units[i].n > units[worst].n) {
				worst = i
			}
		}
		if worst < 0 {
			break
		}
		best, gain := Rule{}, 0
		for _, r := range s.candidates(units, worst, told > 0) {
			if banned[r] || r.AtNear && now[worst] != "" {
				continue // one place is named only where nothing else is left
			}
			fixed := 0
			more := append(slices.Clip(rules), r)
			for i := range units {
				w.Step()
				got := says(&units[i], more)
				switch {
				case got != units[i].want && now[i] == units[i].want:
					fixed = math.MinInt32
				case got == units[i].want && now[i] != units[i].want:
					fixed += 1 + min(units[i].n, 50)
				}
			}
			if fixed > gain || fixed == gain && fixed > 0 && r.closeness() < best.closeness() {
				best, gain = r, fixed
			}
		}
		switch {
		case gain > 0:
			rules = append(rules, best)
			update()
		case now[worst] != "":
			// A rule that says too much stands in the way: it goes, and does not come again.
			k, clash := units[worst].taking(rules, told, ls)
			if k = max(k, clash); k >= told {
				banned[rules[k]] = true
				rules = slices.Delete(slices.Clone(rules), k, k+1)
				update()
				continue
			}
			fallthrough
		default: // nothing can say it: the rest goes on without
			units = slices.Delete(slices.Clone(units), worst, worst+1)
			now = slices.Delete(now, worst, worst+1)
		}
	}
	return rules
}

// taking returns the rule that takes a unit, and another one that fits as well and may not: since it gives another role, or is none of
// those that were told.
func (u *unit) taking(rules []Rule, told int, ls layers) (best, clash int) {
	return taking(u.loop, rules, ls, func(a, b int) bool { return rules[a].Role != rules[b].Role || u.told && max(a, b) >= told })
}

// clashing is what rules say that fit equally well and differ, or of which one hides what was told.
const clashing panel.Role = "clashing"

// proposed returns rules as a survey proposes them.
func (s *scene) proposed(units []unit, rules []Rule, ls layers) proposal {
	var p proposal
	counts := make([]int, len(rules))
	for i := range units {
		if k, _ := taking(units[i].loop, rules, ls, nil); k >= 0 {
			counts[k] += units[i].n
		}
	}
	for k, r := range rules {
		p = p.with(Proposed{r, counts[k], s.unsure(r)})
	}
	return p
}

// units puts loops in sheets together that rules cannot tell apart, and that are to have the same role. Of those that want is not ok for,
// nothing is to be said.
func (s *scene) units(w *work.Watch, want func(i int) (r panel.Role, ok bool)) []unit {
	index := map[unitKey]int{}
	var out []unit
	group := map[int]int{} // the judged group of each loop, for its size class
	for g := range s.groups {
		for _, k := range s.groups[g].Things {
			group[s.back[k]] = g
		}
	}
	for i := range s.loops {
		w.Step()
		l := &s.loops[i]
		if s.thing[i] < 0 || s.roles[i] == "" {
			continue
		}
		r, ok := want(i)
		if !ok {
			continue
		}
		k := unitKey{class: 2, layer: lowered(l.from.Layer), block: l.from.Block, colour: l.from.Colour, places: l.places, want: r}
		a, b := min(l.box.W(), l.box.H()), max(l.box.W(), l.box.H())
		if l.round {
			a, b, k.class = l.d, l.d, 1
		}
		if l.letter {
			k.class, k.places = 0, 0
		} else {
			if l.within.W() > 0 && !l.within.Empty() {
				k.within = [2]int{int(math.Round(l.within.W() * 10)), int(math.Round(l.within.H() * 10))}
			}
			if g, ok := group[i]; ok && l.round {
				k.short = int(math.Round((s.groups[g].Min + s.groups[g].Max) * 500))
				k.long = k.short
			} else {
				k.short, k.long = int(math.Round(a*20)), int(math.Round(b*20))
			}
		}
		at, ok := index[k]
		if !ok {
			at = len(out)
			index[k] = at
			out = append(out, unit{loop: l, want: r, class: k.class, lo: math.Inf(1), box: [2]dxf.XY{{X: a, Y: b}, {X: a, Y: b}}})
		}
		u := &out[at]
		u.n++
		u.all = append(u.all, i)
		u.lo, u.hi = min(u.lo, a), max(u.hi, a)
		u.box[0] = dxf.XY{X: min(u.box[0].X, a), Y: min(u.box[0].Y, b)}
		u.box[1] = dxf.XY{X: max(u.box[1].X, a), Y: max(u.box[1].Y, b)}
	}
	slices.SortStableFunc(out, func(a, b unit) int {
		return cmp.Or(cmp.Compare(a.class, b.class), compare(a.lo, b.lo), compare(a.box[0].Y, b.box[0].Y), cmp.Compare(a.all[0], b.all[0]))
	})
	return out[:min(len(out), mostUnits)]
}

// down and up round a length to a hundredth of a millimetre either way, so that a range holds all that it is made from.
func down(v float64) geom.Nm { return geom.MM(v) / tenMicrons * tenMicrons }
func up(v float64) geom.Nm   { return (geom.MM(v) + tenMicrons - 1) / tenMicrons * tenMicrons }

// candidates are the rules that would take a unit rightly, with wide also those for all circles.
func (s *scene) candidates(units []unit, at int, wide bool) []Rule {
	u := &units[at]
	if u.want == "" {
		return nil
	}
	var sizes []Rule
	base := Rule{Role: u.want}
	switch u.class {
	case 0:
		base.Kind = LetterRule
		sizes = append(sizes, base)
	case 1:
		base.Kind = CircleRule
		one := base
		one.Min = hundredths((u.lo + u.hi) / 2)
		one.Max = one.Min
		if u.hi-u.lo > circleFit.MM()/2 {
			one.Min, one.Max = down(u.lo), up(u.hi)
		}
		sizes = append(sizes, one)
		near := base
		near.Min, near.Max = u.span(units, at, true)
		sizes = append(sizes, near)
		whole := base
		whole.Min, whole.Max = u.span(units, at, false)
		sizes = append(sizes, whole)
		if wide {
			sizes = append(sizes, base)
		}
	default:
		base.Kind = ShapeRule
		one := base
		one.ofShapes(u.box[0].Y, u.box[1].Y, u.box[0].X, u.box[1].X)
		sizes = append(sizes, base, one)
		lo, hi := u.box[0], u.box[1]
		for i := range units {
			if v := &units[i]; v.class == 2 && v.want == u.want {
				lo = dxf.XY{X: min(lo.X, v.box[0].X), Y: min(lo.Y, v.box[0].Y)}
				hi = dxf.XY{X: max(hi.X, v.box[1].X), Y: max(hi.Y, v.box[1].Y)}
			}
		}
		wide := base
		wide.W, wide.W2, wide.H, wide.H2 = down(lo.Y), up(hi.Y), down(lo.X), up(hi.X)
		sizes = append(sizes, wide)
	}
	l := u.loop
	var more []Rule // what may stand behind the size
	for _, place := range [...]role.Places{role.InCorners, role.NearEdge, role.RoundOthers, role.WithinOther} {
		if l.places&place != 0 && u.class != 0 {
			more = append(more, Rule{Places: place})
		}
	}
	if u.class != 0 && l.within.W() > 0 && !l.within.Empty() {
		more = append(more, Rule{In: Within{hundredths(l.within.W()), hundredths(l.within.H())}})
	}
	if l.from.Layer != "" {
		more = append(more, Rule{Layer: l.from.Layer})
	}
	if l.from.Block != "" {
		more = append(more, Rule{Block: l.from.Block})
	}
	if l.from.Colour != 0 {
		more = append(more, Rule{Colour: l.from.Colour})
	}
	var out []Rule
	for _, r := range sizes {
		out = append(out, r)
		for i, q := range more {
			out = append(out, r.behind(q))
			for _, o := range more[i+1:] {
				out = append(out, r.behind(q).behind(o))
			}
		}
	}
	if u.n == 1 {
		m := l.middle()
		r := base
		r.Near, r.AtNear = dxf.XY{X: math.Round(m.X*100) / 100, Y: math.Round(m.Y*100) / 100}, true
		out = append(out, r)
	}
	return out
}

// behind returns the rule with what another one says of places and how things are drawn.
func (r Rule) behind(q Rule) Rule {
	r.Places |= q.Places
	if q.In != (Within{}) {
		r.In = q.In
	}
	if q.Layer != "" {
		r.Layer = q.Layer
	}
	if q.Block != "" {
		r.Block = q.Block
	}
	if q.Colour != 0 {
		r.Colour = q.Colour
	}
	return r
}

// span returns the range of diameters round the unit's own in which no unit has another role; with all false, that of all
// units with its role.
func (u *unit) span(units []unit, at int, all bool) (lo, hi geom.Nm) {
	a, b := u.lo, u.hi
	for _, step := range [2]int{-1, 1} {
		for i := at + step; i >= 0 && i < len(units) && units[i].class == 1; i += step {
			if units[i].want != u.want {
				if all {
					break
				}
				continue
			}
			a, b = min(a, units[i].lo), max(b, units[i].hi)
		}
	}
	return down(a), up(b)
}

// unsure says what is in doubt of what a rule takes.
func (s *scene) unsure(r Rule) string {
	for i := range s.groups {
		g := &s.groups[i]
		if g.Margin >= role.Sure || g.Role != r.Role {
			continue
		}
		if _, ok := r.takes(&s.loops[s.back[g.Things[0]]]); !ok {
			continue
		}
		d := 0.0
		if g.Round {
			d = (g.Min + g.Max) / 2
		}
		word := "they may be "
		if len(g.Why) == 0 {
			return word + takenAs(g.Second, d, 2)
		}
		return word + takenAs(g.Second, d, 2) + since(role.Reasons(len(g.Things), g.But))
	}
	return ""
}
