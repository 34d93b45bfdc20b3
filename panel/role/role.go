// Package role says what the closed lines within a panel's outline are: holes for LEDs or screws, openings, bodies,
// lettering or nothing; with its reasons and its doubt.
//
// In go Things, in the drawing's frame in mm, each with all that a drawing tells of it; out come Groups. Things of one
// size, on one layer, in one colour and line type, of one block, and in the same kind of place are a group and take one
// role jointly; the same size at different places may have different roles. What the project or a layer of ours says
// already is given, and serves as evidence for its neighbours.
//
// Method: each role has a score, the sum of whole-number weights of evidence (evidence.go), and the largest wins. A
// weight is ten times the decimal logarithm of how many times likelier the evidence is under the role than under the
// usual one (decibans), so that sums are products of likelihoods: naive Bayes. The margin between the best two is the
// doubt: at ten the second reading is ten times less likely than the first. Below Sure, where it matters, it is a
// question.
//
// Source: I. J. Good, "Probability and the Weighing of Evidence", Griffin, 1950, chapter 6; the same, "Weight of evidence:
// a brief survey", Bayesian Statistics 2, 1985, 249-270. Evidence that hangs together (as size and place do) counts as
// if it did not, which exaggerates margins; so weights are kept small. They are judged, not counted: nobody has counted
// enough drawings.
package role

import (
	"math"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Thing is one closed line within an outline.
type Thing struct {
	Box       geom.XYBox
	Round     bool
	At        geom.XY // centre of its box
	D         float64 // of a round one
	Area      float64 // within the line, what lies in it included
	Perimeter float64
	Corners   int // points of the line as drawn

	Layer, Block, Style string
	Colour              uint32

	Sheet int        // which outline it lies in
	In    int        // the smallest thing round it, -1: none but the outline
	Edge  float64    // from its centre to the outline's line
	Given panel.Role // told by the project or by a layer of ours; empty: to be judged
}

// Sheet is an outline.
type Sheet struct {
	Box    geom.XYBox
	Layer  string
	Colour uint32
}

// Drawing is all that is judged together.
type Drawing struct {
	Sheets  []Sheet
	Things  []Thing
	Strokes []Stroke
}

// Group is things that take one role jointly.
type Group struct {
	Things  []int // in order
	Round   bool
	Min     float64 // diameters of round ones; else the shorter and
	Max     float64
	Long    [2]float64 // the longer sides, least and greatest
	Places  Places
	Letters bool
	Layer   string
	Role    panel.Role
	Second  panel.Role
	Margin  int
	Why     []string // for the role, the weightiest first, as of several (Reasons)
	But     []string // for the second
}

// Sure is the margin from which on nothing is asked: the second reading is ten times less likely than the first.
const Sure = 10

// Asks reports whether the group's role is a question: two readings are fair, and it matters which one it is.
func (g *Group) Asks() bool { return g.Margin < Sure && Matters(g.Role, g.Second) }

// Matters reports whether a board or a sheet comes out wrong where one role is taken for the other. A screw's hole is cut
// and kept clear as an opening is; whether print means something or nothing hurts no board.
func Matters(a, b panel.Role) bool {
	kind := func(r panel.Role) int {
		switch r {
		case panel.RoleLED:
			return 1
		case panel.RoleMount, panel.RoleOpening:
			return 2
		}
		return 3
	}
	return kind(a) != kind(b)
}

// Looked is what is seen of things before anybody says what they are.
type Looked struct {
	Places  []Places
	Letters []bool
	Heights []float64 // of the words that letters belong to, mm; 0 for others
	Strokes []bool    // open lines that are parts of letters, or ticks
	holds   []uint8
	senses  map[string]Sense // of names that were asked for
}

// Sense returns what a name of the drawing says. Many things share few names, so each is looked up once.
func (l *Looked) Sense(name string) Sense {
	s, ok := l.senses[name]
	if !ok {
		if l.senses == nil {
			l.senses = map[string]Sense{}
		}
		s = SenseOf(name)
		l.senses[name] = s
	}
	return s
}

// Look looks at the things of a drawing. What it sees does not hang on what is given but for layers of ours.
func Look(w *work.Watch, d Drawing) Looked {
	l := Looked{Places: make([]Places, len(d.Things)), holds: make([]uint8, len(d.Things))}
	d.Strokes = l.marked(d.Strokes)
	l.Letters, l.Heights, l.Strokes = Letters(w, d)
	for i, tick := range Ticks(w, d) {
		l.Strokes[i] = l.Strokes[i] || tick
	}
	for i := range d.Things {
		w.Step()
		t := &d.Things[i]
		l.Places[i] |= Of(t.At, big(t.Box), t.Edge, d.Sheets[t.Sheet].Box)
		if t.In < 0 {
			continue
		}
		in := &d.Things[t.In]
		l.Places[i] |= WithinOther
		l.Places[t.In] |= RoundOthers
		if t.Layer != in.Layer {
			if sense := l.Sense(t.Layer); sense == CopperSense || sense == NoteSense || sense == PrintSense && !l.Letters[i] {
				continue // drawn over it, not within it
			}
		}
		if l.marks(t, in) {
			l.holds[i] |= aMark
			continue
		}
		switch {
		case l.Letters[i]:
			l.holds[t.In] |= aLetter
		case t.Round && t.D >= 1:
			l.holds[t.In] |= aHole
			if t.At.Dist(in.At) <= 0.1*big(in.Box) {
				l.holds[t.In] |= aMiddleHole
			}
		default:
			l.holds[t.In] |= aThing
		}
	}
	l.nearest(d)
	return l
}

// Pin is the diameter, mm, up to which a circle in the middle of a larger one is its centre mark, or the hole of a pin or a
// pad: the smallest screws that panels have, M1.6, take 1.7 mm (ISO 273), and the smallest LEDs with a hole 1.8 mm.
const Pin = 1.5

// marks reports whether a thing in a hole only marks its centre: a circle about it, too small for a screw or an LED, unless its
// layer alone is named for what is drilled or cut.
func (l *Looked) marks(t, in *Thing) bool {
	if !t.Round || !in.Round || t.D > Pin || in.D < 2*t.D || in.D < 2.5 || t.At.Dist(in.At) > 0.05 {
		return false
	}
	made := func(s Sense) bool {
		return s == LEDSense || s == ScrewSense || s == HoleSense || s == OpeningSense || s == CutSense
	}
	return t.Layer == in.Layer || !made(l.Sense(t.Layer)) || made(l.Sense(in.Layer))
}

// nearest takes InCorners from round things that are not, of those of their size, the nearest to their corner: lamps of a
// row may come near a corner that has its screw.
func (l *Looked) nearest(d Drawing) {
	type spot struct{ sheet, size, corner int }
	best := map[spot]float64{}
	far := func(i int) (spot, float64) {
		t, b := &d.Things[i], d.Sheets[d.Things[i].Sheet].Box
		dx, dy, c := t.At.X-b.Min.X, t.At.Y-b.Min.Y, 0
		if b.Max.X-t.At.X < dx {
			dx, c = b.Max.X-t.At.X, 1
		}
		if b.Max.Y-t.At.Y < dy {
			dy, c = b.Max.Y-t.At.Y, c+2
		}
		return spot{t.Sheet, int(math.Round(t.D * 10)), c}, dx + dy
	}
	for pass := range 2 {
		for i := range d.Things {
			if !d.Things[i].Round || l.Places[i]&InCorners == 0 {
				continue
			}
			at, v := far(i)
			if b, ok := best[at]; pass == 0 && (!ok || v < b) {
				best[at] = v
			} else if pass == 1 && v > b+1 {
				l.Places[i] &^= InCorners
			}
		}
	}
}

// Judge returns the groups of what is not given, by their first thing.
func Judge(w *work.Watch, d Drawing, seen Looked) []Group {
	j := judge{Drawing: d, watch: w, Looked: seen}
	j.prepare()
	groups := j.groups()
	for i := range groups {
		w.Step()
		j.decide(&groups[i])
	}
	return groups
}
