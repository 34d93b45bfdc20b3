package height

import (
	"cmp"
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// How much each thing tells that a line meets in its middle: weights without a source, of which the order counts. A second of the same
// kind tells little that the first does not.
const (
	tellsConnector = 12
	tellsPin       = 3
	tellsControl   = 20
	tellsScrew     = 5
	tellsLED       = 4
	tellsAnother   = 1 // of any of these, up to mostOthers of each
	mostOthers     = 6
)

// TellingLine returns the level or upright line right through the panel that meets most of what there is to see of the stack: a
// connector, controls of each kind, a screw, LEDs. Where nothing stands anywhere it goes through the panel's middle.
func (in In) TellingLine() Line {
	box := in.Panel.Outline.Box()
	if box.Empty() {
		return Line{}
	}
	pieces := in.telling()
	middle := box.Centre()
	var xs, ys []geom.Nm
	for _, q := range pieces {
		c := q.box.Centre()
		xs, ys = append(xs, c.X), append(ys, c.Y)
	}
	xs, ys = append(xs, middle.X), append(ys, middle.Y)
	type candidate struct {
		line  Line
		tells int
		off   geom.Nm // from the middle
		side  int     // level ones first
	}
	var all []candidate
	sorted := func(v []geom.Nm) []geom.Nm {
		slices.Sort(v)
		return slices.Compact(v)
	}
	for _, y := range sorted(ys) {
		l := Line{geom.Pt{X: box.Min.X, Y: y}, geom.Pt{X: box.Max.X, Y: y}}
		all = append(all, candidate{l, tells(l, pieces), max(y-middle.Y, middle.Y-y), 0})
	}
	for _, x := range sorted(xs) {
		l := Line{geom.Pt{X: x, Y: box.Min.Y}, geom.Pt{X: x, Y: box.Max.Y}}
		all = append(all, candidate{l, tells(l, pieces), max(x-middle.X, middle.X-x), 1})
	}
	best := slices.MinFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(b.tells, a.tells), cmp.Compare(a.side, b.side), cmp.Compare(a.off, b.off), cmp.Compare(a.line.A.X, b.line.A.X), cmp.Compare(a.line.A.Y, b.line.A.Y))
	})
	return best.line
}

// telling is a piece that is worth meeting.
type telling struct {
	Piece
	weight int
	kind   string
	box    geom.Box
}

// telling returns the pieces worth meeting; of a control its bush, or its shaft, or its body.
func (in In) telling() []telling {
	var out []telling
	for _, c := range in.Panel.Controls {
		of := seat.Pieces(in.Panel, c)
		for _, what := range [...]seat.What{seat.Bush, seat.Shaft, seat.Body} {
			if i := slices.IndexFunc(of, func(q seat.Piece) bool { return q.What == what }); i >= 0 {
				out = append(out, telling{Piece{Whose: Control, Shape: of[i].Shape}, tellsControl, c.Kind.Name, of[i].Shape.Box()})
				break
			}
		}
	}
	pieces := in.Pieces()
	for i, q := range pieces {
		t := telling{q, 0, q.Kind, q.Shape.Box()}
		before := i > 0 && pieces[i-1].Of == q.Of && pieces[i-1].Whose == q.Whose
		switch {
		case q.Whose == Connector && (q.What == Body || q.What == Wire && !before): // wire-pads have no body
			t.weight = tellsConnector
		case q.Whose == Connector && (q.What == Pin || q.What == Lead):
			t.weight, t.kind = tellsPin, Pin
		case q.Whose == Screw && q.What == Head:
			t.weight, t.kind = tellsScrew, ""
		case q.Whose == LED && (q.What == Lens || q.What == Body):
			t.weight, t.kind = tellsLED, ""
		}
		if t.weight > 0 {
			out = append(out, t)
		}
	}
	return out
}

// tells weighs what a level or upright line meets in its middle.
func tells(l Line, pieces []telling) int {
	f, long, box := l.frame(), l.Len(), geom.BoxOf(l.A, l.B)
	type thing struct {
		whose Whose
		kind  string
	}
	seen := map[thing]bool{}
	others := map[Whose]int{}
	sum := 0
	for _, q := range pieces {
		if !q.box.Touches(box) {
			continue
		}
		if !rightThrough(f, q, long) {
			continue
		}
		switch t := (thing{q.Whose, q.kind}); {
		case !seen[t]:
			seen[t] = true
			sum += q.weight
		case others[q.Whose] < mostOthers:
			others[q.Whose]++
			sum += tellsAnother
		}
	}
	return sum
}
