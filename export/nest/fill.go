package nest

import (
	"math/rand/v2"
	"slices"

	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// history is how many steps back late acceptance compares; seed begins its chances.
const (
	history = 60
	seed    = 1
)

// value is what a layout costs: the less the better.
type value struct {
	sheets int
	used   int64 // of the last sheet
	spread int64 // sum of the right ends of all parts, which tells steps apart that move the end of none
}

func (a value) above(b value) bool {
	if a.sheets != b.sheets {
		return a.sheets > b.sheets
	}
	if a.used != b.used {
		return a.used > b.used
	}
	return a.spread > b.spread
}

// shaped lays the parts by their shapes and improves their sequence.
func (in *problem) shaped(w *work.Watch, steps int) Layout {
	if len(in.laid) == 0 {
		return Layout{}
	}
	f := filler{watch: w, in: in, g: newLattice(in), kinds: in.kinds()}
	var now []turn
	cost := value{sheets: 1 << 30}
	for _, key := range []func(*form) int64{
		func(f *form) int64 { return f.area }, func(f *form) int64 { return f.w * f.h }, func(f *form) int64 { return max(f.w, f.h) },
		func(f *form) int64 { return f.w }, func(f *form) int64 { return f.h },
	} {
		seq := slices.Clone(in.laid)
		slices.SortStableFunc(seq, func(a, b int) int { return int(min(max(key(in.parts[b])-key(in.parts[a]), -1), 1)) })
		one := make([]turn, len(seq))
		for i, part := range seq {
			one[i] = turn{part, in.turns[part]}
		}
		if v := f.cost(one, cost); cost.above(v) {
			now, cost = one, v
		}
	}
	best, least := slices.Clone(now), cost
	past := make([]value, history)
	for i := range past {
		past[i] = cost
	}
	chance := rand.New(rand.NewPCG(seed, uint64(len(now))))
	for k := range steps {
		if len(now) < 2 {
			break
		}
		w.Look()
		next := slices.Clone(now)
		i, j := chance.IntN(len(next)), chance.IntN(len(next))
		switch chance.IntN(5) {
		case 0, 1:
			next[i], next[j] = next[j], next[i]
		case 2, 3:
			p := next[i]
			next = slices.Insert(slices.Delete(next, i, i+1), j, p)
		default: // one turn alone, or again the best of all
			all := in.turns[next[i].part]
			if one := Turns(1 << chance.IntN(4)); next[i].in == all && all&one != 0 && all != one {
				next[i].in = one
			} else {
				next[i].in = all
			}
		}
		h := &past[k%history]
		most := cost
		if h.above(most) {
			most = *h
		}
		v := f.cost(next, most)
		if !v.above(cost) || !v.above(*h) {
			now, cost = next, v
			if h.above(cost) {
				*h = cost
			}
		}
		if least.above(cost) {
			best, least = slices.Clone(now), cost
		}
	}
	out := Layout{Sheets: least.sheets, Used: micron * geom.Nm(least.used)}
	f.keep = func(p Placed) { out.Placed = append(out.Placed, p) }
	f.cost(best, least)
	return out
}

// kinds are the forms that are to be laid, those that cover the same once.
func (in *problem) kinds() []int {
	var out []int
	for _, i := range in.laid {
		for q := range 4 {
			if in.turns[i]&(1<<q) != 0 {
				out = append(out, in.forms[in.parts[i].turned[q]].kind)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// turn is a part's turn in a sequence, and the quarter turns in which it is laid then.
type turn struct {
	part int
	in   Turns
}

// mostOpen is on how many sheets at most there is looked for room: before a further one is begun, the oldest is done.
const mostOpen = 12

// sheet is one that parts are laid on.
type sheet struct {
	fields []*field // by form
	full   []bool   // by form: there is no room for it
	lain   []lain   // what lies on it; fields learn of it when they are asked
	end    int64    // of its parts
}

// lain is a form that lies at a place of the lattice.
type lain struct{ kind, x, y int }

// filler lays sequences, each part at the first place that it finds.
type filler struct {
	watch  *work.Watch
	in     *problem
	g      *lattice
	kinds  []int
	sheets []*sheet
	spare  []*sheet // of earlier sequences
	keep   func(Placed)
}

// cost lays the parts in that order and returns what that takes; where that is above most, it may end early and return what it has by
// then, which is above most too.
func (f *filler) cost(seq []turn, most value) value {
	f.spare, f.sheets = append(f.spare, f.sheets...), nil
	var v value
	done := 0 // sheets that are
	for _, next := range seq {
		f.watch.Look()
		for i := 0; ; i++ {
			if i == len(f.sheets) {
				if len(f.sheets) == mostOpen {
					f.spare = append(f.spare, f.sheets[0])
					f.sheets = f.sheets[1:]
					done++
					i--
				}
				f.sheets = append(f.sheets, f.fresh())
			}
			s := f.sheets[i]
			k, x, y, ok := f.place(next, s)
			if !ok {
				if s.end == 0 {
					panic("export/nest: an empty sheet has no room for a part that fits")
				}
				continue
			}
			form := f.in.forms[k]
			s.lain = append(s.lain, lain{form.kind, x, y})
			at := vector{f.in.edge + int64(x)*f.g.step, f.in.edge + int64(y)*f.g.step}
			s.end = max(s.end, at.x+form.w)
			v.spread += at.x + form.w
			if f.keep != nil {
				f.keep(f.in.placed(next.part, done+i, form, at))
			}
			break
		}
		v.sheets, v.used = done+len(f.sheets), f.sheets[len(f.sheets)-1].end
		if v.sheets > most.sheets || v.sheets == most.sheets && v.used > most.used {
			break
		}
	}
	return v
}

// place finds where a part goes on a sheet: with its right end farthest to the left, of all its turns.
func (f *filler) place(p turn, s *sheet) (form, x, y int, ok bool) {
	most := int64(1) << 62
	for q := range 4 {
		if p.in&(1<<q) == 0 {
			continue
		}
		k := f.in.parts[p.part].turned[q]
		kind, wide := f.in.forms[k].kind, f.in.forms[k].w
		if s.full[kind] {
			continue
		}
		at := s.fields[kind]
		for ; at.knows < len(s.lain); at.knows++ {
			l := s.lain[at.knows]
			at.bar(f.g.between(f.watch, l.kind, kind), l.x, l.y)
		}
		before := at.nx
		if ok {
			before = int(min(int64(before), floorDiv(most-wide-1, f.g.step)+1))
		}
		if i, j, found := at.first(before); found {
			form, x, y, ok = k, i, j, true
			most = int64(i)*f.g.step + wide
		} else if before == at.nx {
			s.full[kind] = true
		}
	}
	return form, x, y, ok
}

// fresh is an empty sheet.
func (f *filler) fresh() *sheet {
	if n := len(f.spare); n > 0 {
		out := f.spare[n-1]
		f.spare = f.spare[:n-1]
		for _, k := range f.kinds {
			clear(out.fields[k].bits)
			out.fields[k].knows = 0
		}
		clear(out.full)
		out.lain, out.end = out.lain[:0], 0
		return out
	}
	out := &sheet{fields: make([]*field, len(f.in.forms)), full: make([]bool, len(f.in.forms))}
	for _, k := range f.kinds {
		out.fields[k] = f.g.field(f.in.forms[k])
	}
	return out
}
