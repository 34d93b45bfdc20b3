package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Proposed is a rule that a survey proposes for the project file, how many things it is for, and what is unsure of it.
type Proposed struct {
	Rule   Rule
	Count  int
	Unsure string // empty: nothing
}

// proposal is the rules proposed so far.
type proposal []Proposed

// with adds rules; what an earlier one says already is counted there.
func (p proposal) with(more ...Proposed) proposal {
	out := slices.Clone(p)
next:
	for _, m := range more {
		for i := range out {
			q := &out[i]
			same := q.Rule == m.Rule
			if same {
				q.Count += m.Count
				q.Unsure = cmp.Or(q.Unsure, m.Unsure)
				continue next
			}
		}
		out = append(out, m)
	}
	return out
}

// hundredths returns a length, in mm, to a hundredth of a millimetre.
func hundredths(mm float64) geom.Nm {
	const step = 10 * geom.Micrometre
	return (geom.MM(mm) + step/2) / step * step
}

// outlineRule proposes how to name the outlines that were guessed.
func outlineRule(w *work.Watch, sheets []sheet, loops []loop, left *looks) Proposed {
	unsure := ""
	if n := nested(w, loops, left); n > 0 {
		unsure = fmt.Sprintf("%s within it %s closed lines of %s own: is it the panel, or a frame round one?", counted(n, "opening", "openings"), holdVerb(n), own(n))
	}
	return Proposed{Rule{Role: panel.RoleOutline, Kind: LargestRule}, len(sheets), unsure}
}

// framedRules proposes the outlines in a drawing's frame by their sizes.
func framedRules(sheets []sheet) proposal {
	var p proposal
	for i := range sheets {
		b := sheets[i].outline.box
		p = p.with(Proposed{Rule{Role: panel.RoleOutline, Kind: ShapeRule, W: hundredths(b.W()), W2: hundredths(b.W()), H: hundredths(b.H()), H2: hundredths(b.H())}, 1, "a larger line round it looks like a drawing's frame"})
	}
	return p
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
func nested(w *work.Watch, loops []loop, left *looks) int {
	n := 0
	if len(loops) > mostNested {
		return n
	}
	find := newFinder(w, loops)
	for i := range loops {
		o := &loops[i]
		if o.round || o.area < minPanel*minPanel {
			continue
		}
		for _, k := range find.near(o.box, 0) {
			l := &loops[k]
			if k == i || !l.round || l.d < tooSmall {
				continue
			}
			if left.used() {
				return n
			}
			if l.in(o) {
				n++
				break
			}
		}
	}
	return n
}

// mostNested bounds the openings that are compared with each other for nesting.
const mostNested = 5000

// withoutFrame takes off the frame of a drawing's sheet: a plain rectangle of a paper's size that holds a smaller
// closed line with round holes in it, and more beside that.
func withoutFrame(loops []loop, d *dxf.Drawing, left *looks) (rest []loop, framed bool, said findings) {
	for len(loops) > 1 && len(loops) <= mostNested {
		l := &loops[0]
		if len(l.path.Vertices) != 4 || !straight(l.path) || math.Abs(l.area-l.box.W()*l.box.H()) > 1e-6*l.area || !paperSized(l.box.W(), l.box.H()) {
			return loops, framed, said
		}
		inner := -1
		for i := 1; i < len(loops) && inner < 0 && loops[i].area >= 0.02*l.area; i++ {
			c := &loops[i]
			// What is nearly as large is the frame's other line, or the edge of the paper.
			if c.standingIn(l) != within || c.round || min(c.box.W(), c.box.H()) < minPanel || c.area > 0.93*l.area {
				continue
			}
			if holdsRound(c, loops[i+1:], left) {
				inner = i
			}
		}
		if inner < 0 || !writtenBeside(d, l, &loops[inner]) {
			return loops, framed, said
		}
		said.add(diag.Warning, "panel-frame", l.from, "the largest closed line, %.4g x %.4g mm, is of a paper's size and holds a smaller one with holes in it: it is taken for the drawing's frame and not used", l.box.W(), l.box.H()).
			Fix("delete the frame, or move it to a layer of its own; if it is the panel, write in the project file: roles: {outline: largest}")
		framed = true
		loops = loops[1:]
		// A second line of the frame goes with it, and so does what lies between.
		for len(loops) > 0 && loops[0].area > 0.85*l.area {
			loops = loops[1:]
		}
	}
	return loops, framed, said
}

// holdsRound reports whether a round hole lies in the closed line.
func holdsRound(l *loop, loops []loop, left *looks) bool {
	for k := range loops {
		o := &loops[k]
		if !o.round || o.d < tooSmall || o.area >= l.area || !l.box.Contains(o.c) {
			continue
		}
		if left.used() {
			return false
		}
		if o.in(l) {
			return true
		}
	}
	return false
}

// looks is how often loops may still be compared for mere advice.
type looks int

// mostLooks is so many in a drawing: a tenth of a second or so.
const mostLooks = 100_000

// used counts one, and reports whether there are no more.
func (l *looks) used() bool {
	*l--
	return *l < 0
}

// writtenBeside reports whether something is written or drawn in the frame but outside the part: a title block.
func writtenBeside(d *dxf.Drawing, frame, part *loop) bool {
	for i := range d.Entities {
		e := &d.Entities[i]
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

// tidied returns the proposal by role, with a word on rules that would clash.
func (p proposal) tidied() proposal {
	out := slices.Clone(p)
	order := map[panel.Role]int{}
	for i, role := range RuleRoles() {
		order[role] = i
	}
	slices.SortStableFunc(out, func(a, b Proposed) int {
		return cmp.Or(cmp.Compare(order[a.Rule.Role], order[b.Rule.Role]), cmp.Compare(a.Rule.rank(), b.Rule.rank()), cmp.Compare(a.Rule.Min, b.Rule.Min))
	})
	return out
}

// framedOr proposes the outlines that were guessed: in a drawing's frame by their sizes.
func framedOr(w *work.Watch, sheets []sheet, loops []loop) proposal {
	if sheets[0].framed {
		return framedRules(sheets)
	}
	left := looks(mostLooks)
	return proposal{outlineRule(w, sheets, loops, &left)}
}
