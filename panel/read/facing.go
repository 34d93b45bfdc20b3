package read

import (
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// facing finds how sheets lie to one of them: as it does, or turned over, since sheets behind a panel are often drawn as they are
// seen from there.
type facing struct {
	watch  *work.Watch
	ls     []leaf
	all    []item
	of     [][]int // the items of each sheet that are no letters
	placed []int   // those of the sheets that have their pose, in the panel's frame
	grid   *grid
}

func newFacing(w *work.Watch, ls []leaf, all []item) *facing {
	f := &facing{watch: w, ls: ls, all: all, of: make([][]int, len(ls)), grid: newGrid(w, 1, len(all))}
	for i := range all {
		if !all[i].letter {
			f.of[all[i].leaf] = append(f.of[all[i].leaf], i)
		}
	}
	return f
}

// faced gives sheets of one size their poses in the frame of the one with the given index.
func faced(w *work.Watch, ls []leaf, all []item, first int, opt Options) {
	f := newFacing(w, ls, all)
	ls[first].pose = pose{}
	f.place(first)
	rest := make([]int, 0, len(ls))
	for i := range ls {
		if i != first {
			rest = append(rest, i)
		}
	}
	f.lay(rest, first, false, opt)
}

// facedWithin gives the sheet n, which is smaller than the one with the given index, its pose in that one's frame; the sheets
// before it have theirs, and those behind it count for nothing. It returns how many things of it lie where those have theirs.
func facedWithin(w *work.Watch, ls []leaf, all []item, first, n int, opt Options) (hits int) {
	f := newFacing(w, ls, all)
	for i := range n {
		f.place(i)
	}
	f.lay([]int{n}, first, true, opt)
	return len(f.hits(n, ls[n].pose))
}

// lay gives sheets their poses; smaller: their edge tells none.
func (f *facing) lay(sheets []int, first int, smaller bool, opt Options) {
	ls := f.ls
	var front, behind []pose // of those in doubt
	behindSaid := false
	unsure := make([]int, 0, len(sheets))
	for _, i := range sheets {
		var said bool
		a, b := f.poses(i, first, smaller)
		if ls[i].pose, ls[i].unsure, said = f.judged(i, a, b); ls[i].unsure {
			unsure, front, behind = append(unsure, i), append(front, bestOf(a)), append(behind, bestOf(b))
			behindSaid = behindSaid || said
			continue
		}
		f.place(i)
	}
	// What nothing tells of several sheets is the same of all of them, so that one word of the project can say it.
	for k, i := range unsure {
		ls[i].pose = front[k]
		if opt.Sheets == SheetsMirrored || opt.Sheets == SheetsJudged && behindSaid {
			ls[i].pose = behind[k]
		}
	}
}

// scored is a pose and how many things of a sheet then lie where others have theirs.
type scored struct {
	pose
	hits int
}

// bestOf returns the pose with most hits, the likelier one where they differ by one.
func bestOf(s []scored) pose {
	best := 0
	for i := range s {
		if s[i].hits > s[best].hits+1 {
			best = i
		}
	}
	return s[best].pose
}

// place says that a sheet's pose is known.
func (f *facing) place(i int) {
	for _, k := range f.of[i] {
		f.grid.add(f.ls[i].pose.point(f.all[k].loop.centre()))
		f.placed = append(f.placed, k)
	}
}

// poses returns the poses that a sheet may have: as seen from the front, or half a turn of that, and as seen from behind.
func (f *facing) poses(i, first int, smaller bool) (front, behind []scored) {
	l, o := &f.ls[i].outline, &f.ls[first].outline
	for _, t := range turns {
		p := t.onto(l.centre(), o.centre())
		if smaller {
			p = f.fitted(i, first, p)
		} else if q := l.posed(p); !sameForm(o, &q) {
			continue
		}
		s := scored{p, len(f.hits(i, p))}
		if p.mirrors() {
			behind = append(behind, s)
		} else {
			front = append(front, s)
		}
	}
	return front, behind
}

// hits returns the things of a sheet that lie, in a pose, where one of another sheet does.
func (f *facing) hits(i int, p pose) map[int]bool {
	out := map[int]bool{}
	for _, k := range f.of[i] {
		f.watch.Step()
		c := p.point(f.all[k].loop.centre())
		f.grid.near(c, leafSame, func(n int) {
			if o := f.placed[n]; f.all[o].leaf != i && f.ls[f.all[o].leaf].pose.point(f.all[o].loop.centre()).Dist(c) <= leafSame {
				out[k] = true
			}
		})
	}
	return out
}

// judged chooses between the poses: those in which more lies where others have it, by two things at least, are certain. Where
// nothing tells and it matters, the front's is taken, or, with said, the one from behind, since the sheet's name or
// what runs across others says so.
func (f *facing) judged(i int, front, behind []scored) (p pose, unsure, said bool) {
	switch {
	case len(behind) == 0:
		return bestOf(front), false, false
	case len(front) == 0:
		return bestOf(behind), false, false
	}
	a, b := most(front), most(behind)
	switch {
	case a > b:
		return bestOf(front), false, false
	case b > a+1:
		return bestOf(behind), false, false
	case b > a:
		return bestOf(behind), true, true
	case f.symmetric(i, bestOf(front), bestOf(behind)):
		return bestOf(front), false, false
	case role.Behind(f.ls[i].named):
		return bestOf(behind), false, true
	}
	switch x, y := f.clashes(i, bestOf(front)), f.clashes(i, bestOf(behind)); {
	case x == 0 && y > 0:
		return bestOf(front), false, false
	case x > 0 && y == 0:
		return bestOf(behind), true, true
	}
	return bestOf(front), true, false
}

func most(s []scored) (n int) {
	for _, v := range s {
		n = max(n, v.hits)
	}
	return n
}

// symmetric reports whether a sheet's own things lie in the same places in both poses.
func (f *facing) symmetric(i int, a, b pose) bool {
	const mostCompared = 2000
	if len(f.of[i]) > mostCompared {
		return false
	}
	g := newGrid(f.watch, 1, len(f.of[i]))
	for _, k := range f.of[i] {
		g.add(a.point(f.all[k].loop.centre()))
	}
	for _, k := range f.of[i] {
		l := f.all[k].loop
		c := b.point(l.centre())
		same := false
		g.near(c, leafSame, func(n int) {
			o := f.all[f.of[i][n]].loop
			same = same || a.point(o.centre()).Dist(c) <= leafSame && math.Abs(o.box.W()-l.box.W()) <= leafFit && math.Abs(o.box.H()-l.box.H()) <= leafFit
		})
		if !same {
			return false
		}
	}
	return true
}

// clashes counts the sheet's own things that, in a pose, run across what is drawn on another.
func (f *facing) clashes(i int, p pose) (n int) {
	find := newFinder(f.watch, nil)
	others := make([]loop, len(f.placed))
	for k, o := range f.placed {
		others[k] = f.all[o].loop.posed(f.ls[f.all[o].leaf].pose)
		find.add(others[k].box, k)
	}
	hits := f.hits(i, p)
	for _, k := range f.of[i] {
		if hits[k] {
			continue
		}
		l := f.all[k].loop.posed(p)
		near := find.near(l.box, 0)
		if slices.ContainsFunc(near[:min(len(near), 50)], func(o int) bool {
			return l.standingIn(&others[o]) == crossing || f.all[k].lamp && l.in(&others[o])
		}) {
			n++
		}
	}
	return n
}

// fitted returns a pose turned as p is in which most of a sheet's things lie where a larger sheet has its own, the sheet within
// it; p itself where nothing tells.
func (f *facing) fitted(i, first int, p pose) pose {
	const mostPaired = 300
	if len(f.of[i]) > mostPaired || len(f.placed) > 10*mostPaired {
		return p
	}
	type place struct{ x, y int }
	votes := map[place]int{}
	box := f.ls[first].outline.box
	best, count := p, max(1, len(f.hits(i, p))) // one thing upon another is chance
	for _, k := range f.of[i] {
		l := f.all[k].loop
		for _, o := range f.placed {
			f.watch.Step()
			m := f.all[o].loop
			if !sameSize(l, m) || l.round != m.round {
				continue
			}
			q := p.onto(l.centre(), f.ls[f.all[o].leaf].pose.point(m.centre()))
			if !boxIn(q.box(f.ls[i].outline.box), box, leafFit) {
				continue
			}
			at := place{int(math.Round(q.by.X / leafSame)), int(math.Round(q.by.Y / leafSame))}
			if votes[at]++; votes[at] > count {
				best, count = q, votes[at]
			}
		}
	}
	return best
}

// askedFacing asks of sheets in doubt whether they are drawn as seen from behind.
func (st *stack) askedFacing(ls []leaf) findings {
	var said findings
	q := diag.Question{Choices: []diag.Choice{
		{Role: string(SheetsTogether), Words: "seen from the front, as the first one is", Says: sheetsAre(SheetsTogether)},
		{Role: string(SheetsMirrored), Words: "seen from behind, mirrored", Says: sheetsAre(SheetsMirrored)}}}
	var first *leaf
	for i := range ls {
		l := &ls[i]
		if !l.unsure {
			continue
		}
		m := l.outline.centre()
		q.At = append(q.At, diag.Point{X: m.X, Y: m.Y})
		if first == nil {
			first = l
		}
	}
	if first == nil {
		return said
	}
	q.Things = count(len(q.At), "sheet") + " of " + sizeOf(&first.outline)
	why := "nothing on it tells, since what it shares with the others lies in the same places either way"
	if q.Assumed = q.Choices[0].Role; first.pose.mirrors() {
		slices.Reverse(q.Choices)
		q.Assumed = q.Choices[0].Role
		why = "its name, or what would run across other sheets, says so"
	}
	st.asked = true
	m := first.outline.centre()
	said.add(diag.Warning, "panel-question", first.outline.from, "%s: drawn as %s, or as %s? Taken as %s: %s", q.Things, q.Choices[0].Words, q.Choices[1].Words, q.Choices[0].Words, why).
		About("sheets").At(m.X, m.Y).Asks(q).
		Fix("write which in the project file: %s, or %s", q.Choices[0].YAML(), q.Choices[1].YAML())
	return said
}

// frontOf returns which sheet stands for the panel, and whether it is told that it is seen from the front, where others are
// turned over.
func frontOf(ls []leaf) (best int, told bool) {
	mirrored := slices.ContainsFunc(ls, func(l leaf) bool { return l.pose.mirrors() != ls[0].pose.mirrors() })
	for i := range ls {
		if ls[i].compare(&ls[best]) < 0 {
			best = i
		}
	}
	if !mirrored || ls[best].kind == role.Face {
		return best, true
	}
	// Of sheets of which some are turned over, those that are written on are seen from the front.
	lead := -1
	for i := range ls {
		if (ls[i].kind == role.Legend || ls[i].tally.words > 0) && !role.Behind(ls[i].named) && (lead < 0 || ls[i].compare(&ls[lead]) < 0) {
			lead = i
		}
	}
	if lead < 0 {
		return best, false
	}
	return lead, true
}
