package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/role"
)

// Rule says by layer, shape, size and place what has a role: "layer CUTOUTS", "circles 3.0 mm", "circles 3.0 mm in corners
// on layer HOLES". ParseRule reads it, String writes it.
type Rule struct {
	Role   panel.Role
	Ink    Ink // of lettering
	Kind   RuleKind
	Layer  string      // empty: on any layer that has no role of its own
	Block  string      // empty: in any
	Colour uint32      // as dxf.Entity.Colour; 0: in any
	Places role.Places // 0: anywhere
	Min    geom.Nm     // of circles: least and greatest diameter, of letters and texts: height; both 0: any
	Max    geom.Nm
	W, H   geom.Nm // of shapes and letters: least width and height, either way round; 0: any
	W2, H2 geom.Nm // the greatest; as W, H where one size is meant
	Near   dxf.XY  // mm; of things that hold this point
	AtNear bool
	In     Within // what it lies in
}

// Within is the size of what a thing lies in: width and height of a shape, either way round, or of a circle its diameter
// twice; 0 nothing.
type Within struct{ W, H geom.Nm }

// Ink says how a closed line of the lettering is engraved.
type Ink uint8

const (
	AsDrawn  Ink = iota // as frame.symbols says
	Filled              // all that lies in it, less what lies in it again and is filled too
	Outlined            // the line itself
)

var inkWords = [...]string{Filled: "filled", Outlined: "outlined"}

// RuleKind is the sort of things a rule is about.
type RuleKind uint8

const (
	ByLayer     RuleKind = iota // whatever lies on the layer
	CircleRule                  // round closed lines, however drawn
	ShapeRule                   // closed lines that are not round
	LetterRule                  // closed lines that form words
	LargestRule                 // the largest closed lines beside each other
	LineRule                    // open lines
	StrokeRule                  // open lines that form words, and ticks of dials and scales
	FillRule                    // filled areas
	TextRule
	RestRule // closed lines that no other rule takes
)

var ruleWords = [...]string{ByLayer: "layer", CircleRule: "circles", ShapeRule: "shapes", LetterRule: "letters", LargestRule: "largest", LineRule: "lines", StrokeRule: "strokes", FillRule: "fills",
	TextRule: "texts", RestRule: "rest"}

// Fits of rules: a fitted diameter and one that was typed may differ by the rounding of either; shapes by a pen's width.
const (
	circleFit = 50 * geom.Micrometre
	shapeFit  = 100 * geom.Micrometre
	heightFit = 0.06 // of a height: round letters reach beyond the capitals' by so much
)

// RuleRoles returns the roles that a rule may give, in a fixed order: a panel's, and RoleIgnore.
func RuleRoles() []panel.Role { return append(panel.Roles(), panel.RoleIgnore) }

// ParseRule reads what a builder writes for a role:
//
//	layer NAME | circles [D] | shapes [W x H] | letters [H] | largest | lines | strokes | fills | texts [H] | rest
//
// where each of D, W and H may be a range as 3 .. 3.2 mm, and each but the first may have behind it where and how the thing
// is drawn: in corners, near the edge, near X,Y (in it), inside shapes W x H, inside circles D, round others (with closed
// lines in it), in colour red, in block NAME, on layer NAME. Before those for closed lines of the lettering may stand filled or
// outlined. Lengths are mm unless "in" follows. The error is in a builder's words.
func ParseRule(as panel.Role, s string) (Rule, error) {
	r := Rule{Role: as}
	s = strings.TrimSpace(s)
	word, rest, _ := strings.Cut(s, " ")
	if ink := slices.Index(inkWords[:], strings.ToLower(word)); ink > 0 {
		if r.Ink = Ink(ink); as != panel.RoleLettering {
			return r, fmt.Errorf("%q: only lettering is %s", s, inkWords[ink])
		}
		word, rest, _ = strings.Cut(strings.TrimSpace(rest), " ")
	}
	kind := slices.Index(ruleWords[:], strings.ToLower(word))
	if kind < 0 { // one of a thing is written in the singular
		kind = slices.Index(ruleWords[:], strings.ToLower(word)+"s")
	}
	if kind < 0 {
		return r, fmt.Errorf("%q is no rule for a role", s)
	}
	r.Kind = RuleKind(kind)
	rest = strings.TrimSpace(rest)
	if r.Kind == ByLayer {
		r.Layer = unquoted(rest)
		if r.Layer == "" {
			return r, fmt.Errorf("%q names no layer", s)
		}
		return r, nil
	}
	size, err := r.qualified(rest)
	if err != nil {
		return r, err
	}
	switch {
	case size == "":
	case r.Kind == CircleRule || r.Kind == LetterRule || r.Kind == TextRule: // a diameter, or a height
		r.Min, r.Max, err = parseRange(size)
	case r.Kind == ShapeRule:
		r.W, r.W2, r.H, r.H2, err = parseSides(size)
	default:
		err = fmt.Errorf("%q says more than %s takes", s, ruleWords[r.Kind])
	}
	if err != nil {
		return r, err
	}
	text := r.Kind == LineRule || r.Kind == StrokeRule || r.Kind == FillRule || r.Kind == TextRule
	switch {
	case r.Kind == LargestRule && as != panel.RoleOutline:
		return r, fmt.Errorf("only the outline can be the largest closed line")
	case text && r.Kind != FillRule && r.Ink != AsDrawn:
		return r, fmt.Errorf("%s are not %s: only closed lines are", ruleWords[r.Kind], inkWords[r.Ink])
	case text && !as.Drawn() && as != panel.RoleIgnore && (r.Kind != FillRule || as != panel.RoleWindow):
		return r, fmt.Errorf("%s are for lettering and print", ruleWords[r.Kind])
	case (text || r.Kind == LargestRule) && (r.Places != 0 || r.AtNear || r.In != Within{}):
		return r, fmt.Errorf("%s are told apart by layer, block and colour alone", ruleWords[r.Kind])
	}
	return r, nil
}

// unquoted takes blanks and pairs of quotes off both ends.
func unquoted(s string) string {
	for {
		s = strings.TrimSpace(s)
		if n := len(s); n < 2 || s[0] != s[n-1] || s[0] != '"' && s[0] != '\'' {
			return s
		}
		s = s[1 : len(s)-1]
	}
}

// inches reports whether a length is written in inches.
func inches(s string) bool {
	s = strings.TrimSpace(strings.ToLower(s))
	return strings.HasSuffix(s, "in") || strings.HasSuffix(s, "inch") || strings.HasSuffix(s, `"`)
}

// parseLength reads a length above 0, in mm or in inches; a bare number counts k mm.
func parseLength(s string, k float64) (geom.Nm, error) {
	n := strings.TrimSpace(strings.ToLower(s))
	for _, u := range []struct {
		name string
		mm   float64
	}{{"mm", 1}, {"inch", geom.InchMM}, {"in", geom.InchMM}, {`"`, geom.InchMM}} {
		if v, ok := strings.CutSuffix(n, u.name); ok {
			n, k = strings.TrimSpace(v), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(n, 64)
	if err != nil || !(v > 0) || v*k > 1000 {
		return 0, fmt.Errorf("%q is no length as 3.2 mm", strings.TrimSpace(s))
	}
	return geom.MM(v * k), nil
}

// String returns the rule as ParseRule takes it.
func (r Rule) String() string {
	s := ""
	if r.Ink != AsDrawn {
		s = inkWords[r.Ink] + " "
	}
	if r.Kind == ByLayer {
		return s + "layer " + r.Layer
	}
	s += ruleWords[r.Kind]
	switch {
	case r.Max > 0:
		s += " " + lengths(r.Min, r.Max) + " mm"
	case r.Kind == ShapeRule && r.W > 0:
		s += " " + lengths(r.W, r.W2) + " x " + lengths(r.H, r.H2) + " mm"
	}
	return s + r.qualifiers()
}

// lengths writes a range of lengths in mm.
func lengths(a, b geom.Nm) string {
	mm := func(v geom.Nm) string { return strconv.FormatFloat(v.MM(), 'f', -1, 64) }
	if b == a {
		return mm(a)
	}
	return mm(a) + " .. " + mm(b)
}

// rank orders rules: what names a size or a place goes before the largest, that before what names none, and the rest comes
// last.
func (r Rule) rank() int {
	switch {
	case r.Kind == RestRule && r.closeness() == 0:
		return 3
	case r.Kind == LargestRule:
		return 1
	case r.Max > 0 || r.W > 0 || r.Places != 0 || r.AtNear || r.In != Within{} || r.Kind == LetterRule:
		return 0
	case r.Kind == RestRule:
		return 3
	}
	return 2
}

// takes reports whether the rule is for the closed line, and by how many mm it misses the size that is named.
func (r Rule) takes(l *loop) (miss float64, ok bool) {
	if !r.drawnSo(l.from) || r.Places&^l.places != 0 || r.AtNear && !l.holds(r.Near) || r.In != (Within{}) && !r.In.fits(l.within) {
		return 0, false
	}
	switch r.Kind {
	case CircleRule:
		if !l.round || l.letter {
			return 0, false
		}
		if r.Max == 0 {
			return 0, true
		}
		miss = max(r.Min.MM()-l.d, l.d-r.Max.MM(), 0)
		return miss, miss <= circleFit.MM()
	case ShapeRule:
		if l.round || l.letter && r.W == 0 {
			return 0, false
		}
		if r.W == 0 {
			return 0, true
		}
		miss = sidesMiss(l.box.W(), l.box.H(), r.W, r.W2, r.H, r.H2)
		return miss, miss <= shapeFit.MM()
	case LetterRule:
		if !l.letter || r.Max == 0 {
			return 0, l.letter
		}
		miss = r.heightMiss(l.height)
		return miss, miss <= heightFit*l.height
	case RestRule:
		return 0, true
	}
	return 0, false
}

// sidesMiss returns by how much a width and a height, either way round, miss two ranges.
func sidesMiss(w, h float64, w1, w2, h1, h2 geom.Nm) float64 {
	off := func(v float64, lo, hi geom.Nm) float64 { return max(lo.MM()-v, v-hi.MM(), 0) }
	return min(max(off(w, w1, w2), off(h, h1, h2)), max(off(h, w1, w2), off(w, h1, h2)))
}

// fits reports whether what a thing lies in has the size.
func (in Within) fits(box dxf.Box) bool {
	return box.W() > 0 && sidesMiss(box.W(), box.H(), in.W, in.W, in.H, in.H) <= shapeFit.MM()
}

// forThing reports whether the rule takes a thing of the kind that lies on the layer.
func (r Rule) forThing(kind RuleKind, e *dxf.Entity) bool {
	return r.Kind == kind && r.drawnSo(e) && (r.Max == 0 || e.Text != nil && r.heightMiss(e.Text.Height) <= heightFit*e.Text.Height)
}

// heightMiss returns by how many mm a height misses the range of the rule.
func (r Rule) heightMiss(h float64) float64 { return max(r.Min.MM()-h, h-r.Max.MM(), 0) }

// closestFor returns the rule of a kind for a text, a filling or an open line that says most closely what it means, -1 for
// none; of equals the first.
func closestFor(rules []Rule, kind RuleKind, e *dxf.Entity) int {
	best := -1
	for k := range rules {
		if rules[k].forThing(kind, e) && (best < 0 || rules[k].closeness() > rules[best].closeness()) {
			best = k
		}
	}
	return best
}

// keysOf returns the keys under which the project has a rule, the most particular first: of a list, and alone.
func (o Options) keysOf(rule Rule) []string {
	n := 0
	for _, x := range o.Rules {
		if x == rule {
			break
		}
		if x.Role == rule.Role {
			n++
		}
	}
	role := "roles." + string(rule.Role)
	return []string{role + "." + strconv.Itoa(n), role}
}
