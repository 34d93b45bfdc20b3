package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Proposed is a rule that a survey proposes for the project file, how many things it is for, and what is unsure of it.
type Proposed struct {
	Rule   Rule
	Count  int
	Unsure string // empty: nothing
}

// propose adds to a rule of the role, or makes one.
func (r *reader) propose(role panel.Role, rule Rule, n int, unsure string) {
	rule.Role = role
	for i := range r.proposal {
		p := &r.proposal[i]
		same := p.Rule == rule
		if rule.Kind == CircleRule && p.Rule.Kind == CircleRule && p.Rule.Role == role && p.Rule.Min > 0 && rule.Min > 0 {
			same = rule.Min-p.Rule.Min <= circleFit/2 && p.Rule.Min-rule.Min <= circleFit/2
		}
		if same {
			p.Count += n
			p.Unsure = cmp.Or(p.Unsure, unsure)
			return
		}
	}
	r.proposal = append(r.proposal, Proposed{rule, n, unsure})
}

func roleFor(what string) panel.Role {
	switch {
	case strings.HasPrefix(what, "mounts"):
		return panel.RoleMount
	case strings.HasPrefix(what, "holes"):
		return panel.RoleLED
	}
	return panel.RoleOpening
}

// rounded returns the middling diameter of a group to a hundredth of a millimetre, as a builder would write it.
func rounded(g []loop) geom.Nm {
	const step = 10 * geom.Micrometre
	return (geom.MM(middling(g)) + step/2) / step * step
}

// unsure says what else the circles may well be, empty when their size and place leave little doubt.
func (r *reader) unsure(g []loop, what string, outline *loop) string {
	d := g[0].d
	corners := 0
	for i := range g {
		if r.allInCorners([]loop{g[i], g[i]}, outline) {
			corners++
		}
	}
	switch {
	case strings.HasPrefix(what, "mounts") && d >= 2.95 && d <= led3Max:
		return fmt.Sprintf("%.2g mm is the hole of a 3 mm LED as well as of an M3 screw", d)
	case strings.HasPrefix(what, "mounts") && d >= led5Min && d <= led5Max:
		return fmt.Sprintf("%.2g mm is the hole of a 5 mm LED as well as of an M5 screw", d)
	case strings.HasPrefix(what, "holes") && corners > 0 && corners < len(g) && corners <= 8:
		return fmt.Sprintf("%d of them %s in the corners, as screws do", corners, lie(corners))
	// Common practice: 3.1 mm is a 3 mm LED with play; from 3.15 on it may be ISO 273's fine clearance of M3, 3.2 mm.
	case strings.HasPrefix(what, "holes") && d >= 3.15 && d <= led3Max:
		return fmt.Sprintf("%.2g mm is an LED's hole with play to one, and the hole of an M3 screw to another", d)
	case strings.HasPrefix(what, "holes") && d >= led5Min && d > 5.15:
		return fmt.Sprintf("%.2g mm is an LED's hole with play to one, and the hole of an M5 screw to another", d)
	case what == "openings" && d >= mountMin && d <= mountMax:
		return "screws go through holes of this size too (mount)"
	}
	return ""
}

func lie(n int) string {
	if n == 1 {
		return "lies"
	}
	return "lie"
}

// proposeOutline proposes how to name the outlines that were guessed.
func (r *reader) proposeOutline(loops []loop) {
	top := &r.sheets[0].outline
	layer := top.from.Layer
	alone := layer != "0" && layer != ""
	for i := range loops {
		if outline := slices.ContainsFunc(r.sheets, func(s *sheet) bool { return s.outline.from == loops[i].from }); !outline && loops[i].from.Layer == layer {
			alone = false
		}
	}
	for _, s := range r.sheets {
		alone = alone && s.outline.from.Layer == layer
	}
	unsure := ""
	if n := r.nested(); n > 0 {
		unsure = fmt.Sprintf("%s within it %s closed lines of %s own: is it the panel, or a frame round one?", counted(n, "opening", "openings"), holdVerb(n), own(n))
	}
	switch {
	case r.framed:
		for _, s := range r.sheets {
			b := s.outline.box
			const step = 10 * geom.Micrometre
			near := func(v float64) geom.Nm { return (geom.MM(v) + step/2) / step * step }
			r.propose(panel.RoleOutline, Rule{Kind: ShapeRule, W: near(b.W()), H: near(b.H())}, 1, "a larger line round it looks like a drawing's frame")
		}
	case alone:
		r.propose(panel.RoleOutline, Rule{Kind: ByLayer, Layer: layer}, len(r.sheets), unsure)
	default:
		r.propose(panel.RoleOutline, Rule{Kind: LargestRule}, len(r.sheets), unsure)
	}
}

func holdVerb(n int) string {
	if n == 1 {
		return "holds"
	}
	return "hold"
}

func own(n int) string {
	if n == 1 {
		return "its"
	}
	return "their"
}

// nested counts the openings that hold round holes: pieces that would fall out with their holes.
func (r *reader) nested() int {
	n := 0
	for _, s := range r.sheets {
		if len(s.openings) > mostNested {
			continue
		}
		find := newFinder(s.openings)
		for i := range s.openings {
			o := &s.openings[i]
			if o.round || o.area < minPanel*minPanel {
				continue
			}
			for _, k := range find.near(o.box, 0) {
				l := &s.openings[k]
				if k == i || !l.round || l.d < tooSmall {
					continue
				}
				if r.looks++; r.looks > mostLooks {
					return n
				}
				if l.standingIn(o) == within {
					n++
					break
				}
			}
		}
	}
	return n
}

// mostNested bounds the openings that are compared with each other for nesting.
const mostNested = 5000

// withoutFrame takes off the frame of a drawing's sheet: a plain rectangle of a paper's size that holds a smaller
// closed line with round holes in it, and more beside that.
func (r *reader) withoutFrame(loops []loop) []loop {
	for len(loops) > 1 && len(loops) <= mostNested {
		l := &loops[0]
		if len(l.path.Vertices) != 4 || !straight(l.path) || math.Abs(l.area-l.box.W()*l.box.H()) > 1e-6*l.area || !paperSized(l.box.W(), l.box.H()) {
			return loops
		}
		inner := -1
		for i := 1; i < len(loops) && inner < 0 && loops[i].area >= 0.02*l.area; i++ {
			c := &loops[i]
			// What is nearly as large is the frame's other line, or the edge of the paper.
			if c.standingIn(l) != within || c.round || min(c.box.W(), c.box.H()) < minPanel || c.area > 0.93*l.area {
				continue
			}
			if r.holdsRound(c, loops[i+1:]) {
				inner = i
			}
		}
		if inner < 0 || !r.writtenBeside(l, &loops[inner]) {
			return loops
		}
		r.add(diag.Warning, "panel-frame", l.from, "the largest closed line, %.4g x %.4g mm, is of a paper's size and holds a smaller one with holes in it: it is taken for the drawing's frame and not used", l.box.W(), l.box.H()).
			Fix("delete the frame, or move it to a layer of its own; if it is the panel, write in the project file: roles: {outline: largest}")
		r.framed = true
		loops = loops[1:]
		// A second line of the frame goes with it, and so does what lies between.
		for len(loops) > 0 && loops[0].area > 0.85*l.area {
			loops = loops[1:]
		}
	}
	return loops
}

// holdsRound reports whether a round hole lies in the closed line.
func (r *reader) holdsRound(l *loop, loops []loop) bool {
	for k := range loops {
		o := &loops[k]
		if !o.round || o.d < tooSmall || o.area >= l.area || !l.box.Contains(o.c) {
			continue
		}
		if r.looks++; r.looks > mostLooks {
			return false
		}
		if o.standingIn(l) == within {
			return true
		}
	}
	return false
}

// mostLooks bounds how often loops are compared for mere advice: a tenth of a second or so.
const mostLooks = 100_000

// writtenBeside reports whether something is written or drawn in the frame but outside the part: a title block.
func (r *reader) writtenBeside(frame, part *loop) bool {
	for i := range r.d.Entities {
		e := &r.d.Entities[i]
		if at, ok := where(e); ok && frame.holds(at) && !part.holds(at) && !part.near(at, 1) && !frame.near(at, 1) {
			return true
		}
	}
	return false
}

// paperSized reports whether a frame of this size fits a sheet of A4 to A0 (ISO 216) or of 8.5 x 11 to 34 x 44 inches
// (ANSI/ASME Y14.1), with margins of up to 25 mm.
func paperSized(w, h float64) bool {
	a, b := min(w, h), max(w, h)
	for _, p := range [][2]float64{{210, 297}, {297, 420}, {420, 594}, {594, 841}, {841, 1189}, {215.9, 279.4}, {279.4, 431.8}, {431.8, 558.8}, {558.8, 863.6}, {863.6, 1117.6}} {
		if da, db := p[0]-a, p[1]-b; da >= -0.5 && da <= 50 && db >= -0.5 && db <= 50 {
			return true
		}
	}
	return false
}

// proposeRest tidies the proposal: by role, and without rules that would clash.
func (r *reader) proposeRest() {
	order := map[panel.Role]int{}
	for i, role := range RuleRoles() {
		order[role] = i
	}
	slices.SortStableFunc(r.proposal, func(a, b Proposed) int {
		return cmp.Or(cmp.Compare(order[a.Rule.Role], order[b.Rule.Role]), cmp.Compare(a.Rule.rank(), b.Rule.rank()), cmp.Compare(a.Rule.Min, b.Rule.Min))
	})
	// One size with two roles, by where the circles lie in each panel, can't be told apart by a rule.
	for i := range r.proposal {
		for k := range r.proposal[:i] {
			a, b := &r.proposal[i], &r.proposal[k]
			if a.Rule.Kind == CircleRule && b.Rule.Kind == CircleRule && a.Rule.Role != b.Rule.Role && a.Rule.Min-b.Rule.Max <= circleFit && b.Rule.Min-a.Rule.Max <= circleFit {
				a.Unsure = "circles of this size are proposed as " + string(b.Rule.Role) + " too: they can only be told apart by layer"
			}
		}
	}
}
