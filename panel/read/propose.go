package read

import (
	"cmp"
	"fmt"
	"slices"

	"lampblack/panel"
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

// edges proposes the outlines that were guessed: as the largest, or where larger lines are none, by their sizes.
func edges(w *work.Watch, sheets []sheet, loops []loop) proposal {
	var p proposal
	if len(sheets) == 0 || !sheets[0].guessed {
		return p
	}
	unsure := "a larger line round it looks like a drawing's frame"
	if !sheets[0].framed {
		if !slices.ContainsFunc(loops, func(l loop) bool { return l.area > sheets[0].outline.area }) {
			left := looks(mostLooks)
			return proposal{outlineRule(w, sheets, loops, &left)}
		}
		unsure = "it lies round the LEDs, and there are larger lines"
	}
	for i := range sheets {
		b := sheets[i].outline.box
		p = p.with(Proposed{Rule{Role: panel.RoleOutline, Kind: ShapeRule, W: hundredths(b.W()), W2: hundredths(b.W()), H: hundredths(b.H()), H2: hundredths(b.H())}, 1, unsure})
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

// looks is how often loops may still be compared for mere advice.
type looks int

// mostLooks is so many in a drawing: a tenth of a second or so.
const mostLooks = 100_000

// used counts one, and reports whether there are no more.
func (l *looks) used() bool {
	*l--
	return *l < 0
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
