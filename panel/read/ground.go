package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// ground is why a loop has its role, where not its layer alone says so.
type ground struct {
	why   []string // as of several
	doubt string   // what it may be else, and why; empty: nothing to speak of
	asked *diag.Question
	rule  *Rule // of the project that says so; nil: none
}

// ruledBy is the ground that a rule of the project gives.
func ruledBy(rule *Rule) *ground {
	return &ground{why: []string{fmt.Sprintf("the project says %s: %s", rule.Role, rule)}, rule: rule}
}

// groundOf is the ground that evidence gives to a group.
func groundOf(g *role.Group) *ground {
	out := &ground{why: g.Why}
	if g.Margin < role.Sure && g.Second != "" {
		d := 0.0
		if g.Round {
			d = (g.Min + g.Max) / 2
		}
		out.doubt = "may be " + takenAs(g.Second, d, len(g.Things)) + since(role.Reasons(len(g.Things), g.But))
	}
	return out
}

// Group is things of a drawing that have one role for one reason.
type Group struct {
	Things string         // "4 circles of 3.2 mm"
	Role   panel.Role     // RoleIgnore: nothing, as the project or the evidence says
	As     string         // what the role means: "mounts, the holes of screws"
	Why    []string       // of so many things
	Doubt  string         // "may be holes for 3 mm LEDs, since ..."; empty: none
	Asked  *diag.Question // that was asked about them, as in its finding; nil: none

	Loops, Lines, Texts []int // of the report's
}

// Left is what lies on a layer and has no use.
type Left struct {
	Things string // "3 open lines and 2 texts"
	Layer  string
	Where  string // "within the panel", "outside every panel"; empty where there is no panel
}

// groupKind is what sort of things a group holds.
type groupKind uint8

const (
	roundGroup groupKind = iota
	shapeGroup
	letterGroup
	lineGroup
	textGroup
)

// groupOf is what the things of a group have in common.
type groupOf struct {
	kind groupKind
	role panel.Role
	why  string
	asks *diag.Question
	size int // of round ones, steps of a twentieth of a millimetre
}

// grouped returns the things of a report in groups by role, the largest things of a role first, and what is left by layer.
func (r *reading) grouped(w *work.Watch, rep *Report) ([]Group, []Left) {
	index := map[groupOf]int{}
	var out []Group
	var kinds []groupKind
	put := func(k groupOf, why []string, doubt string) *Group {
		k.why = strings.Join(why, ";") + "|" + doubt
		at, ok := index[k]
		if !ok {
			at = len(out)
			index[k] = at
			out, kinds = append(out, Group{Role: k.role, Why: why, Doubt: doubt, Asked: k.asks}), append(kinds, k.kind)
		}
		return &out[at]
	}
	for i := range rep.Loops {
		w.Step()
		l := &rep.Loops[i]
		why, doubt := r.whyLoop(l)
		if l.Role == "" && why == nil || l.isSheet(rep.Sheets) {
			continue
		}
		k := groupOf{kind: shapeGroup, role: cmp.Or(l.Role, panel.RoleIgnore)}
		switch {
		case l.Role.Drawn():
			k.kind = letterGroup
		case l.Round && l.Role != panel.RoleOutline:
			k.kind, k.size = roundGroup, int(math.Round(l.D*20))
		}
		if l.ground != nil {
			k.asks = l.ground.asked
		}
		g := put(k, why, doubt)
		g.Loops = append(g.Loops, i)
	}
	for i := range rep.Lines {
		w.Step()
		if l := &rep.Lines[i]; l.Role != "" {
			why := []string{"they form words, or stand as the ticks of a dial or a scale"}
			if own := r.layers.role[lowered(l.Layer)]; own == l.Role {
				why = []string{"they lie on layer " + l.Layer}
			} else if len(r.layers.rules) > 0 {
				why = []string{"the project's roles say so"}
			}
			g := put(groupOf{kind: lineGroup, role: l.Role}, why, "")
			g.Lines = append(g.Lines, i)
		}
	}
	for i := range rep.Texts {
		w.Step()
		if t := &rep.Texts[i]; t.Role != "" {
			why := []string{"they stand within the outline"}
			if own := r.layers.role[lowered(t.Layer)]; own == t.Role {
				why = []string{"they lie on layer " + t.Layer}
			} else if slices.ContainsFunc(r.layers.rules, func(x Rule) bool { return x.Kind == TextRule && x.Role == t.Role }) {
				why = []string{"the project's roles say so"}
			}
			g := put(groupOf{kind: textGroup, role: t.Role}, why, "")
			g.Texts = append(g.Texts, i)
		}
	}
	for i := range out {
		out[i].tell(kinds[i], rep)
	}
	order := map[panel.Role]int{}
	for i, role := range RuleRoles() {
		order[role] = i
	}
	slices.SortStableFunc(out, func(a, b Group) int { return cmp.Compare(order[a.Role], order[b.Role]) })
	return out, r.left(w, rep)
}

// whyLoop says why a loop has its role, or none; nothing of one that nobody had a use for.
func (r *reading) whyLoop(l *Loop) (why []string, doubt string) {
	switch {
	case l.ground != nil:
		return l.ground.why, l.ground.doubt
	case l.Role == "":
		return nil, ""
	case r.layers.role[lowered(l.Layer)] == l.Role:
		return []string{"they lie on layer " + l.Layer}, ""
	case l.Role != panel.RoleOutline:
		return nil, ""
	case slices.ContainsFunc(r.layers.rules, func(x Rule) bool { return x.Role == panel.RoleOutline }):
		return []string{"the project's roles say so"}, ""
	}
	return []string{largestWhy}, ""
}

const largestWhy = "they are the largest closed lines beside each other"

// isSheet reports whether it is the edge of a sheet that stands beside its panel's first.
func (l *Loop) isSheet(all []Sheet) bool {
	return l.Role == "" && slices.ContainsFunc(all, func(s Sheet) bool { return !s.First && s.Box == l.Box })
}

// tell gives a group its words.
func (g *Group) tell(kind groupKind, rep *Report) {
	n := len(g.Loops) + len(g.Lines) + len(g.Texts)
	d := 0.0
	switch kind {
	case roundGroup:
		least, most := math.Inf(1), 0.0
		for _, i := range g.Loops {
			least, most = min(least, rep.Loops[i].D), max(most, rep.Loops[i].D)
		}
		d = (least + most) / 2
		g.Things = fmt.Sprintf("%s of %s mm", count(n, "circle"), mm(math.Round(d*1e3)/1e3))
	case shapeGroup:
		g.Things = count(n, "closed line") + " " + sizesOf(g.Loops, rep)
	case letterGroup:
		g.Things = count(n, "closed line")
	case lineGroup:
		g.Things = count(n, "open line")
	case textGroup:
		g.Things = count(n, "text")
	}
	g.As = takenAs(g.Role, d, n)
	switch g.Role {
	case panel.RoleOutline:
		g.As = "edges of panels"
		if n == 1 {
			g.As = "the panel's edge"
		}
	case panel.RoleBoard:
		g.As = "the edge of a board behind the panel"
	case panel.RoleLettering:
		g.As = "lettering, which is engraved"
	case panel.RoleWindow:
		if g.As = "windows, through which light comes"; n == 1 {
			g.As = "a window, through which light comes"
		}
	case panel.RolePrint:
		g.As = "print on the board's LED side"
	case panel.RolePrintBack:
		g.As = "print on the board's back"
	}
	g.Why = role.Reasons(n, g.Why)
	if n == 1 && g.Role == panel.RoleOutline && slices.Equal(g.Why, role.Reasons(1, []string{largestWhy})) {
		g.Why = []string{"it is the largest closed line"}
	}
}

// sizesOf tells the sizes of loops: "of 18 x 28 mm", "from 8 x 13 to 116 x 60 mm".
func sizesOf(of []int, rep *Report) string {
	size := func(i int) string { b := rep.Loops[i].Box; return mm(b.W()) + " x " + mm(b.H()) }
	first, last := size(of[0]), size(of[len(of)-1])
	if first == last {
		return "of " + first + " mm"
	}
	return "from " + last + " to " + first + " mm"
}

// left returns what has no role and no reason for it, by layer.
func (r *reading) left(w *work.Watch, rep *Report) []Left {
	type at struct {
		layer string
		in    bool
	}
	heaps := map[at]*pile{}
	var order []at
	of := func(layer string, p dxf.XY) *pile {
		k := at{layer, sheetAt(r.sheets, p) >= 0 || slices.ContainsFunc(rep.Sheets, func(s Sheet) bool { return s.Box.Contains(p) })}
		if heaps[k] == nil {
			heaps[k] = &pile{}
			order = append(order, k)
		}
		return heaps[k]
	}
	for i := range rep.Loops {
		w.Step()
		if l := &rep.Loops[i]; l.Role == "" && l.ground == nil && !l.isSheet(rep.Sheets) {
			of(l.Layer, l.Box.Min.Add(l.Box.Max).Times(0.5)).closed++
		}
	}
	for i := range rep.Lines {
		w.Step()
		if l := &rep.Lines[i]; l.Role == "" {
			of(l.Layer, l.Path.Vertices[0].XY).open++
		}
	}
	for i := range rep.Texts {
		if t := &rep.Texts[i]; t.Role == "" {
			of(t.Layer, t.Text.At).texts++
		}
	}
	slices.SortStableFunc(order, func(a, b at) int { return cmp.Compare(a.layer, b.layer) })
	var out []Left
	for _, k := range order {
		l := Left{Things: heaps[k].String(), Layer: k.layer}
		switch {
		case len(r.sheets) == 0:
		case k.in:
			l.Where = "within the panel"
		default:
			l.Where = "outside every panel"
		}
		out = append(out, l)
	}
	return out
}
