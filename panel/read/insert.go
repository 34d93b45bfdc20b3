package read

import (
	"cmp"
	"slices"

	"lampblack/panel/role"
	"lampblack/panel/work"
)

// Sheets that lie in the frame of a larger one are at least that share of its area; of more outlines than mostInserts none is
// looked for.
const insertShare, mostInserts = 0.25, 12

// inserted finds sheets that are smaller than the panel beside which they are drawn, as a diffuser that lies within its frame.
// all is the outlines of which those gone are sheets of others.
func (st *stack) inserted(w *work.Watch, all []sheet, c lines, th things, opt Options, gone []bool) findings {
	var said findings
	if len(all) > mostInserts {
		return said
	}
	var order []int
	for i := range all {
		if !gone[i] {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[a].outline.area, all[b].outline.area) })
	for n, i := range order {
		best, most := -1, insert{}
		for _, k := range order[n+1:] {
			a, b := all[i].outline.box, all[k].outline.box
			if gone[k] || sameSize(&all[i].outline, &all[k].outline) || a.W() > b.W()+leafFit || a.H() > b.H()+leafFit || all[i].outline.area < insertShare*all[k].outline.area {
				continue
			}
			in, ok := st.tried(w, i, k, all, c, th, opt)
			if ok && (best < 0 || in.hits > most.hits || in.hits == most.hits && in.together && !most.together) {
				best, most = k, in
			}
		}
		if best < 0 {
			continue
		}
		said.join(st.askedWhether(most.ls, most.together, most.doubt && opt.Sheets == SheetsJudged, most.why, most.against))
		if !most.together {
			continue
		}
		if opt.Sheets == SheetsJudged {
			said.join(st.askedFacing(most.ls[most.came : most.came+1])) // of the others it was asked
		}
		st.leaves = slices.DeleteFunc(st.leaves, func(l leaf) bool { return l.of == best || l.of == i })
		st.leaves = append(st.leaves, most.ls...)
		gone[i] = true
	}
	return said
}

// insert is a panel's sheets with one more, that is smaller.
type insert struct {
	ls              []leaf
	came            int // the smaller one, of ls
	hits            int // things of the smaller one that lie where the others have theirs
	together, doubt bool
	why, against    []string
}

// tried puts the outline i, with the sheets that it stands for, among the sheets of the panel k. Not ok when that is too much
// to compare.
func (st *stack) tried(w *work.Watch, i, k int, all []sheet, c lines, th things, opt Options) (in insert, ok bool) {
	names := captionsOf(all, []int{i, k}, th)
	in.ls = st.standingFor(k, all, names[1])
	smaller := st.standingFor(i, all, names[0])
	if in.ls == nil || smaller == nil { // drawn over each other
		return in, false
	}
	in.came = len(in.ls)
	in.ls = append(in.ls, smaller...)
	things, ok := itemsOn(w, in.ls, c)
	if !ok {
		return in, false
	}
	in.hits = facedWithin(w, in.ls, things, 0, in.came, opt)
	at := in.ls[in.came].pose
	for m := range smaller {
		l := &in.ls[in.came+m]
		l.of, l.pose = k, smaller[m].pose.then(at)
	}
	if !tallied(w, in.ls, things, th) {
		return in, false
	}
	more := []pooled{smallerBehind}
	if in.hits >= 2 {
		more = append(more, fitsByHoles)
	}
	if completed(in.ls) {
		more = append(more, completing)
	}
	in.together, in.doubt, in.why, in.against = verdict(in.ls, opt, more...)
	return in, true
}

// standingFor returns the sheets of the panel that an outline stands for, itself first: it alone, so named, where no others are
// known; nil where they are drawn over each other.
func (st *stack) standingFor(i int, all []sheet, named string) []leaf {
	var out []leaf
	for _, l := range st.leaves {
		if l.of == i {
			out = append(out, l)
		}
	}
	if out == nil {
		return []leaf{{outline: all[i].outline, named: named, kind: role.LeafOf(named), of: i}}
	}
	own := slices.IndexFunc(out, func(l leaf) bool { return l.pose == pose{} && l.layer == "" })
	if own < 0 {
		return nil
	}
	itself := out[own]
	return slices.Insert(slices.Delete(out, own, own+1), 0, itself)
}

// completed reports whether one sheet has nothing but LEDs and the others have all else.
func completed(ls []leaf) bool {
	lamps, bare := 0, false
	for i := range ls {
		if t := &ls[i].tally; t.lamps > 0 {
			lamps++
			bare = t.words+t.cuts == 0
		}
	}
	return lamps == 1 && bare && slices.ContainsFunc(ls, func(l leaf) bool { return l.tally.words > 0 || l.tally.cuts > 0 })
}
