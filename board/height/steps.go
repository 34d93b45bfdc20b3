package height

import (
	"cmp"
	"slices"

	"lampblack/panel/geom"
)

// A step is worth something new that is met, and never one more of what is met already: weights of first things count tenfold. Away from
// what is cut a step keeps a margin, and no piece of the line, and no step, is shorter than is seen. Weights and measures without a source.
const (
	firstThing = 10
	stepPrice  = 25
	mostSteps  = 3
	tried      = 8 // of straight lines along each way, to begin with
	stepMargin = 1 * geom.Millimetre
	leastPiece = 6 * geom.Millimetre
	leastStep  = 3 * geom.Millimetre
)

// TellingPath returns the stepped line, level or upright, that meets most of what there is to see of the stack: a connector, a control of
// each kind, a screw, an LED; with as few steps as do that. Pieces of it are parallel and follow one another, as a section in several
// parallel planes does (ISO 128-3, from memory); no step goes through what is cut beside it.
//
// Method: from the straight line that meets most (TellingLine), parts of it are laid over other levels, the best of all first, while
// that meets something new; and from the next best straight ones, along both ways.
func (in In) TellingPath() []Line {
	straight := in.TellingLine()
	best := []Line{straight}
	box := in.Panel.Outline.Box()
	if box.Empty() || straight.A == straight.B {
		return best
	}
	pieces, all, most := in.telling(), in.Pieces(), -1
	for _, upright := range []bool{straight.A.X == straight.B.X, straight.A.X != straight.B.X} {
		s := stepping{box: box, upright: upright}
		s.levels(pieces, all)
		if p, sum := s.search(); sum > most {
			best, most = s.lines(p), sum
		}
	}
	return best
}

// reached is a piece that a level line goes right through, from where a step may come before it to where one may come behind it.
type reached struct {
	from, to geom.Nm
	whose    Whose
	kind     string
	weight   int
}

// stepping looks for a path along one direction. Lengths are along it, from the panel's edge.
type stepping struct {
	box     geom.Box
	upright bool
	at      []geom.Nm   // of the levels, rising
	met     [][]reached // by level
	shut    [][]Range   // by level: where no step comes to it, since something is cut there
}

// stretch is a piece of a path: its level, and where it begins.
type stretch struct {
	level int
	from  geom.Nm
}

func (s *stepping) long() geom.Nm {
	if s.upright {
		return s.box.H()
	}
	return s.box.W()
}

// line is a piece of a level.
func (s *stepping) line(level int, from, to geom.Nm) Line {
	if s.upright {
		return Line{geom.Pt{X: s.at[level], Y: s.box.Min.Y + from}, geom.Pt{X: s.at[level], Y: s.box.Min.Y + to}}
	}
	return Line{geom.Pt{X: s.box.Min.X + from, Y: s.at[level]}, geom.Pt{X: s.box.Min.X + to, Y: s.at[level]}}
}

// levels finds what each level line meets right through, those through the middles of all pieces and through the panel's; and what else it
// cuts.
func (s *stepping) levels(pieces []telling, all []Piece) {
	across := func(p geom.Pt) geom.Nm {
		if s.upright {
			return p.X
		}
		return p.Y
	}
	s.at = []geom.Nm{across(s.box.Centre())}
	for _, q := range pieces {
		s.at = append(s.at, across(q.box.Centre()))
	}
	slices.Sort(s.at)
	s.at = slices.Compact(s.at)
	boxes := make([]geom.Box, len(all))
	for i, q := range all {
		boxes[i] = q.Shape.Box()
	}
	for level := range s.at {
		l := s.line(level, 0, s.long())
		f, on := l.frame(), geom.BoxOf(l.A, l.B)
		var shut []Range
		for i, q := range all {
			if boxes[i].Touches(on) {
				for _, r := range f.chords(q.Shape) {
					shut = append(shut, Range{r.From - stepMargin, r.To + stepMargin})
				}
			}
		}
		shut = joined(shut)
		var met []reached
		for _, q := range pieces {
			if !q.box.Touches(on) || !rightThrough(f, q, l.Len()) {
				continue
			}
			r := f.extent(q.Shape)
			for _, o := range shut {
				if o.From <= r.From && r.To <= o.To {
					r = o
					break
				}
			}
			met = append(met, reached{r.From, r.To, q.Whose, q.kind, q.weight})
		}
		s.met, s.shut = append(s.met, met), append(s.shut, shut)
	}
}

// open returns the place nearest to x, before or behind it, where a line may step from one level to the other.
func (s *stepping) open(x geom.Nm, one, other int, behind bool) geom.Nm {
	for again := true; again; {
		again = false
		for _, shut := range [...][]Range{s.shut[one], s.shut[other]} {
			for _, r := range shut {
				if r.From < x && x < r.To {
					if x = r.From; behind {
						x = r.To
					}
					again = true
				}
			}
		}
	}
	return x
}

// search returns the best path of those that begin as one of the best straight lines, and what it tells.
func (s *stepping) search() (best []stretch, most int) {
	var starts [][]stretch // the middle one of equals first, as a straight line has it
	for level := range s.at {
		starts = append(starts, []stretch{{level, 0}})
	}
	slices.SortStableFunc(starts, func(a, b []stretch) int {
		return cmp.Or(cmp.Compare(s.tells(b), s.tells(a)), cmp.Compare(s.off(a[0].level), s.off(b[0].level)))
	})
	most = -1
	for _, p := range starts[:min(tried, len(starts))] {
		if p, sum := s.grown(p); sum > most {
			best, most = p, sum
		}
	}
	return best, most
}

// grown returns a path with parts of it laid over other levels, as long as that tells more.
func (s *stepping) grown(best []stretch) ([]stretch, int) {
	most := s.tells(best)
	for range mostSteps {
		next := best
		for level, met := range s.met {
			for _, first := range met {
				for _, last := range met {
					from, to := first.from, last.to
					if last.from < first.from {
						continue
					}
					if short := leastPiece - (to - from); short > 0 {
						from, to = from-(short+1)/2, to+(short+1)/2
					}
					for _, p := range s.laid(best, level, from, to) {
						if sum := s.tells(p); sum > most {
							next, most = p, sum
						}
					}
				}
			}
		}
		if slices.Equal(next, best) {
			break
		}
		best = next
	}
	return best, most
}

// apart returns how far two levels are from each other.
func (s *stepping) apart(a, b int) geom.Nm { return max(s.at[a]-s.at[b], s.at[b]-s.at[a]) }

func (s *stepping) off(level int) geom.Nm {
	middle := s.box.Centre().Y
	if s.upright {
		middle = s.box.Centre().X
	}
	return max(s.at[level]-middle, middle-s.at[level])
}

// laid returns a path with another level between two places, or from where it steps before them, or to where it does after them.
func (s *stepping) laid(p []stretch, level int, from, to geom.Nm) (out [][]stretch) {
	begins, ends := []geom.Nm{from, 0}, []geom.Nm{to, s.long()}
	for _, one := range p[1:] {
		if one.from < from {
			begins = append(begins, one.from)
		}
		if one.from > to {
			ends = append(ends, one.from)
		}
	}
	for _, from := range begins {
		for _, to := range ends {
			out = append(out, s.over(p, level, from, to))
		}
	}
	return out
}

// over returns a path with another level between two places.
func (s *stepping) over(p []stretch, level int, from, to geom.Nm) (out []stretch) {
	if from < leastPiece {
		from = 0
	}
	if to > s.long()-leastPiece {
		to = s.long()
	}
	before, after := p[0].level, p[0].level
	for _, one := range p {
		if one.from < from {
			before = one.level
		}
		if one.from <= to {
			after = one.level
		}
	}
	if from > 0 {
		from = s.open(from, before, level, false)
	}
	if to < s.long() {
		to = s.open(to, level, after, true)
	}
	for _, one := range p {
		if one.from < from {
			out = append(out, one)
		}
	}
	out = append(out, stretch{level, from})
	if to < s.long() {
		out = append(out, stretch{after, to})
	}
	for _, one := range p {
		if one.from > to {
			out = append(out, one)
		}
	}
	return slices.CompactFunc(out, func(a, b stretch) bool { return a.level == b.level })
}

// tells weighs a path: what it meets, as a straight line is weighed, less its steps; -1 where a piece of it is too short, or a step goes
// through what is cut beside it.
func (s *stepping) tells(p []stretch) int {
	type thing struct {
		whose Whose
		kind  string
	}
	seen, others := map[thing]bool{}, map[Whose]int{}
	sum := -stepPrice * (len(p) - 1)
	if len(p) > mostSteps+1 {
		return -1
	}
	for i, one := range p {
		to := s.long()
		if i+1 < len(p) {
			to = p[i+1].from
		}
		if to-one.from < leastPiece && len(p) > 1 || i > 0 && s.apart(one.level, p[i-1].level) < leastStep {
			return -1
		}
		for _, r := range s.shut[one.level] {
			if i > 0 && r.From < one.from && one.from < r.To || i+1 < len(p) && r.From < to && to < r.To {
				return -1
			}
		}
		for _, q := range s.met[one.level] {
			switch t := (thing{q.whose, q.kind}); {
			case q.to <= one.from || q.from >= to:
			case !seen[t]:
				seen[t] = true
				sum += firstThing * q.weight
			case others[q.whose] < mostOthers:
				others[q.whose]++
				sum += tellsAnother
			}
		}
	}
	return sum
}

// lines returns the pieces of a path.
func (s *stepping) lines(p []stretch) (out []Line) {
	for i, one := range p {
		to := s.long()
		if i+1 < len(p) {
			to = p[i+1].from
		}
		out = append(out, s.line(one.level, one.from, to))
	}
	return out
}

// rightThrough reports whether a line goes through the middle of a piece, or nearly.
func rightThrough(f frame, q telling, long geom.Nm) bool {
	whole, through := f.extent(q.Shape), geom.Nm(0)
	for _, r := range within(f.chords(q.Shape), long) {
		through += r.To - r.From
	}
	return 10*through >= 9*(whole.To-whole.From)
}

// part is a piece of a path: its frame, how far along the path it begins, and its length.
type part struct {
	frame
	from, long geom.Nm
}

// partsOf returns the pieces of a path.
func partsOf(path []Line) []part {
	out := make([]part, len(path))
	for i, l := range path {
		along, _ := path[0].frame().of(l.A)
		out[i] = part{l.frame(), geom.Nm(along), l.Len()}
	}
	return out
}

// placed returns ranges of a piece as they lie along the path, those beyond its ends left out.
func (p part) placed(of []Range) []Range {
	out := within(of, p.long)
	for i := range out {
		out[i].From, out[i].To = out[i].From+p.from, out[i].To+p.from
	}
	return out
}

// joined returns ranges with those made one that follow one another.
func joined(of []Range) []Range {
	slices.SortFunc(of, func(a, b Range) int { return cmp.Compare(a.From, b.From) })
	var out []Range
	for _, r := range of {
		if n := len(out); n > 0 && r.From <= out[n-1].To {
			out[n-1].To = max(out[n-1].To, r.To)
		} else {
			out = append(out, r)
		}
	}
	return out
}
