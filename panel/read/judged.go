package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// judged gives roles by evidence to what has none, and tells each guess; what is a question is asked.
//
// Circles that may be LEDs or something else are LEDs where a rule names the kind of LED that they are.
func (s *scene) judged(w *work.Watch, sheets []sheet, kinds LEDKinds) findings {
	var said findings
	if len(s.all.Things) == 0 {
		return said
	}
	open := false
	for i := range s.loops {
		if k := s.thing[i]; k >= 0 {
			s.all.Things[k].Given = s.roles[i]
			open = open || s.roles[i] == ""
		}
	}
	if !open {
		return said
	}
	s.groups = role.Judge(w, s.all, s.seen)
	plain := map[panel.Role]*role.Group{} // shapes that leave no doubt are told together
	var order []panel.Role
	lit := s.lit(kinds, &said)
	for i := range s.groups {
		g := &s.groups[i]
		why := groundOf(g)
		for _, k := range g.Things {
			s.roles[s.back[k]], s.loops[s.back[k]].ground = g.Role, why
		}
		if (g.Letters || !g.Round) && !g.Asks() {
			if plain[g.Role] == nil {
				plain[g.Role] = &role.Group{Role: g.Role, Why: g.Why, Letters: true}
				order = append(order, g.Role)
			}
			p := plain[g.Role]
			p.Things = append(p.Things, g.Things...)
			if p.Letters = p.Letters && g.Letters; !slices.Equal(p.Why, g.Why) {
				p.Why = nil
			}
			continue
		}
		said.join(s.told(g, sheets))
	}
	s.groups = append(s.groups, lit...)
	for _, r := range order {
		g := plain[r]
		from := s.loops[s.back[slices.Min(g.Things)]].from
		what := count(len(g.Things), "closed line") + " that " + are(len(g.Things)) + " no circle"
		if g.Letters {
			what = counted(len(g.Things), "closed line that is part of a word", "closed lines that form words")
		}
		said.guess(from, "%s %s taken as %s%s", what, are(len(g.Things)), takenAs(r, 0, len(g.Things)), since(role.Reasons(len(g.Things), g.Why))).
			Fix("if that is wrong, say what they are in the project file (roles:) by size, place or layer")
	}
	return said
}

// told tells of one group what it is taken for, why, and what else it may be.
func (s *scene) told(g *role.Group, sheets []sheet) findings {
	var said findings
	n := len(g.Things)
	l := &s.loops[s.back[g.Things[0]]]
	d := 0.0
	if g.Round {
		d = (g.Min + g.Max) / 2
	}
	what := s.named(g)
	if !g.Asks() {
		f := said.guess(l.from, "%s %s taken as %s%s", what, are(n), takenAs(g.Role, d, n), since(role.Reasons(n, g.Why)))
		f.Fix("put them on layer led, mount or opening to say what they are, or write it in the project file (roles:)")
		if g.Margin < role.Sure {
			f.Text += fmt.Sprintf(", but they may be %s too%s", takenAs(g.Second, d, 2), since(role.Reasons(n, g.But)))
		}
		return said
	}
	m := l.middle()
	rule := s.ruleOf(g)
	q := diag.Question{Things: what, Assumed: string(g.Role)}
	roles := []panel.Role{g.Role, g.Second}
	if mayBeWindow(g) {
		roles = append(roles, panel.RoleWindow)
	}
	for _, r := range roles {
		rule.Role = r
		q.Choices = append(q.Choices, diag.Choice{Role: string(r), Words: takenAs(r, d, n), Says: rolesAre(append([]Rule{rule}, s.spared(g, rule)...)...)})
	}
	for _, k := range g.Things[:min(n, mostPlaces)] {
		at := s.loops[s.back[k]].middle()
		q.At = append(q.At, diag.Point{X: at.X, Y: at.Y})
	}
	name := sheets[s.in[s.back[g.Things[0]]]].name
	are, they, them := "are they", "They are", "them"
	if n == 1 {
		are, they, them = "is it", "It is", "it"
	}
	f := said.to(name).add(diag.Warning, "panel-question", l.from, "%s: %s %s or %s? %s taken as %s%s; but %s", what, are, takenAs(g.Role, d, n), takenAs(g.Second, d, n), they, takenAs(g.Role, d, n), since(role.Reasons(n, g.Why)), but(role.Reasons(n, g.But), "nothing else tells "+them+" apart")).
		About("roles").At(m.X, m.Y).Of(name).Asks(q)
	l.ground.asked = f.Question
	f.Fix("write which in the project file: %s, or %s", q.Choices[0].YAML(), q.Choices[1].YAML())
	if len(q.Choices) > 2 {
		f.Fix("write which in the project file: %s, or %s; or %s, if light is to come through without a hole", q.Choices[0].YAML(), q.Choices[1].YAML(), q.Choices[2].YAML())
	}
	return said
}

// mayBeWindow reports whether what is asked about may be lit as well: a closed line of the size of an indicator, a ring or a legend of
// which it is not clear whether it is cut.
func mayBeWindow(g *role.Group) bool {
	kind := func(r panel.Role) bool { return r != panel.RoleLED && r != panel.RoleMount && r != panel.RoleWindow }
	return !g.Letters && kind(g.Role) && kind(g.Second) && g.Min >= 2.5 && g.Long[1] <= 60
}

// spared returns the rules that keep other groups as they are which a rule for one would take with it: screws in corners of the
// size of a row that is in question.
func (s *scene) spared(g *role.Group, rule Rule) []Rule {
	var out []Rule
	for i := range s.groups {
		h := &s.groups[i]
		if h == g || h.Role == rule.Role || h.Round != g.Round || h.Letters {
			continue
		}
		if _, took := rule.takes(&s.loops[s.back[h.Things[0]]]); !took {
			continue
		}
		own := s.ruleOf(h)
		if own.Role = h.Role; own.closeness() > rule.closeness() && !slices.Contains(out, own) {
			out = append(out, own)
		}
	}
	return out
}

// mostPlaces bounds the places that a question names.
const mostPlaces = 200

func since(why []string) string {
	if len(why) == 0 {
		return ""
	}
	return ", since " + strings.Join(why, " and ")
}

// but joins what speaks against; otherwise says that nothing does.
func but(why []string, otherwise string) string {
	if len(why) == 0 {
		return otherwise
	}
	return strings.Join(why, " and ")
}

// named names the things of a group.
func (s *scene) named(g *role.Group) string {
	n := len(g.Things)
	what := ""
	switch {
	case g.Letters:
		what = counted(n, "closed line that is part of a word", "closed lines that form words")
	case g.Round:
		what = fmt.Sprintf("%s of %.4g mm", count(n, "circle"), math.Round((g.Min+g.Max)/2*1e3)/1e3)
	default:
		what = fmt.Sprintf("%s of %.4g x %.4g mm", count(n, "closed line"), math.Round(g.Long[1]*1e3)/1e3, math.Round(g.Max*1e3)/1e3)
	}
	for _, p := range placeWords {
		if g.Places&p.place != 0 && g.Round && (p.place == role.InCorners || p.place == role.NearEdge) {
			what += " " + p.words
		}
	}
	return what
}

// takenAs says what a role makes of n things.
func takenAs(r panel.Role, d float64, n int) string {
	one, many := string(r), string(r)
	switch r {
	case panel.RoleOpening:
		one, many = "an opening", "openings"
	case panel.RoleMount:
		one, many = "a mount, a screw's hole", "mounts, the holes of screws"
	case panel.RoleBody:
		one, many = "a body behind the panel", "bodies behind the panel"
	case panel.RoleWindow:
		one, many = "a window that is lit and not cut", "windows that are lit and not cut"
	case panel.RoleIgnore:
		one, many = "nothing that is cut or engraved", "nothing that is cut or engraved"
	case panel.RoleLED:
		one, many = "the hole of an LED", "holes for LEDs"
		for _, size := range [...]float64{2, 3, 5} {
			if math.Abs(d-size) <= 0.35 {
				one, many = fmt.Sprintf("the hole of a %g mm LED", size), fmt.Sprintf("holes for %g mm LEDs", size)
			}
		}
	}
	if n == 1 {
		return one
	}
	return many
}

// ruleOf returns the rule that takes the things of a group and no more than it must, but for its role.
func (s *scene) ruleOf(g *role.Group) Rule {
	var r Rule
	layers, blocks, colours := map[string]bool{}, map[string]bool{}, map[uint32]bool{}
	like := 0
	for i := range s.loops {
		l := &s.loops[i]
		if s.thing[i] < 0 {
			continue
		}
		layers[lowered(l.from.Layer)] = true
		if l.round == g.Round && !l.letter && (!g.Round || l.d >= g.Min-0.06 && l.d <= g.Max+0.06) {
			blocks[l.from.Block], colours[l.from.Colour] = true, true
			like++
		}
	}
	first := &s.loops[s.back[g.Things[0]]]
	switch {
	case g.Letters:
		r.Kind = LetterRule
	case g.Round:
		r.Kind, r.Min, r.Max = CircleRule, hundredths(g.Min), hundredths(g.Max)
		if r.Max-r.Min <= circleFit {
			r.Min = hundredths((g.Min + g.Max) / 2)
			r.Max = r.Min
		}
	default:
		r.ofShapes(g.Long[0], g.Long[1], g.Min, g.Max)
	}
	if like > len(g.Things) || g.Letters {
		r.Places = g.Places & (role.InCorners | role.NearEdge)
		if r.Places&role.InCorners != 0 {
			r.Places = role.InCorners
		}
		if len(blocks) > 1 {
			r.Block = first.from.Block
		}
		if len(colours) > 1 {
			r.Colour = first.from.Colour
		}
		if len(layers) > 1 {
			r.Layer = first.from.Layer
		}
	}
	return r
}

// ofShapes makes it a rule for shapes from one size to another, mm, the longer sides first; sides that differ by no more than
// is taken for equal are one size.
func (r *Rule) ofShapes(w, w2, h, h2 float64) {
	r.Kind = ShapeRule
	r.W, r.W2, r.H, r.H2 = hundredths(w), hundredths(w2), hundredths(h), hundredths(h2)
	if r.W2-r.W <= shapeFit {
		r.W2 = r.W
	}
	if r.H2-r.H <= shapeFit {
		r.H2 = r.H
	}
}

// tenMicrons is by what the sizes of rules are rounded.
const tenMicrons = 10 * geom.Micrometre
